//! What keeps a request from being answered.
//!
//! Whoever refuses says what is wrong and what to write instead, in one place; [`message`](super::message) shows it.

use std::fmt::Display;

use toothmark::description::Faults;
use toothmark::gearset::nearest_name;

/// What keeps a request from being answered.
#[derive(Debug)]
pub(super) enum Trouble {
    /// What is asked for cannot be, for each of these reasons.
    Refused(Vec<Refusal>),
    /// A file has faults.
    Faults { text: Source, faults: Faults },
}

/// A reason why a request is refused.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{sentence}")]
pub(super) struct Refusal {
    /// What is wrong.
    pub(super) sentence: String,
    /// What to write instead.
    pub(super) hint: String,
}

/// The bytes of a file and what to call it in messages.
#[derive(Debug)]
pub(super) struct Source {
    pub(super) name: String,
    pub(super) bytes: Vec<u8>,
}

impl Source {
    /// Gears that were typed as words.
    pub(super) fn typed(text: &str) -> Self {
        Self { name: "what was typed".into(), bytes: text.into() }
    }
}

impl Refusal {
    pub(super) fn new(sentence: impl Display, hint: impl Into<String>) -> Self {
        Self { sentence: sentence.to_string(), hint: hint.into() }
    }

    /// A name that none of these things has: the nearest that one has, and all of them.
    pub(super) fn unknown(thing: &str, name: &str, known: &[&str]) -> Self {
        let things =
            if thing.ends_with("sh") || thing.ends_with("ch") { format!("{thing}es") } else { format!("{thing}s") };
        let hint = match nearest_name(known.iter().copied(), name) {
            _ if known.is_empty() => format!("the description has no {things}"),
            None => format!("the {things} are {}", known.join(", ")),
            Some(nearest) => format!("write {nearest:?}; the {things} are {}", known.join(", ")),
        };
        Self::new(format!("there is no {thing} {name:?}"), hint)
    }
}

impl Trouble {
    /// One reason.
    pub(super) fn new(sentence: impl Display, hint: impl Into<String>) -> Self {
        Refusal::new(sentence, hint).into()
    }
}

impl From<Refusal> for Trouble {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(vec![refusal])
    }
}
