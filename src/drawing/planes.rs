//! Which meshes of a group lie in one axial plane?
//!
//! A description says nothing of planes, so they are made of what can stand in one: meshes that
//! share a gear come together as long as the plane holds no two gears of one body, no two suns, no
//! two rings, no planet at two centre distances, and no gears that would touch without being in
//! mesh. Each mesh begins as a plane of its own, and planes are joined in the order of the meshes.

use super::layout::NotDrawn;
use super::pins::{PinCircles, form, module};
use crate::gearset::{GearId, GearKind, Gearset, MeshId, PlanetGroup};
use crate::tooth::Teeth;

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
/// [`NotDrawn`] where the centre distances do not follow from the description.
///
/// # Examples
/// ```
/// use toothmark::{description, drawing::planes};
/// let set = description::read(description::example("village-bus-automatic").unwrap()).unwrap();
/// let planes = planes(&set, &set.planet_groups()[0]).unwrap();
/// // Two suns on one axis cannot stand in one plane.
/// assert_eq!(planes.iter().map(|plane| plane.meshes.len()).collect::<Vec<_>>(), [3, 1]);
/// ```
pub fn planes(set: &Gearset, group: &PlanetGroup) -> Result<Vec<Plane>, NotDrawn> {
    let circles = PinCircles::new(set, group)?;
    Ok(join(set, group, &circles))
}

pub(super) fn join(set: &Gearset, group: &PlanetGroup, circles: &PinCircles) -> Vec<Plane> {
    let mut planes: Vec<Plane> = group.meshes().iter().map(|&mesh| plane_of(set, vec![mesh])).collect();
    while let Some((kept, joined)) = next_pair(set, group, circles, &planes) {
        let other = planes.remove(joined);
        let mut meshes = [planes[kept].meshes.clone(), other.meshes].concat();
        meshes.sort();
        planes[kept] = plane_of(set, meshes);
    }
    planes
}

fn plane_of(set: &Gearset, meshes: Vec<MeshId>) -> Plane {
    let mut gears: Vec<GearId> =
        meshes.iter().flat_map(|&mesh| set.mesh(mesh).gears().both().map(|&gear| gear)).collect();
    gears.sort_by_key(|&gear| (set.carrier_of(set.gear(gear).member()).is_some(), gear));
    gears.dedup();
    Plane { meshes, gears }
}

/// The first two planes that can be one.
fn next_pair(set: &Gearset, group: &PlanetGroup, circles: &PinCircles, planes: &[Plane]) -> Option<(usize, usize)> {
    let pairs = (0..planes.len()).flat_map(|kept| (kept + 1..planes.len()).map(move |joined| (kept, joined)));
    pairs.into_iter().find(|&(kept, joined)| {
        let (a, b) = (&planes[kept], &planes[joined]);
        let shares = a.gears.iter().any(|gear| b.gears.contains(gear));
        shares
            && agrees(circles, &a.meshes, &b.meshes)
            && has_room(set, &a.gears, &b.gears)
            && a.gears.iter().all(|&one| b.gears.iter().all(|&other| is_clear(set, group, circles, [one, other])))
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
fn is_clear(set: &Gearset, group: &PlanetGroup, circles: &PinCircles, [a, b]: [GearId; 2]) -> bool {
    let in_mesh = |mesh: &MeshId| {
        let gears = set.mesh(*mesh).gears();
        gears.both().contains(&&a) && gears.both().contains(&&b)
    };
    if a == b || group.meshes().iter().any(in_mesh) {
        return true;
    }
    let centers = |gear: GearId| -> Vec<[f64; 2]> {
        let planet = set.gear(gear).member();
        if set.carrier_of(planet).is_none() {
            return vec![[0.0; 2]];
        }
        let pins = group.places().iter().map(|place| circles.direction(planet, place).sin_cos());
        pins.map(|(sin, cos)| [circles.radius(planet) * cos, circles.radius(planet) * sin]).collect()
    };
    let [one, other] = [a, b].map(|gear| form(set, gear, module(set, group, gear)));
    let clears = |distance: f64| match (one.teeth, other.teeth) {
        (Teeth::External, Teeth::External) => distance > one.tip_radius() + other.tip_radius(),
        (Teeth::External, Teeth::Internal) => distance + one.tip_radius() < other.tip_radius(),
        (Teeth::Internal, Teeth::External) => distance + other.tip_radius() < one.tip_radius(),
        (Teeth::Internal, Teeth::Internal) => false,
    };
    let others = centers(b);
    centers(a).iter().all(|[x, y]| others.iter().all(|[p, q]| clears((x - p).hypot(y - q))))
}
