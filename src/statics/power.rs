//! Which power goes through a mesh, as seen from the case and as seen from the carrier?
//!
//! A mesh puts the power `z_a f w_A` into the member of gear a. Seen from the carrier it is
//! `z_a f (w_A - w_C)`: what rolls from tooth to tooth, and what losses follow; what comes on top
//! is carried round with the carrier and costs nothing. Both are exact shares of the input power.

use super::loads::{Balanced, StateLoads};
use super::mesh_load::{lever_arms, passing_teeth, power};
use crate::exact::{Fraction, multiple};
use crate::gearset::{Gearset, MatrixEntry, MemberId, MeshId};
use crate::kinematics::{Speed, StateMotion};
use num_traits::{Signed, Zero};
use serde::Serialize;

/// What a mesh does in a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MeshWork {
    /// It rolls and passes power.
    Loaded,
    /// It rolls and passes none.
    Idle,
    /// It rolls; how much power it passes statics alone do not say.
    Rolls,
    /// Its gears do not move against one another.
    Dead,
    /// The input does not determine how it rolls, or cannot turn.
    #[serde(rename = "not determined")]
    Unknown,
}

/// What a mesh gives, as seen from the case, to the members of its first and second gear and to the
/// carrier, in shares of the input power; together zero. `None` for a bevel planet, which tumbles, and
/// where torque or speed is not known.
///
/// # Examples
/// ```
/// use toothmark::{description, exact::fraction, statics::{LoadOptions, loads, power_given}};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let low = &loads(&set, &LoadOptions::default())[0];
/// // The sun of 24 drives the planet, and the mesh takes its whole power out of it.
/// assert_eq!(power_given(&set, low, set.mesh_ids().next().unwrap())[0], Some(fraction(-1, 1)));
/// ```
pub fn power_given(set: &Gearset, state: &StateLoads, mesh: MeshId) -> [Option<Fraction>; 3] {
    let carrier = set.mesh(mesh).carrier();
    let per_tooth = unit_torque(state, mesh);
    lever_arms(set, mesh).map(|MatrixEntry { coefficient, member }| {
        // The case gives and takes no power as a carrier; as the body of a gear it is not told.
        let speed = state.motion.speed(member).filter(|_| member != MemberId::CASE || member == carrier);
        power(&multiple(per_tooth.as_ref()?, coefficient), speed.as_ref())
    })
}

/// The torque per tooth for the torque 1 on the input.
pub(super) fn unit_torque(state: &StateLoads, mesh: MeshId) -> Option<Fraction> {
    Some(state.meshes[mesh.index()].torque_per_tooth.as_ref()? / &state.torque)
}

/// What a mesh does in a state, by the teeth that pass it and by its torque.
///
/// # Examples
/// ```
/// use toothmark::{description, statics::{LoadOptions, MeshWork, loads_of, mesh_work}};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let low = loads_of(&set, 0, &LoadOptions::default());
/// let work: Vec<MeshWork> = set.mesh_ids().map(|mesh| mesh_work(&set, &low, mesh)).collect();
/// assert_eq!(work, [MeshWork::Loaded, MeshWork::Loaded, MeshWork::Idle]);
/// ```
pub fn mesh_work(set: &Gearset, state: &StateLoads, mesh: MeshId) -> MeshWork {
    match (passing_teeth(set, mesh, &state.motion), &state.meshes[mesh.index()].torque_per_tooth) {
        (Speed::Free | Speed::Locked | Speed::WithoutMeaning, _) => MeshWork::Unknown,
        (Speed::Determined(teeth), _) if teeth.is_zero() => MeshWork::Dead,
        _ if state.balanced == Balanced::WithoutTorque => MeshWork::Idle,
        (_, Some(torque)) if torque.is_zero() => MeshWork::Idle,
        (_, Some(_)) => MeshWork::Loaded,
        (_, None) => MeshWork::Rolls,
    }
}

/// The mesh frequency: how many teeth of either gear engage in one turn of the input, without a sign.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::motion_of, statics::teeth_per_turn};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// // The cluster turns 2/3 against the flywheel: 20 of its 30 teeth pass.
/// let teeth = teeth_per_turn(&set, set.mesh_ids().next().unwrap(), &motion_of(&set, 0));
/// assert_eq!(teeth.value().unwrap().to_string(), "20");
/// ```
pub fn teeth_per_turn(set: &Gearset, mesh: MeshId, motion: &StateMotion) -> Speed {
    match passing_teeth(set, mesh, motion) {
        Speed::Determined(teeth) => Speed::Determined(teeth.abs()),
        other @ (Speed::Free | Speed::Locked | Speed::WithoutMeaning) => other,
    }
}
