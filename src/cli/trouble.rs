//! What keeps a request from being answered.
//!
//! Whoever refuses says what is wrong and what to write instead, in one place; [`message`](super::message) shows it.

use std::fmt::Display;

use toothmark::description::Faults;
use toothmark::requests::NoAnswer;

pub(super) use toothmark::requests::Refusal;

/// What keeps a request from being answered.
#[derive(Debug)]
pub(super) enum Trouble {
    /// What is asked for cannot be, for each of these reasons.
    Refused(Vec<Refusal>),
    /// A file has faults.
    Faults { text: Source, faults: Faults },
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

impl Trouble {
    /// What the library says keeps a question from being answered, with the text that it is about.
    pub(super) fn of(reason: NoAnswer, text: Source) -> Self {
        match reason {
            NoAnswer::Refused(refusals) => Self::Refused(refusals),
            NoAnswer::Faults(faults) => Self::Faults { text, faults },
        }
    }

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
