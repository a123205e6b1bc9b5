//! Which meshes of a group lie in one axial plane?
//!
//! A description says nothing of planes, so they are made of what can stand in one: meshes that
//! share a gear come together as long as the plane holds no two gears of one body, no two suns, no
//! two rings, no planet at two centre distances, and no gears that would touch without being in
//! mesh. Each mesh begins as a plane of its own, and planes are joined in the order of the meshes.

use super::NotPlaced;
use super::fitted::{TeethInMesh, as_described};
use super::gaps::{PlacedGroup, SizedGroup, in_mesh, least_gap};
use super::pins::PinCircles;
use crate::gearset::{GearId, GearKind, Gearset, MeshId, PlanetGroup};

/// An axial plane.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plane {
    /// Its meshes, in the order of the description.
    pub meshes: Vec<MeshId>,
    /// Its gears, each once: those on the main axis first.
    pub gears: Vec<GearId>,
}

/// The axial planes of a group, in the order of their first mesh.
///
/// # Errors
/// [`NotPlaced`] where the centre distances do not follow from the description.
///
/// # Examples
/// ```
/// use toothmark::{description, clearance::planes};
/// let set = description::read(description::example("village-bus-automatic").unwrap()).unwrap();
/// let planes = planes(&set, &set.planet_groups()[0]).unwrap();
/// // Two suns on one axis cannot stand in one plane.
/// assert_eq!(planes.iter().map(|plane| plane.meshes.len()).collect::<Vec<_>>(), [3, 1]);
/// ```
pub fn planes(set: &Gearset, group: &PlanetGroup) -> Result<Vec<Plane>, NotPlaced> {
    let teeth = TeethInMesh::of_group(set, group, &as_described(set));
    let circles = PinCircles::of_teeth(set, group, &teeth)?;
    Ok(join(set, group, &teeth, &circles))
}

pub(crate) fn join(set: &Gearset, group: &PlanetGroup, teeth: &TeethInMesh, circles: &PinCircles) -> Vec<Plane> {
    let count = as_described(set);
    let sizes = SizedGroup { set, group, count: &count, places: group.places() };
    let placed = PlacedGroup { sizes: &sizes, teeth, circles };
    let mut planes: Vec<Plane> = group.meshes().iter().map(|&mesh| plane_of(set, vec![mesh])).collect();
    while let Some((kept, joined)) = next_pair(&placed, &planes) {
        let other = planes.remove(joined);
        let mut meshes = [planes[kept].meshes.clone(), other.meshes].concat();
        meshes.sort();
        planes[kept] = plane_of(set, meshes);
    }
    planes
}

fn plane_of(set: &Gearset, meshes: Vec<MeshId>) -> Plane {
    let mut gears: Vec<GearId> = meshes.iter().flat_map(|&mesh| set.mesh(mesh).gears().each()).collect();
    gears.sort_by_key(|&gear| (set.carrier_of(set.gear(gear).member()).is_some(), gear));
    gears.dedup();
    Plane { meshes, gears }
}

/// The first two planes that can be one.
fn next_pair(placed: &PlacedGroup<'_>, planes: &[Plane]) -> Option<(usize, usize)> {
    let (set, circles) = (placed.sizes.set, placed.circles);
    let pairs = (0..planes.len()).flat_map(|kept| (kept + 1..planes.len()).map(move |joined| (kept, joined)));
    pairs.into_iter().find(|&(kept, joined)| {
        let (a, b) = (&planes[kept], &planes[joined]);
        let shares = a.gears.iter().any(|gear| b.gears.contains(gear));
        shares
            && agrees(circles, &a.meshes, &b.meshes)
            && has_room(set, &a.gears, &b.gears)
            && a.gears.iter().all(|&one| b.gears.iter().all(|&other| is_clear(placed, [one, other])))
    })
}

/// Whether no planet would stand at two distances.
fn agrees(circles: &PinCircles, a: &[MeshId], b: &[MeshId]) -> bool {
    a.iter().chain(b).all(|&mesh| circles.is_at_its_own(mesh))
}

/// Whether no two different gears would be in one another's place.
fn has_room(set: &Gearset, a: &[GearId], b: &[GearId]) -> bool {
    let place = |gear: GearId| {
        let gear = set.gear(gear);
        let on_pin = set.carrier_of(gear.member()).is_some();
        (on_pin.then_some(gear.member()), gear.kind() == GearKind::Internal && !on_pin)
    };
    a.iter().all(|&one| b.iter().all(|&other| one == other || place(one) != place(other)))
}

/// Whether two gears are one, in mesh, or too far apart to touch on any pin.
fn is_clear(placed: &PlacedGroup<'_>, gears: [GearId; 2]) -> bool {
    let SizedGroup { set, group, .. } = *placed.sizes;
    gears[0] == gears[1] || in_mesh(set, group, gears) || least_gap(placed, gears).is_none_or(|least| least.room > 0.0)
}
