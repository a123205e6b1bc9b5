//! Rules of names: each is given once, and each that is used is known.
//!
//! Members and planets share one list of names; gears, controls and states have a list
//! each. The name "case" is taken by the fixed housing.

use std::borrow::Cow;

use super::PartKind;

/// What names must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum NameRule {
    #[error("a {thing} has an empty name")]
    EmptyName { thing: PartKind },
    #[error("the name {name:?} begins or ends with a blank, by which nobody can tell it from another")]
    BlankAtEnd { name: String },
    #[error("the name {name:?} is given to two {thing}s")]
    NameTaken { thing: PartKind, name: String },
    #[error("a planet has the name {name:?}, which is a member's")]
    PlanetNamedAsMember { name: String },
    #[error("the name \"case\" means the fixed housing and cannot be given to a {thing}")]
    CaseIsTaken { thing: PartKind },
    #[error("there is no {thing} {name:?}")]
    Unknown { thing: PartKind, name: String, nearest: Option<String> },
}

impl NameRule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> Cow<'static, str> {
        match self {
            Self::EmptyName { thing } => format!("write the {thing}'s name between the quotes").into(),
            Self::BlankAtEnd { name } => format!("write {:?}", name.trim()).into(),
            Self::NameTaken { thing, .. } => {
                format!("every {thing} has a name of its own; rename one of the two").into()
            }
            Self::PlanetNamedAsMember { .. } => {
                "members and planets share one list of names; rename one of the two".into()
            }
            Self::CaseIsTaken { thing } => {
                format!("choose another name for the {thing}; \"case\" needs no entry, it is always there").into()
            }
            Self::Unknown { nearest: Some(nearest), .. } => format!("the nearest known name is {nearest:?}").into(),
            Self::Unknown { nearest: None, thing: PartKind::Member, name } => {
                format!("add {name:?}: [] to members, with its gears where it has any; no member has a name like it")
                    .into()
            }
            Self::Unknown { nearest: None, thing, .. } => {
                format!("no {thing} of the description has a name like it").into()
            }
        }
    }
}
