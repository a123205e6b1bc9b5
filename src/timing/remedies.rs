//! When planets do not go together: what would.
//!
//! Four ways, each tried by the full timing conditions: other numbers of equal pins,
//! the nearest unequal places (multiples of 1/D), small changes of tooth counts that
//! keep the pins where they are, and planets made to different indexes. Worked out here.

use std::collections::BTreeMap;

use num_bigint::BigInt;
use serde::Serialize;

use super::index_classes::IndexClass;
use super::loops::loops_close;
use super::solver::rows_assemble;
use crate::clearance::{AskedDistance, asked_distances};
use crate::exact::{Fraction, nearest_integer};
use crate::gearset::{GearId, Gearset, MeshId, PlanetGroup, SignedGear, TimingRow, TimingRows};

/// The largest change of a tooth count that is tried.
const LARGEST_CHANGE: i64 = 3;

/// What would assemble instead, beside other numbers of equal pins.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Remedies {
    /// For each pin the nearest place that is allowed, in turns; none where two pins would come to one place.
    pub places: Option<Vec<Fraction>>,
    /// Changes of tooth counts: the smallest that keep the centre distance, then the smallest of the others.
    pub tooth_changes: Vec<ToothChange>,
    /// Planets made to different indexes, a class for pins that may have alike ones; empty where no index makes them
    /// assemble, or meshes of the whole set stand against it.
    pub index_classes: Vec<IndexClass>,
}

/// New tooth counts with which every group assembles.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ToothChange {
    /// The gears that change, with their new counts.
    pub tooth_counts: BTreeMap<GearId, i64>,
    /// Whether the changed meshes come to the centre distance of the other meshes of their pin, without profile shift;
    /// where there are no others, whether they keep their own. If not, profile shift has to keep it.
    pub keeps_center_distance: bool,
}

pub(super) fn remedies(
    set: &Gearset,
    group: &PlanetGroup,
    divisor: &BigInt,
    index_classes: Vec<IndexClass>,
) -> Remedies {
    Remedies { places: nearest_places(group, divisor), tooth_changes: tooth_changes(set, group), index_classes }
}

/// The nearest allowed place for every pin, the first staying where it is.
fn nearest_places(group: &PlanetGroup, divisor: &BigInt) -> Option<Vec<Fraction>> {
    let mut allowed: Vec<BigInt> =
        group.spacings().iter().map(|place| nearest_integer(&(place * Fraction::from(divisor.clone())))).collect();
    let places = allowed.iter().map(|step| &group.places()[0] + Fraction::new(step.clone(), divisor.clone())).collect();
    for step in &mut allowed {
        *step %= divisor;
    }
    allowed.sort();
    allowed.dedup();
    (allowed.len() == group.places().len()).then_some(places)
}

/// The smallest changes that keep the centre distance, then, where they are no larger, the smallest of the others.
fn tooth_changes(set: &Gearset, group: &PlanetGroup) -> Vec<ToothChange> {
    let (mut kept, mut others) = (Vec::new(), Vec::new());
    for size in 1..=LARGEST_CHANGE {
        let tried = [size, -size].into_iter().flat_map(|change| changed_counts(set, group, change));
        let found = tried.filter_map(|tooth_counts| assembling(set, tooth_counts));
        let (keep, do_not): (Vec<_>, Vec<_>) = found.partition(|change| change.keeps_center_distance);
        kept = keep;
        if others.is_empty() {
            others = do_not;
        }
        if !kept.is_empty() {
            break;
        }
    }
    [kept, others].concat()
}

/// Teeth moved within meshes, then single gears with other teeth, each by so many.
fn changed_counts(set: &Gearset, group: &PlanetGroup, change: i64) -> Vec<BTreeMap<GearId, i64>> {
    let rows = set.matrix().timing(group);
    let moved = planet_gears(set, group).filter_map(|gear| moved_teeth(set, &rows, gear, change));
    let mut single: Vec<GearId> = rows.iter().filter_map(|row| row.central).collect();
    single.sort_unstable();
    single.dedup();
    single.extend(planet_gears(set, group).filter(|&gear| rows.iter().any(|row| has_term(row, gear))));
    single.retain(|&gear| !set.gear(gear).kind().is_bevel());
    moved.chain(single.into_iter().map(|gear| BTreeMap::from([(gear, count(set, gear) + change)]))).collect()
}

fn planet_gears<'a>(set: &'a Gearset, group: &'a PlanetGroup) -> impl Iterator<Item = GearId> + 'a {
    group.planets().iter().flat_map(|&planet| set.member(planet).gears()).copied()
}

fn has_term(row: &TimingRow, gear: GearId) -> bool {
    row.terms.iter().any(|term| term.gear == gear)
}

/// Teeth moved between a planet gear and every central gear that it meshes with: each
/// signed sum, and so the centre distance, stays.
fn moved_teeth(set: &Gearset, rows: &TimingRows, gear: GearId, change: i64) -> Option<BTreeMap<GearId, i64>> {
    if set.gear(gear).kind().is_bevel() {
        return None;
    }
    let partners: Vec<_> = rows.iter().filter(|row| has_term(row, gear)).collect();
    let mut tooth_counts = BTreeMap::from([(gear, count(set, gear) + change)]);
    for row in &partners {
        // P + Z stays: where the signs of the two counts differ, both counts grow.
        let central = row.central?;
        let sign = row.place_coefficient.signum() * row.terms[0].tooth_count.signum();
        tooth_counts.insert(central, count(set, central) - sign * change);
    }
    (!partners.is_empty() && keeps_sums(set, &tooth_counts)).then_some(tooth_counts)
}

/// Whether every mesh of the whole set keeps its signed sum of counts.
fn keeps_sums(set: &Gearset, counts: &BTreeMap<GearId, i64>) -> bool {
    let grows_by = |gear: SignedGear| {
        let new = counts.get(&gear.gear);
        new.map_or(0, |new| (new - count(set, gear.gear)) * gear.tooth_count.signum())
    };
    set.matrix().rows().iter().all(|row| row.gears.into_iter().map(grows_by).sum::<i64>() == 0)
}

fn count(set: &Gearset, gear: GearId) -> i64 {
    set.gear(gear).tooth_count().get().into()
}

/// The change, if every group of the changed gearset assembles.
fn assembling(set: &Gearset, tooth_counts: BTreeMap<GearId, i64>) -> Option<ToothChange> {
    let changed = set.with_tooth_counts(tooth_counts.iter().map(|(&gear, &count)| (gear, count))).ok()?;
    let assembles = |group: &PlanetGroup| rows_assemble(&changed.matrix().timing(group), &group.spacings());
    // Loops run through the whole set and take longest, so they come last.
    (changed.planet_groups().iter().all(assembles) && loops_close(&changed)).then(|| ToothChange {
        keeps_center_distance: keeps_center_distances(set, &changed, &tooth_counts),
        tooth_counts,
    })
}

/// Whether no pin has to move, and no two planets in mesh with one another come to another distance.
fn keeps_center_distances(set: &Gearset, changed: &Gearset, counts: &BTreeMap<GearId, i64>) -> bool {
    let is_touched = |mesh: MeshId| set.mesh(mesh).gears().both().into_iter().any(|gear| counts.contains_key(gear));
    let on_pin = |gear: &GearId| set.carrier_of(set.gear(*gear).member()).is_some();
    let on_pins = |mesh: MeshId| set.mesh(mesh).gears().both().into_iter().all(on_pin);
    let mut between_planets = set.mesh_ids().filter(|&mesh| is_touched(mesh) && on_pins(mesh));
    let same = |mesh: MeshId| set.matrix().row(mesh).tooth_sum() == changed.matrix().row(mesh).tooth_sum();
    between_planets.all(same)
        && set.planet_groups().iter().flat_map(PlanetGroup::planets).all(|&planet| {
            let distances = |set: &Gearset| asked_distances(set, planet);
            let (touched, others): (Vec<_>, Vec<_>) =
                distances(changed).into_iter().partition(|asked| is_touched(asked.mesh));
            stands_still(&touched, &others, &distances(set))
        })
}

/// Whether meshes whose counts change come to the distance of the others of the pin; where there are no others, or they
/// do not agree, whether each keeps its own.
fn stands_still(touched: &[AskedDistance], others: &[AskedDistance], before: &[AskedDistance]) -> bool {
    let same = |one: &AskedDistance, other: &AskedDistance| one.is_that_of(other) == Some(true);
    match others {
        [first, rest @ ..] if rest.iter().all(|other| same(first, other)) => touched.iter().all(|it| same(it, first)),
        _ => touched.iter().all(|it| before.iter().any(|old| old.mesh == it.mesh && same(old, it))),
    }
}
