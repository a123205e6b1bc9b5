//! The two senses of rotation.

use serde::Serialize;

use crate::syntax::words;

/// A sense of rotation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Sense {
    /// The sense in which the input turns.
    Forward,
    /// The other.
    Backward,
}

words! {
    Sense for Sense: "a sense of rotation", "Forward" {
        Forward() => { Sense::Forward }
        Backward() => { Sense::Backward }
    }
}

impl Sense {
    /// The opposite sense.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Forward => Self::Backward,
            Self::Backward => Self::Forward,
        }
    }
}
