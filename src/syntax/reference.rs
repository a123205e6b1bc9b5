//! The shape of a text for a manual: every field and word with what belongs there.

use super::thing::{Element, Inside};

/// A field or word of a text, as a manual explains it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Reference {
    /// What it stands in: "a gearset", "a planet".
    pub of: &'static str,
    /// The field or word itself.
    pub word: &'static str,
    /// What belongs there.
    pub what: &'static str,
    /// How it may look.
    pub example: &'static str,
    /// The sentences that explain it; empty where `what` says all.
    pub help: &'static str,
    /// Which values are taken; empty where all are.
    pub rule: &'static str,
    /// Whether it may be left out.
    pub is_optional: bool,
}

/// Every field and word of a thing, those of the whole first, then those of its parts in order, each thing once.
pub(crate) fn references(thing: &Element) -> Vec<Reference> {
    let mut found = Vec::new();
    let mut things = std::collections::VecDeque::from([*thing]);
    while let Some(thing) = things.pop_front() {
        if found.iter().any(|known: &Reference| known.of == thing.name) {
            continue;
        }
        match thing.inside {
            Inside::Nothing => {}
            Inside::List(inner) | Inside::Named(inner) => things.push_back(*inner),
            Inside::Entries { things: entries, .. } => things.extend(entries),
            Inside::Fields(fields) => {
                let of = thing.name;
                found.extend(fields.iter().map(|field| {
                    let Element { name: what, example, rule, .. } = field.thing;
                    Reference {
                        of,
                        word: field.word,
                        what,
                        example,
                        help: field.help,
                        rule,
                        is_optional: !field.is_needed,
                    }
                }));
                things.extend(fields.iter().map(|field| field.thing));
            }
            Inside::Kinds(kinds) => {
                let of = thing.name;
                found.extend(kinds.iter().map(|kind| {
                    let Element { name: what, example, rule, .. } = kind.thing;
                    Reference { of, word: kind.word, what, example, help: "", rule, is_optional: false }
                }));
                things.extend(kinds.iter().map(|kind| kind.thing));
            }
        }
    }
    found
}
