//! Has every gearset what is known of it, fact by fact?
//!
//! `tests/gearsets.ron` lists the facts of every file of `gearsets/`, `tests/vectors.ron` those of
//! further gearsets; their head comments say what the kinds of facts mean. Every value is an exact
//! fraction and is met exactly; the same value as usually written is met in all its digits. Two
//! answers are worked out here by other means: the speeds of every state are put back into the
//! meshes, and the margin in its older definition is found by trying every tooth.

use std::collections::BTreeSet;

use serde::Deserialize;
use toothmark::description::{self, examples};
use toothmark::exact::{Fraction, distance_to_integer, fraction, nearest_integer};
use toothmark::gearset::{Action, GearKind, Gearset, MemberId, Restraint, Side};
use toothmark::kinematics::{MemberMotion, Speed, StateMotion, Verdict, motions};
use toothmark::timing::{GroupTiming, PinTiming};

use crate::support::sets::{
    Vector, exact, file_stems, last_digit, member_motion, motion, read_example, read_file, read_ron, read_set,
    timing_of, timing_with_pins,
};

/// The number of facts in `gearsets.ron` and in `vectors.ron`; it only grows.
const FACTS: [usize; 2] = [467, 59];
/// The number of speeds put back into meshes and restraints, over all files; it only grows.
const SUBSTITUTIONS: [usize; 2] = [450, 343];

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Layout {
    file: String,
    facts: Vec<Fact>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
enum Fact {
    Ratio { state: String, ratio: String, listed: String },
    Speed { state: String, member: String, speed: String, listed: String },
    RelativeToCarrier { state: String, planet: String, speed: String, listed: String },
    GoesTogether { planets: String, pins: i64, answer: bool },
    RadialMarks { planets: String, pins: i64, answer: bool },
    ParallelMarks { planets: String, pins: i64, answer: bool },
    SpacingDivisor { planets: String, divisor: String },
    Seatings { planets: String, seatings: u32 },
    Margin { planets: String, margin: String },
    OlderMargin { planets: String, margin: String },
    Turns { planets: String, pins: i64, turns: Vec<String> },
    Swapped { counts: Vec<(String, i64)>, facts: Vec<Fact> },
}

#[test]
fn every_example_has_the_facts_listed_for_it() {
    let layouts: Vec<Layout> = read_ron("tests/gearsets.ron");
    let mut facts = 0;
    for layout in &layouts {
        facts += check_facts(&layout.file, &read_example(&layout.file), &layout.facts);
    }
    assert_eq!(facts, FACTS[0], "tests/gearsets.ron: the ledger of facts");
}

#[test]
fn further_gearsets_have_the_facts_listed_for_them() {
    let vectors: Vec<Vector<Vec<Fact>>> = read_ron("tests/vectors.ron");
    let mut facts = 0;
    for vector in &vectors {
        let set = read_set("tests/vectors.ron", &vector.gearset);
        facts += check_facts(set.title(), &set, &vector.facts);
    }
    assert_eq!(facts, FACTS[1], "tests/vectors.ron: the ledger of facts");
}

#[test]
fn every_file_of_gearsets_is_listed_once_and_built_in_and_opens_with_a_comment() {
    let on_disk = file_stems("gearsets");
    let layouts: Vec<Layout> = read_ron("tests/gearsets.ron");
    let listed: BTreeSet<&str> = layouts.iter().map(|layout| layout.file.as_str()).collect();
    assert_eq!(listed.len(), layouts.len(), "tests/gearsets.ron lists a file twice");
    let built_in: BTreeSet<&str> = examples().iter().map(|example| example.name).collect();
    assert_eq!(built_in.len(), examples().len(), "a built-in example is there twice");
    let names: BTreeSet<&str> = on_disk.iter().map(String::as_str).collect();
    assert_eq!(listed, names, "the files listed in tests/gearsets.ron and those of gearsets/");
    assert_eq!(built_in, names, "the built-in examples and the files of gearsets/");
    for name in &on_disk {
        let text = read_file(&format!("gearsets/{name}.ron"));
        assert_eq!(description::example(name), Some(text.as_str()), "{name}: built in with another text");
        let header = text.lines().take_while(|line| line.starts_with("// ")).count();
        assert!(header > 0, "{name}: no header comment");
        assert!(text.lines().nth(header) == Some("Gearset("), "{name}: more than a comment before the gearset");
    }
}

#[test]
fn the_speeds_of_every_state_fulfil_every_mesh_and_every_restraint() {
    let mut substitutions = [0, 0];
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        for motion in motions(&set) {
            let [meshes, restraints] = check_motion(&name, &set, &motion);
            substitutions[0] += meshes;
            substitutions[1] += restraints;
        }
    }
    assert_eq!(substitutions, SUBSTITUTIONS, "the ledger of meshes and restraints");
}

/// Checks every fact and returns their number.
#[track_caller]
fn check_facts(name: &str, set: &Gearset, facts: &[Fact]) -> usize {
    let motions = motions(set);
    let mut count = 0;
    for fact in facts {
        if let Fact::Swapped { counts, facts } = fact {
            let swapped = with_counts(name, set, counts);
            count += check_facts(&format!("{name} with {counts:?}"), &swapped, facts);
        } else {
            check_fact(name, set, &motions, fact);
            count += 1;
        }
    }
    count
}

#[track_caller]
fn check_fact(name: &str, set: &Gearset, motions: &[StateMotion], fact: &Fact) {
    let case = format!("{name}: {fact:?}");
    let of_state = |state: &str| motion(&case, motions, state);
    let of_member = |state: &str, member: &str| member_motion(&case, set, of_state(state), member);
    let of_group = |planets: &str| timing_of(&case, set, planets);
    let with_pins = |planets: &str, pins: i64| timing_with_pins(&case, set, planets, pins);
    match fact {
        Fact::Ratio { state, ratio, listed } => check_value(&case, of_state(state).verdict.ratio(), ratio, listed),
        Fact::Speed { state, member, speed, listed } => {
            check_value(&case, of_member(state, member).speed.value(), speed, listed);
        }
        Fact::RelativeToCarrier { state, planet, speed, listed } => {
            let relative = of_member(state, planet).relative_to_carrier.as_ref();
            check_value(&case, relative.and_then(Speed::value), speed, listed);
        }
        Fact::GoesTogether { planets, pins, answer } => {
            assert_eq!(goes_together(&case, &with_pins(planets, *pins)), *answer, "{case}");
        }
        Fact::RadialMarks { planets, pins, answer } => {
            assert_eq!(with_pins(planets, *pins).radial_marks, *answer, "{case}");
        }
        Fact::ParallelMarks { planets, pins, answer } => {
            assert_eq!(with_pins(planets, *pins).parallel_marks, *answer, "{case}");
        }
        Fact::SpacingDivisor { planets, divisor } => {
            assert_eq!(of_group(planets).spacing_divisor.to_string(), *divisor, "{case}");
        }
        Fact::Seatings { planets, seatings } => {
            assert_eq!(of_group(planets).equivalent_seatings, Some((*seatings).into()), "{case}");
        }
        Fact::Margin { planets, margin } => {
            assert_eq!(of_group(planets).margin, Some(exact(&case, margin)), "{case}");
        }
        Fact::OlderMargin { planets, margin } => {
            assert_eq!(older_margin(&case, set, planets), exact(&case, margin), "{case}");
        }
        Fact::Turns { planets, pins, turns } => check_turns(&case, set, (planets, *pins), turns),
        Fact::Swapped { .. } => unreachable!("taken apart before"),
    }
}

/// Whether a group goes together; what does not is refused for some reason, and nothing else is.
#[track_caller]
fn goes_together(case: &str, timing: &GroupTiming) -> bool {
    let answer = timing.assembles;
    assert_eq!(timing.refusals.is_empty(), answer, "{case}: refusals {:?}", timing.refusals);
    answer
}

#[track_caller]
fn check_value(case: &str, found: Option<&Fraction>, value: &str, listed: &str) {
    let value = exact(case, value);
    assert_eq!(found, Some(&value), "{case}");
    if listed == "own" {
        return;
    }
    let rounded = if listed.contains('/') { value } else { rounded_as(&value, listed) };
    assert_eq!(rounded, exact(case, listed.trim_start_matches('+')), "{case}: as listed");
}

#[track_caller]
fn check_turns(case: &str, set: &Gearset, (planets, pins): (&str, i64), turns: &[String]) {
    let timing = timing_with_pins(case, set, planets, pins);
    let found: Vec<Option<Fraction>> = timing.pins.iter().map(|pin| turn_of(set, pin, planets)).collect();
    let turns: Vec<Option<Fraction>> = turns.iter().map(|turn| Some(exact(case, turn))).collect();
    assert_eq!(found, turns, "{case}");
}

fn turn_of(set: &Gearset, pin: &PinTiming, planet: &str) -> Option<Fraction> {
    pin.turns.as_ref()?.get(&set.member_named(planet)?).cloned()
}

/// The margin as it was reckoned before: the first gear of the cluster is seated right, so that the
/// others carry the whole error. Every tooth of the first gear is tried, and the seatings at which
/// all gears are right are left out.
fn older_margin(case: &str, set: &Gearset, planets: &str) -> Fraction {
    let planet = set.draft().planets.iter().find(|planet| planet.name == planets);
    let planet = planet.unwrap_or_else(|| panic!("{case}: no such planet"));
    let (first, others) = planet.gears.split_first().unwrap_or_else(|| panic!("{case}: no gears"));
    let error = |tooth: i64| {
        let errors =
            others.iter().map(|gear| distance_to_integer(&fraction(*gear.tooth_count * tooth, *first.tooth_count)));
        errors.max().unwrap_or_default()
    };
    let errors = (1..*first.tooth_count).map(error).filter(|error| *error > Fraction::default());
    errors.min().unwrap_or_else(|| panic!("{case}: no wrong seating"))
}

/// Puts the speeds of a state back into every mesh and every restraint; returns how many of each.
/// A state that locks has no speeds, and a mesh of members that are free is passed over, which in
/// a state whose motion is determined happens to none.
#[track_caller]
fn check_motion(name: &str, set: &Gearset, motion: &StateMotion) -> [usize; 2] {
    let case = format!("{name}, state {:?}", motion.state);
    if matches!(motion.verdict, Verdict::Locked { .. }) {
        return [0, 0];
    }
    let meshes: Vec<Option<Fraction>> = (0..set.meshes().len()).map(|mesh| slip(set, motion, mesh)).collect();
    let restraints = restraint_errors(set, motion);
    for (kind, errors) in [("mesh", &meshes), ("restraint", &restraints)] {
        for (index, error) in errors.iter().enumerate() {
            let determined = error.is_some() || motion.freedom > 0;
            assert!(determined, "{case}: {kind} {index} has no speeds although nothing is free");
            assert!(error.as_ref().is_none_or(|error| *error == Fraction::default()), "{case}: {kind} {index} slips");
        }
    }
    for member in &motion.members {
        check_relative(&case, set, motion, member);
    }
    [meshes, restraints].map(|errors| errors.iter().flatten().count())
}

/// What a planet turns as seen from its carrier is the difference of the two speeds.
#[track_caller]
fn check_relative(case: &str, set: &Gearset, motion: &StateMotion, member: &MemberMotion) {
    let (Some(carrier), Some(own)) = (set.carrier_of(member.member), member.speed.value()) else { return };
    let Some(carrier) = speed(motion, carrier) else { return };
    let relative = member.relative_to_carrier.as_ref().and_then(Speed::value);
    assert_eq!(relative, Some(&(own - carrier)), "{case}: {:?} against its carrier", set.member(member.member).name());
}

/// By how much a mesh slips: the sum of `z (w - w_C)` over its two gears, C the carrier (Willis 1841),
/// z negative for internal teeth and for a bevel gear on the far side of the pins.
fn slip(set: &Gearset, motion: &StateMotion, mesh: usize) -> Option<Fraction> {
    let mesh = &set.meshes()[mesh];
    let of_gear = |gear| {
        let gear = set.gear(gear);
        let sign = match gear.kind() {
            GearKind::External | GearKind::BevelPlanet | GearKind::BevelCentral(Side::Input) => 1,
            GearKind::Internal | GearKind::BevelCentral(Side::Output) => -1,
        };
        let teeth = fraction(sign * i64::from(gear.tooth_count().get()), 1);
        let of_planet = motion.members.iter().find(|member| member.member == gear.member());
        let relative = match of_planet.and_then(|member| member.relative_to_carrier.as_ref()) {
            Some(relative) => relative.value()?.clone(),
            None => speed(motion, gear.member())? - speed(motion, mesh.carrier())?,
        };
        Some(teeth * relative)
    };
    let gears = mesh.gears();
    Some(of_gear(gears.first)? + of_gear(gears.second)?)
}

/// By how much each join, each restraint of the state and the turn of the input are missed.
fn restraint_errors(set: &Gearset, motion: &StateMotion) -> Vec<Option<Fraction>> {
    let difference = |first, second| Some(speed(motion, first)? - speed(motion, second)?);
    let state = set.state_named(&motion.state).expect("the state that was solved");
    let mut errors = vec![speed(motion, state.input).map(|input| input - fraction(1, 1))];
    errors.extend(set.joins().iter().map(|join| difference(join.first, join.second)));
    errors.extend(state.restraints.iter().map(|restraint| match restraint {
        Restraint::Held(member) => speed(motion, *member),
        Restraint::Joined(pair) => difference(pair.first, pair.second),
        Restraint::Turning(member, given) => Some(speed(motion, *member)? - given.value()),
        Restraint::Control(control) => match set.control(*control).action() {
            Action::Band(member) => speed(motion, member),
            Action::Clutch(pair) | Action::OneWayClutch(pair, _) => difference(pair.first, pair.second),
        },
    }));
    errors
}

fn speed(motion: &StateMotion, member: MemberId) -> Option<Fraction> {
    if member == MemberId::CASE {
        return Some(Fraction::default());
    }
    motion.members.iter().find(|other| other.member == member)?.speed.value().cloned()
}

/// The same gearset with other tooth counts.
#[track_caller]
fn with_counts(name: &str, set: &Gearset, counts: &[(String, i64)]) -> Gearset {
    let gear = |gear: &String| set.gear_named(gear).unwrap_or_else(|| panic!("{name}: no gear {gear:?}"));
    set.with_tooth_counts(counts.iter().map(|(name, count)| (gear(name), *count)))
        .unwrap_or_else(|problems| panic!("{name} with {counts:?}: {problems}"))
}

/// A value rounded to the digits of a decimal as printed.
fn rounded_as(value: &Fraction, printed: &str) -> Fraction {
    let unit = last_digit(printed);
    Fraction::from(nearest_integer(&(value / &unit))) * unit
}
