//! What runs in one state: its members, bearings and meshes.

use serde::Serialize;

use crate::exact::Fraction;
use crate::gearset::{ControlId, MemberId, MeshId};
use crate::kinematics::{MemberSpeed, MotionKind, StateMotion};
use crate::statics::MeshWork;

/// What runs in one state.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RunningState {
    /// The state's name.
    pub state: String,
    /// Every member but the case; speeds are turns per turn of the input.
    pub members: Vec<MemberSpeed>,
    /// Every bearing, in the order of [`bearings`](super::bearings()).
    pub bearings: Vec<RunningBearing>,
    /// Every mesh, in the order of the description.
    pub meshes: Vec<RunningMesh>,
    /// One-way clutches that the state does not list although with its speeds they would hold.
    pub unlisted_one_way_clutches: Vec<ControlId>,
    /// Whether there are meshes and none of them rolls.
    pub no_mesh_rolls: bool,
    /// The planet that turns fastest on its pins.
    pub fastest_on_pins: Option<FastestPart>,
    /// The member of the main axis that turns fastest in the case, the input left out.
    pub fastest_member: Option<FastestPart>,
}

/// The state in which a part turns fastest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FastestPart {
    /// The state.
    pub state: String,
    /// What turns.
    pub member: MemberId,
    /// What it turns against: the carrier of a planet, or the case.
    pub against: MemberId,
    /// Its speed against that, in turns per turn of the input.
    pub speed: Fraction,
}

/// How a bearing turns, and what presses on it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RunningBearing {
    /// The body that runs.
    pub first: MemberId,
    /// What it runs on.
    pub second: MemberId,
    /// Whether the first is a planet on the pins of the second.
    pub on_pin: bool,
    /// The first against the second, in turns per turn of the input.
    pub relative: Option<Fraction>,
    /// The rubbing speed, where the diameter and a speed of the input are given.
    pub rubbing_m_per_s: Option<f64>,
    /// What presses on the bush of a planet, where a torque is given and its force is known.
    pub bush: Option<Bush>,
    /// How the first moves as seen from the second.
    pub motion: MotionKind,
    /// The first against the second in revolutions per minute, where a speed of the input is given.
    pub relative_rpm: Option<Fraction>,
    /// The diameter at which they rub, if it is given.
    pub diameter_mm: Option<f64>,
    /// The width that bears, of all bushes together, if it is given for each of them.
    pub width_mm: Option<f64>,
}

/// What presses on the bush of a planet: an estimate, on the low side where a cluster tilts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Bush {
    /// The force of the teeth on each pin, shared equally.
    pub force_per_pin_newtons: f64,
    /// The mean pressure: the force over the projected area of the bush, diameter times width.
    pub pressure_newtons_per_mm2: Option<f64>,
    /// Pressure times rubbing speed, for which the makers of bushes give a limit: newtons per square millimetre times
    /// metres a second.
    pub pressure_times_speed: Option<f64>,
    /// How many pins share the force.
    pub pins: usize,
}

/// How a mesh rolls.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RunningMesh {
    /// The two gears.
    pub gears: MeshId,
    /// The mesh frequency: how many teeth of either gear engage in one turn of the input; not negative.
    pub teeth: Option<Fraction>,
    /// The mesh frequency: how many teeth pass in a second, where a speed of the input is given.
    pub hertz: Option<Fraction>,
    /// What it does.
    pub work: MeshWork,
    /// How a planet of the mesh moves as seen from its carrier.
    pub motion: MotionKind,
}

/// The speeds of all members at one time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TurningMembers {
    /// The state; none for nothing applied and the output standing, as when a machine starts from rest.
    pub state: Option<String>,
    /// Every member but the case; speeds are turns per turn of the input.
    pub members: Vec<MemberSpeed>,
}

/// The speeds of all members per turn of the input.
pub(super) fn speeds(motion: &StateMotion) -> Vec<MemberSpeed> {
    motion.members.iter().map(MemberSpeed::from).collect()
}
