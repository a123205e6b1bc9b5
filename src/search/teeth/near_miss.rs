//! Nothing serves: which requirement stands in the way, and what would serve without it?
//!
//! Each requirement that excluded anything is left out in turn, all others kept. Without a window for a ratio
//! the combination is looked for that comes nearest to it; without any other requirement the best one by the
//! goals. A near miss breaks one requirement and no other.

use super::answer::{TeethFound, teeth_found};
use super::plan::{TeethFault, TeethPlan};
use super::request::Wish;
use crate::search::{Options, Problem, Wanted};

/// What would serve if one requirement were left out.
#[derive(Debug, Clone)]
pub struct NearMiss {
    /// The requirement, by its name.
    pub without: String,
    /// The gearset that serves without it, if any does.
    pub found: Option<TeethFound>,
}

impl TeethPlan<'_> {
    /// For each requirement named what would serve without it.
    ///
    /// # Errors
    /// [`TeethFault::Problem`] where the question cannot be searched.
    pub fn near_misses(&self, names: &[String], options: &Options<'_>) -> Result<Vec<NearMiss>, TeethFault> {
        let miss = |name: &String| {
            let problem = self.without(name);
            let wanted = if problem.goals.len() == 1 { Wanted::Best(1) } else { Wanted::Pareto };
            let outcome = problem.search(&wanted, options)?;
            let found = outcome.found.first().map(|found| teeth_found(self, found));
            Ok(NearMiss { without: name.clone(), found })
        };
        names.iter().map(miss).collect()
    }

    /// The problem without the requirements of a name; without a window, its distance is the goal.
    fn without(&self, name: &str) -> Problem {
        let mut problem = self.problem.clone();
        problem.requirements.retain(|(other, _)| other != name);
        let window = self.wishes.iter().find_map(|wished| match &wished.wish {
            Wish::Between(low, high) if wished.window_name(low, high) == name => Some((wished.ratio(), low, high)),
            Wish::Between(..) | Wish::Near(_) | Wish::Largest | Wish::Smallest => None,
        });
        if let Some((ratio, low, high)) = window {
            problem.goals.clear();
            let outside = (low.clone() - ratio.clone()).larger(ratio - high.clone()).larger(0);
            problem.minimise(outside);
        }
        problem
    }
}
