//! A gearset as somebody writes it down: names and numbers, nothing checked yet.
//!
//! A [`Draft`] is what a description file says, and what code fills in that builds a
//! gearset itself. [`Gearset::new`](super::Gearset::new) checks it. Every place in a
//! draft has a [`Part`], by which a problem is reported and found again in a file.

use super::{GearKind, Length, Pitch};
use crate::exact::{Fraction, fraction};

/// The name of the fixed housing, wherever the name of a member is expected.
pub const CASE: &str = "case";

/// Everything that a description says.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Draft {
    /// What the gearset is, for people.
    pub title: String,
    /// The member that drives, unless a state names its own.
    pub input: Option<String>,
    /// The member that is driven, unless a state names its own.
    pub output: Option<String>,
    /// The pitch of every mesh that does not give its own.
    pub pitch: Option<Pitch>,
    /// The backlash of every mesh that does not give its own.
    pub backlash: Option<Length>,
    /// What turns on the main axis.
    pub members: Vec<DraftMember>,
    /// What turns on pins of a carrier, or on a fixed axis beside the main one.
    pub planets: Vec<DraftPlanet>,
    /// Which gears mesh.
    pub meshes: Vec<DraftMesh>,
    /// Members fixed to one another for good.
    pub joins: Vec<Pair<String>>,
    /// Bands, clutches and one-way clutches.
    pub controls: Vec<DraftControl>,
    /// The states in which the gearset is used.
    pub states: Vec<DraftState>,
}

/// A member on the main axis, with the gears solid with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftMember {
    /// The member's name.
    pub name: String,
    /// Its gears.
    pub gears: Vec<DraftGear>,
}

/// One kind of planet: the gears on one pin, solid with one another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftPlanet {
    /// The name of the planet or cluster.
    pub name: String,
    /// The member that holds its pins, or [`CASE`].
    pub carrier: String,
    /// How many pins there are, and where.
    pub pins: DraftPins,
    /// The gears of one planet.
    pub gears: Vec<DraftGear>,
}

/// A gear with its tooth count as written, whatever it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftGear {
    /// The gear's name.
    pub name: String,
    /// The kind of teeth.
    pub kind: GearKind,
    /// The number of teeth as written.
    pub tooth_count: i64,
}

/// The pins of one kind of planet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftPins {
    /// So many pins, equally spaced.
    Equal(i64),
    /// The place of each pin, in turns, counter-clockwise seen from the input side.
    Turns(Vec<Fraction>),
    /// The place of each pin, in degrees, in the same sense.
    Degrees(Vec<Fraction>),
}

impl DraftPins {
    /// The number of pins as written.
    pub fn count(&self) -> i64 {
        match self {
            Self::Equal(count) => *count,
            Self::Turns(places) | Self::Degrees(places) => i64::try_from(places.len()).unwrap_or(i64::MAX),
        }
    }

    /// The place of each pin in turns, as written.
    pub(super) fn places(&self) -> Vec<Fraction> {
        match self {
            Self::Equal(count) => (0..*count).map(|pin| fraction(pin, *count)).collect(),
            Self::Turns(places) => places.clone(),
            Self::Degrees(places) => places.iter().map(|place| place / fraction(360, 1)).collect(),
        }
    }
}

/// Two gears in mesh.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftMesh {
    /// The names of the two gears.
    pub gears: Pair<String>,
    /// The pitch of this mesh, if not that of the set.
    pub pitch: Option<Pitch>,
    /// The backlash of this mesh, if not that of the set.
    pub backlash: Option<Length>,
}

/// Two things that belong together, in the order in which they were named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Pair<T> {
    /// The first named.
    pub first: T,
    /// The second named.
    pub second: T,
}

impl<T> Pair<T> {
    /// The two in order.
    pub fn both(&self) -> [&T; 2] {
        [&self.first, &self.second]
    }
}

/// A control with its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftControl {
    /// The control's name.
    pub name: String,
    /// What it is and which members it acts on.
    pub action: Action<String>,
}

/// What a control does; `M` names a member.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action<M> {
    /// Holds a member to the case.
    Band(M),
    /// Couples two members.
    Clutch(Pair<M>),
    /// Keeps the first member from turning, against the second, in the sense that it stops.
    OneWayClutch(Pair<M>, Sense),
}

impl<M> Action<M> {
    /// The members that the control acts on, in the order in which they were named.
    pub fn members(&self) -> Vec<&M> {
        match self {
            Self::Band(member) => vec![member],
            Self::Clutch(pair) | Self::OneWayClutch(pair, _) => pair.both().to_vec(),
        }
    }
}

/// A sense of rotation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sense {
    /// The sense in which the input turns.
    Forward,
    /// The other.
    Backward,
}

/// A state with its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftState {
    /// The state's name.
    pub name: String,
    /// What is done in this state.
    pub conditions: DraftConditions,
}

/// What a state says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftConditions {
    /// These controls are applied, and no other; input and output are those of the set.
    Apply(Vec<String>),
    /// The state says itself what is held, what drives and what is driven.
    Given(Box<Given>),
}

/// A state that needs no controls.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Given {
    /// Members that stand still.
    pub held: Vec<String>,
    /// Members that turn as one in this state.
    pub joined: Vec<Pair<String>>,
    /// Members that are driven as well, each at so many turns per turn of the input.
    pub turning: Vec<DraftTurning>,
    /// The member that drives, if not that of the set.
    pub input: Option<String>,
    /// The member that is driven, if not that of the set.
    pub output: Option<String>,
}

/// A further member whose speed is given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftTurning {
    /// The member.
    pub member: String,
    /// Its turns per turn of the input.
    pub speed: Fraction,
}

/// Whose gear: that of a member on the main axis or of a planet, by its number in the draft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Owner {
    /// `members[0]`, counted from 0.
    Member(usize),
    /// `planets[0]`, counted from 0.
    Planet(usize),
}

/// Which of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Which {
    /// The first named.
    First,
    /// The second named.
    Second,
}

/// A place in a draft, by position: `Part::Mesh(0)` is the first mesh.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each variant names the field of the draft that it points at")]
pub enum Part {
    Whole,
    Title,
    Input,
    Output,
    Pitch,
    Backlash,
    OwnerName(Owner),
    Carrier { planet: usize },
    Pins { planet: usize },
    PinPlace { planet: usize, pin: usize },
    GearName { owner: Owner, gear: usize },
    ToothCount { owner: Owner, gear: usize },
    Mesh { mesh: usize },
    MeshGear { mesh: usize, which: Which },
    MeshPitch { mesh: usize },
    MeshBacklash { mesh: usize },
    JoinMember { join: usize, which: Which },
    ControlName { control: usize },
    ControlMember { control: usize, which: Which },
    StateName { state: usize },
    Applied { state: usize, index: usize },
    Held { state: usize, index: usize },
    JoinedMember { state: usize, index: usize, which: Which },
    TurningMember { state: usize, index: usize },
    TurningSpeed { state: usize, index: usize },
    StateInput { state: usize },
    StateOutput { state: usize },
}
