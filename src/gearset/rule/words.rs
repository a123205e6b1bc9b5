//! The words that rules have in common: kinds of things, what they are given for, and what
//! takes hold of members.
//!
//! Each is an enum that shows itself as it goes into a sentence.

use std::fmt::{self, Display, Formatter};

use crate::gearset::Pair;

/// A kind of thing that has a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartKind {
    /// A member on the main axis.
    Member,
    /// A planet or cluster.
    Planet,
    /// A gear.
    Gear,
    /// A band, clutch or one-way clutch.
    Control,
    /// A state.
    State,
    /// A measured cluster.
    Cluster,
}

impl Display for PartKind {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Member => "member",
            Self::Planet => "planet",
            Self::Gear => "gear",
            Self::Control => "control",
            Self::State => "state",
            Self::Cluster => "cluster",
        })
    }
}

/// What a member does in a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// It drives.
    Input,
    /// It is driven.
    Output,
}

impl Display for Role {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Input => "input",
            Self::Output => "output",
        })
    }
}

/// What a size or a role is given for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Scope {
    /// Every mesh or state that gives none of its own.
    WholeSet,
    /// One mesh, by its gears.
    Mesh(Pair<String>),
    /// One state, by its name.
    State(String),
}

impl Display for Scope {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::WholeSet => formatter.write_str("the whole set"),
            Self::Mesh(Pair { first, second }) => write!(formatter, "the mesh of {first:?} and {second:?}"),
            Self::State(state) => write!(formatter, "state {state:?}"),
        }
    }
}

/// What takes hold of members, with the name of the control or of the state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Binding {
    /// A join, for good.
    Join,
    /// A bearing.
    Bearing,
    /// Turns counted by hand.
    CountedTurns,
    /// A band.
    Band(String),
    /// A clutch.
    Clutch(String),
    /// A one-way clutch.
    OneWayClutch(String),
    /// A state that holds a member.
    HeldInState(String),
    /// A state that joins two members.
    JoinedInState(String),
    /// A state that gives a member its speed.
    TurningInState(String),
}

impl Display for Binding {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Join => formatter.write_str("a join"),
            Self::Bearing => formatter.write_str("a bearing"),
            Self::CountedTurns => formatter.write_str("a count of turns"),
            Self::Band(control) => write!(formatter, "band {control:?}"),
            Self::Clutch(control) => write!(formatter, "clutch {control:?}"),
            Self::OneWayClutch(control) => write!(formatter, "one-way clutch {control:?}"),
            Self::HeldInState(state) => write!(formatter, "a hold of state {state:?}"),
            Self::JoinedInState(state) => write!(formatter, "a join of state {state:?}"),
            Self::TurningInState(state) => write!(formatter, "a given speed of state {state:?}"),
        }
    }
}
