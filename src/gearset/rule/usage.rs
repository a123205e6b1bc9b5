//! Rules of what members are used for: as input and output, in joins, controls and states.
//!
//! Only what turns about the main axis, or about one fixed axis beside it, can be driven,
//! held or coupled: a planet on one of several pins is no single body.

use super::{Binding, Role, Scope};

/// What the uses of members must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum UsageRule {
    #[error("no {role} is given, and state {state:?} needs one")]
    NoInputOrOutput { role: Role, state: String },
    #[error("the {role} of {scope}, {name:?}, is a planet")]
    PlanetAsInputOrOutput { role: Role, scope: Scope, name: String },
    #[error("the {role} of {scope} is the case, which stands still")]
    CaseAsInputOrOutput { role: Role, scope: Scope },
    #[error("{name:?} is both the input and the output of {scope}")]
    InputIsOutput { scope: Scope, name: String },
    #[error("{name:?} is a planet, and {binding} acts on members of the main axis")]
    PlanetBound { name: String, binding: Binding },
    #[error("{binding} acts on {name:?} twice")]
    BoundToItself { name: String, binding: Binding },
    #[error("a bearing has planet {planet:?} run on something other than its carrier")]
    PlanetBearsElsewhere { planet: String },
    #[error("band {control:?} is to hold the case, which stands still")]
    BandOnCase { control: String },
    #[error("state {state:?} applies {control:?} twice")]
    AppliedTwice { state: String, control: String },
    #[error("state {state:?} holds {member:?} twice")]
    HeldTwice { state: String, member: String },
    #[error("turns are counted of {member:?}, which stands still")]
    TurnsOfHeld { member: String },
    #[error("state {state:?} gives the speed of {member:?}, its own input")]
    SpeedOfInput { state: String, member: String },
    #[error(
        "nothing connects member {member:?}: it has no gear in mesh, carries no pins, and no join or control names it"
    )]
    Unconnected { member: String },
}

impl UsageRule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoInputOrOutput { .. } => {
                "write input: \"...\" and output: \"...\" after the title, or in the state itself"
            }
            Self::PlanetAsInputOrOutput { .. } => "name a member of the main axis, such as the planet's carrier",
            Self::CaseAsInputOrOutput { .. } => "name a member that turns",
            Self::InputIsOutput { .. } => "name two members, the one that drives and the one that is driven",
            Self::PlanetBound { .. } => "name a member of the main axis, such as a drum or the carrier",
            Self::BoundToItself { .. } => "name two different members",
            Self::PlanetBearsElsewhere { .. } => {
                "name the planet with its carrier, whose pins bear it, or two members of the main axis"
            }
            Self::BandOnCase { .. } => "name the drum or ring that the band holds",
            Self::AppliedTwice { .. } | Self::HeldTwice { .. } => "name it once",
            Self::SpeedOfInput { .. } => "the input turns once; give the speed of another member, or leave this out",
            Self::TurnsOfHeld { .. } => "name two members that turned while the others were held",
            Self::Unconnected { .. } => "add its mesh, join or control, or leave the member out",
        }
    }
}
