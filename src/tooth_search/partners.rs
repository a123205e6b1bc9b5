//! Which gear has to be free as well, where nothing but the gearset as it is serves?
//!
//! A planet keeps one centre distance in all its meshes, so that of a cluster neither gear of a mesh can change alone, and
//! of a plain planet between sun and ring at least two have to. What is proposed was tried: something serves with it.

use std::collections::BTreeSet;

use super::answer::{FreeAsWell, TeethAnswer};
use super::fault::TeethFault;
use super::plan::TeethPlan;
use super::request::{TeethRange, TeethRequest};
use crate::clearance::is_with_main_axis;
use crate::gearset::{GearId, GearKind, MemberId, MeshId, ToothCount};
use crate::search::{Combination, Options, Wanted};

/// So many choices of a value are made for one proposal.
const FEW_CHOICES: u128 = 20_000;

/// So many proposals are tried.
const MOST_TRIALS: usize = 24;

impl TeethPlan<'_> {
    /// Looks for gears to be free as well, where it is proven that nothing serves but the gearset as it is.
    pub(super) fn look_for_partners(&self, answer: &mut TeethAnswer, options: &Options<'_>) -> Result<(), TeethFault> {
        let is_stuck = answer.results.iter().all(|found| self.is_as_described(found.teeth.iter().copied()))
            && answer.results.iter().all(|found| found.pins_changed.is_empty() && found.modules.is_empty());
        if !answer.proven || answer.part.is_some() || !is_stuck {
            return Ok(());
        }
        for trial in self.trials().into_iter().take(MOST_TRIALS) {
            if self.serves_with(&trial, options)? {
                answer.free_as_well = trial
                    .into_iter()
                    .map(|TeethRange { gear, fewest, most }| FreeAsWell { gear, fewest, most })
                    .collect();
                return Ok(());
            }
        }
        Ok(())
    }

    fn is_as_described(&self, mut teeth: impl Iterator<Item = (GearId, u16)>) -> bool {
        teeth.all(|(gear, count)| self.set.gear(gear).tooth_count().get() == count)
    }

    /// Whether something other than the gearset as it is serves with these gears free as well.
    fn serves_with(&self, further: &[TeethRange], options: &Options<'_>) -> Result<bool, TeethFault> {
        let request = TeethRequest {
            ranges: self.request.ranges.iter().chain(further).copied().collect(),
            ..self.request.clone()
        };
        let plan = TeethPlan::new(self.set, &request)?;
        let few = Options { most_choices: Some(FEW_CHOICES), part: None, progress: None, ..*options };
        let found = plan.problem.search(&Wanted::All, &few)?.found;
        Ok(found.iter().any(|found| plan.is_another(found)))
    }

    fn is_another(&self, found: &Combination) -> bool {
        self.set.gear_ids().any(|gear| {
            let unknown = self.unknowns.teeth[gear.index()];
            unknown.is_some_and(|unknown| found.values[unknown.place()] != self.unknowns.now[gear.index()])
        })
    }

    /// What may be proposed, the fewest gears first: the other gear of a mesh, all such together, any gear of a planet
    /// that a free gear meshes with, two of them.
    fn trials(&self) -> Vec<Vec<TeethRange>> {
        let free = self.request.free_gears();
        let partners: Vec<TeethRange> = free.iter().flat_map(|range| self.partners(range)).collect();
        if partners.is_empty() {
            return Vec::new();
        }
        let others = self.neighbours();
        let mut trials: Vec<Vec<TeethRange>> = partners.iter().map(|&one| vec![one]).collect();
        if partners.len() > 1 {
            trials.push(partners);
        }
        trials.extend(others.iter().map(|&one| vec![one]));
        for (at, &one) in others.iter().enumerate() {
            trials.extend(others[at + 1..].iter().map(|&other| vec![one, other]));
        }
        let distinct = |trial: &Vec<TeethRange>| {
            let gears: BTreeSet<GearId> = trial.iter().map(|range| range.gear).collect();
            gears.len() == trial.len()
        };
        trials.retain(distinct);
        trials
    }

    /// For each mesh of a free gear with one that is not: the counts that keep their sum, their difference for a ring,
    /// `z' = sum - z`, or `z' = z -+ difference`.
    fn partners(&self, range: &TeethRange) -> Vec<TeethRange> {
        let now = i64::from(self.set.gear(range.gear).tooth_count().get());
        let [fewer, more] = [now - i64::from(range.fewest), i64::from(range.most) - now];
        let meshes = self.central_meshes().into_iter();
        let partner = |mesh: MeshId| {
            let gears = self.set.mesh(mesh).gears().each();
            let other = gears.into_iter().find(|&gear| gear != range.gear).filter(|_| gears.contains(&range.gear))?;
            let has_ring = gears.iter().any(|&gear| self.set.gear(gear).kind() == GearKind::Internal);
            let [fewer, more] = if has_ring { [fewer, more] } else { [more, fewer] };
            self.about(other, fewer, more)
        };
        meshes.filter_map(partner).collect()
    }

    /// The gears, not free, of every planet that a gear belongs to or meshes with which is free and has a partner that is
    /// not, as far from their counts as the free ones may be.
    fn neighbours(&self) -> Vec<TeethRange> {
        let all_free = self.request.free_gears();
        let alone = all_free.iter().filter(|range| !self.partners(range).is_empty());
        let free: Vec<GearId> = alone.map(|range| range.gear).collect();
        let far = |range: &TeethRange| {
            let now = self.set.gear(range.gear).tooth_count().get();
            range.fewest.abs_diff(now).max(range.most.abs_diff(now))
        };
        let far = i64::from(all_free.iter().map(far).max().unwrap_or(0));
        let meshes = self.central_meshes();
        let planets = meshes.iter().filter(|&&mesh| self.gears(mesh).iter().any(|gear| free.contains(gear)));
        let planets: BTreeSet<_> = planets.filter_map(|&mesh| self.planet_of(mesh)).collect();
        let of_planets = meshes.iter().filter(|&&mesh| self.planet_of(mesh).is_some_and(|it| planets.contains(&it)));
        let gears: BTreeSet<GearId> = of_planets.flat_map(|&mesh| self.gears(mesh)).collect();
        gears.into_iter().filter_map(|gear| self.about(gear, far, far)).collect()
    }

    /// Counts about that of a gear that is not free yet.
    fn about(&self, gear: GearId, fewer: i64, more: i64) -> Option<TeethRange> {
        if self.unknowns.teeth[gear.index()].is_some() {
            return None;
        }
        let now = i64::from(self.set.gear(gear).tooth_count().get());
        let count = |teeth: i64| u16::try_from(teeth.clamp(1, LARGEST_COUNT)).ok();
        Some(TeethRange { gear, fewest: count(now - fewer)?, most: count(now + more)? })
    }

    fn central_meshes(&self) -> Vec<MeshId> {
        self.set.mesh_ids().filter(|&mesh| self.planet_of(mesh).is_some()).collect()
    }

    /// The planet whose gear meshes here with one on the main axis.
    fn planet_of(&self, mesh: MeshId) -> Option<MemberId> {
        self.set.member_ids().find(|&planet| is_with_main_axis(self.set, mesh, planet))
    }

    fn gears(&self, mesh: MeshId) -> [GearId; 2] {
        self.set.mesh(mesh).gears().each()
    }
}

/// The most teeth that are proposed.
const LARGEST_COUNT: i64 = ToothCount::MAX;
