//! How good can the best be at least?
//!
//! Before the search proper a bound is sought in little time: propagation alone refutes costs up to some limit, and
//! a short walk is tried with bounds a little above it, then farther above. A walk that comes to its end with as many as
//! are wanted has found the best and all as good: it is the answer. What one finds that does not come to its end costs no more
//! than the bound with which the search begins, so nothing as good is lost; if it finds nothing in time, the search begins
//! without.

use super::bound::{Bound, Costs};
use super::outcome::Combination;
use super::plan::Plan;
use super::problem::Options;
use super::walk::{Tally, Walker};
use crate::exact::Fraction;

/// How many values the first trial may choose; each that is given up lets the next choose four times as many.
const BUDGET: u128 = 1000;
/// How many all trials together may choose.
pub(super) const MOST_CHOICES: u128 = 64 * BUDGET;
const HALVINGS: usize = 24;
const TRIALS: usize = 20;

/// What came of the trials.
pub(super) struct Probed {
    /// A cost that as many as are wanted do not exceed, if one was found in time.
    pub(super) ceiling: Option<Bound>,
    /// Everything, where a trial has gone through all that counts: the account and what was found.
    pub(super) all: Option<(Tally, Vec<Combination>)>,
}

/// Tries bounds, with as many choices at most as are granted here and by the options.
pub(super) fn probe(plan: &Plan<'_>, wanted: usize, options: &Options<'_>) -> Probed {
    let granted = options.most_choices.map_or(MOST_CHOICES, |choices| choices.min(MOST_CHOICES));
    let walker = Walker::new(plan, None, None, options);
    let mut trials = Trials { walker, wanted, budget: BUDGET, granted };
    let ceiling = trials.refuted_to(plan).and_then(|(refuted, highest)| trials.ceiling(refuted, highest));
    let walker = trials.walker;
    let is_all = ceiling.is_some() && walker.costs.is_full() && !walker.stopped;
    Probed { ceiling, all: is_all.then_some((walker.tally, walker.found)) }
}

/// Short walks with bounds.
struct Trials<'a> {
    walker: Walker<'a>,
    wanted: usize,
    /// How many values the next may choose, and all that are still to come.
    budget: u128,
    granted: u128,
}

/// What came of one trial.
struct Trial {
    /// The cost of the last of the best so far, if as many were found as are wanted.
    found: Option<Bound>,
    was_given_up: bool,
    /// The values chosen.
    work: u128,
}

impl Trials<'_> {
    /// Costs up to which propagation alone excludes everything, and the highest cost there can be; `None` where there is
    /// nothing to be tried.
    fn refuted_to(&mut self, plan: &Plan<'_>) -> Option<(f64, f64)> {
        let goal = plan.tests.get(plan.first_goal)?.root?.0;
        if self.wanted == 0 || self.walker.is_refuted() {
            return None;
        }
        let range = plan.start.intervals[goal];
        let (mut refuted, mut open) = (range.low(), range.high().min(range.low().abs().max(1.0) * 1e6));
        if !refuted.is_finite() {
            return None;
        }
        for _ in 0..HALVINGS {
            let middle = refuted + (open - refuted) / 2.0;
            self.walker.costs = Costs::new(self.wanted, Some(bound(middle)?));
            *(if self.walker.is_refuted() { &mut refuted } else { &mut open }) = middle;
        }
        Some((refuted, range.high()))
    }

    /// A cost that as many as are wanted do not exceed, if one is found in time; the last trial is left in the walker.
    fn ceiling(&mut self, mut refuted: f64, highest: f64) -> Option<Bound> {
        let mut best: Option<Bound> = None;
        // Farther and farther above what is refuted, until there is too much to go through; then between the two.
        let mut above = refuted.abs().max(1e-9) / 4096.0;
        let (mut too_much, mut least_work) = (f64::INFINITY, 0);
        for _ in 0..TRIALS {
            let cost = if too_much.is_finite() { refuted + (too_much - refuted) / 2.0 } else { refuted + above };
            let Some(Trial { found, was_given_up, work }) = self.at(cost) else { break };
            if let Some(found) = found {
                too_much = found.window.high();
                best = Some(found);
                if !was_given_up {
                    break;
                }
            } else if was_given_up {
                too_much = cost;
            } else {
                // Where the cost makes no difference to the work yet, it is far from where it does.
                let is_far = 2 * work <= 3 * least_work;
                (refuted, above, least_work) = (cost, above * if is_far { 64.0 } else { 4.0 }, work);
            }
            let is_near = best.is_some() && too_much - refuted < too_much.abs() / 500.0;
            let was_too_much_at_once = best.is_none() && least_work == 0;
            if is_near || was_too_much_at_once || refuted > highest {
                break;
            }
        }
        best
    }

    /// A walk through what costs at most so much; `None` where no more may be chosen.
    fn at(&mut self, cost: f64) -> Option<Trial> {
        if self.granted == 0 {
            return None;
        }
        let walker = &mut self.walker;
        walker.costs = Costs::new(self.wanted, Some(bound(cost)?));
        walker.grant(self.budget.min(self.granted));
        walker.explore(0, &[]);
        let found = walker.costs.is_full().then(|| walker.costs.bound().cloned()).flatten();
        let (was_given_up, work) = (walker.stopped, walker.tally.visited);
        self.granted = self.granted.saturating_sub(work);
        if was_given_up {
            self.budget *= 4;
        }
        Some(Trial { found, was_given_up, work })
    }
}

fn bound(cost: f64) -> Option<Bound> {
    Fraction::from_float(cost).map(Bound::new)
}
