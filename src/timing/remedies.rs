//! When planets do not go together: what would.
//!
//! Four ways, each tried by the full timing conditions: other numbers of equal pins,
//! the nearest unequal places (multiples of 1/D), small changes of tooth counts that
//! keep the pins where they are, and planets made to different indexes. Of a change only the groups
//! with a changed gear are asked anew, so that a long train takes no longer for each of its groups than a short one.
//! Worked out here.

use std::collections::{BTreeMap, BTreeSet};

use num_bigint::BigInt;
use serde::Serialize;

use super::index_classes::IndexClass;
use super::loops::loops_close;
use super::solver::rows_assemble;
use crate::clearance::{AskedDistance, asked_distances};
use crate::exact::{Fraction, nearest_integer};
use crate::gearset::{GearId, Gearset, MemberId, MeshId, PlanetGroup, SignedGear, TimingRow, TimingRows, ToothCount};

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

/// Which groups of a gearset assemble as described, each by itself.
#[derive(Debug)]
pub(super) struct GroupsApart {
    /// For each mesh its group, by number; none for a mesh on no pin.
    group_of: Vec<Option<usize>>,
    /// The groups that do not, by number.
    refused: BTreeSet<usize>,
}

impl GroupsApart {
    pub(super) fn new(set: &Gearset) -> Self {
        let mut group_of = vec![None; set.meshes().len()];
        for (number, group) in set.planet_groups().iter().enumerate() {
            group.meshes().iter().for_each(|mesh| group_of[mesh.index()] = Some(number));
        }
        let groups = set.planet_groups().iter().enumerate();
        let refused = groups.filter(|(_, group)| !rows_assemble(&set.matrix().timing(group), &group.spacings()));
        Self { group_of, refused: refused.map(|(number, _)| number).collect() }
    }

    /// Whether every group assembles with other counts of some gears; counts that no gear has never do. A group with
    /// none of the gears is as it was.
    fn all_assemble(&self, set: &Gearset, counts: &BTreeMap<GearId, i64>) -> bool {
        if counts.values().any(|&count| ToothCount::new(count).is_none()) {
            return false;
        }
        let touched: BTreeSet<usize> =
            set.meshes_of_all(counts.keys()).into_iter().filter_map(|mesh| self.group_of[mesh.index()]).collect();
        let changed = |gear: GearId, signed: i64| counts.get(&gear).map_or(signed, |count| count * signed.signum());
        let assembles = |&number: &usize| {
            let group = &set.planet_groups()[number];
            rows_assemble(&set.matrix().timing(group).with_counts(changed), &group.spacings())
        };
        self.refused.is_subset(&touched) && touched.iter().all(assembles)
    }
}

/// The gearset, with what is known of all its groups.
pub(super) struct Remediable<'a> {
    pub(super) set: &'a Gearset,
    pub(super) apart: &'a GroupsApart,
}

pub(super) fn remedies(
    known: &Remediable<'_>,
    group: &PlanetGroup,
    divisor: &BigInt,
    index_classes: Vec<IndexClass>,
) -> Remedies {
    Remedies { places: nearest_places(group, divisor), tooth_changes: tooth_changes(known, group), index_classes }
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
fn tooth_changes(known: &Remediable<'_>, group: &PlanetGroup) -> Vec<ToothChange> {
    let (mut kept, mut others) = (Vec::new(), Vec::new());
    for size in 1..=LARGEST_CHANGE {
        let tried = [size, -size].into_iter().flat_map(|change| changed_counts(known.set, group, change));
        let found = tried.filter_map(|tooth_counts| assembling(known, tooth_counts));
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

/// Whether every mesh keeps its signed sum of counts.
fn keeps_sums(set: &Gearset, counts: &BTreeMap<GearId, i64>) -> bool {
    let grows_by = |gear: SignedGear| {
        let new = counts.get(&gear.gear);
        new.map_or(0, |new| (new - count(set, gear.gear)) * gear.tooth_count.signum())
    };
    let keeps = |mesh: MeshId| set.matrix().row(mesh).gears.into_iter().map(grows_by).sum::<i64>() == 0;
    // A mesh with none of the gears keeps it anyway.
    set.meshes_of_all(counts.keys()).into_iter().all(keeps)
}

fn count(set: &Gearset, gear: GearId) -> i64 {
    set.gear(gear).tooth_count().get().into()
}

/// The change, if every group of the changed gearset assembles.
fn assembling(known: &Remediable<'_>, tooth_counts: BTreeMap<GearId, i64>) -> Option<ToothChange> {
    let set = known.set;
    if !known.apart.all_assemble(set, &tooth_counts) {
        return None;
    }
    let changed = set.with_tooth_counts(tooth_counts.iter().map(|(&gear, &count)| (gear, count))).ok()?;
    // Loops run through the whole set and take longest, so they come last.
    loops_close(&changed).then(|| ToothChange {
        keeps_center_distance: keeps_center_distances(set, &changed, &tooth_counts),
        tooth_counts,
    })
}

/// Whether no pin has to move, and no two planets in mesh with one another come to another distance.
fn keeps_center_distances(set: &Gearset, changed: &Gearset, counts: &BTreeMap<GearId, i64>) -> bool {
    let touched = set.meshes_of_all(counts.keys());
    let gears = |mesh: MeshId| set.mesh(mesh).gears().each();
    let member = |gear: GearId| set.gear(gear).member();
    let on_pins = |mesh: MeshId| gears(mesh).into_iter().all(|gear| set.carrier_of(member(gear)).is_some());
    let same = |mesh: MeshId| set.matrix().row(mesh).tooth_sum() == changed.matrix().row(mesh).tooth_sum();
    // A pin without such a mesh stays where it is.
    let members: BTreeSet<MemberId> = touched.iter().flat_map(|&mesh| gears(mesh)).map(member).collect();
    let mut planets = members.into_iter().filter(|&member| set.carrier_of(member).is_some());
    touched.iter().filter(|&&mesh| on_pins(mesh)).all(|&mesh| same(mesh))
        && planets.all(|planet| {
            let distances = |set: &Gearset| asked_distances(set, planet);
            let (own, others): (Vec<_>, Vec<_>) =
                distances(changed).into_iter().partition(|asked| touched.contains(&asked.mesh));
            stands_still(&own, &others, &distances(set))
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
