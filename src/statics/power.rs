//! Which power goes through a mesh, as seen from the case and as seen from the carrier?
//!
//! A mesh puts the power `z_a f w_A` into the member of gear a. Seen from the carrier it is
//! `z_a f (w_A - w_C)`: what rolls from tooth to tooth, and what losses follow; what comes on top
//! is carried round with the carrier and costs nothing. Both are exact shares of the input power.

use super::loads::{Balanced, StateLoads, power};
use crate::exact::{Fraction, multiple};
use crate::gearset::{GearId, GearKind, Gearset, MatrixEntry, MemberId, MeshId, SignedGear};
use crate::kinematics::{Speed, StateMotion};
use num_traits::{Signed, Zero};
use serde::Serialize;

/// The torque and the power of one mesh.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeshLoad {
    /// The mesh.
    pub mesh: MeshId,
    /// The torque f per tooth: the mesh puts z f on each of its two members, z being the signed tooth
    /// count there; over all pins together.
    pub torque_per_tooth: Option<Fraction>,
    /// What the mesh gives to the first gear as seen from the carrier, as a share of the input power; the
    /// second gives as much. `None` where torque or speed is not known.
    pub rolling_power: Option<Fraction>,
}

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

impl MeshLoad {
    /// The torque of the mesh on the members of its first and second gear, and on the carrier: about the main axis,
    /// on a planet about its own pin.
    pub fn torques(&self, set: &Gearset) -> Option<[Fraction; 3]> {
        let arms = lever_arms(set, self.mesh);
        let per_tooth = self.torque_per_tooth.as_ref()?;
        Some(arms.map(|arm| multiple(per_tooth, arm.coefficient)))
    }

    /// The gear that drives the other and the gear that it drives, as seen from the carrier;
    /// `None` where nothing rolls under load.
    pub fn driver_and_driven(&self, set: &Gearset) -> Option<[GearId; 2]> {
        let gears = set.mesh(self.mesh).gears();
        match self.rolling_power.as_ref()?.cmp(&Fraction::zero()) {
            std::cmp::Ordering::Less => Some([gears.first, gears.second]),
            std::cmp::Ordering::Greater => Some([gears.second, gears.first]),
            std::cmp::Ordering::Equal => None,
        }
    }
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

/// What a torque of 1 per tooth puts on the members of the first and second gear of a mesh, and on the carrier.
///
/// The pin of a planet lies along the main axis, so that what the teeth put on the planet about its pin is left over
/// for the carrier. That of a bevel planet lies across it: the carrier takes the whole of what the central gear gives.
fn lever_arms(set: &Gearset, mesh: MeshId) -> [MatrixEntry; 3] {
    let row = set.matrix().row(mesh);
    let [first, second, mut on_carrier] = row.terms();
    let is_bevel = |gear: &SignedGear| set.gear(gear.gear).kind() == GearKind::BevelPlanet;
    match row.gears.iter().position(is_bevel) {
        Some(0) => on_carrier.coefficient = -second.coefficient,
        Some(_) => on_carrier.coefficient = -first.coefficient,
        None => {}
    }
    [first, second, on_carrier]
}

/// The torque per tooth for the torque 1 on the input.
pub(super) fn unit_torque(state: &StateLoads, mesh: MeshId) -> Option<Fraction> {
    Some(state.meshes[mesh.index()].torque_per_tooth.as_ref()? / &state.torque)
}

pub(super) fn mesh_load(
    set: &Gearset,
    mesh: MeshId,
    torque_per_tooth: Option<&Fraction>,
    motion: &StateMotion,
) -> MeshLoad {
    let rolling_power = torque_per_tooth.and_then(|torque| {
        if torque.is_zero() { Some(Fraction::zero()) } else { Some(torque * passing_teeth(set, mesh, motion).value()?) }
    });
    MeshLoad { mesh, torque_per_tooth: torque_per_tooth.cloned(), rolling_power }
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

/// How many teeth of either gear pass the contact of a mesh in one turn of the input, without a sign.
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

/// `z_a (w_A - w_C)`: the teeth of the first gear that pass the mesh per turn of the input, from the
/// speed of a planet against its carrier, as every mesh has a planet.
pub(super) fn passing_teeth(set: &Gearset, mesh: MeshId, motion: &StateMotion) -> Speed {
    let [a, b] = set.matrix().row(mesh).gears;
    // z_a (w_A - w_C) = -z_b (w_B - w_C), so that where both are planets either will do.
    let of_a = passing_teeth_of(a.member, a.tooth_count, motion);
    let passing = of_a.or_else(|| passing_teeth_of(b.member, -b.tooth_count, motion));
    passing.expect("one of two gears in mesh is a planet's")
}

/// `z (w - w_C)` of a planet; `None` for a member that is none.
fn passing_teeth_of(planet: MemberId, tooth_count: i64, motion: &StateMotion) -> Option<Speed> {
    Some(match motion.member(planet)?.relative_to_carrier.as_ref()? {
        Speed::Determined(relative) => Speed::Determined(multiple(relative, tooth_count)),
        other @ (Speed::Free | Speed::Locked | Speed::WithoutMeaning) => other.clone(),
    })
}
