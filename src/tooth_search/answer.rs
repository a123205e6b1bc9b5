//! What came of a search for other tooth counts.

use super::gearset_of::gearset_of;
use super::plan::{TeethFault, TeethPlan};
use crate::exact::Fraction;
use crate::gearset::{GearId, Gearset, MemberId, MeshId};
use crate::kinematics::motions;
use crate::search::{Found, Miss, Options, Outcome};

/// Gearsets that serve, and the proof of what was left out.
#[derive(Debug, Clone)]
pub struct TeethAnswer {
    /// The numbers of the search.
    pub outcome: Outcome,
    /// How many combinations meet the request, whether they are among the best or not.
    pub serving: u128,
    /// Whether all of them were counted: a search that is stopped counts some only.
    pub counted: Counted,
    /// The gearsets found, in the order of the outcome.
    pub found: Vec<TeethFound>,
}

/// Whether the combinations that serve were counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counted {
    /// All of them.
    All,
    /// There may be more.
    AtLeast,
}

/// A gearset that serves.
#[derive(Debug, Clone)]
pub struct TeethFound {
    /// The gearset, with nothing that was measured or found on the parts as they are.
    pub set: Gearset,
    /// The counts of all gears that could change.
    pub teeth: Vec<(GearId, u16)>,
    /// The number of pins of the first planet of each group.
    pub pins: Vec<(MemberId, usize)>,
    /// The module of every mesh that could have another, in millimetres.
    pub modules: Vec<(MeshId, Fraction)>,
    /// The ratio of every state that drives, in the order of the description.
    pub ratios: Vec<(String, Fraction)>,
    /// The measure of every goal.
    pub measures: Vec<Fraction>,
}

/// A gearset that breaks one requirement and no other.
#[derive(Debug, Clone)]
pub struct NearMiss {
    /// The requirement.
    pub without: String,
    /// How far it is from the window that the requirement is, if it is one.
    pub by: Option<Fraction>,
    /// How many combinations break this requirement and no other.
    pub count: u128,
    /// The gearset.
    pub found: TeethFound,
}

impl TeethPlan<'_> {
    /// For every requirement that alone stands in the way, what comes nearest to it.
    ///
    /// # Errors
    /// [`TeethFault::Problem`] where the problem cannot be searched.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::fraction, search::Options, tooth_search::*};
    /// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    /// let ranges = ["L", "l"].map(|name| set.gear_named(name).unwrap());
    /// let ranges = ranges.map(|gear| TeethRange { gear, fewest: 15, most: 45 });
    /// let mut request = TeethRequest::new(ranges);
    /// request.ratios.push(RatioWish { state: "low".into(), wish: Wish::Between(fraction(5, 1), fraction(6, 1)) });
    /// let plan = TeethPlan::new(&set, &request).unwrap();
    /// let misses = plan.near_misses(&Options::default()).unwrap();
    /// // Sums of 57 give no 5; without one sum there is one.
    /// assert!(misses.iter().any(|miss| miss.without == "cluster keeps one centre distance"));
    /// ```
    pub fn near_misses(&self, options: &Options<'_>) -> Result<Vec<NearMiss>, TeethFault> {
        let misses = self.problem.nearest_misses(options)?;
        let near = |miss: Miss| {
            let found = Found { values: miss.values, measures: Vec::new() };
            // What makes no gearset at all is no miss: a ring that does not go round its gear.
            let found = teeth_found(self, &found)?;
            Some(NearMiss { without: miss.name, by: miss.by, count: miss.count, found })
        };
        Ok(misses.into_iter().filter_map(near).collect())
    }
}

impl TeethAnswer {
    pub(super) fn new(plan: &TeethPlan<'_>, outcome: Outcome, serving: u128, counted: Counted) -> Self {
        let found = outcome.found.iter().filter_map(|found| teeth_found(plan, found)).collect();
        Self { outcome, serving, counted, found }
    }
}

fn teeth_found(plan: &TeethPlan<'_>, found: &Found) -> Option<TeethFound> {
    let values: Vec<i64> = plan.all_unknowns().into_iter().map(|unknown| found.values[unknown.place()]).collect();
    let set = gearset_of(plan.set, &plan.unknowns, &values)?;
    let modules = &plan.unknowns.modules;
    let module = |mesh: MeshId| Some((mesh, modules.of_value(found.values[modules.unknown(mesh)?.place()])));
    let varied = plan.set.gear_ids().filter(|gear| plan.unknowns.teeth[gear.index()].is_some());
    let ratio = |motion: crate::kinematics::StateMotion| Some((motion.state.clone(), motion.verdict.ratio()?.clone()));
    Some(TeethFound {
        teeth: varied.map(|gear| (gear, set.gear(gear).tooth_count().get())).collect(),
        pins: set.planet_groups().iter().map(|group| (group.planets()[0], group.places().len())).collect(),
        modules: plan.set.mesh_ids().filter_map(module).collect(),
        ratios: motions(&set).into_iter().filter_map(ratio).collect(),
        measures: found.measures.clone(),
        set,
    })
}
