//! What is legal but worth a second look.
//!
//! Real gearsets break the rule of thumb "ring = sun + 2 planets" by profile shift, so
//! that is a note and never an error; so are gears that touch nothing and controls that
//! no state applies.

use std::collections::HashSet;

use super::{ControlId, GearId, Gearset, MemberId, MeshId, Restraint};

/// Something that may be right and should be looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Note {
    /// Two meshes of one planet, with teeth of one size, do not have the same centre
    /// distance by their counts: sun + planet, or ring - planet. With profile shift they can.
    UnequalCenterDistance {
        /// The planet.
        planet: MemberId,
        /// One mesh.
        first: MeshId,
        /// Its sum or difference of tooth counts.
        first_sum: i64,
        /// The other mesh.
        second: MeshId,
        /// Its sum or difference of tooth counts.
        second_sum: i64,
    },
    /// The backlash of a mesh is more than half a tooth of it, so that teeth would slip by:
    /// most likely a slip of the unit.
    BacklashBeyondHalfATooth(MeshId),
    /// A gear is in mesh with nothing.
    IdleGear(GearId),
    /// No state applies this control.
    UnusedControl(ControlId),
    /// No states are described, so no ratio can be given.
    NoStates,
}

/// Everything worth a second look, in the order of the description.
///
/// Centre distances are compared only between meshes whose pitch is the same, or is not
/// given for either; bevel gears are passed over.
pub fn notes(set: &Gearset) -> Vec<Note> {
    let mut notes = Vec::new();
    for group in set.planet_groups() {
        for &planet in group.planets() {
            notes.extend(unequal_center_distance(set, planet, group.meshes()));
        }
    }
    notes.extend(set.mesh_ids().filter(|&mesh| is_beyond_half_a_tooth(set, mesh)).map(Note::BacklashBeyondHalfATooth));
    let meshed: HashSet<GearId> =
        set.meshes().iter().flat_map(|mesh| [mesh.gears().first, mesh.gears().second]).collect();
    notes.extend(set.gear_ids().filter(|gear| !meshed.contains(gear)).map(Note::IdleGear));
    let applied: HashSet<ControlId> = set
        .states()
        .iter()
        .flat_map(|state| &state.restraints)
        .filter_map(|restraint| match restraint {
            Restraint::Control(control) => Some(*control),
            Restraint::Held(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
        })
        .collect();
    notes.extend(set.control_ids().filter(|control| !applied.contains(control)).map(Note::UnusedControl));
    notes.extend(set.states().is_empty().then_some(Note::NoStates));
    notes
}

fn is_beyond_half_a_tooth(set: &Gearset, mesh: MeshId) -> bool {
    let mesh = set.mesh(mesh);
    let half_a_tooth = mesh.pitch().map(|pitch| pitch.circular_pitch() / 2.0);
    mesh.backlash().zip(half_a_tooth).is_some_and(|(backlash, half)| backlash.millimetres() > half)
}

/// The first pair of meshes of this planet with central gears whose sums differ.
fn unequal_center_distance(set: &Gearset, planet: MemberId, meshes: &[MeshId]) -> Option<Note> {
    let mut sums = meshes.iter().filter_map(|&mesh| Some((mesh, center_sum(set, planet, mesh)?)));
    let (first, first_sum) = sums.next()?;
    let pitch = set.mesh(first).pitch();
    sums.find(|&(mesh, sum)| sum != first_sum && set.mesh(mesh).pitch() == pitch)
        .map(|(second, second_sum)| Note::UnequalCenterDistance { planet, first, first_sum, second, second_sum })
}

/// The signed sum of the two counts of a mesh, which is twice the centre distance in
/// modules; `None` unless this planet meshes here with a spur gear of the main axis.
fn center_sum(set: &Gearset, planet: MemberId, mesh: MeshId) -> Option<i64> {
    let gears = set.mesh(mesh).gears().both().map(|&gear| set.gear(gear));
    let on_planet = gears.iter().any(|gear| gear.member() == planet);
    let central = gears.iter().any(|gear| set.carrier_of(gear.member()).is_none());
    let bevel = gears.iter().any(|gear| gear.kind().is_bevel());
    (on_planet && central && !bevel).then(|| set.matrix().row(mesh).tooth_sum().abs())
}
