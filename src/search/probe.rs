//! How good can the best be at least?
//!
//! Before the search proper a bound is sought in little time: propagation alone refutes costs up to some limit, and
//! a short walk is tried with bounds a little above it, then farther above. What it finds costs no more than the bound
//! with which the search begins, so nothing as good is lost; if it finds nothing in time, the search begins without.

use std::sync::atomic::AtomicBool;

use super::bound::{Bound, Costs};
use super::plan::Plan;
use super::walk::Walker;
use crate::exact::Fraction;

/// How many values a trial may choose, all trials together.
const BUDGET: u128 = 3000;
const HALVINGS: usize = 24;
const TRIALS: usize = 12;

/// A cost that so many combinations do not exceed, if one is found in time.
pub(super) fn ceiling(plan: &Plan<'_>, wanted: usize, stop: Option<&AtomicBool>) -> Option<Bound> {
    let mut walker = Walker::new(plan, None, stop);
    let goal = plan.tests.get(plan.first_goal)?.root?.0;
    if wanted == 0 || walker.is_refuted() {
        return None;
    }
    let range = plan.start.intervals[goal];
    let (mut refuted, mut open) = (range.low, range.high.min(range.low.abs().max(1.0) * 1e6));
    if !refuted.is_finite() {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = refuted + (open - refuted) / 2.0;
        walker.costs = Costs::new(wanted, Some(bound(middle)?));
        *(if walker.is_refuted() { &mut refuted } else { &mut open }) = middle;
    }
    let mut above = refuted.abs().max(1e-9) / 4096.0;
    let mut left = BUDGET;
    for _ in 0..TRIALS {
        walker.costs = Costs::new(wanted, Some(bound(refuted + above)?));
        walker.budget = left;
        walker.explore(&[]);
        if walker.costs.is_full() {
            return walker.costs.bound().cloned();
        }
        left = left.saturating_sub(walker.tally.visited);
        if walker.stopped || left == 0 {
            return None;
        }
        above *= 4.0;
    }
    None
}

fn bound(cost: f64) -> Option<Bound> {
    Fraction::from_float(cost).map(Bound::new)
}
