//! From text to a checked gearset, or to everything that is wrong with it.
//!
//! A rule that is broken by a part of the draft is shown where that part stands in the
//! text; what rests on a part that could not be read is passed over.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use ron::extensions::Extensions;

use super::convert::{Converted, convert};
use super::fault::{Fault, FaultKind};
use super::faults::Faults;
use super::schema::GearsetText;
use super::shape;
use super::tokens::Tokens;
use crate::gearset::{Gearset, Owner, Part, PlanetRule, Rule, SizeRule, Which};

/// The largest file that is read, in bytes: 4 MiB, a train of some ten thousand gearsets.
pub const LARGEST_FILE: usize = 4 * 1024 * 1024;

/// Reads a description.
///
/// # Errors
/// Every fault found, in the order of the source. A text that does not have the shape of
/// a description has one fault, at the first place where it cannot be read on.
///
/// # Examples
/// ```
/// use toothmark::description;
/// let faults = description::read("Gearset(title: \"?\", members: {\"sun\": [Sun(\"S\", 0)]})").unwrap_err();
/// assert_eq!(faults[0].to_string(), "nothing connects member \"sun\": it has no gear in mesh, \
///     carries no pins, and no join or control names it");
/// assert_eq!(faults[1].to_string(), "gear \"S\" has no teeth");
/// ```
pub fn read(source: &str) -> Result<Gearset, Faults> {
    check_size(source.len())?;
    let one = |fault| Faults::of(source, vec![fault]);
    if is_blank(source) {
        return Err(one(Fault::new(0..0, FaultKind::Empty)));
    }
    let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
    let text: GearsetText<'_> = options.from_str(source).map_err(|error| one(shape::fault(source, &error)))?;
    check(source, convert(source, &text)).map_err(|faults| Faults::of(source, faults))
}

/// Reads a description from the bytes of a file.
///
/// # Errors
/// As [`read`]; bytes that are not UTF-8 are a fault at the first of them.
///
/// # Examples
/// ```
/// use toothmark::description;
/// assert_eq!(description::read_bytes(b"ab\xff").unwrap_err()[0].place, 2..2);
/// ```
pub fn read_bytes(bytes: &[u8]) -> Result<Gearset, Faults> {
    check_size(bytes.len())?;
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(source) => read(source),
        Err(error) => {
            let at = error.valid_up_to();
            let fault = Fault::new(at..at, FaultKind::NotText { byte: bytes[at] });
            Err(Faults::of(&String::from_utf8_lossy(&bytes[..at]), vec![fault]))
        }
    }
}

fn check_size(length: usize) -> Result<(), Faults> {
    let fault = || Fault::new(0..0, FaultKind::TooLarge { limit: LARGEST_FILE });
    if length > LARGEST_FILE { Err(Faults::of("", vec![fault()])) } else { Ok(()) }
}

/// Whether a source holds nothing but white space and comments.
fn is_blank(source: &str) -> bool {
    Tokens::of(source).all(|token| source[token.place].trim().is_empty())
}

fn check(source: &str, converted: Converted) -> Result<Gearset, Vec<Fault>> {
    let Converted { draft, places, faults: unreadable } = converted;
    let problems = match Gearset::new(draft) {
        Ok(set) if unreadable.is_empty() => return Ok(set),
        Ok(_) => None,
        Err(problems) => Some(problems),
    };
    let not_read: HashSet<Part> = unreadable.iter().map(|&(part, _)| part).collect();
    let mut faults: Vec<Fault> = problems
        .into_iter()
        .flatten()
        .filter(|problem| !not_read.contains(&problem.part))
        .map(|problem| {
            let place = place_of(&places, problem.part);
            let kind = kind_of(problem.rule, &source[place.clone()]);
            Fault::new(place, kind)
        })
        .collect();
    faults.extend(unreadable.into_iter().map(|(_, fault)| fault));
    Err(faults)
}

/// A broken rule; where a count has more digits than a machine word holds, with the count
/// as it is written.
fn kind_of(rule: Rule, written: &str) -> FaultKind {
    let is_out_of_range = matches!(
        rule,
        Rule::Size(SizeRule::AbsurdTeeth { count: i64::MAX, .. } | SizeRule::NegativeTeeth { count: i64::MIN, .. })
            | Rule::Planet(
                PlanetRule::TooManyPins { count: i64::MAX, .. } | PlanetRule::TooFewPins { count: i64::MIN, .. }
            )
    );
    if is_out_of_range { FaultKind::AbsurdCount { written: written.to_owned(), rule } } else { FaultKind::Rule(rule) }
}

/// Where a part stands; a part that is missing or has no place of its own stands where
/// what it belongs to stands.
#[expect(clippy::wildcard_enum_match_arm, reason = "every other part has a place of its own, or belongs to the whole")]
fn place_of(places: &HashMap<Part, Range<usize>>, part: Part) -> Range<usize> {
    if let Some(place) = places.get(&part) {
        return place.clone();
    }
    let between = |first: Part, last: Part| {
        let (first, last) = (place_of(places, first), place_of(places, last));
        first.start..last.end.max(first.end)
    };
    match part {
        Part::Mesh { mesh } => {
            between(Part::MeshGear { mesh, which: Which::First }, Part::MeshGear { mesh, which: Which::Second })
        }
        Part::Carrier { planet } | Part::Pins { planet } => place_of(places, Part::OwnerName(Owner::Planet(planet))),
        Part::StateInput { state } | Part::StateOutput { state } => place_of(places, Part::StateName { state }),
        Part::FoundMark { at, .. } | Part::FoundMarks { at } => place_of(places, Part::FoundPlanet { at }),
        _ => places.get(&Part::Title).cloned().unwrap_or(0..0),
    }
}
