//! When planets do not go together: what would.
//!
//! Three ways, each tried by the full timing conditions: other numbers of equal pins,
//! the nearest unequal places (multiples of 1/D), and small changes of tooth counts that
//! keep the pins where they are. Worked out here.

use num_bigint::BigInt;

use super::loops::{Closure, Loop, loops};
use super::solver::{Method, Solver};
use crate::exact::{Fraction, nearest_integer};
use crate::gearset::{GearId, Gearset, PlanetGroup, SignedGear};

/// The largest change of a tooth count that is tried.
const LARGEST_CHANGE: i64 = 3;

/// What would go together instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaysOut {
    /// For each pin the nearest place that is allowed, in turns; `None` where two pins
    /// would come to one place.
    pub places: Option<Vec<Fraction>>,
    /// Changes of tooth counts, the smallest first.
    pub tooth_changes: Vec<ToothChange>,
}

/// New tooth counts that make every group go together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToothChange {
    /// The gears that change, with their new counts.
    pub gears: Vec<NewCount>,
    /// What keeps the centre distance.
    pub center_distance: CenterDistance,
}

/// A gear with another tooth count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewCount {
    /// The gear.
    pub gear: GearId,
    /// Its new tooth count.
    pub tooth_count: i64,
}

/// What a change of tooth counts does to the centre distance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CenterDistance {
    /// Sums and differences of counts stay as they are.
    Kept,
    /// One count changes alone: profile shift has to keep the centre distance.
    NeedsProfileShift,
}

pub(super) fn ways_out(set: &Gearset, group: &PlanetGroup, divisor: &BigInt) -> WaysOut {
    WaysOut { places: nearest_places(group, divisor), tooth_changes: tooth_changes(set, group) }
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
        changes.retain(|change| all_go_together(set, change));
        if !changes.is_empty() {
            break;
        }
    }
    changes.sort_by_key(|change| change.center_distance == CenterDistance::NeedsProfileShift);
    changes
}

/// Teeth moved between a planet gear and every central gear that it meshes with: each
/// signed sum, and so the centre distance, stays.
fn moved_teeth<'a>(set: &'a Gearset, group: &'a PlanetGroup, change: i64) -> impl Iterator<Item = ToothChange> + 'a {
    let rows = set.matrix().timing(group);
    let planet_gears = group.planets().iter().flat_map(|&planet| set.member(planet).gears());
    planet_gears.filter(|&&gear| !set.gear(gear).kind().is_bevel()).filter_map(move |&gear| {
        let partners: Vec<_> = rows.iter().filter(|row| row.terms.iter().any(|term| term.gear == gear)).collect();
        let mut gears = vec![NewCount { gear, tooth_count: count(set, gear) + change }];
        for row in &partners {
            // P + Z stays: where the signs of the two counts differ, both counts grow.
            let central = row.central?;
            let sign = row.place_coefficient.signum() * row.terms[0].tooth_count.signum();
            gears.push(NewCount { gear: central, tooth_count: count(set, central) - sign * change });
        }
        let kept = !partners.is_empty() && keeps_center_distances(set, &gears);
        kept.then_some(ToothChange { gears, center_distance: CenterDistance::Kept })
    })
}

/// Whether every mesh of the whole set keeps its signed sum of counts.
fn keeps_center_distances(set: &Gearset, counts: &[NewCount]) -> bool {
    let grows_by = |gear: SignedGear| {
        let new = counts.iter().find(|new| new.gear == gear.gear);
        new.map_or(0, |new| (new.tooth_count - count(set, gear.gear)) * gear.tooth_count.signum())
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
        gears: vec![NewCount { gear, tooth_count: count(set, gear) + change }],
        center_distance: CenterDistance::NeedsProfileShift,
    })
}

fn count(set: &Gearset, gear: GearId) -> i64 {
    set.gear(gear).tooth_count().get().into()
}

/// Whether every group of the changed gearset goes together.
fn all_go_together(set: &Gearset, change: &ToothChange) -> bool {
    let counts = change.gears.iter().map(|new| (new.gear, new.tooth_count));
    let Ok(changed) = set.with_tooth_counts(counts) else { return false };
    let goes_together = |group: &PlanetGroup| {
        let solver = Solver::new(&changed.matrix().timing(group), Method::Quickest);
        group.spacings().iter().all(|place| solver.turns(place).is_some())
    };
    let closes = |closed: &Loop| !matches!(closed.closure, Closure::Misses(_));
    // Loops run through the whole set and take longest, so they come last.
    changed.planet_groups().iter().all(goes_together) && loops(&changed).iter().all(closes)
}
