//! Which profile shifts do other tooth counts need, and are there any within limits?
//!
//! A gear whose count may change is cut anew and may be shifted; every other stays as it is. What meshes connect is fitted
//! together ([`teeth_within`]): on a pin circle that is kept only what shares a gear, else all meshes of a planet, for
//! the first of them says where the pins stand.

use std::collections::{BTreeSet, HashMap};
use std::sync::{Arc, Mutex, PoisonError};

use num_traits::Zero;
use serde::Serialize;

use super::request::{CenterDistances, TeethRequest};
use crate::clearance::{
    DescribedTeeth, FitQuestion, KnownCircles, TeethInMesh, as_described, is_with_main_axis, mesh_distance,
};
use crate::exact::{Fraction, parse};
use crate::fit::{ToothLimits, teeth_within};
use crate::gearset::{Draft, DraftTeeth, GearId, Gearset, Length, MemberId, MeshId};
use crate::search::Variable;

/// How teeth of other counts are fitted.
#[derive(Debug, Clone)]
pub(super) struct ToothFitting {
    limits: ToothLimits,
    /// The pin circles that are kept.
    kept: Option<KnownCircles>,
    /// The teeth of the gearset whose counts are searched.
    described: Arc<DescribedTeeth>,
    /// Gears whose count does not change.
    staying: Vec<GearId>,
    /// What was fitted already: requirements ask again and again.
    fitted: Arc<Mutex<Remembered>>,
}

/// Teeth by the first mesh of a part and the counts of its gears.
type Remembered = HashMap<(MeshId, Vec<u16>), Option<TeethInMesh>>;

/// So many parts are remembered.
const MOST_REMEMBERED: usize = 100_000;

impl ToothFitting {
    /// How teeth are fitted, if anything is asked of them.
    pub(super) fn new(set: &Gearset, request: &TeethRequest, unknowns: &[Option<Variable>]) -> Option<Self> {
        let by_shift = matches!(request.center_distances, CenterDistances::KeptByShift(_));
        let asked = request.fit.as_ref().map(super::request::FitWish::limits);
        let limits = asked.or_else(|| by_shift.then(ToothLimits::default))?;
        let keeps = by_shift || request.center_distances == CenterDistances::Kept;
        let staying = set.gear_ids().filter(|gear| unknowns[gear.index()].is_none());
        Some(Self {
            limits,
            kept: keeps.then(|| circles(set)),
            described: Arc::new(DescribedTeeth::new(set)),
            staying: staying.collect(),
            fitted: Arc::default(),
        })
    }

    /// Meshes that have to be fitted together, of those in which a gear may change.
    pub(super) fn parts(&self, set: &Gearset) -> Vec<Vec<MeshId>> {
        let spur = |mesh: &MeshId| !set.gear(set.mesh(*mesh).gears().first).kind().is_bevel();
        let central = |mesh: &MeshId| set.member_ids().any(|planet| is_with_main_axis(set, *mesh, planet));
        let mut parts: Vec<(BTreeSet<usize>, Vec<MeshId>)> = Vec::new();
        for mesh in set.mesh_ids().filter(spur).filter(central) {
            let mut joined = (self.links(set, mesh), vec![mesh]);
            let (near, far): (Vec<_>, Vec<_>) = parts.into_iter().partition(|(links, _)| !links.is_disjoint(&joined.0));
            for (links, meshes) in near {
                joined.0.extend(links);
                joined.1.extend(meshes);
            }
            joined.1.sort_unstable();
            parts = far;
            parts.push(joined);
        }
        let changes = |mesh: &MeshId| set.mesh(*mesh).gears().each().iter().any(|gear| !self.staying.contains(gear));
        parts.into_iter().map(|(_, meshes)| meshes).filter(|meshes| meshes.iter().any(changes)).collect()
    }

    /// What a mesh has in common with others: its gears, and where no pin circle is kept its planet.
    fn links(&self, set: &Gearset, mesh: MeshId) -> BTreeSet<usize> {
        let gears = set.mesh(mesh).gears().each();
        let planets = gears.map(|gear| set.gear(gear).member()).into_iter().filter(|&it| set.carrier_of(it).is_some());
        let planets = planets.filter(|_| self.kept.is_none()).map(|planet| set.gears().len() + planet.index());
        gears.iter().map(|gear| gear.index()).chain(planets).collect()
    }

    /// The teeth with which these meshes close and work; `None` where there are none.
    pub(super) fn fit(&self, set: &Gearset, count: &dyn Fn(GearId) -> u16, meshes: &[MeshId]) -> Option<TeethInMesh> {
        self.fit_described(&Arc::new(DescribedTeeth::new(set)), set, count, meshes)
    }

    fn fit_described(
        &self,
        described: &Arc<DescribedTeeth>,
        set: &Gearset,
        count: &dyn Fn(GearId) -> u16,
        meshes: &[MeshId],
    ) -> Option<TeethInMesh> {
        let mut question = FitQuestion {
            set,
            count,
            described: Arc::clone(described),
            circles: KnownCircles::default(),
            chosen: &[],
            staying: &self.staying,
        };
        question.circles = match &self.kept {
            Some(kept) => kept.clone(),
            None => first_distances(set, &question, meshes)?,
        };
        teeth_within(&question, meshes, &self.limits)
    }

    /// The teeth of a mesh in which no count changes.
    pub(super) fn as_described(&self, set: &Gearset, mesh: MeshId) -> TeethInMesh {
        let count = as_described(set);
        let mut teeth = FitQuestion::described(set, &count).teeth(&[mesh]);
        teeth.circles.extend(self.kept.iter().flat_map(KnownCircles::iter));
        teeth
    }

    /// What [`ToothFitting::fit`] gives, remembered, of teeth whose sizes are those described.
    pub(super) fn fit_remembered(
        &self,
        set: &Gearset,
        count: &dyn Fn(GearId) -> u16,
        meshes: &[MeshId],
    ) -> Option<TeethInMesh> {
        let counts = meshes.iter().flat_map(|&mesh| set.mesh(mesh).gears().each()).map(count).collect();
        let key = (*meshes.first()?, counts);
        let known = || self.fitted.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = known().get(&key) {
            return found.clone();
        }
        let found = self.fit_described(&self.described, set, count, meshes);
        let mut known = known();
        if known.len() < MOST_REMEMBERED {
            known.insert(key, found.clone());
        }
        found
    }

    /// The shifts of every gear that is cut anew, to be written into a description; `None` where there are none.
    pub(super) fn new_shifts(&self, set: &Gearset) -> Option<Vec<(GearId, Fraction)>> {
        let count = |gear: GearId| set.gear(gear).tooth_count().get();
        let mut found = Vec::new();
        for meshes in self.parts(set) {
            let teeth = self.fit(set, &count, &meshes)?;
            let anew = teeth.gears().filter(|gear| !self.staying.contains(gear));
            found.extend(anew.map(|gear| (gear, teeth.form(gear).profile_shift)));
        }
        found.sort_by_key(|(gear, _)| *gear);
        Some(found.into_iter().map(|(gear, shift)| (gear, rounded(shift))).collect())
    }
}

/// Puts shifts into a draft; none where a gear needs none.
pub(super) fn put_shifts(set: &Gearset, shifts: &[(GearId, Fraction)], draft: &mut Draft) {
    for (gear, shift) in shifts.iter().filter(|(_, shift)| !shift.is_zero()) {
        let name = set.gear(*gear).name();
        let place = draft.teeth.iter().position(|teeth| teeth.gear == *name).unwrap_or_else(|| {
            draft.teeth.push(DraftTeeth::new(name));
            draft.teeth.len() - 1
        });
        draft.teeth[place].shift = Some(shift.clone().into());
    }
}

/// The pin circles as they are: as described, else where the first mesh stands.
fn circles(set: &Gearset) -> KnownCircles {
    let of_planet = |planet: MemberId| {
        let described = set.described_pin_circle(planet).map(Length::millimetres);
        let first = || set.mesh_ids().find(|&mesh| is_with_main_axis(set, mesh, planet));
        Some((planet, described.or_else(|| mesh_distance(set, first()?))?))
    };
    set.member_ids().filter_map(of_planet).collect()
}

/// What shifts a mesh needs for its planet's pin circle, which is where it was if it is kept, else where the first mesh of
/// the planet stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct MeshShift {
    /// The mesh.
    pub mesh: MeshId,
    /// The sum that the shifts of both gears need, in a ring pair that of the ring less that of the gear, in modules, without
    /// backlash; none where no shift is enough.
    pub sum: Option<Fraction>,
}

/// Shifts are commonly written with two decimals, so sums as near as that are one.
const AS_WRITTEN: f64 = 0.01;

/// For each mesh with the main axis whose counts and shifts ask for another distance than the planet's pin circle: the sum
/// of shifts that it needs there. The circle is that of the gearset that keeps it, else that of the first mesh.
pub(super) fn shift_sums(set: &Gearset, kept: Option<&Gearset>) -> Vec<MeshShift> {
    let (circles, count) = (circles(kept.unwrap_or(set)), as_described(set));
    let mut found = Vec::new();
    for (planet, radius) in circles.iter() {
        for mesh in set.mesh_ids().filter(|&mesh| is_with_main_axis(set, mesh, planet)) {
            let teeth = TeethInMesh::of_meshes(set, &[mesh], &count);
            let has = teeth.pair(set, mesh).map_or(0.0, |pair| pair.shift_sum());
            let needed = teeth.equation(set, mesh, radius).ok().map(|equation| equation.sum);
            if needed.is_none_or(|sum| (sum - has).abs() > AS_WRITTEN) {
                found.push(MeshShift { mesh, sum: needed.map(rounded) });
            }
        }
    }
    found.sort_by_key(|shift| shift.mesh);
    found
}

/// Where the first mesh of each planet stands by its counts.
fn first_distances(set: &Gearset, question: &FitQuestion<'_>, meshes: &[MeshId]) -> Option<KnownCircles> {
    let teeth = question.teeth_of(meshes);
    let mut found = Vec::new();
    for planet in set.member_ids() {
        if let Some(&first) = meshes.iter().find(|&&mesh| is_with_main_axis(set, mesh, planet)) {
            found.push((planet, teeth.distance(first).ok()?));
        }
    }
    Some(KnownCircles::from_iter(found))
}

/// A shift as it is written: to a tenth of a thousandth of a module, as no gear is cut finer.
fn rounded(shift: f64) -> Fraction {
    parse(&format!("{shift:.4}")).expect("shifts are finite and written as decimals")
}

/// Whether other counts may stand on other pin circles.
pub(super) fn moves_pins(request: &TeethRequest) -> bool {
    !matches!(request.center_distances, CenterDistances::Kept | CenterDistances::KeptByShift(_))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Teeth of another count than the described one took neither the described thinning nor that of the backlash.
    #[test]
    fn a_described_thinning_is_that_of_the_described_count() {
        let text = r#"Gearset(
            title: "t", pitch: Module(2), backlash: Millimetres(0.1), teeth: {"p": (thinned: Millimetres(0.07))},
            members: {"a": [Sun("A", 30)], "carrier": []},
            planets: {"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 24)])},
            meshes: [("A", "p")],
        )"#;
        let set = crate::description::read(text).expect("it is a description");
        let planet = set.gear_named("p").expect("it is described");
        for (counted, thinning) in [(24, 0.07), (25, 0.05)] {
            let count = |gear: GearId| if gear == planet { counted } else { 30 };
            let teeth = FitQuestion::described(&set, &count).teeth(&set.mesh_ids().collect::<Vec<_>>());
            assert!((teeth.form(planet).thinning - thinning).abs() < 1e-12, "{counted} teeth");
        }
    }
}
