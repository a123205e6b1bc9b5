//! Do all meshes of a planet keep its pin at one distance from the main axis?
//!
//! Tooth counts, profile shifts and modules of each mesh count. Where no module is given all teeth are taken to be of
//! one size, and distances are in modules; what has a module and what has none cannot be compared.

use super::fitted::{mesh_distance, mesh_module};
use crate::gearset::{Gearset, MemberId, MeshId};

/// The centre distance that a mesh asks of a planet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct AskedDistance {
    pub(crate) mesh: MeshId,
    /// In modules of the mesh.
    pub(crate) modules: f64,
    /// In millimetres, where the mesh has a pitch.
    pub(crate) millimetres: Option<f64>,
}

impl AskedDistance {
    /// Whether the other asks for the same distance; `None` where only one has a pitch.
    pub(crate) fn is_that_of(&self, other: &Self) -> Option<bool> {
        /// Shifts are commonly written with two decimals, so distances as near as that are one.
        const ROUNDING: f64 = 0.01;
        match (self.millimetres, other.millimetres) {
            (Some(one), Some(another)) => Some((one - another).abs() < ROUNDING * one / self.modules),
            (None, None) => Some((self.modules - other.modules).abs() < ROUNDING),
            _ => None,
        }
    }
}

/// What the meshes of a planet with spur gears of the main axis ask for; a mesh whose counts and shifts leave no distance
/// is passed over.
pub(crate) fn asked_distances(set: &Gearset, planet: MemberId) -> Vec<AskedDistance> {
    set.meshes_of_all(set.member(planet).gears())
        .into_iter()
        .filter(|&mesh| is_with_main_axis(set, mesh, planet))
        .filter_map(|mesh| asked_distance(set, mesh))
        .collect()
}

/// Whether a mesh of this planet with a spur gear of the main axis has counts and shifts that leave no distance.
pub(crate) fn leaves_no_distance(set: &Gearset, mesh: MeshId, planet: MemberId) -> bool {
    is_with_main_axis(set, mesh, planet) && mesh_distance(set, mesh).is_none()
}

/// Whether this is a mesh of a planet with a spur gear of the main axis.
pub(crate) fn is_with_main_axis(set: &Gearset, mesh: MeshId, planet: MemberId) -> bool {
    let [a, b] = set.mesh(mesh).gears().each().map(|gear| set.gear(gear));
    let with = |one: MemberId, other: MemberId| one == planet && set.carrier_of(other).is_none();
    !a.kind().is_bevel() && (with(a.member(), b.member()) || with(b.member(), a.member()))
}

/// What a mesh asks for; `None` where its counts and shifts leave no distance.
pub(crate) fn asked_distance(set: &Gearset, mesh: MeshId) -> Option<AskedDistance> {
    let distance = mesh_distance(set, mesh)?;
    let has_pitch = set.mesh(mesh).pitch().is_some();
    Some(AskedDistance { mesh, modules: distance / mesh_module(set, mesh), millimetres: has_pitch.then_some(distance) })
}
