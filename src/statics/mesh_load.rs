//! The torque of one mesh, and the power that rolls through it.
//!
//! A torque of f per tooth puts z f on each of the two members; seen from the carrier the power `z_a f (w_A - w_C)`
//! rolls from tooth to tooth.

use crate::exact::{Fraction, multiple};
use crate::gearset::{GearId, GearKind, Gearset, MatrixEntry, MemberId, MeshId, SignedGear};
use crate::kinematics::{Speed, StateMotion};
use num_traits::{One, Zero};

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

/// What a torque of 1 per tooth puts on the members of the first and second gear of a mesh, and on the carrier.
///
/// The pin of a planet lies along the main axis, so that what the teeth put on the planet about its pin is left over
/// for the carrier. That of a bevel planet lies across it: the carrier takes the whole of what the central gear gives.
pub(super) fn lever_arms(set: &Gearset, mesh: MeshId) -> [MatrixEntry; 3] {
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

/// Torque times speed; what carries no torque needs no speed.
pub(super) fn power(torque: &Fraction, speed: Option<&Fraction>) -> Option<Fraction> {
    if torque.is_zero() {
        return Some(Fraction::zero());
    }
    let speed = speed?;
    Some(if speed.is_zero() {
        Fraction::zero()
    } else if torque.is_one() {
        speed.clone()
    } else {
        torque * speed
    })
}
