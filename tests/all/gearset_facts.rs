//! What is known about gearsets, fact by fact, against the library.
//!
//! `tests/gearsets.ron` lists the facts of every file of `gearsets/`, `tests/vectors.ron` those of
//! further gearsets; their head comments say what the kinds of facts mean. Every value is an exact
//! fraction and is met exactly; the same value as usually written is met in all its digits. Two
//! answers are worked out here by other means: the speeds of every state are put back into the
//! meshes, and the margin in its older definition is found by trying every tooth.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;
use toothmark::description::{self, examples};
use toothmark::exact::{Fraction, distance_to_whole, fraction, nearest_whole, parse};
use toothmark::gearset::{Action, DraftPins, GearKind, Gearset, MemberId, Restraint, Side};
use toothmark::kinematics::{MemberMotion, Speed, StateMotion, Verdict, motions};
use toothmark::timing::{GroupTiming, Method, PlanetTurn, timing};

/// The number of facts in `gearsets.ron` and in `vectors.ron`; it only grows.
const FACTS: [usize; 2] = [444, 59];
/// The number of speeds put back into meshes and restraints, over all files; it only grows.
const SUBSTITUTIONS: [usize; 2] = [433, 329];

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Layout {
    file: String,
    facts: Vec<Fact>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Vector {
    gearset: String,
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
    let vectors: Vec<Vector> = read_ron("tests/vectors.ron");
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
    match fact {
        Fact::Ratio { state, ratio, listed } => {
            check_value(&case, motion(&case, motions, state).verdict.ratio(), ratio, listed);
        }
        Fact::Speed { state, member, speed, listed } => {
            let motion = member_motion(&case, set, motion(&case, motions, state), member);
            check_value(&case, motion.speed.value(), speed, listed);
        }
        Fact::RelativeToCarrier { state, planet, speed, listed } => {
            let motion = member_motion(&case, set, motion(&case, motions, state), planet);
            check_value(&case, motion.relative_to_carrier.as_ref().and_then(Speed::value), speed, listed);
        }
        Fact::GoesTogether { planets, pins, answer } => {
            let timing = timing_with_pins(&case, set, planets, *pins);
            assert_eq!(timing.goes_together(), *answer, "{case}");
            assert_eq!(timing.refusals.is_empty(), *answer, "{case}: refusals {:?}", timing.refusals);
        }
        Fact::RadialMarks { planets, pins, answer } => {
            assert_eq!(timing_with_pins(&case, set, planets, *pins).marks.radial.serves(), *answer, "{case}");
        }
        Fact::ParallelMarks { planets, pins, answer } => {
            assert_eq!(timing_with_pins(&case, set, planets, *pins).marks.parallel.serves(), *answer, "{case}");
        }
        Fact::SpacingDivisor { planets, divisor } => {
            assert_eq!(timing_of(&case, set, planets).spacing_divisor.to_string(), *divisor, "{case}");
        }
        Fact::Seatings { planets, seatings } => {
            assert_eq!(timing_of(&case, set, planets).equivalent_seatings, Some((*seatings).into()), "{case}");
        }
        Fact::Margin { planets, margin } => {
            let found = timing_of(&case, set, planets).margin.map(|margin| margin.teeth);
            assert_eq!(found, Some(exact(&case, margin)), "{case}");
        }
        Fact::OlderMargin { planets, margin } => {
            assert_eq!(older_margin(&case, set, planets), exact(&case, margin), "{case}");
        }
        Fact::Turns { planets, pins, turns } => check_turns(&case, set, (planets, *pins), turns),
        Fact::Swapped { .. } => unreachable!("taken apart before"),
    }
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
    let found: Vec<Option<Fraction>> =
        timing.pins.iter().map(|pin| turn_of(set, pin.turns.as_deref()?, planets)).collect();
    let turns: Vec<Option<Fraction>> = turns.iter().map(|turn| Some(exact(case, turn))).collect();
    assert_eq!(found, turns, "{case}");
}

fn turn_of(set: &Gearset, turns: &[PlanetTurn], planet: &str) -> Option<Fraction> {
    turns.iter().find(|turn| set.member(turn.planet).name() == planet).map(|turn| turn.turn.clone())
}

/// The margin with the first gear of the cluster exact and all the error on the others: every
/// tooth of the first gear is tried, and the seatings at which all gears are right are left out.
fn older_margin(case: &str, set: &Gearset, planets: &str) -> Fraction {
    let planet = set.draft().planets.iter().find(|planet| planet.name == planets);
    let planet = planet.unwrap_or_else(|| panic!("{case}: no such planet"));
    let (first, others) = planet.gears.split_first().unwrap_or_else(|| panic!("{case}: no gears"));
    let error = |tooth: i64| {
        let errors =
            others.iter().map(|gear| distance_to_whole(&fraction(gear.tooth_count * tooth, first.tooth_count)));
        errors.max().unwrap_or_default()
    };
    let errors = (1..first.tooth_count).map(error).filter(|error| *error > Fraction::default());
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

/// `z_a (w_A - w_C) + z_b (w_B - w_C)`, the slip of a mesh: z negative for internal teeth and for a
/// bevel gear on the far side of the pins.
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
    let state = set.states().iter().find(|state| state.name == motion.state).expect("the state that was solved");
    let mut errors = vec![speed(motion, state.input).map(|input| input - fraction(1, 1))];
    errors.extend(set.joins().iter().map(|join| difference(join.first, join.second)));
    errors.extend(state.restraints.iter().map(|restraint| match restraint {
        Restraint::Held(member) => speed(motion, *member),
        Restraint::Joined(pair) => difference(pair.first, pair.second),
        Restraint::Turning(member, given) => {
            Some(speed(motion, *member)? - fraction(given.numerator(), given.denominator()))
        }
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

#[track_caller]
pub(crate) fn motion<'a>(case: &str, motions: &'a [StateMotion], state: &str) -> &'a StateMotion {
    motions.iter().find(|motion| motion.state == state).unwrap_or_else(|| panic!("{case}: no such state"))
}

#[track_caller]
pub(crate) fn member_motion<'a>(case: &str, set: &Gearset, motion: &'a StateMotion, name: &str) -> &'a MemberMotion {
    let found = motion.members.iter().find(|member| set.member(member.member).name() == name);
    found.unwrap_or_else(|| panic!("{case}: no such member"))
}

/// The timing of the group of a planet, with the pins as described.
#[track_caller]
pub(crate) fn timing_of(case: &str, set: &Gearset, planet: &str) -> GroupTiming {
    let mut groups = timing(set, Method::Quickest).into_iter();
    let found = groups.find(|group| group.planets.iter().any(|&id| set.member(id).name() == planet));
    found.unwrap_or_else(|| panic!("{case}: no such planet"))
}

/// The timing of the group of a planet, with so many equal pins for all its planets.
#[track_caller]
pub(crate) fn timing_with_pins(case: &str, set: &Gearset, planet: &str, pins: i64) -> GroupTiming {
    timing_of(case, &with_pins(case, set, planet, &DraftPins::Equal(pins)), planet)
}

/// The same gearset with other pins for all planets of the group of a planet.
#[track_caller]
pub(crate) fn with_pins(case: &str, set: &Gearset, planet: &str, pins: &DraftPins) -> Gearset {
    let group: Vec<&str> =
        timing_of(case, set, planet).planets.iter().map(|&planet| set.member(planet).name()).collect();
    let mut draft = set.draft().clone();
    for planet in draft.planets.iter_mut().filter(|planet| group.contains(&planet.name.as_str())) {
        planet.pins = pins.clone();
    }
    Gearset::new(draft).unwrap_or_else(|problems| panic!("{case}: {problems:?}"))
}

/// The same gearset with other tooth counts.
#[track_caller]
fn with_counts(name: &str, set: &Gearset, counts: &[(String, i64)]) -> Gearset {
    let mut draft = set.draft().clone();
    for (gear, count) in counts {
        let of_members = draft.members.iter_mut().flat_map(|member| &mut member.gears);
        let mut gears = of_members.chain(draft.planets.iter_mut().flat_map(|planet| &mut planet.gears));
        let found = gears.find(|other| other.name == *gear).unwrap_or_else(|| panic!("{name}: no gear {gear:?}"));
        found.tooth_count = *count;
    }
    Gearset::new(draft).unwrap_or_else(|problems| panic!("{name} with {counts:?}: {problems:?}"))
}

#[track_caller]
pub(crate) fn exact(case: &str, value: &str) -> Fraction {
    parse(value).unwrap_or_else(|| panic!("{case}: {value:?} is not a number"))
}

/// A unit of the last digit of a decimal as printed.
pub(crate) fn last_digit(printed: &str) -> Fraction {
    let decimals = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    (0..decimals).fold(fraction(1, 1), |unit, _| unit / fraction(10, 1))
}

/// A value rounded to the digits of a decimal as printed.
fn rounded_as(value: &Fraction, printed: &str) -> Fraction {
    let unit = last_digit(printed);
    Fraction::from(nearest_whole(&(value / &unit))) * unit
}

/// The names of the files of a directory of the project, in order, without their ending `.ron`.
pub(crate) fn file_stems(directory: &str) -> Vec<String> {
    let entries = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(directory));
    let paths = entries.expect("the directory is there").map(|entry| entry.expect("it can be read").path());
    let stem = |path: PathBuf| {
        assert!(path.extension().is_some_and(|ending| ending == "ron"), "{} does not belong", path.display());
        path.file_stem().and_then(|stem| stem.to_str()).expect("a plain name").to_owned()
    };
    let mut stems: Vec<String> = paths.map(stem).collect();
    stems.sort();
    stems
}

#[track_caller]
fn read_file(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path))
        .unwrap_or_else(|error| panic!("{path}: {error}"))
}

#[track_caller]
pub(crate) fn read_ron<T: for<'de> Deserialize<'de>>(path: &str) -> T {
    ron::from_str(&read_file(path)).unwrap_or_else(|error| panic!("{path}:{error}"))
}

#[track_caller]
pub(crate) fn read_set(case: &str, source: &str) -> Gearset {
    description::read(source).unwrap_or_else(|faults| panic!("{case}: {faults:?}"))
}

/// The gearsets of `vectors.ron`.
pub(crate) fn vectors() -> Vec<Gearset> {
    let vectors: Vec<Vector> = read_ron("tests/vectors.ron");
    vectors.iter().map(|vector| read_set("tests/vectors.ron", &vector.gearset)).collect()
}

/// A file of `gearsets/`, as it stands on the disk.
#[track_caller]
pub(crate) fn read_example(name: &str) -> Gearset {
    read_set(name, &read_file(&format!("gearsets/{name}.ron")))
}
