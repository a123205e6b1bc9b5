//! What is wrong with a description, and where.
//!
//! A [`Fault`] covers a stretch of the source. Its kind is either a broken rule of the
//! gearset or something that kept the text from being read at all.

use std::borrow::Cow;
use std::ops::Range;

use super::grammar::FILE;
use super::line_index::LineAndColumn;
use crate::gearset::Rule;

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

/// What can be wrong with a description.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum FaultKind {
    /// The file is longer than any description is.
    #[error("the file is larger than {limit} bytes, which no description is")]
    TooLarge {
        /// The largest size that is read.
        limit: usize,
    },
    /// The bytes are not UTF-8.
    #[error("the file is not text: byte {byte:#04x} is not UTF-8")]
    NotText {
        /// The first byte that does not fit.
        byte: u8,
    },
    /// There is nothing but white space and comments.
    #[error("the file is empty")]
    Empty,
    /// What stands first does not begin a description.
    #[error("a description begins with Gearset(, not with {found}")]
    NoBeginning {
        /// What stands there.
        found: String,
    },
    /// The text does not have the shape of a description.
    #[error("{message}")]
    Shape {
        /// What is wrong with it.
        message: String,
        /// What to write instead.
        hint: String,
    },
    /// A name was expected.
    #[error("a name in quotes belongs here, not {found}")]
    NotAName {
        /// What stands there.
        found: String,
    },
    /// A whole number was expected.
    #[error("a whole number belongs here, not {found}")]
    NotAWholeNumber {
        /// What stands there.
        found: String,
    },
    /// A number was expected.
    #[error("a number belongs here, not {found}")]
    NotANumber {
        /// What stands there.
        found: String,
    },
    /// A count has more digits than a machine word holds.
    #[error("{written} is out of all proportion as a count")]
    AbsurdCount {
        /// The count as it stands in the source.
        written: String,
        /// The rule that it breaks; its own count is the nearest that a machine word holds.
        rule: Rule,
    },
    /// The description can be read but breaks a rule.
    #[error("{0}")]
    Rule(Rule),
}

impl Fault {
    /// A fault whose line and column are still to be found.
    pub(super) fn new(place: Range<usize>, kind: FaultKind) -> Self {
        Self { place, start: LineAndColumn::BEGINNING, kind }
    }

    /// What to write instead, or what to look at.
    pub fn hint(&self) -> Cow<'_, str> {
        match &self.kind {
            FaultKind::TooLarge { .. } => {
                "name a description of a gearset; the longest have a few thousand lines".into()
            }
            FaultKind::NotText { .. } => "save the file as plain text in UTF-8".into(),
            FaultKind::Empty | FaultKind::NoBeginning { .. } => format!("write {}", FILE.write).into(),
            FaultKind::Shape { hint, .. } => hint.into(),
            FaultKind::NotAName { found } => quoted(found),
            FaultKind::NotAWholeNumber { .. } => "write digits only, such as 26".into(),
            FaultKind::NotANumber { .. } => {
                "write a number such as 2.5, or a fraction in quotes such as \"640/7\"".into()
            }
            FaultKind::AbsurdCount { rule, .. } | FaultKind::Rule(rule) => rule.hint(),
        }
    }
}

/// The hint for a name that lacks its quotes.
fn quoted(found: &str) -> Cow<'static, str> {
    let name = found.trim_matches('\'');
    let is_bare = name.chars().all(|letter| letter.is_alphanumeric() || letter == '_' || letter == '-');
    if is_bare && !name.is_empty() {
        format!("write {name:?}").into()
    } else {
        "write the name between double quotes".into()
    }
}
