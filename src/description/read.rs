//! From text to a checked gearset, or to everything that is wrong with it.
//!
//! A leaf that cannot be read is one fault among several; a text of another shape is told all that is wrong with its
//! shape, and the rules wait until it has the right one.

use super::fault::{Fault, FaultKind};
use super::faults::Faults;
use crate::gearset::{Draft, Gearset};
use crate::syntax::{self, Form, Root};

/// The largest file that is read, in bytes: 4 MiB, a train of some ten thousand gearsets.
pub const LARGEST_FILE: usize = 4 * 1024 * 1024;

/// A whole description.
pub(super) const ROOT: Root = Root { what: "a description", the: "the description", thing: Draft::THING };

/// Reads a description.
///
/// # Errors
/// Every fault found, in the order of the source. In a text that does not have the shape of a description these are the
/// faults of its shape and of its leaves; what it describes is not looked at.
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
    let draft = read_draft(source)?;
    Gearset::new(draft).map_err(|problems| Faults::of_problems(source, problems))
}

/// Reads what a description says and checks none of it, so that it can be changed before
/// [`Gearset::new`] looks at it; [`Faults::of_problems`] tells what that finds.
///
/// # Errors
/// As [`read`], where the text does not have the shape of a description or a leaf cannot be read.
///
/// # Examples
/// ```
/// use toothmark::{description, gearset::Gearset};
/// let mut draft = description::read_draft(description::example("millrace-winch").unwrap()).unwrap();
/// draft.gears_mut().for_each(|gear| *gear.tooth_count *= 2);
/// assert_eq!(Gearset::new(draft).unwrap().gears()[0].tooth_count().get(), 48);
/// ```
pub fn read_draft(source: &str) -> Result<Draft, Faults> {
    let (draft, faults) = read_shape::<Draft>(source, &ROOT)?;
    if faults.is_empty() {
        return Ok(draft);
    }
    // What can be read is checked as well, so that all that is wrong is told at once.
    let problems = Gearset::new(draft).err();
    let rules = problems.into_iter().flatten().map(Fault::of_problem);
    Err(Faults::of(source, faults.into_iter().chain(rules).collect()))
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
    read(text_of(bytes)?)
}

/// Writes a draft as a description: what is written reads in again as the same draft.
///
/// # Examples
/// ```
/// use toothmark::description;
/// let text = description::example("millrace-winch").unwrap();
/// let set = description::read(text).unwrap();
/// let again = description::read(&description::write(set.draft())).unwrap();
/// assert_eq!(set, again);
/// ```
pub fn write(draft: &Draft) -> String {
    syntax::write::<Draft>(draft)
}

/// The bytes of a file as text, without the mark of their order.
///
/// # Errors
/// More bytes than [`LARGEST_FILE`], or the first that is not UTF-8.
///
/// # Examples
/// ```
/// use toothmark::description;
/// assert_eq!(description::text_of(b"\xef\xbb\xbfGearset()").unwrap(), "Gearset()");
/// ```
pub fn text_of(bytes: &[u8]) -> Result<&str, Faults> {
    text_in(bytes, &ROOT)
}

/// The bytes of a file that is to be read as this as text.
pub(crate) fn text_in<'a>(bytes: &'a [u8], root: &Root) -> Result<&'a str, Faults> {
    check_size(bytes.len(), root)?;
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        let fault = Fault::new(at..at, FaultKind::NotText { byte: bytes[at] });
        Faults::of(&String::from_utf8_lossy(&bytes[..at]), vec![fault])
    })
}

/// Reads a text of some shape: its value, in which leaves may be absent, with the faults of these.
pub(crate) fn read_shape<F: Form>(source: &str, root: &Root) -> Result<(F::Value, Vec<Fault>), Faults> {
    check_size(source.len(), root)?;
    let (value, flaws) = syntax::read::<F>(source, root).into_parts();
    let faults: Vec<Fault> = flaws.into_iter().map(|(place, flaw)| Fault::new(place, FaultKind::Text(flaw))).collect();
    match value {
        Some(value) => Ok((value, faults)),
        None => Err(Faults::of(source, faults)),
    }
}

fn check_size(length: usize, root: &Root) -> Result<(), Faults> {
    let fault = || Fault::new(0..0, FaultKind::TooLarge { what: root.what, limit: LARGEST_FILE });
    if length > LARGEST_FILE { Err(Faults::of("", vec![fault()])) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::ROOT;
    use crate::syntax::{Alternative, Element, Inside, Node, NodeKind, Root, parse, references};

    /// Whether a value has the shape of a thing, and all that is in it.
    fn fits(source: &str, node: &Node, thing: &Element) -> bool {
        let items = |node: &Node| match &node.kind {
            NodeKind::Group(group) => group.items.clone(),
            NodeKind::Word | NodeKind::Text | NodeKind::Nothing | NodeKind::Told => Vec::new(),
        };
        let word = |node: &Node| node.word().map_or("", |place| &source[place]);
        match thing.inside {
            Inside::Nothing => !matches!(node.kind, NodeKind::Nothing | NodeKind::Told | NodeKind::Group(_)),
            Inside::Kinds(kinds) => {
                let kind = kinds.iter().find(|kind| kind.word == word(node));
                kind.is_some_and(|kind| kind.is_bare() || fits(source, node, &kind.thing))
            }
            Inside::Fields(fields) => items(node).iter().all(|item| {
                let key = item.key.as_ref().map_or("", |key| &source[key.place.clone()]);
                fields.iter().any(|field| field.word == key && fits(source, item, &field.thing))
            }),
            Inside::Entries { needed, things } => {
                let items = items(node);
                items.len() >= needed
                    && items.len() <= things.len()
                    && items.iter().zip(things).all(|(item, thing)| fits(source, item, thing))
            }
            Inside::List(inner) => node.group('[').is_some() && items(node).iter().all(|it| fits(source, it, inner)),
            Inside::Named(inner) => node.group('{').is_some() && items(node).iter().all(|it| fits(source, it, inner)),
        }
    }

    /// Checks the examples of a thing and of all that it consists of; counts them.
    fn check(thing: &Element) -> usize {
        let root = Root { what: "an example", the: "the example", thing: *thing };
        if !thing.example.contains("...") {
            let (node, flaws) = parse(thing.example, &root);
            assert!(flaws.is_empty() && fits(thing.example, &node, thing), "{}: {}", thing.name, thing.example);
        }
        1 + match thing.inside {
            Inside::Nothing => 0,
            Inside::List(inner) | Inside::Named(inner) => check(inner),
            Inside::Fields(fields) => fields.iter().map(|field| check(&field.thing)).sum(),
            Inside::Entries { things, .. } => things.iter().map(check).sum(),
            Inside::Kinds(kinds) => kinds.iter().map(check_kind).sum(),
        }
    }

    fn check_kind(kind: &Alternative) -> usize {
        assert!(kind.is_bare() || kind.thing.example.starts_with(kind.word), "{}", kind.thing.example);
        if kind.is_bare() { 1 } else { check(&kind.thing) }
    }

    #[test]
    fn every_example_has_the_shape_that_it_is_an_example_of() {
        assert!(check(&ROOT.thing) > 150);
    }

    #[test]
    fn every_field_and_word_is_explained_once() {
        let found = references(&ROOT.thing);
        for (at, entry) in found.iter().enumerate() {
            assert!(!entry.what.is_empty() && !entry.example.is_empty(), "{entry:?}");
            let again = found[..at].iter().filter(|it| (it.of, it.word) == (entry.of, entry.word));
            assert_eq!(again.count(), 0, "{entry:?}");
        }
        let of_gearset = found.iter().filter(|it| it.of == "a gearset");
        assert!(of_gearset.clone().count() >= 17 && of_gearset.clone().all(|it| !it.help.is_empty()));
    }
}
