//! Does the library agree with what is printed elsewhere?
//!
//! Each file of `tests/published/` is one source with its cases. Every value stands there as
//! printed and as the exact fraction that the described gearset has: the library meets the fraction
//! exactly, and the fraction lies within half a unit of the last printed digit, or within a wider
//! tolerance whose cause is given and without which it would not do. A value that is wrong in its
//! source is a check of its own kind, which fails if the library comes to agree with it. A case
//! that its source does not hold, but that follows from it, calls itself derived.

use std::collections::BTreeSet;

use num_traits::Signed;
use serde::Deserialize;
use toothmark::exact::{Fraction, fraction, nearest_zero};
use toothmark::gearset::{Efficiency, Gearset};
use toothmark::kinematics::{StateMotion, motions};
use toothmark::statics::{LoadOptions, MeshLoad, PowerFlow, TorqueUnit, loads, losses, mesh_force};

use crate::kinematics::lesson::lines_are_true;
use crate::support::sets::{
    exact, file_stems, last_digit, member_motion, motion, read_ron, read_set, timing_of, timing_with_pins,
};

/// What there is to check; it only grows.
const LEDGER: Ledger = Ledger { sources: 20, cases: 60, checks: 156, wrong_as_printed: 12 };

/// The origins that a case can have.
const ORIGINS: [&str; 4] = ["published, seen", "listing of the book's example", "memory", "derived here"];

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Ledger {
    sources: usize,
    cases: usize,
    checks: usize,
    wrong_as_printed: usize,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Source {
    citation: String,
    cases: Vec<Case>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    /// Unique over all sources.
    id: String,
    /// Where in the source.
    place: String,
    /// How the values came here.
    origin: String,
    /// What the case is good for.
    shows: String,
    /// The description.
    gearset: String,
    checks: Vec<Check>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
enum Check {
    /// Input turns per output turn.
    Ratio {
        state: String,
        printed: String,
        exact: String,
        #[serde(default)]
        wider: Option<Tolerance>,
    },
    /// The speed of a member with the input turning as given.
    Speed {
        state: String,
        input_speed: String,
        member: String,
        printed: String,
        exact: String,
        #[serde(default)]
        wider: Option<Tolerance>,
    },
    /// A speed that the source has wrong.
    WrongAsPrinted { state: String, input_speed: String, member: String, printed: String, exact: String, cause: String },
    /// The torque from outside on a member with the torque on the input as given; printed without its sign.
    Torque { state: String, input_torque: String, member: String, printed: String, exact: String },
    /// A torque that the source has wrong.
    TorqueWrongAsPrinted {
        state: String,
        input_torque: String,
        member: String,
        printed: String,
        exact: String,
        cause: String,
    },
    /// The torque that holds a member in drive when so much of the power comes out; printed without its sign.
    HeldWithLosses {
        state: String,
        input_torque: String,
        efficiency: String,
        member: String,
        printed: String,
        exact: String,
    },
    /// A tangential force in newtons that the source has wrong; given to the nearest newton.
    ForceWrongAsPrinted {
        state: String,
        input_torque: String,
        gears: (String, String),
        printed: String,
        newtons: String,
        cause: String,
    },
    /// So many equal pins, or not.
    GoesTogether { planets: String, pins: i64, answer: bool },
    /// The pins as described, or not.
    GoesTogetherAsDescribed { planets: String, answer: bool },
    /// The D of which every place is a whole part.
    SpacingDivisor { planets: String, divisor: String },
    /// The places nearest to so many equal pins, in degrees from the first.
    NearestPlaces { planets: String, pins: i64, printed_degrees: Vec<String> },
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Tolerance {
    amount: String,
    cause: String,
}

#[test]
fn the_library_agrees_with_every_published_source_or_the_disagreement_is_recorded() {
    let mut ledger = Ledger::default();
    let mut ids = BTreeSet::new();
    for file in file_stems("tests/published") {
        let source: Source = read_ron(&format!("tests/published/{file}.ron"));
        assert!(!source.citation.is_empty(), "{file}: no citation");
        ledger.sources += 1;
        for case in &source.cases {
            assert!(ids.insert(case.id.clone()), "{file}: the identity {} is given twice", case.id);
            check_case(&format!("{file}, {}", case.id), case);
            ledger.cases += 1;
            ledger.checks += case.checks.len();
            ledger.wrong_as_printed += case
                .checks
                .iter()
                .filter(|check| {
                    let is_wrong = matches!(check, Check::WrongAsPrinted { .. } | Check::TorqueWrongAsPrinted { .. });
                    is_wrong || matches!(check, Check::ForceWrongAsPrinted { .. })
                })
                .count();
        }
    }
    assert_eq!(ledger, LEDGER, "the ledger of published cases");
}

#[track_caller]
fn check_case(name: &str, case: &Case) {
    assert!(!case.place.is_empty() && !case.shows.is_empty(), "{name}: says not where it stands or what it shows");
    assert!(ORIGINS.contains(&case.origin.as_str()), "{name}: the origin {:?}", case.origin);
    assert!(!case.checks.is_empty(), "{name}: checks nothing");
    let set = read_set(name, &case.gearset);
    let motions = motions(&set);
    for check in &case.checks {
        check_value(&format!("{name}: {check:?}"), &set, &motions, check);
    }
}

#[track_caller]
fn check_value(name: &str, set: &Gearset, motions: &[StateMotion], check: &Check) {
    // The speed of a member when the input turns at the speed given with it.
    let speed = |state: &str, member: &str, input_speed: &str| {
        let motion = member_motion(name, set, motion(name, motions, state), member);
        Some(motion.speed.value()? * exact(name, input_speed))
    };
    match check {
        Check::Ratio { state, printed, exact: value, wider } => {
            let value = exact(name, value);
            assert_eq!(motion(name, motions, state).verdict.ratio(), Some(&value), "{name}");
            check_printed(name, &value, printed, wider.as_ref());
        }
        Check::Speed { state, input_speed, member, printed, exact: value, wider } => {
            let value = exact(name, value);
            assert_eq!(speed(state, member, input_speed), Some(value.clone()), "{name}");
            check_printed(name, &value, printed, wider.as_ref());
            let lines = lines_are_true(set, state, &exact(name, input_speed));
            assert!(lines > 0, "{name}: it is worked out on the board");
        }
        Check::WrongAsPrinted { state, input_speed, member, printed, exact: value, cause } => {
            let value = exact(name, value);
            assert_eq!(speed(state, member, input_speed), Some(value.clone()), "{name}");
            assert_wrong_as_printed(name, &value, printed, cause);
        }
        Check::Torque { state, input_torque, member, printed, exact: value } => {
            let value = exact(name, value);
            assert_eq!(torque(name, set, [state, member], input_torque), Some(value.clone()), "{name}");
            check_printed(name, &value.abs(), printed, None);
        }
        Check::TorqueWrongAsPrinted { state, input_torque, member, printed, exact: value, cause } => {
            let value = exact(name, value);
            assert_eq!(torque(name, set, [state, member], input_torque), Some(value.clone()), "{name}");
            assert_wrong_as_printed(name, &value.abs(), printed, cause);
        }
        Check::HeldWithLosses { state, input_torque, efficiency, member, printed, exact: value } => {
            let found =
                held_with_losses(name, set, [state, member], &exact(name, efficiency)) * exact(name, input_torque);
            assert!((&found - exact(name, value)).abs() < half_a_unit(value), "{name}: {found}");
            check_printed(name, &found.abs(), printed, None);
        }
        Check::ForceWrongAsPrinted { state, input_torque, gears, printed, newtons, cause } => {
            let found = force(name, set, state, input_torque, gears);
            let newtons: f64 = newtons.parse().expect("a number");
            assert!((found - newtons).abs() <= 0.5, "{name}: {found}");
            assert!((found - printed.parse::<f64>().expect("a number")).abs() > 50.0, "{name}: the source is right");
            assert!(!cause.is_empty(), "{name}: no cause");
        }
        Check::GoesTogether { planets, pins, answer } => {
            assert_eq!(timing_with_pins(name, set, planets, *pins).assembles, *answer, "{name}");
        }
        Check::GoesTogetherAsDescribed { planets, answer } => {
            assert_eq!(timing_of(name, set, planets).assembles, *answer, "{name}");
        }
        Check::SpacingDivisor { planets, divisor } => {
            assert_eq!(timing_of(name, set, planets).spacing_divisor.to_string(), *divisor, "{name}");
        }
        Check::NearestPlaces { planets, pins, printed_degrees } => {
            let remedies = timing_with_pins(name, set, planets, *pins).remedies;
            check_places(name, &remedies.and_then(|remedies| remedies.places).unwrap_or_default(), printed_degrees);
        }
    }
}

/// A printed value that is wrong, with the cause that is recorded.
#[track_caller]
fn assert_wrong_as_printed(name: &str, value: &Fraction, printed: &str, cause: &str) {
    assert!(error(name, value, printed) > half_a_unit(printed), "{name}: the source is right");
    assert!(!cause.is_empty(), "{name}: no cause");
}

/// The torque from outside on a member in a state.
#[track_caller]
fn torque(name: &str, set: &Gearset, [state, member]: [&str; 2], input_torque: &str) -> Option<Fraction> {
    let all = loads(set, &LoadOptions { torque: exact(name, input_torque) });
    let loads = all.iter().find(|loads| loads.motion.state == state).unwrap_or_else(|| panic!("{name}: no such state"));
    let member = set.member_named(member).unwrap_or_else(|| panic!("{name}: no such member"));
    loads.member(member).torque.clone()
}

/// What holds the only held member, for the torque 1 on the input, at an efficiency of the whole: between those of two
/// efficiencies of the meshes next to one another, by a straight line, as the torques are in equilibrium at both.
#[track_caller]
fn held_with_losses(name: &str, set: &Gearset, [state, member]: [&str; 2], efficiency: &Fraction) -> Fraction {
    let held = loads(set, &LoadOptions::default()).into_iter().find(|loads| loads.motion.state == state);
    let held = held.unwrap_or_else(|| panic!("{name}: no such state"));
    let ideal = torque(name, set, [state, member], "1").unwrap_or_else(|| panic!("{name}: not told"));
    assert_eq!(held.mounts, Some(ideal), "{name}: something else is held as well");
    let run = |thousandths: i64| {
        let all = losses(set, Efficiency::new(&fraction(thousandths, 1000))).expect("an efficiency is given");
        match &all.iter().find(|found| found.state == state).expect("every state has one").drive {
            // Input, output and what is held add up to nothing.
            PowerFlow::Runs(runs) => (runs[0].efficiency.clone(), -fraction(1, 1) - &runs[0].output_torque),
            PowerFlow::SelfLocking | PowerFlow::NotTold(_) => panic!("{name}: it does not run"),
        }
    };
    let above = (700..1000).find(|&thousandths| run(thousandths).0 >= *efficiency).expect("some mesh is good enough");
    let [(less, held_less), (more, held_more)] = [run(above - 1), run(above)];
    assert!(less < *efficiency, "{name}: the meshes would have to be worse than any");
    &held_less + (held_more - &held_less) * (efficiency - &less) / (more - less)
}

/// The tangential force between two gears, in newtons.
#[track_caller]
fn force(name: &str, set: &Gearset, state: &str, input_torque: &str, gears: &(String, String)) -> f64 {
    let all = loads(set, &LoadOptions { torque: exact(name, input_torque) });
    let state = all.iter().find(|loads| loads.motion.state == state).unwrap_or_else(|| panic!("{name}: no such state"));
    let names = |load: &&MeshLoad| {
        let [first, second] = set.mesh(load.mesh).gears().both().map(|&gear| set.gear(gear).name());
        (first, second) == (gears.0.as_str(), gears.1.as_str())
    };
    let load = state.meshes.iter().find(names).unwrap_or_else(|| panic!("{name}: no such mesh"));
    mesh_force(set, load, TorqueUnit::NewtonMetres).unwrap_or_else(|| panic!("{name}: no pitch")).all_pins
}

/// Places in turns against degrees from the first.
#[track_caller]
fn check_places(name: &str, places: &[Fraction], printed_degrees: &[String]) {
    assert_eq!(places.len(), printed_degrees.len(), "{name}: places {places:?}");
    for (place, printed) in places.iter().zip(printed_degrees) {
        let turn = fraction(360, 1);
        let error = nearest_zero(&(place - &places[0] - exact(name, printed) / &turn)) * turn;
        assert!(error.abs() <= half_a_unit(printed), "{name}: {printed} is out by {error} degrees");
    }
}

#[track_caller]
fn check_printed(name: &str, value: &Fraction, printed: &str, wider: Option<&Tolerance>) {
    let error = error(name, value, printed);
    let half_a_unit = half_a_unit(printed);
    let Some(wider) = wider else {
        assert!(error <= half_a_unit, "{name}: printed {printed}, {error} away");
        return;
    };
    assert!(error <= exact(name, &wider.amount), "{name}: printed {printed}, {error} away");
    assert!(error > half_a_unit, "{name}: half a unit of the last digit would do");
    assert!(!wider.cause.is_empty(), "{name}: no cause for the wider tolerance");
}

#[track_caller]
fn error(name: &str, value: &Fraction, printed: &str) -> Fraction {
    (exact(name, printed) - value).abs()
}

fn half_a_unit(printed: &str) -> Fraction {
    last_digit(printed) / fraction(2, 1)
}
