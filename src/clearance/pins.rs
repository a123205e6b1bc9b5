//! Where do the pins stand?
//!
//! Half the signed sum of the tooth counts times the module is the centre distance of a mesh
//! without profile shift; with shifts it is that of teeth without backlash. A planet stands on the pin circle
//! that is described, else at the distance of its first mesh with a central gear; a mesh that asks for another
//! distance is drawn at that. Planets that mesh with one another make triangles with the main axis; of the two
//! solutions the later planet is put counter-clockwise of the earlier, seen from the input side.
//! The description gives no angle between them.

use std::f64::consts::{FRAC_PI_2, TAU};

use super::NotPlaced;
use super::fitted::{Count, MODULE_OF_NONE, TeethInMesh, as_described, mesh_module};
use crate::exact::{Fraction, to_float};
use crate::gearset::{GearId, Gearset, MemberId, MeshId, PlanetGroup};

/// Distances nearer than this are one, in millimetres: shifts are written with few decimals.
pub(crate) const SAME_DISTANCE: f64 = 2e-3;

/// The circles on which the pins of a group stand.
#[derive(Debug, Clone)]
pub(crate) struct PinCircles {
    planets: Vec<OnCircle>,
    meshes: Vec<Distance>,
}

/// A planet on its circle.
#[derive(Debug, Clone, Copy)]
struct OnCircle {
    planet: MemberId,
    radius: f64,
    /// How far its pin is from that of the first planet, in radians, counter-clockwise.
    ahead: f64,
}

/// The centre distance that a mesh asks for.
#[derive(Debug, Clone, Copy)]
struct Distance {
    mesh: MeshId,
    /// The planet, where the other gear is on the main axis.
    planet: Option<MemberId>,
    value: f64,
}

impl PinCircles {
    pub(crate) fn new(set: &Gearset, group: &PlanetGroup) -> Result<Self, NotPlaced> {
        Self::with(set, group, &as_described(set))
    }

    /// With these tooth counts in place of those described.
    pub(crate) fn with(set: &Gearset, group: &PlanetGroup, count: Count<'_>) -> Result<Self, NotPlaced> {
        Self::of_teeth(set, group, &TeethInMesh::of_group(set, group, count))
    }

    /// With these teeth.
    pub(crate) fn of_teeth(set: &Gearset, group: &PlanetGroup, teeth: &TeethInMesh) -> Result<Self, NotPlaced> {
        refuse_what_has_no_pin_circle(set, group)?;
        let distance = |&mesh: &MeshId| distance(set, mesh, teeth);
        let meshes: Vec<Distance> = group.meshes().iter().map(distance).collect::<Result<_, _>>()?;
        let mut circles = Self { planets: Vec::new(), meshes };
        for &planet in group.planets() {
            let own = circles.meshes.iter().find(|distance| distance.planet == Some(planet));
            let known = teeth.circles.of_planet(planet);
            let radius = known.or(own.map(|distance| distance.value)).ok_or(NotPlaced::NoDistance(planet))?;
            circles.planets.push(OnCircle { planet, radius, ahead: f64::NAN });
        }
        circles.planets[0].ahead = 0.0;
        circles.set_out(set)?;
        Ok(circles)
    }

    /// Puts every planet beside one that it meshes with, and sees that all these meshes have their distance.
    fn set_out(&mut self, set: &Gearset) -> Result<(), NotPlaced> {
        let pairs: Vec<(Distance, [MemberId; 2])> = self
            .meshes
            .iter()
            .filter(|distance| distance.planet.is_none())
            .map(|distance| (*distance, members(set, distance.mesh)))
            .collect();
        for _ in 0..self.planets.len() {
            for (distance, members) in &pairs {
                let [a, b] = members.map(|member| self.of(member));
                let (known, open) = match (a.ahead.is_nan(), b.ahead.is_nan()) {
                    (false, true) => (a, b),
                    (true, false) => (b, a),
                    _ => continue,
                };
                let ahead = known.ahead + angle_between(known, open, *distance)?;
                self.planets
                    .iter_mut()
                    .filter(|planet| planet.planet == open.planet)
                    .for_each(|planet| planet.ahead = ahead);
            }
        }
        let unfulfilled = pairs.iter().find(|(distance, members)| {
            let [a, b] = members.map(|member| self.of(member));
            (apart(a, b) - distance.value).abs() > SAME_DISTANCE
        });
        unfulfilled.map_or(Ok(()), |(distance, _)| Err(NotPlaced::NoTriangle(distance.mesh)))
    }

    fn of(&self, planet: MemberId) -> OnCircle {
        let found = self.planets.iter().find(|on_circle| on_circle.planet == planet);
        *found.expect("planets in mesh with one another are of one group")
    }

    /// The direction from the main axis to a pin of a planet, in radians from the positive x axis,
    /// counter-clockwise seen from the input side: the place 0 is upward.
    pub(crate) fn direction(&self, planet: MemberId, place: &Fraction) -> f64 {
        FRAC_PI_2 + TAU * to_float(place) + self.of(planet).ahead
    }

    /// The radius of the circle on which the pins of a planet stand.
    pub(crate) fn radius(&self, planet: MemberId) -> f64 {
        self.of(planet).radius
    }

    /// The radius at which a planet is drawn in a plane with these meshes.
    pub(crate) fn radius_in(&self, planet: MemberId, meshes: &[MeshId]) -> f64 {
        let asks =
            self.meshes.iter().find(|distance| distance.planet == Some(planet) && meshes.contains(&distance.mesh));
        asks.map_or_else(|| self.radius(planet), |distance| distance.value)
    }

    /// Whether a mesh asks for no other distance than its planet's.
    pub(crate) fn is_at_its_own(&self, mesh: MeshId) -> bool {
        self.meshes.iter().filter(|distance| distance.mesh == mesh).all(|distance| {
            distance.planet.is_none_or(|planet| (distance.value - self.radius(planet)).abs() < SAME_DISTANCE)
        })
    }

    /// Whether every mesh has the distance of its planet.
    pub(crate) fn is_nominal(&self) -> bool {
        self.meshes.iter().all(|distance| self.is_at_its_own(distance.mesh))
    }
}

/// The module of a gear in a group, from its first mesh; that of a drawing not to scale where none
/// is given.
pub(crate) fn module(set: &Gearset, group: &PlanetGroup, gear: GearId) -> f64 {
    let mut meshes = group.meshes().iter().filter(|&&mesh| set.mesh(mesh).gears().contains(&gear));
    meshes.next().map_or(MODULE_OF_NONE, |&mesh| mesh_module(set, mesh))
}

fn refuse_what_has_no_pin_circle(set: &Gearset, group: &PlanetGroup) -> Result<(), NotPlaced> {
    if group.meshes().is_empty() {
        return Err(NotPlaced::NoMesh);
    }
    let gears = group.meshes().iter().flat_map(|&mesh| set.mesh(mesh).gears().each());
    for gear in gears {
        if set.gear(gear).kind().is_bevel() {
            return Err(NotPlaced::Bevel(gear));
        }
        let meshes = group.meshes().iter().filter(|&&mesh| set.mesh(mesh).gears().contains(&gear));
        if meshes
            .map(|&mesh| mesh_module(set, mesh))
            .any(|other| (other - module(set, group, gear)).abs() > SAME_DISTANCE)
        {
            return Err(NotPlaced::TwoPitches(gear));
        }
    }
    Ok(())
}

fn distance(set: &Gearset, mesh: MeshId, teeth: &TeethInMesh) -> Result<Distance, NotPlaced> {
    let on_pin = |member: &MemberId| set.carrier_of(*member).is_some();
    let members = members(set, mesh);
    let planet = if members.iter().all(on_pin) { None } else { members.into_iter().find(on_pin) };
    let value = teeth.distance(mesh).ok().filter(|distance| *distance > SAME_DISTANCE);
    Ok(Distance { mesh, planet, value: value.ok_or(NotPlaced::NoCenterDistance(mesh))? })
}

fn members(set: &Gearset, mesh: MeshId) -> [MemberId; 2] {
    set.mesh(mesh).gears().each().map(|gear| set.gear(gear).member())
}

/// The law of cosines: from the direction of one pin to that of the other.
fn angle_between(a: OnCircle, b: OnCircle, distance: Distance) -> Result<f64, NotPlaced> {
    let cosine = (a.radius.powi(2) + b.radius.powi(2) - distance.value.powi(2)) / (2.0 * a.radius * b.radius);
    if cosine.abs() > 1.0 { Err(NotPlaced::NoTriangle(distance.mesh)) } else { Ok(cosine.acos()) }
}

/// The distance between two pins, by the law of cosines.
fn apart(a: OnCircle, b: OnCircle) -> f64 {
    let angle = b.ahead - a.ahead;
    (a.radius.powi(2) + b.radius.powi(2) - 2.0 * a.radius * b.radius * angle.cos()).max(0.0).sqrt()
}
