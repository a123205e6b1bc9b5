//! When planets do not go together: what would.
//!
//! Three ways, each tried by the full timing conditions: other numbers of equal pins,
//! the nearest unequal places (multiples of 1/D), and small changes of tooth counts that
//! keep the pins where they are. Worked out here.

use std::collections::BTreeMap;

use num_bigint::BigInt;
use serde::Serialize;

use super::loops::loops_close;
use super::solver::rows_assemble;
use crate::exact::{Fraction, nearest_integer};
use crate::gearset::{GearId, Gearset, PlanetGroup, SignedGear};

/// The largest change of a tooth count that is tried.
const LARGEST_CHANGE: i64 = 3;

/// What would assemble instead, beside other numbers of equal pins.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Remedies {
    /// For each pin the nearest place that is allowed, in turns; none where two pins would come to one place.
    pub places: Option<Vec<Fraction>>,
    /// Changes of tooth counts, the smallest first.
    pub tooth_changes: Vec<ToothChange>,
}

/// New tooth counts with which every group assembles.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ToothChange {
    /// The gears that change, with their new counts.
    pub tooth_counts: BTreeMap<GearId, i64>,
    /// Whether sums and differences of counts, and so the centre distances, stay as they are. Where one count changes
    /// alone, profile shift has to keep the centre distance.
    pub keeps_center_distance: bool,
}

pub(super) fn remedies(set: &Gearset, group: &PlanetGroup, divisor: &BigInt) -> Remedies {
    Remedies { places: nearest_places(group, divisor), tooth_changes: tooth_changes(set, group) }
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

fn tooth_changes(set: &Gearset, group: &PlanetGroup) -> Vec<ToothChange> {
    let mut changes = Vec::new();
    for size in 1..=LARGEST_CHANGE {
        for change in [size, -size] {
            changes.extend(moved_teeth(set, group, change));
            changes.extend(single_gears(set, group, change));
        }
        changes.retain(|change| assembles(set, change));
        if !changes.is_empty() {
            break;
        }
    }
    changes.sort_by_key(|change| !change.keeps_center_distance);
    changes
}

/// Teeth moved between a planet gear and every central gear that it meshes with: each
/// signed sum, and so the centre distance, stays.
fn moved_teeth<'a>(set: &'a Gearset, group: &'a PlanetGroup, change: i64) -> impl Iterator<Item = ToothChange> + 'a {
    let rows = set.matrix().timing(group);
    let planet_gears = group.planets().iter().flat_map(|&planet| set.member(planet).gears());
    planet_gears.filter(|&&gear| !set.gear(gear).kind().is_bevel()).filter_map(move |&gear| {
        let partners: Vec<_> = rows.iter().filter(|row| row.terms.iter().any(|term| term.gear == gear)).collect();
        let mut tooth_counts = BTreeMap::from([(gear, count(set, gear) + change)]);
        for row in &partners {
            // P + Z stays: where the signs of the two counts differ, both counts grow.
            let central = row.central?;
            let sign = row.place_coefficient.signum() * row.terms[0].tooth_count.signum();
            tooth_counts.insert(central, count(set, central) - sign * change);
        }
        let kept = !partners.is_empty() && keeps_center_distances(set, &tooth_counts);
        kept.then_some(ToothChange { tooth_counts, keeps_center_distance: true })
    })
}

/// Whether every mesh of the whole set keeps its signed sum of counts.
fn keeps_center_distances(set: &Gearset, counts: &BTreeMap<GearId, i64>) -> bool {
    let grows_by = |gear: SignedGear| {
        let new = counts.get(&gear.gear);
        new.map_or(0, |new| (new - count(set, gear.gear)) * gear.tooth_count.signum())
    };
    set.matrix().rows().iter().all(|row| row.gears.into_iter().map(grows_by).sum::<i64>() == 0)
}

/// One central spur gear with other teeth.
fn single_gears<'a>(set: &'a Gearset, group: &'a PlanetGroup, change: i64) -> impl Iterator<Item = ToothChange> + 'a {
    let rows = set.matrix().timing(group);
    let mut gears: Vec<GearId> = rows.iter().filter_map(|row| row.central).collect();
    gears.retain(|&gear| !set.gear(gear).kind().is_bevel());
    gears.dedup();
    gears.into_iter().map(move |gear| ToothChange {
        tooth_counts: BTreeMap::from([(gear, count(set, gear) + change)]),
        keeps_center_distance: false,
    })
}

fn count(set: &Gearset, gear: GearId) -> i64 {
    set.gear(gear).tooth_count().get().into()
}

/// Whether every group of the changed gearset assembles.
fn assembles(set: &Gearset, change: &ToothChange) -> bool {
    let counts = change.tooth_counts.iter().map(|(&gear, &count)| (gear, count));
    let Ok(changed) = set.with_tooth_counts(counts) else { return false };
    let assembles = |group: &PlanetGroup| rows_assemble(&changed.matrix().timing(group), &group.spacings());
    // Loops run through the whole set and take longest, so they come last.
    changed.planet_groups().iter().all(assembles) && loops_close(&changed)
}
