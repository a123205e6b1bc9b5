//! How much backlash is left at every mesh of planets on every pin, and which pin has to be set elsewhere?
//!
//! A pin that stands further out by R puts its meshes with central gears at `a + R`; two planets in mesh stand as far
//! apart as their pins do. A bush with the clearance c lets a planet go `c/2` to either side, a gear that runs out by F
//! takes and gives `F/2` once a turn, and a measured radius is good to so much: the least and the most are those at the
//! distances less and more by their sum.

use super::answer::{BacklashOfMesh, BacklashOnPin, BacklashSizes, BacklashVerdict, PinStand};
use super::question::CheckedQuestion;
use crate::clearance::{BacklashSource, MeshInPlace, TeethInMesh, as_described};
use crate::gearset::{Gearset, MemberId, PlanetGroup};
use crate::timing::{PinDeviation, pin_deviations};
use crate::tooth::{RoomVerdict, ToothError};

/// The pins of planets, and their meshes there.
pub(super) struct PinnedMeshes<'a> {
    set: &'a Gearset,
    group: &'a PlanetGroup,
    question: &'a CheckedQuestion<'a>,
    pub(super) meshes: Vec<MeshInPlace>,
    stands: Vec<PinStand>,
}

impl<'a> PinnedMeshes<'a> {
    /// `None` where some mesh has no place.
    pub(super) fn new(set: &'a Gearset, group: &'a PlanetGroup, question: &'a CheckedQuestion<'a>) -> Option<Self> {
        let teeth = TeethInMesh::of_group(set, group, &as_described(set));
        let meshes = group.meshes().iter().map(|&mesh| MeshInPlace::new(set, &teeth, mesh));
        let mut found = Self { set, group, question, meshes: meshes.collect::<Option<_>>()?, stands: Vec::new() };
        found.stands = group.planets().iter().flat_map(|&planet| found.stands_of(planet)).collect();
        Some(found)
    }

    /// The distance of the pins of a planet from the main axis, in millimetres; `None` of one without a central gear.
    fn circle(&self, planet: MemberId) -> Option<f64> {
        self.meshes.iter().find(|mesh| self.planets(mesh) == [planet]).map(|mesh| mesh.distance)
    }

    /// The planets in a mesh: one, or two that mesh with one another.
    fn planets(&self, mesh: &MeshInPlace) -> Vec<MemberId> {
        let members = self.set.mesh(mesh.mesh).gears().each().map(|gear| self.set.gear(gear).member());
        self.group.planets().iter().copied().filter(|planet| members.contains(planet)).collect()
    }

    fn stands_of(&self, planet: MemberId) -> Vec<PinStand> {
        let pin_count = self.group.places().len();
        let off = pin_deviations(self.set, planet, &self.question.pins(planet, pin_count));
        let circumference = self.circle(planet).map_or(0.0, |circle| std::f64::consts::TAU * circle);
        let stand = |pin: usize| {
            let off: Option<&PinDeviation> = off.get(pin);
            PinStand {
                planet,
                pin: pin + 1,
                outward_mm: off.and_then(|off| off.outward_mm).unwrap_or(0.0),
                outward_uncertainty_mm: off.and_then(|off| off.outward_uncertainty_mm).unwrap_or(0.0),
                ahead_mm: off.map_or(0.0, |off| off.degrees / 360.0 * circumference),
                bush_clearance_mm: self.question.clearance(planet, pin + 1),
                tightest: None,
                verdict: None,
                to_move_outward_mm: None,
            }
        };
        (0..pin_count).map(stand).collect()
    }

    /// How a pin of a planet stands; pins counted from 1.
    fn stand(&self, planet: MemberId, pin: usize) -> &PinStand {
        let found = self.stands.iter().find(|stand| stand.planet == planet && stand.pin == pin);
        found.expect("every planet of a group stands on every pin")
    }

    /// The centre distance of a mesh on a pin.
    fn distance(&self, mesh: &MeshInPlace, pin: usize) -> f64 {
        match self.planets(mesh)[..] {
            [planet] => mesh.distance + self.stand(planet, pin).outward_mm,
            [first, second] => self.apart(mesh, [first, second], pin).unwrap_or(mesh.distance),
            _ => mesh.distance,
        }
    }

    /// How far apart two planets in mesh stand whose pins are out of their places, the second counter-clockwise of the
    /// first, by the law of cosines `d^2 = r^2 + s^2 - 2 r s cos w`; `None` where they have no circles.
    fn apart(&self, mesh: &MeshInPlace, planets: [MemberId; 2], pin: usize) -> Option<f64> {
        let [r, s] = [self.circle(planets[0])?, self.circle(planets[1])?];
        let [first, second] = planets.map(|planet| self.stand(planet, pin));
        let cosine = (r * r + s * s - mesh.distance * mesh.distance) / (2.0 * r * s);
        if cosine.abs() > 1.0 {
            return None;
        }
        let angle = cosine.acos() + second.ahead_mm / s - first.ahead_mm / r;
        let [r, s] = [r + first.outward_mm, s + second.outward_mm];
        Some((r * r + s * s - 2.0 * r * s * angle.cos()).max(0.0).sqrt())
    }

    /// The clearance of the bushes of a mesh on a pin, and how far its distance goes to either side by them, by gears that
    /// run out and by what the radius of the pin may be off.
    fn slack(&self, mesh: &MeshInPlace, pin: usize) -> [f64; 2] {
        let clearance: f64 = self.planets(mesh).iter().map(|&planet| self.question.clearance(planet, pin)).sum();
        let gears = self.set.mesh(mesh.mesh).gears().each();
        let run_out: f64 = gears.iter().map(|&gear| self.question.eccentricity(gear)).sum();
        let doubt = |&planet: &MemberId| self.stand(planet, pin).outward_uncertainty_mm;
        let doubt: f64 = self.planets(mesh).iter().map(doubt).sum();
        [clearance, clearance / 2.0 + run_out + doubt]
    }

    /// The backlash of every mesh.
    ///
    /// # Errors
    /// Why some mesh has none at some distance.
    pub(super) fn backlashes(&self) -> Result<Vec<BacklashOfMesh>, ToothError> {
        self.meshes.iter().map(|mesh| self.backlash(mesh)).collect()
    }

    fn backlash(&self, mesh: &MeshInPlace) -> Result<BacklashOfMesh, ToothError> {
        /// Less than this part of the module is short: open gears are new with 3 to 6 hundredths.
        const SHORT: f64 = 0.03;
        let pins: Vec<BacklashOnPin> =
            (1..=self.group.places().len()).map(|pin| self.on_pin(mesh, pin)).collect::<Result<_, _>>()?;
        let least = lowest(&pins, |pin| pin.least);
        let now = lowest(&pins, |pin| pin.now);
        let most = lowest(&pins, |pin| negated(pin.most));
        let rocked = pins.iter().map(|pin| pin.now.at_working_circle_mm + self.slack(mesh, pin.pin)[0]);
        let is_known = mesh.source != BacklashSource::NotKnown;
        Ok(BacklashOfMesh {
            mesh: mesh.mesh,
            source: mesh.source,
            as_described: mesh.backlash_at(mesh.distance)?.into(),
            least: least.least,
            least_on_pin: least.pin,
            now: now.now,
            now_on_pin: now.pin,
            most: most.most,
            rocked_mm: rocked.fold(f64::NEG_INFINITY, f64::max),
            verdict: pins.iter().filter_map(|pin| pin.verdict).max(),
            is_short: is_known && now.now.at_pitch_circle_mm < SHORT * mesh.pair().first().module,
            center_distance_mm: mesh.distance,
            working_pressure_angle_degrees: mesh.working_pressure_angle().ok_or(ToothError::TooClose)?.to_degrees(),
            pins,
        })
    }

    fn on_pin(&self, mesh: &MeshInPlace, pin: usize) -> Result<BacklashOnPin, ToothError> {
        let (distance, [_, slack]) = (self.distance(mesh, pin), self.slack(mesh, pin));
        let at = |distance: f64| mesh.backlash_at(distance).map(BacklashSizes::from);
        let (now, nearer, farther) = (at(distance)?, at(distance - slack)?, at(distance + slack)?);
        let (least, most) = if mesh.gains_outward() { (nearer, farther) } else { (farther, nearer) };
        let verdict = (mesh.source != BacklashSource::NotKnown).then(|| verdict(&now, &least));
        let binds = verdict == Some(BacklashVerdict::Binds);
        let moves =
            (binds && self.planets(mesh).len() == 1).then(|| mesh.closed_distance().map(|closed| closed - distance));
        Ok(BacklashOnPin {
            pin,
            now,
            least,
            most,
            verdict,
            to_take_off_mm: binds.then_some(-now.at_pitch_circle_mm),
            to_move_outward_mm: moves.transpose()?,
            center_distance_mm: distance,
        })
    }

    /// Every pin with what becomes of its meshes.
    pub(super) fn pins(&self, meshes: &[BacklashOfMesh]) -> Vec<PinStand> {
        self.stands.iter().map(|stand| self.judged(stand, meshes)).collect()
    }

    fn judged(&self, stand: &PinStand, meshes: &[BacklashOfMesh]) -> PinStand {
        let own = || self.meshes.iter().zip(meshes).filter(|(mesh, _)| self.planets(mesh).contains(&stand.planet));
        let on_pin = |found: &BacklashOfMesh| found.pins[stand.pin - 1];
        let left = |found: &BacklashOfMesh| on_pin(found).now.at_pitch_circle_mm;
        let tightest = own().min_by(|a, b| left(a.1).total_cmp(&left(b.1)));
        PinStand {
            tightest: tightest.map(|(mesh, _)| mesh.mesh),
            verdict: own().filter_map(|(_, found)| on_pin(found).verdict).max(),
            to_move_outward_mm: self.to_move(stand, meshes),
            ..*stand
        }
    }

    /// How far a pin has to be moved so that nothing on it binds: out to the largest distance at which an external mesh
    /// closes, in to the smallest at which one in a ring does; of a place between both, the nearest.
    fn to_move(&self, stand: &PinStand, meshes: &[BacklashOfMesh]) -> Option<f64> {
        let binds = |found: &BacklashOfMesh| found.pins[stand.pin - 1].verdict == Some(BacklashVerdict::Binds);
        let mut does_bind = false;
        let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
        for (mesh, found) in
            self.meshes.iter().zip(meshes).filter(|(mesh, _)| self.planets(mesh).contains(&stand.planet))
        {
            does_bind |= binds(found);
            if self.planets(mesh).len() > 1 {
                // Where planets in mesh bind, the one pin or the other could be moved.
                if binds(found) {
                    return None;
                }
            } else if mesh.source != BacklashSource::NotKnown {
                let closed = mesh.closed_distance().ok()? - found.pins[stand.pin - 1].center_distance_mm;
                if mesh.gains_outward() { from = from.max(closed) } else { to = to.min(closed) }
            }
        }
        (does_bind && from <= to).then(|| 0.0_f64.clamp(from, to))
    }
}

/// The pin on which something is least.
fn lowest(pins: &[BacklashOnPin], of: fn(&BacklashOnPin) -> BacklashSizes) -> BacklashOnPin {
    let size = |pin: &BacklashOnPin| of(pin).at_pitch_circle_mm;
    *pins.iter().min_by(|a, b| size(a).total_cmp(&size(b))).expect("a planet has a pin")
}

fn negated(sizes: BacklashSizes) -> BacklashSizes {
    BacklashSizes { at_pitch_circle_mm: -sizes.at_pitch_circle_mm, ..sizes }
}

fn verdict(now: &BacklashSizes, least: &BacklashSizes) -> BacklashVerdict {
    let of = |sizes: &BacklashSizes| RoomVerdict::of(sizes.at_pitch_circle_mm, RoomVerdict::ROUNDING);
    match (of(now), of(least)) {
        (RoomVerdict::Lacking, _) => BacklashVerdict::Binds,
        (_, RoomVerdict::Lacking) => BacklashVerdict::MayBind,
        (_, RoomVerdict::Just) => BacklashVerdict::Just,
        (_, RoomVerdict::Enough) => BacklashVerdict::Turns,
    }
}
