//! What backlash has a mesh, so that every answer on seatings and matches takes the same?
//!
//! That which is described; where none is, that of its teeth as they fit: their shifts, their thinning, the pin circle
//! ([`MeshInPlace`]).

use crate::clearance::{MeshInPlace, TeethInMesh, as_described};
use crate::gearset::{Gearset, Length, MeshId, TimingRow};

/// The meshes of rows in their places; none where one has no pitch, is of bevel gears, or has no place.
pub(super) fn meshes_in_place(set: &Gearset, rows: &[TimingRow]) -> Vec<Option<MeshInPlace>> {
    let meshes: Vec<MeshId> = rows.iter().map(|row| row.mesh).collect();
    let teeth = TeethInMesh::of_meshes(set, &meshes, &as_described(set));
    let in_place = |&mesh: &MeshId| {
        let is_spur = !set.gear(set.mesh(mesh).gears().first).kind().is_bevel();
        set.mesh(mesh).pitch().filter(|_| is_spur)?;
        MeshInPlace::new(set, &teeth, mesh)
    };
    meshes.iter().map(in_place).collect()
}

/// The backlash of a mesh in millimetres at the pitch circle, below 0 where it binds; none where nothing tells it.
pub(super) fn known_backlash(set: &Gearset, mesh: MeshId, in_place: Option<&MeshInPlace>) -> Option<f64> {
    let described = set.mesh(mesh).backlash().map(Length::millimetres);
    described.or_else(|| in_place.and_then(MeshInPlace::known_backlash))
}

/// The backlash of each row. Teeth are looked at only where some backlash is not described.
pub(super) fn known_backlashes(set: &Gearset, rows: &[TimingRow]) -> Vec<Option<f64>> {
    let is_described = |row: &TimingRow| set.mesh(row.mesh).backlash().is_some();
    let in_place = if rows.iter().all(is_described) { vec![None; rows.len()] } else { meshes_in_place(set, rows) };
    rows.iter().zip(&in_place).map(|(row, mesh)| known_backlash(set, row.mesh, mesh.as_ref())).collect()
}
