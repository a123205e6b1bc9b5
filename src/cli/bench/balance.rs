//! `toothmark bench balance`: what to drill off a rotor, by what may be left and what was found.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use toothmark::bench::{
    self, Allowance, BalanceQuestion, ChartQuestion, ClusterWeights, Correction, DrilledHole, DrilledMaterial,
    Drilling, FastestSpeed, FoundBy, FoundWeight, HoleDirection, ReadingsGoodTo, RotorSize, TrialRun, TrialWithPhase,
    USUAL_GRADE, WeightSense,
};
use toothmark::drawing::rotor_pictures;
use toothmark::exact::{Fraction, to_float};
use toothmark::gearset::{Gearset, Length, Place, Side};
use toothmark::job::RecordedBalance;

use super::BenchSource;
use super::weighed::{self, PhaseAsTyped, TypedPlaces, TypedTrial};
use crate::cli::common::AnswerForm;
use crate::cli::completed_names;
use crate::cli::draw::PaperArgument;
use crate::cli::exit::Exit;
use crate::cli::lookups;
use crate::cli::output::{answer, eprint_notes};
use crate::cli::place::{ForceArgument, OutputPlaces};
use crate::cli::source::titled;
use crate::cli::trouble::{Refusal, Trouble};
use crate::cli::values;

#[derive(Debug, Args)]
pub(super) struct BalanceArguments {
    /// A description (RON), or a built-in gearset by its name, whose states say how fast the part turns, without it --rpm
    /// does; or a job, whose record says what may be left, what was read last and which holes are drilled
    #[arg(add = completed_names::descriptions(), value_name = "FILE")]
    file: Option<PathBuf>,
    #[command(flatten)]
    allowed: AllowedArguments,
    #[command(flatten)]
    found: FoundOnRotor,
    #[command(flatten)]
    drilling: DrillingArguments,
    /// The weights of planets that are not equally heavy, in grams: which goes on which pin?
    #[arg(long, value_name = "GRAMS,...", value_parser = weighed::grams, allow_hyphen_values = true, requires = "pin_radius", help_heading = OTHERS)]
    clusters: Option<NumberList>,
    /// The radius of the pin circle
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "clusters", help_heading = OTHERS)]
    pin_radius: Option<Length>,
    /// A chart of what drills take off, by drill and depth
    #[arg(long, help_heading = OTHERS)]
    chart: bool,
    /// The depths of the chart
    #[arg(long, value_name = "DEPTH,...", value_parser = weighed::lengths, allow_hyphen_values = true, requires = "chart", help_heading = OTHERS)]
    depths: Option<NumberList>,
    /// A picture of the rotor with its heavy spot and the holes, seen from the side named, 1:1 where it fits the paper; of
    /// two planes a second file beside it
    #[arg(long, value_name = "FILE.svg", help_heading = PICTURE)]
    picture: Option<PathBuf>,
    /// The paper of the picture
    #[arg(long, value_enum, default_value_t, help_heading = PICTURE)]
    paper: PaperArgument,
    #[command(flatten)]
    force: ForceArgument,
    #[command(flatten)]
    form: AnswerForm,
}

/// Several numbers of one argument.
type NumberList = Vec<f64>;

const ALLOWED: &str = "What may be left";
const FOUND: &str = "What was found";
const DRILLING: &str = "Where it may be corrected";
const PICTURE: &str = "A picture";
const OTHERS: &str = "Planets of unequal weight, and the chart";

#[derive(Debug, Args)]
struct AllowedArguments {
    /// What may be left, where it is known: "836 g mm" or "1.2 oz in"
    #[arg(long, value_name = "UNBALANCE", value_parser = weighed::gram_millimetres, allow_hyphen_values = true, conflicts_with_all = ["grade", "mass"], help_heading = ALLOWED)]
    allowed: Option<f64>,
    /// The grade: 6.3 for flywheels and general machinery, and where it is left out
    #[arg(long, value_name = "G", value_parser = weighed::plain, allow_hyphen_values = true, requires = "mass", help_heading = ALLOWED)]
    grade: Option<f64>,
    /// The mass of the rotor, with everything that turns with it: 25kg or 55lb
    #[arg(long, value_name = "MASS", value_parser = weighed::kilograms, allow_hyphen_values = true, help_heading = ALLOWED)]
    mass: Option<f64>,
    /// How fast the rotor turns at most, in revolutions per minute
    #[arg(long, value_name = "N", value_parser = values::forward_speed, allow_hyphen_values = true, requires = "mass", conflicts_with = "engine_rpm", help_heading = ALLOWED)]
    rpm: Option<Fraction>,
    /// The part of the gearset that is balanced: its fastest speed over all states counts; of a job the only one that was
    /// weighed where it is left out
    #[arg(add = completed_names::members(), long, value_name = "NAME", requires = "file", help_heading = ALLOWED)]
    part: Option<String>,
    /// How fast the input of the gearset turns at most, in revolutions per minute
    #[arg(long, value_name = "N", value_parser = values::forward_speed, allow_hyphen_values = true, requires_all = ["file", "mass"], help_heading = ALLOWED)]
    engine_rpm: Option<Fraction>,
    /// How far the centre of mass is from each of two bearings, by which two planes share: "1500, 900"
    #[arg(long, value_name = "LENGTH,LENGTH", value_parser = weighed::two_places, allow_hyphen_values = true, requires = "mass", help_heading = ALLOWED)]
    from_bearings: Option<[f64; 2]>,
    /// How wide the rotor is along its axis, which says whether one plane is enough
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "diameter", help_heading = ALLOWED)]
    width: Option<Length>,
    /// How large the rotor is across: holes into its face keep the wall from that edge
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, help_heading = ALLOWED)]
    diameter: Option<Length>,
}

#[derive(Debug, Args)]
struct FoundOnRotor {
    /// The side from which angles are counted, counter-clockwise from the mark; needed as soon as there is an angle
    #[arg(long, value_enum, help_heading = FOUND)]
    seen: Option<SeenSide>,
    /// Where the rotor is too heavy: "22 g at 95 mm at 100 deg", 0.8oz@3.75in@100deg, "2122 g mm at 100 deg"; of several
    /// the sum
    #[arg(long, value_name = "WEIGHT", value_parser = weighed::weight, allow_hyphen_values = true, conflicts_with_all = ["reading", "trial"], help_heading = FOUND)]
    found: Vec<FoundWeight>,
    /// A weight on the light side with which the rotor is in balance, such as putty: "22 g at 95 mm at 280 deg"
    #[arg(long, value_name = "WEIGHT", value_parser = weighed::weight, allow_hyphen_values = true, conflicts_with_all = ["reading", "trial"], help_heading = FOUND)]
    balanced_by: Vec<FoundWeight>,
    /// Where two planes stand along the axis, with "z 10 mm" behind each weight: "0, 60"
    #[arg(long, value_name = "LENGTH,LENGTH", value_parser = weighed::two_places, allow_hyphen_values = true, conflicts_with = "reading", help_heading = FOUND)]
    planes: Option<[f64; 2]>,
    /// What a machine reads as found, with its phase where it tells one: "0.36 at 18 deg", or 4.8; twice for two planes
    #[arg(long, value_name = "READING", value_parser = weighed::reading, allow_hyphen_values = true, requires = "trial", help_heading = FOUND)]
    reading: Vec<PhaseAsTyped>,
    /// A run with a trial weight: "50 g at 95 mm at 180 deg = 0.26 at 121"; in two planes with both readings,
    /// "...=5.9@123;4.5@228", first plane 1, then plane 2; without phase one weight at 0, 120 and 240 degrees
    #[arg(long, value_name = "WEIGHT=READING", value_parser = weighed::trial, allow_hyphen_values = true, requires = "reading", help_heading = FOUND)]
    trial: Vec<TypedTrial>,
    /// What weights are good to (0.5 g where it is left out)
    #[arg(long, value_name = "WEIGHT", value_parser = weighed::one_in_grams, allow_hyphen_values = true, help_heading = FOUND)]
    weight_within: Option<f64>,
    /// What the radii of weights are good to (1 mm)
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, help_heading = FOUND)]
    radius_within: Option<Length>,
    /// What angles and phases are good to (2 degrees)
    #[arg(long, value_name = "DEGREES", value_parser = weighed::angle, allow_hyphen_values = true, help_heading = FOUND)]
    angle_within: Option<f64>,
    /// What readings of a machine are good to, in their own unit (3 per cent of that as found)
    #[arg(long, value_name = "NUMBER", value_parser = weighed::plain, allow_hyphen_values = true, help_heading = FOUND)]
    reading_within: Option<f64>,
}

#[derive(Debug, Args)]
struct DrillingArguments {
    /// Where the rotor may be drilled, or weights put on: 12@95mm round the axis, 12@95mm@15deg with the first at 15
    /// degrees, or "0, 30, 90" with --radius
    #[arg(long, value_name = "PLACES", value_parser = weighed::places, allow_hyphen_values = true, help_heading = DRILLING)]
    places: Option<TypedPlaces>,
    /// How far the places are from the axis
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "places", help_heading = DRILLING)]
    radius: Option<Length>,
    /// The drills at hand: 6,8,10,12; without any, weights are put on
    #[arg(long, value_name = "DIAMETER,...", value_parser = weighed::lengths, allow_hyphen_values = true, help_heading = DRILLING)]
    drills: Option<NumberList>,
    /// How thick the metal is along the drill
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "places", help_heading = DRILLING)]
    thickness: Option<Length>,
    /// How much is to be left behind the point and beside a hole: your limit, which nothing here proves strong enough
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "places", help_heading = DRILLING)]
    wall: Option<Length>,
    /// The radius where the rotor ends, which holes keep the wall from
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "places", help_heading = DRILLING)]
    outer_radius: Option<Length>,
    /// Drill from the rim inward, not parallel to the axis
    #[arg(long, requires = "places", help_heading = DRILLING)]
    radial: bool,
    /// What is drilled: "cast iron" (where it is left out), steel, bronze or aluminium
    #[arg(long, value_name = "MATERIAL", value_parser = weighed::material, conflicts_with = "density", help_heading = DRILLING)]
    material: Option<DrilledMaterial>,
    /// The density of what is drilled, in g/cm3
    #[arg(long, value_name = "NUMBER", value_parser = weighed::plain, allow_hyphen_values = true, help_heading = DRILLING)]
    density: Option<f64>,
    /// Depths are multiples of this (1 mm where it is left out)
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "places", help_heading = DRILLING)]
    depth_step: Option<Length>,
    /// No hole is shallower (3 mm where it is left out)
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "places", help_heading = DRILLING)]
    least_depth: Option<Length>,
    /// A hole that is there already, after which was read what is asked with: "90deg 12mm x 12"; it may be deepened
    #[arg(long, value_name = "HOLE", value_parser = weighed::hole, allow_hyphen_values = true, requires = "places", help_heading = DRILLING)]
    drilled: Vec<DrilledHole>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SeenSide {
    /// From the input side
    Input,
    /// From the output side
    Output,
}

pub(super) fn balance(arguments: &BalanceArguments) -> Result<Exit, Trouble> {
    let mut places = OutputPlaces::new(arguments.force, arguments.file.as_deref());
    let paths = picture_paths(arguments);
    for path in &paths {
        places.check_file(path)?;
    }
    let rotor = Rotor::of(arguments)?;
    let question = question(&rotor, arguments)?;
    let set = rotor.set;
    let told = bench::balance(&question).map_err(|reason| Trouble::new(&reason, reason.hint()))?;
    if told.planes.is_empty() && arguments.picture.is_some() {
        let hint = "say what was found: --found \"22 g at 95 mm at 100 deg\" --seen input";
        return Err(Trouble::new("there is nothing to draw: nothing was found of a rotor", hint));
    }
    let exit = answer(&set, &told, arguments.form)?;
    for (path, picture) in paths.iter().zip(rotor_pictures(&told, set.title(), arguments.paper.paper())) {
        places.write(path, &picture)?;
        eprint_notes([format!("{} is written", path.display())]);
    }
    Ok(exit)
}

/// Where the picture of each plane goes: the second beside the first.
fn picture_paths(arguments: &BalanceArguments) -> Vec<PathBuf> {
    let has_two = arguments.found.planes.is_some() || arguments.found.reading.len() > 1;
    let of_path = |path: &PathBuf| {
        let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let second = has_two.then(|| path.with_file_name(format!("{stem}-plane-2.svg")));
        std::iter::once(path.clone()).chain(second).collect::<Vec<_>>()
    };
    arguments.picture.as_ref().map(of_path).unwrap_or_default()
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
    fn of(arguments: &BalanceArguments) -> Result<Self, Trouble> {
        let part = arguments.allowed.part.clone();
        let Some(file) = &arguments.file else {
            let title = match () {
                () if arguments.chart && arguments.found.is_empty() => "What drills take off",
                () if arguments.clusters.is_some() && arguments.found.is_empty() => "Planets of unequal weight",
                () => "A rotor to be balanced",
            };
            return Ok(Self { set: titled(title), part, recorded: None, is_of_job: false });
        };
        let BenchSource { set, job } = super::described(file)?;
        let Some(job) = job else {
            if part.is_none() || arguments.allowed.engine_rpm.is_none() {
                let hint = "add --part and --engine-rpm; without a description --rpm says how fast it turns";
                return Err(Trouble::new("it is not said which part is balanced, or how fast the input turns", hint));
            }
            return Ok(Self { set, part, recorded: None, is_of_job: false });
        };
        let weighed: Vec<&str> = job.balanced_members().collect();
        let part = match (part, &weighed[..]) {
            (None, [only]) => Some((*only).to_owned()),
            (None, [_, ..]) => {
                let hint = format!("add --part; those that are weighed are {}", weighed.join(", "));
                return Err(Trouble::new("it is not said which part is balanced", hint));
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

fn question(rotor: &Rotor, arguments: &BalanceArguments) -> Result<BalanceQuestion, Refusal> {
    let BalanceArguments { allowed, found, drilling, clusters, pin_radius, .. } = arguments;
    let chart = arguments.chart.then(|| ChartQuestion {
        material: drilling.material(),
        drills: drilling.drills.clone().unwrap_or_default(),
        depths: arguments.depths.clone().unwrap_or_default(),
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
        seen_from: found.seen.map(SeenSide::side).or_else(|| recorded.map(|recorded| recorded.seen_from)),
        found: found_by,
        good_to: found.good_to(),
        correction: drilling.correction(holes)?,
        size: allowed.size(),
        clusters: clusters.map(|(grams, radius)| ClusterWeights { grams, pin_radius: radius.millimetres() }),
        chart,
    })
}

impl SeenSide {
    fn side(self) -> Side {
        match self {
            Self::Input => Side::Input,
            Self::Output => Side::Output,
        }
    }
}

impl AllowedArguments {
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

impl DrillingArguments {
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
