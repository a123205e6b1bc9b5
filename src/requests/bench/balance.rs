//! The question `bench balance`: what to drill off a rotor, by what may be left and what was found.

use crate::bench::{
    self, Allowance, BalanceQuestion, ChartQuestion, ClusterWeights, Correction, DrilledHole, DrilledMaterial,
    Drilling, FastestSpeed, FoundBy, FoundWeight, HoleDirection, ReadingsGoodTo, RotorBalance, RotorSize, TrialRun,
    TrialWithPhase, USUAL_GRADE, WeightSense,
};
use crate::exact::{Fraction, to_float};
use crate::gearset::{Gearset, Length, Place, Side};
use crate::job::RecordedBalance;

use super::weighed::{self, PhaseAsTyped, TypedPlaces, TypedTrial};
use crate::requests::options::options;
use crate::requests::words::word;
use crate::requests::{AskedAbout, GearsetOrJob, NoAnswer, Question, Refusal, lookups, titled, values};

/// Several numbers of one argument.
type NumberList = Vec<f64>;

#[cfg(feature = "cli")]
const ALLOWED: &str = "What may be left";
#[cfg(feature = "cli")]
const FOUND: &str = "What was found";
#[cfg(feature = "cli")]
const DRILLING: &str = "Where it may be corrected";
#[cfg(feature = "cli")]
const OTHERS: &str = "Planets of unequal weight, and the chart";

options! {
    /// The options of `bench balance`.
    pub struct BalanceOptions {
        ..allowed: AllowedOptions;
        ..found: FoundOnRotor;
        ..drilling: DrillingOptions;
        /// The weights of planets that are not equally heavy, in grams: which goes on which pin?
        clusters: Option<NumberList> = weighed::grams, "GRAMS,..." needs "pin_radius" [help_heading = OTHERS];
        /// The radius of the pin circle
        pin_radius: Option<Length> = values::length, "LENGTH" needs "clusters" [help_heading = OTHERS];
        /// A chart of what drills take off, by drill and depth
        chart: bool [help_heading = OTHERS];
        /// The depths of the chart
        depths: Option<NumberList> = weighed::lengths, "DEPTH,..." needs "chart" [help_heading = OTHERS];
    }

    /// What may be left.
    struct AllowedOptions {
        /// What may be left, where it is known: "836 g mm" or "1.2 oz in"
        allowed: Option<f64> = weighed::gram_millimetres, "UNBALANCE" excludes "grade" "mass" [help_heading = ALLOWED];
        /// The grade: 6.3 for flywheels and general machinery, and where it is left out
        grade: Option<f64> = weighed::plain, "G" needs "mass" [help_heading = ALLOWED];
        /// The mass of the rotor, with everything that turns with it: 25kg or 55lb
        mass: Option<f64> = weighed::kilograms, "MASS" [help_heading = ALLOWED];
        /// How fast the rotor turns at most, in revolutions per minute
        rpm: Option<Fraction> = values::forward_speed, "N" needs "mass" excludes "engine_rpm" [help_heading = ALLOWED];
        /// The part of the gearset that is balanced: its fastest speed over all states counts; of a job the only one that was
        /// weighed where it is left out
        part: Option<String> = values::name, "NAME" [requires = "described", help_heading = ALLOWED];
        /// How fast the input of the gearset turns at most, in revolutions per minute
        engine_rpm: Option<Fraction> = values::forward_speed, "N" needs "mass" [requires = "described", help_heading = ALLOWED];
        /// How far the centre of mass is from each of two bearings, by which two planes share: "1500, 900"
        from_bearings: Option<[f64; 2]> = weighed::two_places, "LENGTH,LENGTH" needs "mass" [help_heading = ALLOWED];
        /// How wide the rotor is along its axis, which says whether one plane is enough
        width: Option<Length> = values::length, "LENGTH" needs "diameter" [help_heading = ALLOWED];
        /// How large the rotor is across: holes into its face keep the wall from that edge
        diameter: Option<Length> = values::length, "LENGTH" [help_heading = ALLOWED];
    }

    /// What was found.
    struct FoundOnRotor {
        /// The side from which angles are counted, counter-clockwise from the mark; needed as soon as there is an angle
        seen: Option<Side> = word::<Side>, "SEEN" [value_parser = crate::requests::words::<Side>(), help_heading = FOUND];
        /// Where the rotor is too heavy: "22 g at 95 mm at 100 deg", 0.8oz@3.75in@100deg, "2122 g mm at 100 deg"; of several
        /// the sum
        found: Vec<FoundWeight> = weighed::weight, "WEIGHT" excludes "reading" "trial" [help_heading = FOUND];
        /// A weight on the light side with which the rotor is in balance, such as putty: "22 g at 95 mm at 280 deg"
        balanced_by: Vec<FoundWeight> = weighed::weight, "WEIGHT" excludes "reading" "trial" [help_heading = FOUND];
        /// Where two planes stand along the axis, with "z 10 mm" behind each weight: "0, 60"
        planes: Option<[f64; 2]> = weighed::two_places, "LENGTH,LENGTH" excludes "reading" [help_heading = FOUND];
        /// What a machine reads as found, with its phase where it tells one: "0.36 at 18 deg", or 4.8; twice for two planes
        reading: Vec<PhaseAsTyped> = weighed::reading, "READING" needs "trial" [help_heading = FOUND];
        /// A run with a trial weight: "50 g at 95 mm at 180 deg = 0.26 at 121"; in two planes with both readings,
        /// "...=5.9@123;4.5@228", first plane 1, then plane 2; without phase one weight at 0, 120 and 240 degrees
        trial: Vec<TypedTrial> = weighed::trial, "WEIGHT=READING" needs "reading" [help_heading = FOUND];
        /// What weights are good to (0.5 g where it is left out)
        weight_within: Option<f64> = weighed::one_in_grams, "WEIGHT" [help_heading = FOUND];
        /// What the radii of weights are good to (1 mm)
        radius_within: Option<Length> = values::length, "LENGTH" [help_heading = FOUND];
        /// What angles and phases are good to (2 degrees)
        angle_within: Option<f64> = weighed::angle, "DEGREES" [help_heading = FOUND];
        /// What readings of a machine are good to, in their own unit (3 per cent of that as found)
        reading_within: Option<f64> = weighed::plain, "NUMBER" [help_heading = FOUND];
    }

    /// Where it may be corrected.
    struct DrillingOptions {
        /// Where the rotor may be drilled, or weights put on: 12@95mm round the axis, 12@95mm@15deg with the first at 15
        /// degrees, or "0, 30, 90" with --radius
        places: Option<TypedPlaces> = weighed::places, "PLACES" [help_heading = DRILLING];
        /// How far the places are from the axis
        radius: Option<Length> = values::length, "LENGTH" needs "places" [help_heading = DRILLING];
        /// The drills at hand: 6,8,10,12; without any, weights are put on
        drills: Option<NumberList> = weighed::lengths, "DIAMETER,..." [help_heading = DRILLING];
        /// How thick the metal is along the drill
        thickness: Option<Length> = values::length, "LENGTH" needs "places" [help_heading = DRILLING];
        /// How much is to be left behind the point and beside a hole: your limit, which nothing here proves strong enough
        wall: Option<Length> = values::length, "LENGTH" needs "places" [help_heading = DRILLING];
        /// The radius where the rotor ends, which holes keep the wall from
        outer_radius: Option<Length> = values::length, "LENGTH" needs "places" [help_heading = DRILLING];
        /// Drill from the rim inward, not parallel to the axis
        radial: bool needs "places" [help_heading = DRILLING];
        /// What is drilled: "cast iron" (where it is left out), steel, bronze or aluminium
        material: Option<DrilledMaterial> = weighed::material, "MATERIAL" excludes "density" [help_heading = DRILLING];
        /// The density of what is drilled, in g/cm3
        density: Option<f64> = weighed::plain, "NUMBER" [help_heading = DRILLING];
        /// Depths are multiples of this (1 mm where it is left out)
        depth_step: Option<Length> = values::length, "LENGTH" needs "places" [help_heading = DRILLING];
        /// No hole is shallower (3 mm where it is left out)
        least_depth: Option<Length> = values::length, "LENGTH" needs "places" [help_heading = DRILLING];
        /// A hole that is there already, after which was read what is asked with: "90deg 12mm x 12"; it may be deepened
        drilled: Vec<DrilledHole> = weighed::hole, "HOLE" needs "places" [help_heading = DRILLING];
    }
}

impl Question for BalanceOptions {
    type Answer = RotorBalance;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, RotorBalance), NoAnswer> {
        let rotor = Rotor::of(self, about)?;
        let question = question(&rotor, self)?;
        let told = bench::balance(&question).map_err(|reason| NoAnswer::new(&reason, reason.hint()))?;
        Ok((rotor.set, told))
    }
}

impl BalanceOptions {
    /// Whether two planes are asked about.
    pub fn has_two_planes(&self) -> bool {
        self.found.planes.is_some() || self.found.reading.len() > 1
    }
}

/// What is balanced.
struct Rotor {
    /// The gearset of which it is a part, or one of which only a title is known.
    set: Gearset,
    /// The part, where it is named or the record has only one.
    part: Option<String>,
    /// What the record of a job knows of it.
    recorded: Option<RecordedBalance>,
    /// Whether there is a record at all.
    is_of_job: bool,
}

impl Rotor {
    fn of(options: &BalanceOptions, about: &AskedAbout<'_>) -> Result<Self, NoAnswer> {
        let part = options.allowed.part.clone();
        let Some(GearsetOrJob { set, job }) = about.gearset_or_job()? else {
            let title = match () {
                () if options.chart && options.found.is_empty() => "What drills take off",
                () if options.clusters.is_some() && options.found.is_empty() => "Planets of unequal weight",
                () => "A rotor to be balanced",
            };
            return Ok(Self { set: titled(title), part, recorded: None, is_of_job: false });
        };
        let Some(job) = job else {
            if part.is_none() || options.allowed.engine_rpm.is_none() {
                let hint = "add --part and --engine-rpm; without a description --rpm says how fast it turns";
                return Err(NoAnswer::new("it is not said which part is balanced, or how fast the input turns", hint));
            }
            return Ok(Self { set, part, recorded: None, is_of_job: false });
        };
        let weighed: Vec<&str> = job.balanced_members().collect();
        let part = match (part, &weighed[..]) {
            (None, [only]) => Some((*only).to_owned()),
            (None, [_, ..]) => {
                let hint = format!("add --part; those that are weighed are {}", weighed.join(", "));
                return Err(NoAnswer::new("it is not said which part is balanced", hint));
            }
            (part, _) => part,
        };
        let member = part.as_deref().map(|part| lookups::moving_member(&set, part)).transpose()?;
        let recorded = member.and_then(|member| job.balance(set.member(member).name()));
        Ok(Self { set, part, recorded, is_of_job: true })
    }

    /// What the record says of what was found, where nothing newer is typed.
    fn recorded_unbalance(&self) -> Result<Option<FoundBy>, Refusal> {
        if !self.is_of_job {
            return Ok(None);
        }
        // Any part serves as an example where none was weighed.
        let mut turning = self.set.members().iter().filter(|member| *member.place() == Place::MainAxis);
        let example = turning.next().map_or("flywheel", |member| member.name());
        let part = self.part.as_deref().unwrap_or(example);
        let path = format!("balance.{part}");
        let enter = format!("enter it, toothmark job set FILE \"{path}.left=17 at 100 deg\", or add --found");
        let Some(recorded) = &self.recorded else {
            return Err(Refusal::new(format!("the job has no reading of {path}"), enter));
        };
        if recorded.read_g_mm.is_none() {
            return Err(Refusal::new(format!("{path} is not read yet"), enter));
        }
        if recorded.drilled_since {
            return Err(Refusal::new(format!("{path} was read before the holes of hole.{part} were drilled"), enter));
        }
        if recorded.degrees.is_none() {
            return Err(Refusal::new(format!("{path} was read without the angle where it is too heavy"), enter));
        }
        Ok(recorded.question().found)
    }
}

fn question(rotor: &Rotor, options: &BalanceOptions) -> Result<BalanceQuestion, Refusal> {
    let BalanceOptions { allowed, found, drilling, clusters, pin_radius, .. } = options;
    let chart = options.chart.then(|| ChartQuestion {
        material: drilling.material(),
        drills: drilling.drills.clone().unwrap_or_default(),
        depths: options.depths.clone().unwrap_or_default(),
    });
    let clusters = clusters.clone().zip(pin_radius.as_ref());
    let is_of_others = chart.is_some() || clusters.is_some();
    let typed = found.found()?;
    let found_by = if typed.is_some() || is_of_others { typed } else { rotor.recorded_unbalance()? };
    let recorded = rotor.recorded.as_ref();
    let recorded_allowance = recorded.filter(|_| !is_of_others).and_then(|recorded| recorded.allowed_g_mm);
    let holes = recorded.map(|recorded| &recorded.holes[..]).unwrap_or_default();
    Ok(BalanceQuestion {
        // What is typed now is newer than the record.
        allowance: allowed.allowance(rotor)?.or(recorded_allowance.map(Allowance::GramMillimetres)),
        seen_from: found.seen.or_else(|| recorded.map(|recorded| recorded.seen_from)),
        found: found_by,
        good_to: found.good_to(),
        correction: drilling.correction(holes)?,
        size: allowed.size(),
        clusters: clusters.map(|(grams, radius)| ClusterWeights { grams, pin_radius: radius.millimetres() }),
        chart,
    })
}

impl AllowedOptions {
    fn allowance(&self, rotor: &Rotor) -> Result<Option<Allowance>, Refusal> {
        let Some(kilograms) = self.mass else { return Ok(self.allowed.map(Allowance::GramMillimetres)) };
        let speed = self.fastest(rotor)?;
        let rpm = speed.as_ref().map(|speed| speed.rpm).or_else(|| self.rpm.as_ref().map(to_float));
        let rpm = rpm.ok_or_else(|| {
            let hint = "add --rpm 1800, the fastest that it turns; or name a description with --part and --engine-rpm";
            Refusal::new("it is not said how fast the rotor turns", hint)
        })?;
        let (grade, from_bearings) = (self.grade.unwrap_or(USUAL_GRADE), self.from_bearings);
        Ok(Some(Allowance::Grade { grade, kilograms, rpm, speed, from_bearings }))
    }

    /// The fastest speed of a part, where one is named.
    fn fastest(&self, rotor: &Rotor) -> Result<Option<FastestSpeed>, Refusal> {
        let Some((part, engine_rpm)) = rotor.part.as_deref().zip(self.engine_rpm.as_ref()) else { return Ok(None) };
        let member = lookups::moving_member(&rotor.set, part)?;
        let speed = bench::fastest_speed(&rotor.set, member, engine_rpm).ok_or_else(|| {
            let hint = "say how fast it turns with --rpm, and leave the description out";
            Refusal::new(format!("no state of the description says how fast {part:?} turns"), hint)
        })?;
        Ok(Some(speed))
    }

    fn size(&self) -> Option<RotorSize> {
        let diameter = self.diameter.as_ref()?.millimetres();
        Some(RotorSize { width: self.width.as_ref().map(Length::millimetres), diameter })
    }
}

impl FoundOnRotor {
    /// Whether nothing is told of what was found.
    fn is_empty(&self) -> bool {
        self.found.is_empty() && self.balanced_by.is_empty() && self.reading.is_empty()
    }

    fn found(&self) -> Result<Option<FoundBy>, Refusal> {
        if self.is_empty() {
            return Ok(None);
        }
        if self.reading.is_empty() {
            let balancing = |weight: &FoundWeight| FoundWeight { sense: WeightSense::Balancing, ..*weight };
            let weights = self.found.iter().copied().chain(self.balanced_by.iter().map(balancing)).collect();
            return Ok(Some(FoundBy::Weights { weights, planes: self.planes }));
        }
        let phases: Option<Vec<_>> = self.reading.iter().map(|reading| reading.phase()).collect();
        let trials: Option<Vec<TrialWithPhase>> = self.trial.iter().map(with_phase).collect();
        if let Some((as_found, trials)) = phases.zip(trials) {
            return Ok(Some(FoundBy::Phases { as_found, trials }));
        }
        let runs: Option<Vec<TrialRun>> = self.trial.iter().map(without_phase).collect();
        match (&self.reading[..], runs) {
            ([PhaseAsTyped { amount, degrees: None }], Some(trials)) => {
                Ok(Some(FoundBy::Runs { as_found: *amount, trials }))
            }
            _ => Err(Refusal::new(
                "some readings have a phase, and others have none",
                "give every reading its phase, \"0.36 at 18 deg\", or none; without phase there is one reading a run",
            )),
        }
    }

    fn good_to(&self) -> ReadingsGoodTo {
        ReadingsGoodTo {
            grams: self.weight_within,
            radius: self.radius_within.as_ref().map(Length::millimetres),
            degrees: self.angle_within,
            reading: self.reading_within,
        }
    }
}

fn with_phase(trial: &TypedTrial) -> Option<TrialWithPhase> {
    let readings: Option<Vec<_>> = trial.readings.iter().map(|reading| reading.phase()).collect();
    Some(TrialWithPhase { weight: trial.weight, degrees: trial.degrees, readings: readings? })
}

fn without_phase(trial: &TypedTrial) -> Option<TrialRun> {
    let [PhaseAsTyped { amount, degrees: None }] = trial.readings[..] else { return None };
    Some(TrialRun { weight: trial.weight, degrees: trial.degrees, reading: amount })
}

impl DrillingOptions {
    /// Where and how to correct; holes of a record count where none are typed.
    fn correction(&self, recorded: &[DrilledHole]) -> Result<Option<Correction>, Refusal> {
        let Some(places) = &self.places else { return Ok(None) };
        let places = places.places(self.radius.as_ref().map(Length::millimetres))?;
        let drilled = if self.drilled.is_empty() { recorded } else { &self.drilled };
        let is_drilled = self.drills.is_some() || !drilled.is_empty();
        let drilling = is_drilled.then(|| self.drilling(drilled)).transpose()?;
        Ok(Some(Correction { places, drilling }))
    }

    fn drilling(&self, drilled: &[DrilledHole]) -> Result<Drilling, Refusal> {
        let (thickness, wall) = self.thickness.as_ref().zip(self.wall.as_ref()).ok_or_else(|| {
            let hint =
                "add --thickness 26mm, measured along the drill, and --wall 4mm, what is to be left behind the point";
            Refusal::new("it is not said how deep may be drilled", hint)
        })?;
        let usual = Drilling::default();
        let or_usual = |length: &Option<Length>, usual: f64| length.as_ref().map_or(usual, Length::millimetres);
        Ok(Drilling {
            direction: if self.radial { HoleDirection::Radial } else { HoleDirection::Axial },
            drills: self.drills.clone().unwrap_or_default(),
            material: self.material(),
            thickness: thickness.millimetres(),
            wall: wall.millimetres(),
            outer_radius: self.outer_radius.as_ref().map(Length::millimetres),
            depth_step: or_usual(&self.depth_step, usual.depth_step),
            least_depth: or_usual(&self.least_depth, usual.least_depth),
            drilled: drilled.to_vec(),
        })
    }

    fn material(&self) -> DrilledMaterial {
        self.density.map(DrilledMaterial::OfDensity).or(self.material).unwrap_or_default()
    }
}
