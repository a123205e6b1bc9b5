//! How good can the best be at least?
//!
//! Before the search proper a bound is sought in little time: propagation alone refutes costs up to some limit, and
//! a short walk is tried with bounds a little above it, then farther above. A walk that comes to its end with as many as
//! are wanted has found the best and all as good: it is the answer. What one finds that does not come to its end costs no more
//! than the bound with which the search begins, so nothing as good is lost; if it finds nothing in time, the search begins
//! without.

use std::sync::atomic::AtomicBool;

use super::bound::{Bound, Costs};
use super::outcome::Combination;
use super::plan::Plan;
use super::walk::{Tally, Walker};
use crate::exact::Fraction;

/// How many values the first trial may choose; each that is given up lets the next choose four times as many.
const BUDGET: u128 = 1000;
/// How many all trials together may choose.
const MOST_CHOICES: u128 = 64 * BUDGET;
const HALVINGS: usize = 24;
const TRIALS: usize = 20;

/// What came of the trials.
pub(super) struct Probed {
    /// A cost that as many as are wanted do not exceed, if one was found in time.
    pub(super) ceiling: Option<Bound>,
    /// Everything, where a trial has gone through all that counts: the account and what was found.
    pub(super) all: Option<(Tally, Vec<Combination>)>,
}

/// Tries bounds.
pub(super) fn probe(plan: &Plan<'_>, wanted: usize, stop: Option<&AtomicBool>) -> Probed {
    let mut walker = Walker::new(plan, None, stop);
    let ceiling = ceiling(plan, &mut walker, wanted);
    let is_all = ceiling.is_some() && walker.costs.is_full() && !walker.stopped;
    Probed { ceiling, all: is_all.then_some((walker.tally, walker.found)) }
}

/// A cost that so many combinations do not exceed, if one is found in time; the last trial is left in the walker.
fn ceiling(plan: &Plan<'_>, walker: &mut Walker<'_>, wanted: usize) -> Option<Bound> {
    let goal = plan.tests.get(plan.first_goal)?.root?.0;
    if wanted == 0 || walker.is_refuted() {
        return None;
    }
    let range = plan.start.intervals[goal];
    let (mut refuted, mut open) = (range.low(), range.high().min(range.low().abs().max(1.0) * 1e6));
    if !refuted.is_finite() {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = refuted + (open - refuted) / 2.0;
        walker.costs = Costs::new(wanted, Some(bound(middle)?));
        *(if walker.is_refuted() { &mut refuted } else { &mut open }) = middle;
    }
    let mut best: Option<Bound> = None;
    let (mut budget, mut granted) = (BUDGET, MOST_CHOICES);
    let mut trial = |cost: f64| {
        if granted == 0 {
            return None;
        }
        walker.costs = Costs::new(wanted, Some(bound(cost)?));
        walker.grant(budget.min(granted));
        walker.explore(0, &[]);
        let found = walker.costs.is_full().then(|| walker.costs.bound().cloned()).flatten();
        granted = granted.saturating_sub(walker.tally.visited);
        if walker.stopped {
            budget *= 4;
        }
        Some((found, walker.stopped, walker.tally.visited))
    };
    // Farther and farther above what is refuted, until there is too much to go through; then between the two.
    let mut above = refuted.abs().max(1e-9) / 4096.0;
    let (mut too_much, mut work) = (f64::INFINITY, 0);
    for _ in 0..TRIALS {
        let cost = if too_much.is_finite() { refuted + (too_much - refuted) / 2.0 } else { refuted + above };
        let Some(tried) = trial(cost) else { break };
        match tried {
            (Some(found), given_up, _) => {
                too_much = found.window.high();
                best = Some(found);
                if !given_up {
                    break;
                }
            }
            (None, true, _) => too_much = cost,
            (None, false, visited) => {
                // Where the cost makes no difference to the work yet, it is far from where it does.
                let is_far = 2 * visited <= 3 * work;
                (refuted, above, work) = (cost, above * if is_far { 64.0 } else { 4.0 }, visited);
            }
        }
        let is_near = best.is_some() && too_much - refuted < too_much.abs() / 500.0;
        let was_too_much_at_once = best.is_none() && work == 0;
        if is_near || was_too_much_at_once || refuted > range.high() {
            break;
        }
    }
    best
}

fn bound(cost: f64) -> Option<Bound> {
    Fraction::from_float(cost).map(Bound::new)
}
