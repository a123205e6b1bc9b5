//! A gearset as somebody writes it down: names and numbers, nothing checked yet.
//!
//! A [`Draft`] is what a description file says, and what code fills in that builds a
//! gearset itself. [`Gearset::new`](super::Gearset::new) checks it. Every place in a
//! draft has a [`Part`](super::Part), by which a problem is reported and found again.
//! What is the same in nearly every draft has a short constructor here.

use super::control_sizes::ControlSizes;
use super::{BandSizes, DraftBearing, DraftDial, DraftFound, DraftMeasured, GearKind, Length, Pitch, PlateSizes, Side};
use crate::exact::{Fraction, fraction};
use serde::Serialize;

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
    /// The pressure angle of all spur gears, in degrees; 20 where none is given.
    pub pressure_angle: Option<Fraction>,
    /// The profile shifts of spur gears; 0 where none is given.
    pub profile_shifts: Vec<DraftShift>,
    /// The efficiency of every mesh that does not give its own.
    pub efficiency: Option<Fraction>,
    /// What turns on the main axis.
    pub members: Vec<DraftMember>,
    /// What turns on pins of a carrier, or on a fixed axis beside the main one.
    pub planets: Vec<DraftPlanet>,
    /// Which gears mesh.
    pub meshes: Vec<DraftMesh>,
    /// Members fixed to one another for good.
    pub joins: Vec<Pair<String>>,
    /// Clusters that were measured one by one.
    pub measured: Vec<DraftMeasured>,
    /// Bands, clutches and one-way clutches.
    pub controls: Vec<DraftControl>,
    /// What bears on what, apart from planets on their pins.
    pub bearings: Vec<DraftBearing>,
    /// The states in which the gearset is used.
    pub states: Vec<DraftState>,
    /// What the marks of a planet show now, where somebody read them.
    pub found: Option<DraftFound>,
}

impl Draft {
    /// Every gear, in the order of [`Gearset::gears`](super::Gearset::gears), to be changed.
    ///
    /// # Examples
    /// ```
    /// use toothmark::gearset::{Draft, DraftGear, DraftMember};
    /// let mut draft = Draft::default();
    /// draft.members.push(DraftMember::new("sun", [DraftGear::sun("S", 24)]));
    /// draft.gears_mut().for_each(|gear| gear.tooth_count += 1);
    /// assert_eq!(draft.members[0].gears[0].tooth_count, 25);
    /// ```
    pub fn gears_mut(&mut self) -> impl Iterator<Item = &mut DraftGear> {
        let of_members = self.members.iter_mut().flat_map(|member| &mut member.gears);
        of_members.chain(self.planets.iter_mut().flat_map(|planet| &mut planet.gears))
    }
}

/// The profile shift of a gear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftShift {
    /// The gear.
    pub gear: String,
    /// How far the teeth stand farther out from the axis than usual, in modules; for a ring as well.
    pub modules: Fraction,
}

/// A member on the main axis, with the gears solid with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftMember {
    /// The member's name.
    pub name: String,
    /// Its gears.
    pub gears: Vec<DraftGear>,
}

impl DraftMember {
    /// A member with its gears; a carrier may have none.
    pub fn new(name: impl Into<String>, gears: impl IntoIterator<Item = DraftGear>) -> Self {
        Self { name: name.into(), gears: gears.into_iter().collect() }
    }
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

impl DraftPlanet {
    /// A planet or cluster with its gears.
    pub fn new(
        name: impl Into<String>,
        carrier: impl Into<String>,
        pins: DraftPins,
        gears: impl IntoIterator<Item = DraftGear>,
    ) -> Self {
        Self { name: name.into(), carrier: carrier.into(), pins, gears: gears.into_iter().collect() }
    }
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

impl DraftGear {
    /// An external gear of a member.
    pub fn sun(name: impl Into<String>, tooth_count: i64) -> Self {
        Self { name: name.into(), kind: GearKind::External, tooth_count }
    }

    /// An internal gear of a member.
    pub fn ring(name: impl Into<String>, tooth_count: i64) -> Self {
        Self { name: name.into(), kind: GearKind::Internal, tooth_count }
    }

    /// A bevel gear of a member, at this side of the planet pins.
    pub fn bevel(name: impl Into<String>, tooth_count: i64, side: Side) -> Self {
        Self { name: name.into(), kind: GearKind::BevelCentral(side), tooth_count }
    }

    /// An external gear of a planet.
    pub fn planet(name: impl Into<String>, tooth_count: i64) -> Self {
        Self { name: name.into(), kind: GearKind::External, tooth_count }
    }

    /// An internal gear of a planet.
    pub fn internal_planet(name: impl Into<String>, tooth_count: i64) -> Self {
        Self { name: name.into(), kind: GearKind::Internal, tooth_count }
    }

    /// A bevel gear of a planet.
    pub fn bevel_planet(name: impl Into<String>, tooth_count: i64) -> Self {
        Self { name: name.into(), kind: GearKind::BevelPlanet, tooth_count }
    }
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
    /// A dial reading that tells it, where `backlash` does not.
    pub dial: Option<DraftDial>,
    /// The efficiency of this mesh, if not that of the set.
    pub efficiency: Option<Fraction>,
}

impl DraftMesh {
    /// Two gears in mesh, with the pitch and backlash of the set.
    pub fn of(first: impl Into<String>, second: impl Into<String>) -> Self {
        Self { gears: Pair::of(first, second), pitch: None, backlash: None, dial: None, efficiency: None }
    }
}

/// Two things that belong together, in the order in which they were named; serialised as a list of the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema), schemars(with = "[T; 2]"))]
#[serde(into = "[T; 2]", bound = "T: Clone + Serialize")]
pub struct Pair<T> {
    /// The first named.
    pub first: T,
    /// The second named.
    pub second: T,
}

impl<T> From<Pair<T>> for [T; 2] {
    fn from(pair: Pair<T>) -> Self {
        [pair.first, pair.second]
    }
}

impl<T> Pair<T> {
    /// Two things in this order.
    ///
    /// # Examples
    /// ```
    /// use toothmark::gearset::Pair;
    /// let join: Pair<String> = Pair::of("ring", "case");
    /// assert_eq!(join.both(), ["ring", "case"]);
    /// ```
    pub fn of(first: impl Into<T>, second: impl Into<T>) -> Self {
        Self { first: first.into(), second: second.into() }
    }

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
    /// Those of a band or of plates, as the action is.
    sizes: Option<ControlSizes>,
}

impl DraftControl {
    /// A control without sizes.
    pub fn new(name: impl Into<String>, action: Action<String>) -> Self {
        Self { name: name.into(), action, sizes: None }
    }

    /// A band with what is known of it.
    pub fn band_with(name: impl Into<String>, member: impl Into<String>, sizes: BandSizes) -> Self {
        let given = sizes != BandSizes::default();
        Self { sizes: given.then(|| ControlSizes::Band(Box::new(sizes))), ..Self::band(name, member) }
    }

    /// A clutch with what is known of its plates.
    pub fn clutch_with(name: impl Into<String>, members: Pair<String>, sizes: PlateSizes) -> Self {
        let given = sizes != PlateSizes::default();
        let sizes = given.then(|| ControlSizes::Plates(Box::new(sizes)));
        Self { sizes, ..Self::new(name, Action::Clutch(members)) }
    }

    /// The sizes of a band, where they are given.
    pub fn band_sizes(&self) -> Option<&BandSizes> {
        match (&self.action, &self.sizes) {
            (Action::Band(_), Some(ControlSizes::Band(sizes))) => Some(sizes),
            _ => None,
        }
    }

    /// The sizes of the plates of a clutch, where they are given.
    pub fn plate_sizes(&self) -> Option<&PlateSizes> {
        match (&self.action, &self.sizes) {
            (Action::Clutch(_), Some(ControlSizes::Plates(sizes))) => Some(sizes),
            _ => None,
        }
    }

    /// A band on a member.
    pub fn band(name: impl Into<String>, member: impl Into<String>) -> Self {
        Self::new(name, Action::Band(member.into()))
    }

    /// A clutch between two members.
    pub fn clutch(name: impl Into<String>, first: impl Into<String>, second: impl Into<String>) -> Self {
        Self::new(name, Action::Clutch(Pair::of(first, second)))
    }

    /// A one-way clutch that keeps the first of a pair of members from turning, against the
    /// second, in this sense.
    pub fn one_way_clutch(name: impl Into<String>, members: Pair<String>, stops: Sense) -> Self {
        Self::new(name, Action::OneWayClutch(members, stops))
    }
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Sense {
    /// The sense in which the input turns.
    Forward,
    /// The other.
    Backward,
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

/// A state with its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftState {
    /// The state's name.
    pub name: String,
    /// What is done in this state.
    pub conditions: DraftConditions,
}

impl DraftState {
    /// A state in which these controls are applied, and no other.
    pub fn apply<N: Into<String>>(name: impl Into<String>, controls: impl IntoIterator<Item = N>) -> Self {
        let controls = controls.into_iter().map(Into::into).collect();
        Self { name: name.into(), conditions: DraftConditions::Apply(controls) }
    }

    /// A state that says itself what is held, what drives and what is driven.
    pub fn given(name: impl Into<String>, given: Given) -> Self {
        Self { name: name.into(), conditions: DraftConditions::Given(Box::new(given)) }
    }
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
