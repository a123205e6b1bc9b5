//! What is told of the backlash of a gearset: every mesh, every pin, who carries first.
//!
//! Lengths are millimetres; backlash is told at the working circles, across the flanks and at the pitch circles, and
//! below zero where the gears do not turn.

use serde::Serialize;

use crate::clearance::BacklashSource;
use crate::gearset::{GearId, MemberId, MeshId};
use crate::statics::PowerSense;
use crate::timing::FirstContact;
use crate::tooth::MeshBacklash;

/// The backlash of every mesh on every pin, and which pins carry first.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BacklashSurvey {
    /// The title of the gearset.
    pub gearset: String,
    /// Planets that are timed together, in the order of the description.
    pub groups: Vec<GroupBacklash>,
    /// Whether some mesh binds on some pin.
    pub binds: bool,
    /// Gears that run out, as they were given.
    pub run_outs: Vec<RunOut>,
}

/// The backlash of planets that are timed together.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GroupBacklash {
    /// The planets.
    pub planets: Vec<MemberId>,
    /// The carrier of their pins.
    pub carrier: MemberId,
    /// How many pins each of them has.
    pub pin_count: usize,
    /// Why no backlash is told; none where it is.
    pub untold: Option<BacklashUntold>,
    /// Every mesh, in the order of the description.
    pub meshes: Vec<BacklashOfMesh>,
    /// Every pin, planet by planet.
    pub pins: Vec<PinStand>,
    /// Which pins carry first, for each two central bodies that the planets carry torque between.
    pub contacts: Vec<CarryingContact>,
    /// Whether the index of the clusters is measured, and counts as well in who carries first.
    pub has_measured_clusters: bool,
    /// Why it is not told which pins carry first; none where it is.
    pub contacts_untold: Option<ContactsUntold>,
    /// The state and the sense of power in which the last pin begins to carry latest: its place in the contacts; none
    /// where all pins begin to carry at once.
    pub worst_contact: Option<usize>,
}

/// Why no backlash is told of planets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub enum BacklashUntold {
    /// Some mesh has no pitch.
    #[serde(rename = "no pitch")]
    NoPitch,
    /// The gears are bevel gears.
    #[serde(rename = "bevel gears")]
    Bevel,
    /// No place of the pins fits the teeth.
    #[serde(rename = "no place for the pins")]
    NotPlaced,
}

/// Why it is not told which pins carry first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub enum ContactsUntold {
    /// There is one pin.
    #[serde(rename = "one pin")]
    OnePin,
    /// Planets mesh with one another.
    #[serde(rename = "meshed planets")]
    MeshedPlanets,
    /// The planets do not assemble on these pins.
    #[serde(rename = "do not assemble")]
    DoNotAssemble,
    /// The planets mesh with one central body, or with bodies of which it is not known how their gears stand.
    #[serde(rename = "no two central bodies")]
    NoTwoBodies,
}

/// The backlash of one mesh.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BacklashOfMesh {
    /// The mesh.
    pub mesh: MeshId,
    /// Where its backlash is known from.
    pub source: BacklashSource,
    /// With every pin in its place and every planet in the middle of its bush.
    pub as_described: BacklashSizes,
    /// The least that it comes to: on the worst pin, the planet pushed to one side of its bush, gears run out worst, the
    /// radius of the pin off by as much as it may be.
    pub least: BacklashSizes,
    /// The pin on which that is.
    pub least_on_pin: usize,
    /// On the pin on which it is least now, the planet in the middle of its bush.
    pub now: BacklashSizes,
    /// The pin on which that is.
    pub now_on_pin: usize,
    /// The most that it comes to.
    pub most: BacklashSizes,
    /// What a hand can rock at the working circle on the pin on which that is most: its backlash and the clearance of
    /// the bushes, along the circle.
    pub rocked_mm: f64,
    /// What becomes of it; none where no backlash is known.
    pub verdict: Option<BacklashVerdict>,
    /// The same for each pin.
    pub pins: Vec<BacklashOnPin>,
    /// The centre distance with every pin in its place.
    pub center_distance_mm: f64,
    /// The pressure angle at the working circles, there.
    pub working_pressure_angle_degrees: f64,
    /// Whether the gears are so tight that warmth may take what is left: less than 3 % of the module.
    pub is_short: bool,
}

/// One backlash in its three measures.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BacklashSizes {
    /// As an arc at the working circles.
    pub at_working_circle_mm: f64,
    /// Across the flanks, as a feeler gauge finds it.
    pub normal_mm: f64,
    /// As an arc at the pitch circles, as it is described.
    pub at_pitch_circle_mm: f64,
}

impl From<MeshBacklash> for BacklashSizes {
    fn from(found: MeshBacklash) -> Self {
        Self {
            at_working_circle_mm: found.at_working_circle,
            normal_mm: found.normal,
            at_pitch_circle_mm: found.at_pitch_circle,
        }
    }
}

/// What becomes of the backlash of a mesh.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum BacklashVerdict {
    /// There is some at every time.
    #[serde(rename = "turns")]
    Turns,
    /// There is just none at some time, within what numbers can tell.
    #[serde(rename = "just")]
    Just,
    /// There is none with the planet pushed to one side of its bush, or where gears run out.
    #[serde(rename = "may bind")]
    MayBind,
    /// There is none with the planet in the middle of its bush.
    #[serde(rename = "binds")]
    Binds,
}

/// The backlash of one mesh on one pin.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BacklashOnPin {
    /// The pin, counted from 1.
    pub pin: usize,
    /// With the planet in the middle of its bush.
    pub now: BacklashSizes,
    /// The least, the planet pushed to one side of its bush, gears run out worst, its radius off by as much as it may be.
    pub least: BacklashSizes,
    /// The most.
    pub most: BacklashSizes,
    /// What becomes of it; none where no backlash is known.
    pub verdict: Option<BacklashVerdict>,
    /// Where it binds: how much has to come off the two gears together, as an arc at the pitch circle, before there is
    /// any backlash.
    pub to_take_off_mm: Option<f64>,
    /// Where it binds with a central gear: how much further out the pin would have to stand, below zero how much
    /// further in.
    pub to_move_outward_mm: Option<f64>,
    /// The centre distance.
    pub center_distance_mm: f64,
}

/// How a pin stands, and what that leaves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PinStand {
    /// The planet.
    pub planet: MemberId,
    /// The pin, counted from 1.
    pub pin: usize,
    /// How much further out than its circle it stands.
    pub outward_mm: f64,
    /// How much that may be off, where it was measured.
    pub outward_uncertainty_mm: f64,
    /// How far along its circle, counter-clockwise seen from the input side.
    pub ahead_mm: f64,
    /// The clearance of its bush on the diameter.
    pub bush_clearance_mm: f64,
    /// The mesh of the planet that has least backlash there now.
    pub tightest: Option<MeshId>,
    /// What becomes of the tightest; none where no backlash is known.
    pub verdict: Option<BacklashVerdict>,
    /// How much further out the pin has to stand so that nothing binds there, below zero how much further in; none
    /// where nothing binds, and where no place of the pin helps.
    pub to_move_outward_mm: Option<f64>,
}

/// A gear that runs out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RunOut {
    /// The gear.
    pub gear: GearId,
    /// What a dial shows over a turn: twice how far its teeth stand out of the middle.
    pub mm: f64,
}

impl RunOut {
    /// Of a gear, in millimetres over a turn.
    pub fn new(gear: GearId, mm: f64) -> Self {
        Self { gear, mm }
    }
}

/// Who carries first between two central bodies.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CarryingContact {
    /// The states in which the planets carry torque so.
    pub load_cases: Vec<LoadCase>,
    /// The pins in the order in which they begin to carry.
    pub contact: FirstContact,
    /// Whether the planets put no torque on their carrier so, as both central gears are at one ratio to them.
    pub leaves_carrier_unloaded: bool,
    /// How the pins share the load, in each of these states or under the force that is given; empty where no stiffness
    /// is given.
    pub shares: Vec<SharedByPins>,
}

/// A state in which planets carry torque.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LoadCase {
    /// The state.
    pub state: String,
    /// Which end of the train drives, with a torque in the positive sense where that is the input.
    pub power: PowerSense,
}

/// How pins share a load, as equal springs between rigid bodies.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SharedByPins {
    /// The state with its sense of power; none under a force that is given.
    pub load_case: Option<LoadCase>,
    /// The force of the pushing gear on all pins together, in newtons at its working circle.
    pub force_newtons: f64,
    /// Each pin, in their order.
    pub pins: Vec<PinShare>,
    /// The force from which on all of them carry.
    pub all_carry_from_newtons: f64,
    /// The largest share of a pin times the number of pins: 1 where they share alike.
    pub worst_share: f64,
    /// The gear that floats, if one does.
    pub floats: Option<GearId>,
}

/// What one pin carries.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PinShare {
    /// The pin, counted from 1.
    pub pin: usize,
    /// Its force, in newtons at the working circle of the pushing gear.
    pub newtons: f64,
    /// The force of all from which on it carries.
    pub carries_from_newtons: f64,
}
