//! From text to a checked gearset, or to everything that is wrong with it.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use ron::extensions::Extensions;

use super::convert::{Converted, convert};
use super::fault::{Fault, FaultKind};
use super::schema::GearsetText;
use super::shape;
use crate::gearset::{Gearset, Owner, Part, Which};

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
pub fn read(source: &str) -> Result<Gearset, Vec<Fault>> {
    let whole = |kind| Err(vec![Fault { place: 0..0, kind }]);
    if source.len() > LARGEST_FILE {
        return whole(FaultKind::TooLarge { limit: LARGEST_FILE });
    }
    if is_blank(source) {
        return whole(FaultKind::Empty);
    }
    let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
    let text: GearsetText<'_> = options.from_str(source).map_err(|error| vec![shape::fault(source, &error)])?;
    check(convert(source, &text))
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
pub fn read_bytes(bytes: &[u8]) -> Result<Gearset, Vec<Fault>> {
    if bytes.len() > LARGEST_FILE {
        return Err(vec![Fault { place: 0..0, kind: FaultKind::TooLarge { limit: LARGEST_FILE } }]);
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(source) => read(source),
        Err(error) => {
            let at = error.valid_up_to();
            Err(vec![Fault { place: at..at, kind: FaultKind::NotText { byte: bytes[at] } }])
        }
    }
}

/// Whether a source holds nothing but white space and line comments.
fn is_blank(source: &str) -> bool {
    source.lines().map(str::trim).all(|line| line.is_empty() || line.starts_with("//"))
}

fn check(converted: Converted) -> Result<Gearset, Vec<Fault>> {
    let Converted { draft, places, faults: unreadable } = converted;
    let problems = match Gearset::new(draft) {
        Ok(set) if unreadable.is_empty() => return Ok(set),
        Ok(_) => Vec::new(),
        Err(problems) => problems,
    };
    let not_read: HashSet<Part> = unreadable.iter().map(|&(part, _)| part).collect();
    let mut faults: Vec<Fault> = problems
        .into_iter()
        .filter(|problem| !not_read.contains(&problem.part))
        .map(|problem| Fault { place: place_of(&places, problem.part), kind: FaultKind::Rule(problem.rule) })
        .collect();
    faults.extend(unreadable.into_iter().map(|(_, fault)| fault));
    faults.sort_by_key(|fault| (fault.place.start, fault.place.end));
    Err(faults)
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
        _ => places.get(&Part::Title).cloned().unwrap_or(0..0),
    }
}
