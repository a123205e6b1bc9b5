//! The rules of a sound description, each with its sentence and its way out.
//!
//! The variants of the enums are the list of rules, sorted by what they are about. A
//! rule carries what it is about by name and number, never as a finished sentence.

mod found;
mod index;
mod mesh;
mod name;
mod planet;
mod reading;
mod size;
mod tooth;
mod usage;
mod words;

use std::borrow::Cow;

pub use found::FoundRule;
pub use index::{IndexRule, PinSize};
pub use mesh::MeshRule;
pub use name::NameRule;
pub use planet::PlanetRule;
pub use reading::ReadingRule;
pub use size::SizeRule;
pub use tooth::{ToothRule, ToothSize};
pub use usage::UsageRule;
pub use words::{Binding, PartKind, Role, Scope};

/// What a gearset must fulfil.
///
/// # Examples
/// ```
/// use toothmark::gearset::{Rule, SizeRule};
/// let rule = Rule::from(SizeRule::NoTeeth { gear: "S".into() });
/// assert_eq!(rule.to_string(), "gear \"S\" has no teeth");
/// assert_eq!(rule.hint(), "count the teeth again and write a whole number, 1 or more");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Rule {
    /// A rule of names.
    #[error(transparent)]
    Name(#[from] NameRule),
    /// A rule of tooth counts, pitch, backlash and speeds.
    #[error(transparent)]
    Size(#[from] SizeRule),
    /// A rule of teeth and pin circles.
    #[error(transparent)]
    Tooth(#[from] ToothRule),
    /// A rule of two gears in mesh.
    #[error(transparent)]
    Mesh(#[from] MeshRule),
    /// A rule of planets and their pins.
    #[error(transparent)]
    Planet(#[from] PlanetRule),
    /// A rule of what members are used for.
    #[error(transparent)]
    Usage(#[from] UsageRule),
    /// A rule of marks as they were found.
    #[error(transparent)]
    Found(#[from] FoundRule),
    /// A rule of what was read of teeth.
    #[error(transparent)]
    Reading(#[from] ReadingRule),
    /// A rule of measured clusters.
    #[error(transparent)]
    Index(#[from] IndexRule),
}

impl Rule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> Cow<'static, str> {
        match self {
            Self::Name(rule) => rule.hint(),
            Self::Size(rule) => rule.hint().into(),
            Self::Tooth(rule) => rule.hint().into(),
            Self::Mesh(rule) => rule.hint().into(),
            Self::Planet(rule) => rule.hint().into(),
            Self::Usage(rule) => rule.hint().into(),
            Self::Found(rule) => rule.hint().into(),
            Self::Reading(rule) => rule.hint().into(),
            Self::Index(rule) => rule.hint().into(),
        }
    }
}
