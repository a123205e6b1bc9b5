//! What is wrong with a description or request, and where.
//!
//! A [`Fault`] covers a stretch of the source. Its kind is either a broken rule or something
//! that kept the text from being read at all.

use std::borrow::Cow;
use std::ops::Range;

use crate::gearset::{Problem, Rule};
use crate::syntax::{Flaw, LineAndColumn};

/// One thing that is wrong, with its place in the source.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{kind}")]
pub struct Fault {
    /// The bytes of the source that are at fault; empty where something is missing.
    pub place: Range<usize>,
    /// The line and column where they begin.
    pub start: LineAndColumn,
    /// What is wrong there.
    pub kind: FaultKind,
}

/// What can be wrong with a description or request.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum FaultKind {
    /// The file is longer than any of its kind is.
    #[error("the file is larger than {limit} bytes, and {what} never is")]
    TooLarge {
        /// What it was read as: `a description`.
        what: &'static str,
        /// The largest size that is read.
        limit: usize,
    },
    /// The bytes are not UTF-8.
    #[error("the file is not text: byte {byte:#04x} is not UTF-8")]
    NotText {
        /// The first byte that does not fit.
        byte: u8,
    },
    /// The text cannot be read.
    #[error("{0}")]
    Text(Flaw),
    /// The description can be read but breaks a rule.
    #[error("{0}")]
    Rule(Rule),
    /// The request can be read but cannot be asked of its gearset.
    #[error("{sentence}")]
    Request {
        /// What is wrong with it.
        sentence: String,
        /// What to write instead.
        hint: String,
    },
}

impl Fault {
    /// A broken rule, whose line and column are still to be found.
    pub(super) fn of_problem(problem: Problem) -> Self {
        Self::new(problem.place.unwrap_or(0..0), FaultKind::Rule(problem.rule))
    }

    /// A fault whose line and column are still to be found.
    pub(crate) fn new(place: Range<usize>, kind: FaultKind) -> Self {
        Self { place, start: LineAndColumn::BEGINNING, kind }
    }

    /// What to write instead, or what to look at.
    pub fn hint(&self) -> Cow<'_, str> {
        match &self.kind {
            FaultKind::TooLarge { what, .. } => {
                format!("name the file of {what}; the longest have a few thousand lines").into()
            }
            FaultKind::NotText { .. } => "save the file as plain text in UTF-8".into(),
            FaultKind::Text(flaw) => flaw.hint(),
            FaultKind::Rule(rule) => rule.hint(),
            FaultKind::Request { hint, .. } => hint.into(),
        }
    }
}
