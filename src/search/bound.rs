//! How good must a combination be to count?
//!
//! The costs of the best so far give a bound; it is compared with exactly, and in machine words where the numbers
//! allow it.

use num_bigint::BigInt;
use num_traits::ToPrimitive;

use super::interval::Interval;
use super::program::Program;
use crate::exact::Fraction;

/// The highest cost that still counts.
#[derive(Clone, Debug)]
pub(super) struct Bound {
    pub(super) value: Fraction,
    narrow: Option<(i64, i64)>,
    /// All costs that count, for sweeps.
    pub(super) window: Interval,
}

impl Bound {
    pub(super) fn new(value: Fraction) -> Self {
        let narrow = value.numer().to_i64().zip(value.denom().to_i64());
        let window = Interval::between(None, Some(&value));
        Self { value, narrow, window }
    }

    /// Whether the ratio that a program has just computed lies above.
    pub(super) fn is_below(&self, ratio: &Program) -> bool {
        match (ratio.narrow(0), ratio.narrow(1), self.narrow) {
            (Some(numerator), Some(denominator), Some((limit, of))) => {
                i128::from(numerator) * i128::from(of) > i128::from(limit) * i128::from(denominator)
            }
            _ => ratio.whole(0) * self.value.denom() > BigInt::clone(self.value.numer()) * ratio.whole(1),
        }
    }
}

/// The costs of the best combinations so far, as many as are wanted, in rising order.
#[derive(Clone, Debug, Default)]
pub(super) struct Costs {
    wanted: usize,
    best: Vec<Fraction>,
    /// A bound that is known from elsewhere.
    ceiling: Option<Bound>,
    bound: Option<Bound>,
}

impl Costs {
    pub(super) fn new(wanted: usize, ceiling: Option<Bound>) -> Self {
        Self { wanted, best: Vec::new(), bound: ceiling.clone(), ceiling }
    }

    /// Notes the cost of a combination; true if the bound has fallen.
    pub(super) fn note(&mut self, cost: &Fraction) -> bool {
        // As good as the last of them, as most are that come late.
        if self.is_full() && self.best.last() == Some(cost) {
            return false;
        }
        let place = self.best.partition_point(|best| best <= cost);
        if place >= self.wanted {
            return false;
        }
        self.best.insert(place, cost.clone());
        self.best.truncate(self.wanted);
        let last = self.best.get(self.wanted - 1);
        let Some(last) = last.filter(|&last| self.bound.as_ref().is_none_or(|bound| *last < bound.value)) else {
            return false;
        };
        self.bound = Some(Bound::new(last.clone()));
        true
    }

    /// Begins again with other costs, the ceiling kept.
    pub(super) fn of(&self, costs: impl Iterator<Item = Fraction>) -> Self {
        let mut new = Self::new(self.wanted, self.ceiling.clone());
        for cost in costs {
            new.note(&cost);
        }
        new
    }

    /// Lets only what costs no more count, where the bound is higher; before any cost was noted.
    pub(super) fn lower_to(&mut self, ceiling: Bound) {
        if self.bound.as_ref().is_none_or(|bound| ceiling.value < bound.value) {
            *self = Self::new(self.wanted, Some(ceiling));
        }
    }

    pub(super) fn bound(&self) -> Option<&Bound> {
        self.bound.as_ref()
    }

    pub(super) fn is_full(&self) -> bool {
        self.best.len() >= self.wanted
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    /// The twin keeps every cost and sorts them anew.
    #[test]
    fn the_bound_is_the_last_of_the_best_so_far_or_a_ceiling_below_it() {
        for wanted in 1..=4 {
            for ceiling in [None, Some(5)] {
                let ceiling = ceiling.map(|cost| fraction(cost, 1));
                let mut costs = Costs::new(wanted, ceiling.clone().map(Bound::new));
                let mut all = Vec::new();
                let mut before = ceiling.clone();
                for cost in [7, 3, 3, 9, 3, 6, 1, 3, 0, 8, 1, 0, 0, 0, 2, 0].map(|cost| fraction(cost, 1)) {
                    let has_fallen = costs.note(&cost);
                    all.push(cost);
                    all.sort();
                    let last = all.get(wanted - 1).cloned();
                    let bound = [last, ceiling.clone()].into_iter().flatten().min();
                    assert_eq!(costs.bound().map(|bound| bound.value.clone()), bound, "{wanted} of {all:?}");
                    assert_eq!(has_fallen, bound != before, "{wanted} of {all:?}");
                    assert_eq!(costs.is_full(), all.len() >= wanted, "{wanted} of {all:?}");
                    before = bound;
                }
            }
        }
    }
}
