//! Where does the work begin?
//!
//! The outermost choices are gone through first, level by level, until there are enough beginnings to be worked off by
//! several threads, or to be shared out among parts.

use super::bound::Costs;
use super::outcome::Combination;
use super::plan::Plan;
use super::problem::Options;
use super::walk::{Start, Tally, Walker};

/// The outermost choices.
pub(super) struct Listing {
    /// The most promising first.
    pub(super) starts: Vec<Start>,
    /// The level of the next choice.
    pub(super) depth: usize,
    /// What was decided on the way there.
    pub(super) tally: Tally,
    pub(super) found: Vec<Combination>,
    /// Whether it did not come to its end.
    pub(super) was_stopped: bool,
}

/// How far is listed: to the level where so many beginnings and values are there, or so many were chosen.
pub(super) struct ListedUntil {
    /// Beginnings.
    pub(super) starts: usize,
    /// Values that are left for the next level.
    pub(super) left: usize,
    /// Values that were chosen, however many are left.
    pub(super) visited: u128,
}

impl Listing {
    pub(super) fn new(plan: &Plan<'_>, costs: &Costs, until: &ListedUntil, options: &Options<'_>) -> Self {
        let mut scout = Walker::new(plan, None, None, options);
        scout.costs = costs.clone();
        let deepest = plan.levels.len().saturating_sub(1);
        let mut depth = 0;
        loop {
            scout.expand(depth);
            let left = scout.starts.iter().fold(0_usize, |sum, start| sum.saturating_add(start.left));
            let has_enough = left >= until.left && scout.starts.len() >= until.starts;
            let is_work = scout.tally.visited >= until.visited;
            if has_enough || is_work || scout.starts.is_empty() || depth >= deepest || scout.stopped {
                break;
            }
            depth += 1;
        }
        scout.starts.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        let Walker { starts, tally, found, stopped: was_stopped, .. } = scout;
        Self { starts, depth, tally, found, was_stopped }
    }
}
