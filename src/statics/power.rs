//! Which power goes through a mesh, as seen from the case and as seen from the carrier?
//!
//! A mesh puts the power `z_a f w_A` into the member of gear a. Seen from the carrier it is
//! `z_a f (w_A - w_C)`: what rolls from tooth to tooth, and what losses follow; what comes on top
//! is carried round with the carrier and costs nothing. Both are exact shares of the input power.

use super::loads::{StateLoads, power};
use crate::exact::{Fraction, multiple};
use crate::gearset::{GearId, GearKind, Gearset, MatrixEntry, MemberId, MeshId, SignedGear};
use crate::kinematics::{MemberMotion, StateMotion};
use num_traits::Zero;

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
        let speed = if member == MemberId::CASE && member == carrier {
            Some(Fraction::zero())
        } else {
            motion_of(&state.motion, member).and_then(|found| found.speed.value().cloned())
        };
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
        if torque.is_zero() { Some(Fraction::zero()) } else { Some(torque * passing_teeth(set, mesh, motion)?) }
    });
    MeshLoad { mesh, torque_per_tooth: torque_per_tooth.cloned(), rolling_power }
}

/// `z_a (w_A - w_C)`: the teeth of the first gear that pass the mesh per turn of the input, from the
/// speed of a planet against its carrier, as every mesh has a planet.
pub(super) fn passing_teeth(set: &Gearset, mesh: MeshId, motion: &StateMotion) -> Option<Fraction> {
    let [a, b] = set.matrix().row(mesh).gears;
    let relative = |gear: SignedGear| motion_of(motion, gear.member)?.relative_to_carrier.as_ref()?.value();
    // z_a (w_A - w_C) = -z_b (w_B - w_C)
    let of_a = relative(a).map(|relative| multiple(relative, a.tooth_count));
    of_a.or_else(|| relative(b).map(|relative| multiple(relative, -b.tooth_count)))
}

fn motion_of(motion: &StateMotion, member: MemberId) -> Option<&MemberMotion> {
    motion.members.get(member.index().checked_sub(1)?)
}
