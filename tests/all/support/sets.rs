//! Where do the gearsets of the tests come from, and how is one thing found in the answer on one?
//!
//! Files of the project are read from the disk, not from what is built in. A name that is not there
//! ends the test with the case in which it was looked for, so that a fact about nothing never holds.

use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;
use serde::de::IgnoredAny;
use toothmark::description;
use toothmark::exact::{Fraction, fraction, parse};
use toothmark::gearset::{DraftPins, Gearset};
use toothmark::kinematics::{MemberMotion, StateMotion};
use toothmark::timing::{GroupTiming, timing};

/// An entry of `tests/vectors.ron`: a gearset and what is known of it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Vector<Facts> {
    pub(crate) gearset: String,
    pub(crate) facts: Facts,
}

/// The motion in a state.
#[track_caller]
pub(crate) fn motion<'a>(case: &str, motions: &'a [StateMotion], state: &str) -> &'a StateMotion {
    motions.iter().find(|motion| motion.state == state).unwrap_or_else(|| panic!("{case}: no such state"))
}

/// The motion of a member, by its name.
#[track_caller]
pub(crate) fn member_motion<'a>(case: &str, set: &Gearset, motion: &'a StateMotion, name: &str) -> &'a MemberMotion {
    let found = motion.members.iter().find(|member| set.member(member.member).name() == name);
    found.unwrap_or_else(|| panic!("{case}: no such member"))
}

/// The timing of the group of a planet, with the pins as described.
#[track_caller]
pub(crate) fn timing_of(case: &str, set: &Gearset, planet: &str) -> GroupTiming {
    let mut groups = timing(set).groups.into_iter();
    let found = groups.find(|group| group.planets.iter().any(|&id| set.member(id).name() == planet));
    found.unwrap_or_else(|| panic!("{case}: no such planet"))
}

/// The timing of the group of a planet, with so many equal pins for all its planets.
#[track_caller]
pub(crate) fn timing_with_pins(case: &str, set: &Gearset, planet: &str, pins: i64) -> GroupTiming {
    timing_of(case, &with_pins(case, set, planet, &DraftPins::Equal(pins)), planet)
}

/// The same gearset with other pins for all planets of the group of a planet; what was measured is that of those that
/// there are, and is left out.
#[track_caller]
pub(crate) fn with_pins(case: &str, set: &Gearset, planet: &str, pins: &DraftPins) -> Gearset {
    let group: Vec<&str> =
        timing_of(case, set, planet).planets.iter().map(|&planet| set.member(planet).name()).collect();
    let mut draft = set.draft().clone();
    draft.measured.clear();
    for planet in draft.planets.iter_mut().filter(|planet| group.contains(&planet.name.as_str())) {
        planet.pins = pins.clone().into();
    }
    Gearset::new(draft).unwrap_or_else(|problems| panic!("{case}: {problems:?}"))
}

/// A number as a file of the tests writes it.
#[track_caller]
pub(crate) fn exact(case: &str, value: &str) -> Fraction {
    parse(value).unwrap_or_else(|| panic!("{case}: {value:?} is not a number"))
}

/// A unit of the last digit of a decimal as printed.
pub(crate) fn last_digit(printed: &str) -> Fraction {
    let decimals = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    (0..decimals).fold(fraction(1, 1), |unit, _| unit / fraction(10, 1))
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

/// A file of the project, by its path from the root.
#[track_caller]
pub(crate) fn read_file(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path))
        .unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// A file of the project that holds one value in RON.
#[track_caller]
pub(crate) fn read_ron<T: for<'de> Deserialize<'de>>(path: &str) -> T {
    ron::from_str(&read_file(path)).unwrap_or_else(|error| panic!("{path}:{error}"))
}

/// The gearset that a description describes.
#[track_caller]
pub(crate) fn read_set(case: &str, source: &str) -> Gearset {
    description::read(source).unwrap_or_else(|faults| panic!("{case}: {faults:?}"))
}

/// The gearsets of `tests/vectors.ron`.
pub(crate) fn vectors() -> Vec<Gearset> {
    let vectors: Vec<Vector<IgnoredAny>> = read_ron("tests/vectors.ron");
    vectors.iter().map(|vector| read_set("tests/vectors.ron", &vector.gearset)).collect()
}

/// A file of `gearsets/`, as it stands on the disk.
#[track_caller]
pub(crate) fn read_example(name: &str) -> Gearset {
    read_set(name, &read_file(&format!("gearsets/{name}.ron")))
}
