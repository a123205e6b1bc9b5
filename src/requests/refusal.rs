//! Why is a question not answered, and what to ask instead?

use std::fmt::Display;

use crate::description::Faults;
use crate::gearset::nearest_name;

/// A reason why a question is refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{sentence}")]
#[non_exhaustive]
pub struct Refusal {
    /// What is wrong.
    pub sentence: String,
    /// What to write instead.
    pub hint: String,
}

impl Refusal {
    /// What is wrong, and what to write instead.
    pub fn new(sentence: impl Display, hint: impl Into<String>) -> Self {
        Self { sentence: sentence.to_string(), hint: hint.into() }
    }

    /// A name that none of these things has: the nearest that one has, and all of them.
    pub fn unknown(thing: &str, name: &str, known: &[&str]) -> Self {
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

/// What keeps a question from being answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoAnswer {
    /// What is asked for cannot be, for each of these reasons.
    Refused(Vec<Refusal>),
    /// The description has faults.
    Faults(Faults),
}

impl NoAnswer {
    /// One reason.
    pub fn new(sentence: impl Display, hint: impl Into<String>) -> Self {
        Refusal::new(sentence, hint).into()
    }
}

impl From<Refusal> for NoAnswer {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(vec![refusal])
    }
}

impl From<Vec<Refusal>> for NoAnswer {
    fn from(refusals: Vec<Refusal>) -> Self {
        Self::Refused(refusals)
    }
}

impl From<Faults> for NoAnswer {
    fn from(faults: Faults) -> Self {
        Self::Faults(faults)
    }
}
