//! What can be wrong with a text before its meaning is asked for.

use std::borrow::Cow;

use super::pasted::count_in;

/// Something that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Flaw {
    /// There is nothing but white space and comments.
    #[error("the file is empty")]
    Empty {
        /// How such a text looks.
        example: &'static str,
    },
    /// What stands first does not begin such a text.
    #[error("{what} begins with {word}(, not with {found}")]
    NoBeginning {
        /// What the text should be.
        what: &'static str,
        /// The word that it begins with.
        word: &'static str,
        /// How such a text looks.
        example: &'static str,
        /// What stands there.
        found: String,
    },
    /// The text does not have the shape that it should have.
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
        /// Which counts are taken.
        rule: &'static str,
    },
}

impl Flaw {
    pub(crate) fn shape(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Shape { message: message.into(), hint: hint.into() }
    }

    /// What to write instead, or what to look at.
    pub fn hint(&self) -> Cow<'_, str> {
        match self {
            Self::NoBeginning { found, .. } if found.starts_with("the character ") => "leave this character out".into(),
            Self::NoBeginning { word, found, .. } if found.eq_ignore_ascii_case(word) => {
                format!("write {word}(").into()
            }
            Self::Empty { example } | Self::NoBeginning { example, .. } => format!("write {example}").into(),
            Self::Shape { hint, .. } => hint.into(),
            Self::NotAName { found } => quoted(found),
            Self::NotAWholeNumber { found } => match count_in(found) {
                Some(count) => format!("write {count}").into(),
                None => "write digits only, such as 26".into(),
            },
            Self::NotANumber { .. } => "write a number such as 2.5, or a fraction in quotes such as \"640/7\"".into(),
            Self::AbsurdCount { rule: "", .. } => "count again, and write digits only".into(),
            Self::AbsurdCount { rule, .. } => format!("count again, and write a whole number {rule}").into(),
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
