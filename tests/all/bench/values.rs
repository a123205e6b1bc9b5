//! Do bushes, end float, clutches, bands and the free neutral come out as printed and as computed independently?
//!
//! `tests/bench_values.ron` holds each value with its source.

use std::f64::consts::TAU;

use serde::Deserialize;
use toothmark::bench::{
    BandQuestion, BandSetting, BandsQuestion, BushQuestion, BushesQuestion, ClutchQuestion, ClutchSetting,
    ElasticMaterial, EndFloat, ExactReading, FingersQuestion, FloatGap, FloatQuestion, HotBushFit, MeasuredDiameter,
    MeasuredGap, NeutralQuestion, PressedBush, PressedRings, SpringQuestion, SpringReading, bands, bush_fits, clutch,
    elastic, end_float, neutral,
};
use toothmark::exact::Fraction;
use toothmark::gearset::{Angle, BandSizes, BushMaterial, Force, Length, PlateSizes};
use toothmark::statics::plate_capacity;

use super::neutral::three_suns;
use crate::support::sets::exact;
use crate::support::values::{Asked, Origin, Told, ValueLedger, agree};

const LEDGER: ValueLedger = [(Origin::Seen, [0, 0, 0]), (Origin::Memory, [6, 4, 0]), (Origin::Computed, [84, 4, 0])];

/// Bush and housing by their materials, or by modulus in N/mm2 and Poisson's ratio.
#[derive(Debug, Clone, Copy, Deserialize)]
enum Material {
    Steel,
    CastIron,
    Bronze,
    Aluminium,
    Of(f64, f64),
}

/// A bush in its housing: diameters of bore, fit and housing, what both are made of, and the interference.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
struct Pressed {
    bore: f64,
    fit: f64,
    housing: f64,
    of: Material,
    into: Material,
    interference: f64,
}

/// A finished bore on a pin, in a bush that is pressed in, warmer by so many kelvin, the pin by so many more.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
struct Warm {
    bore: f64,
    pin: f64,
    kelvin: f64,
    pin_hotter: f64,
    of: Material,
    into: Material,
    interference: f64,
}

/// A gap with the washers at hand; in inches where it says so.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Gap {
    #[serde(default)]
    inches: bool,
    /// The float now; or the space and the parts in it.
    now: Vec<String>,
    wanted: (String, String),
    #[serde(default)]
    best: Option<String>,
    washers: Vec<String>,
    most: usize,
    /// What each reading is good to, space and parts first, then washers.
    #[serde(default)]
    within: Vec<String>,
}

/// Fingers: their gaps, the gap that is wanted, the pitch.
type Fingers = (Vec<f64>, f64, f64);

/// Faces, friction, pressure at the inside, inner and outer radius.
type Plates = (i64, f64, f64, f64, f64);

/// The suns of output, slow drum and reverse drum, and the gears of the cluster.
type Suns = ([i64; 3], [i64; 3]);

#[derive(Debug, Clone, Deserialize)]
enum Quantity {
    Pressure(Pressed),
    BoreCloses(Pressed),
    /// The part of the interference by which it closes.
    ClosingShare(Pressed),
    /// The bore before pressing that comes out as this one, by stiffness or as all of the interference.
    BoreBeforePressing(Pressed),
    BoreBeforePressingByRule(Pressed),
    HotClearance(Warm),
    HotInterference(Warm),
    DropInKelvin(Pressed),
    Stacks(Gap),
    /// The float with a choice, from 1, that has these washers.
    FloatOf(Gap, usize, Vec<String>),
    Missing(Gap),
    WorstCase(Gap),
    RootOfSquares(Gap),
    Turns(Fingers, usize),
    Flats(Fingers, usize),
    Spread(Fingers),
    /// Of a new spring: wire, coil, coils.
    SpringRate(f64, f64, f64),
    /// Two readings of a length and a force, and the length at which it works.
    SpringForce((f64, f64), (f64, f64), f64),
    /// So many discs in turn.
    Faces(usize),
    PlateTorque(Plates),
    /// In kilowatts at so many revolutions a minute.
    PlatePower(Plates, f64),
    /// Faces, friction, pressure, outer over inner radius, kilowatts, rpm: the inner radius, and the force on the plates.
    InnerRadius(i64, f64, f64, f64, f64, f64),
    PlateForce(i64, f64, f64, f64, f64, f64),
    /// Turns of the output with a drum on the case, or with two parts stuck together.
    Output(Suns, (String, String)),
    /// Turns of a drum with the output held.
    OutputHeld(Suns, String),
    BandTravel(f64, f64),
    /// Wrap, drum, gap, lining.
    LiningLength(f64, f64, f64, f64),
    /// Wrap, wear.
    WearTravel(f64, f64),
    /// Gap, run-out.
    LeastGap(f64, f64),
    MostGap(f64, f64),
    /// Wrap in degrees, friction.
    TensionRatio(f64, f64),
}

impl Asked for Quantity {
    fn told(&self) -> Option<Told> {
        self.of_a_bush()
            .or_else(|| self.of_a_clutch())
            .or_else(|| self.of_a_band())
            .map(Told::from)
            .or_else(|| self.exactly())
    }
}

#[expect(clippy::wildcard_enum_match_arm, reason = "each function knows the quantities of one kind")]
impl Quantity {
    fn of_a_bush(&self) -> Option<f64> {
        match self {
            Self::Pressure(pressed) => Some(pressed.rings().pressure(pressed.interference)),
            Self::BoreCloses(pressed) => Some(pressed.rings().closing_share() * pressed.interference),
            Self::ClosingShare(pressed) => Some(pressed.rings().closing_share()),
            Self::BoreBeforePressing(pressed) => {
                pressed.bore_before_pressing([pressed.of, pressed.into].map(|of| Some(of.named())))
            }
            Self::BoreBeforePressingByRule(pressed) => pressed.bore_before_pressing([None; 2]),
            Self::HotClearance(warm) => Some(warm.fit()?.clearance_mm),
            Self::HotInterference(warm) => warm.fit()?.interference_mm,
            Self::DropInKelvin(pressed) => Some(pressed.rings().drop_in_kelvin(pressed.interference)),
            Self::RootOfSquares(gap) => Some(gap.answer().stacks.first()?.root_of_squares),
            _ => None,
        }
    }

    fn of_a_clutch(&self) -> Option<f64> {
        match self {
            Self::Turns(fingers, at) => Some(set_fingers(fingers).fingers?.fingers.get(*at)?.turns?),
            Self::Flats(fingers, at) => Some(set_fingers(fingers).fingers?.fingers.get(*at)?.flats?),
            Self::Spread(fingers) => Some(set_fingers(fingers).fingers?.spread_mm),
            Self::SpringRate(wire, coil, coils) => {
                let sizes = SpringQuestion { wire_mm: Some(*wire), coil_mm: Some(*coil), ..spring_read(60.0, 45.0) };
                of_spring(SpringQuestion { coils: Some(*coils), ..sizes }).spring?.rate_of_new_newtons_per_mm
            }
            Self::SpringForce(first, second, working) => {
                let readings = [first, second].map(|&(mm, newtons)| SpringReading { mm, newtons });
                let question = SpringQuestion { readings, working_mm: Some(*working), ..SpringQuestion::default() };
                of_spring(question).spring?.working_force_newtons
            }
            Self::PlateTorque(plates) => carried(*plates),
            Self::PlatePower(plates, rpm) => Some(carried(*plates)? * TAU * rpm / 60_000.0),
            Self::InnerRadius(faces, friction, pressure, ratio, kilowatts, rpm) => {
                inner_radius((*faces, *friction, *pressure), *ratio, kilowatts * 60_000.0 / (TAU * rpm))
            }
            Self::PlateForce(faces, friction, pressure, ratio, kilowatts, rpm) => {
                let inner = inner_radius((*faces, *friction, *pressure), *ratio, kilowatts * 60_000.0 / (TAU * rpm))?;
                Some(force_of_wear(*pressure, inner, ratio * inner))
            }
            _ => None,
        }
    }

    fn of_a_band(&self) -> Option<f64> {
        let nothing = BandQuestion::default;
        match self {
            Self::BandTravel(wrap, gap) => set_band(*wrap, BandQuestion { gap_mm: Some(*gap), ..nothing() }).travel_mm,
            Self::LiningLength(wrap, drum, gap, lining) => {
                let sizes = BandSizes { radius: Some(millimetres(drum / 2.0).into()), ..BandSizes::default() };
                let band = BandQuestion { sizes, gap_mm: Some(*gap), lining_mm: Some(*lining), ..nothing() };
                set_band(*wrap, band).lining_length_mm
            }
            Self::WearTravel(wrap, wear) => {
                set_band(*wrap, BandQuestion { wear_mm: Some(*wear), ..nothing() }).wear_travel_mm
            }
            Self::LeastGap(gap, run_out) => Some(gap_round(*gap, *run_out)?[0]),
            Self::MostGap(gap, run_out) => Some(gap_round(*gap, *run_out)?[1]),
            Self::TensionRatio(wrap, friction) => {
                let sizes = BandSizes { friction: Some(number(*friction).into()), ..BandSizes::default() };
                set_band(*wrap, BandQuestion { sizes, ..nothing() }).tension_ratio
            }
            _ => None,
        }
    }

    fn exactly(&self) -> Option<Told> {
        let count = |count: usize| Some(Told::Exactly(Fraction::from_integer(count.into())));
        match self {
            Self::Stacks(gap) => count(usize::try_from(gap.answer().choices?).ok()?),
            Self::FloatOf(gap, choice, washers) => {
                let answer = gap.answer();
                let stack = answer.of_choice(*choice).next()?.clone();
                let wanted: Vec<Fraction> = washers.iter().map(|washer| exact("a washer", washer)).collect();
                assert_eq!(stack.washers, wanted, "choice {choice} of {gap:?}");
                Some(stack.float.into())
            }
            Self::Missing(gap) => gap.answer().missing.map(Told::from),
            Self::WorstCase(gap) => {
                let stack = gap.answer().stacks.first()?.clone();
                let [_, most] = stack.float_worst_case;
                Some((most - stack.float).into())
            }
            Self::Faces(discs) => {
                let pack = (0..*discs).map(|at| ["steel", "lined"][at % 2].to_owned()).collect();
                count(set_clutch(&ClutchQuestion { pack, ..ClutchQuestion::default() }).pack?.faces)
            }
            Self::Output((suns, cluster), (first, second)) => {
                let set = three_suns(*suns, *cluster);
                let test = neutral(&set, &NeutralQuestion::default()).expect("there is a neutral");
                let stuck = [first, second].map(|name| set.member_named(name).expect("a member"));
                let row = test.rows.iter().find(|row| stuck.iter().all(|member| row.stuck.contains(member)));
                row?.output.clone().map(Told::from)
            }
            Self::OutputHeld((suns, cluster), drum) => {
                let set = three_suns(*suns, *cluster);
                let test = neutral(&set, &NeutralQuestion::default()).expect("there is a neutral");
                let found = test.output_held.iter().find(|found| set.member(found.member).name() == drum)?;
                found.speed.clone().map(Told::from)
            }
            _ => None,
        }
    }
}

impl Material {
    fn elastic(self) -> ElasticMaterial {
        match self {
            Self::Of(modulus, poisson) => ElasticMaterial { modulus, poisson, expansion_per_kelvin: 0.0 },
            Self::Steel | Self::CastIron | Self::Bronze | Self::Aluminium => elastic(self.named()),
        }
    }

    fn named(self) -> BushMaterial {
        match self {
            Self::Steel => BushMaterial::Steel,
            Self::CastIron => BushMaterial::CastIron,
            Self::Bronze => BushMaterial::Bronze,
            Self::Aluminium => BushMaterial::Aluminium,
            Self::Of(..) => panic!("it is asked for a material with a name"),
        }
    }
}

impl Pressed {
    fn rings(&self) -> PressedRings {
        let Self { bore, fit, housing, of, into, .. } = *self;
        PressedRings { bore, fit, housing, bush: of.elastic(), into: into.elastic() }
    }

    /// Of a bore that is wanted to come out as this one, on a shaft that is as thick.
    fn bore_before_pressing(&self, materials: [Option<BushMaterial>; 2]) -> Option<f64> {
        let [of, into] = materials;
        let pressed = PressedBush {
            outside_mm: self.fit,
            interference_mm: self.interference,
            housing_mm: self.housing,
            of,
            into,
        };
        let bush = BushQuestion { allowed_mm: Some([0.0, 0.0]), pressed: Some(pressed), ..bush(self.bore, self.bore) };
        fitted(bush, None, 0.0).bushes[0].pressed.as_ref()?.bore_before_pressing_mm
    }
}

impl Warm {
    fn fit(&self) -> Option<HotBushFit> {
        let pressed = PressedBush {
            outside_mm: 20.0,
            interference_mm: self.interference,
            housing_mm: 40.0,
            of: Some(self.of.named()),
            into: Some(self.into.named()),
        };
        let bush = BushQuestion { pressed: Some(pressed), ..bush(self.bore, self.pin) };
        fitted(bush, Some(self.kelvin), self.pin_hotter).bushes[0].hot.last().copied()
    }
}

fn bush(bore: f64, shaft: f64) -> BushQuestion {
    let measured = |mm| vec![MeasuredDiameter { mm, across_mm: None }];
    BushQuestion { name: "pin 2".into(), bore: measured(bore), shaft: measured(shaft), ..BushQuestion::default() }
}

fn fitted(bush: BushQuestion, hot_kelvin: Option<f64>, shaft_hotter_kelvin: f64) -> toothmark::bench::BushFits {
    let question = BushesQuestion { bushes: vec![bush], hot_kelvin, shaft_hotter_kelvin };
    bush_fits(&question).unwrap_or_else(|reasons| panic!("{reasons:?}"))
}

impl Gap {
    fn answer(&self) -> EndFloat {
        let unit = if self.inches { Length::Inches } else { Length::Millimetres };
        let length = |text: &String| unit(exact("a length", text));
        let mut within = self.within.iter().map(length);
        let mut read = |text: &String| ExactReading { length: length(text), within: within.next() };
        let mut readings: Vec<ExactReading> = self.now.iter().map(&mut read).collect();
        let washers = self.washers.iter().map(read).collect();
        let parts = readings.split_off(1);
        let first = readings.remove(0);
        let measured =
            if parts.is_empty() { MeasuredGap::Float(first) } else { MeasuredGap::Space { space: first, parts } };
        let (least, most) = &self.wanted;
        let best = self.best.as_ref().map(length);
        let gap = FloatGap { name: None, measured, wanted: [length(least), length(most)], best };
        let question = FloatQuestion { gaps: vec![gap], washers, most: Some(self.most) };
        end_float(&question).unwrap_or_else(|reasons| panic!("{reasons:?}"))
    }
}

fn set_clutch(question: &ClutchQuestion) -> ClutchSetting {
    clutch(None, question).unwrap_or_else(|reasons| panic!("{reasons:?}"))
}

fn set_fingers((gaps, wanted, pitch): &Fingers) -> ClutchSetting {
    let fingers = FingersQuestion {
        names: Vec::new(),
        gaps_mm: gaps.clone(),
        wanted_mm: Some(*wanted),
        pitch_mm: Some(*pitch),
        lever: None,
        within_mm: None,
    };
    set_clutch(&ClutchQuestion { fingers: Some(fingers), ..ClutchQuestion::default() })
}

fn spring_read(long: f64, short: f64) -> SpringQuestion {
    let readings = [(long, 900.0), (short, 1800.0)].map(|(mm, newtons)| SpringReading { mm, newtons });
    SpringQuestion { readings, ..SpringQuestion::default() }
}

fn of_spring(spring: SpringQuestion) -> ClutchSetting {
    set_clutch(&ClutchQuestion { spring: Some(spring), ..ClutchQuestion::default() })
}

/// The force of uniform wear, `2 pi p r (R - r)`, the pressure being that at the inside.
fn force_of_wear(pressure: f64, inner: f64, outer: f64) -> f64 {
    TAU * pressure * inner * (outer - inner)
}

/// What plates carry that are worn in.
fn carried((faces, friction, pressure, inner, outer): Plates) -> Option<f64> {
    let sizes = PlateSizes {
        faces: Some(Fraction::from_integer(faces.into()).into()),
        friction: Some(number(friction).into()),
        outer_radius: Some(millimetres(outer).into()),
        inner_radius: Some(millimetres(inner).into()),
        force: Some(Force::Newtons(number(force_of_wear(pressure, inner, outer))).into()),
    };
    Some(plate_capacity(&sizes)?.uniform_wear)
}

/// The inner radius at which plates carry this torque, which grows with its cube.
fn inner_radius((faces, friction, pressure): (i64, f64, f64), ratio: f64, newton_metres: f64) -> Option<f64> {
    Some((newton_metres / carried((faces, friction, pressure, 1.0, ratio))?).cbrt())
}

fn set_band(wrap: f64, band: BandQuestion) -> BandSetting {
    let sizes = BandSizes { wrap: Some(Angle::Degrees(number(wrap)).into()), ..band.sizes };
    let band = BandQuestion { name: "low band".into(), sizes, ..band };
    let question = BandsQuestion { bands: vec![band], torque: None };
    bands(None, &question).unwrap_or_else(|reasons| panic!("{reasons:?}")).bands.remove(0)
}

fn gap_round(gap: f64, run_out: f64) -> Option<[f64; 2]> {
    let band = BandQuestion { gap_mm: Some(gap), run_out_mm: Some(run_out), ..BandQuestion::default() };
    set_band(330.0, band).gap_round_mm
}

fn number(value: f64) -> Fraction {
    Fraction::from_float(value).expect("it is finite")
}

fn millimetres(value: f64) -> Length {
    Length::Millimetres(number(value))
}

#[test]
fn what_is_told_on_the_bench_is_as_printed_and_as_computed() {
    agree::<Quantity>("tests/bench_values.ron", LEDGER);
}
