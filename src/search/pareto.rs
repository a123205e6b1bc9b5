//! Which combinations has no other beaten?
//!
//! The costs of all combinations that nothing found so far dominates: at least as good in every goal and better in one.

use super::problem::Objective;
use crate::exact::{Fraction, to_float};

/// Costs of which none dominates another, with floats that are not below them.
#[derive(Clone, Debug, Default)]
pub(super) struct Front(Vec<(Vec<Fraction>, Vec<f64>)>);

fn dominates<N: PartialOrd>(a: &[N], b: &[N]) -> bool {
    let as_good = a.iter().zip(b).all(|(a, b)| a <= b);
    as_good && a.iter().zip(b).any(|(a, b)| a < b)
}

impl Front {
    /// Adds costs; false if they are dominated.
    pub(super) fn add(&mut self, costs: Vec<Fraction>) -> bool {
        if self.0.iter().any(|(other, _)| dominates(other, &costs)) {
            return false;
        }
        if !self.0.iter().any(|(other, _)| *other == costs) {
            self.0.retain(|(other, _)| !dominates(&costs, other));
            let floats = costs.iter().map(|cost| to_float(cost).next_up()).collect();
            self.0.push((costs, floats));
        }
        true
    }

    /// Whether something dominates everything that costs at least so much.
    pub(super) fn beats(&self, least: &[f64]) -> bool {
        self.0.iter().any(|(_, floats)| dominates(floats, least))
    }

    /// Whether something dominates a combination with these measures.
    pub(super) fn dominates(&self, measures: &[Fraction], goals: &[Objective]) -> bool {
        let costs = costs(measures, goals);
        self.0.iter().any(|(other, _)| dominates(other, &costs))
    }
}

/// The costs behind measures.
pub(super) fn costs(measures: &[Fraction], goals: &[Objective]) -> Vec<Fraction> {
    let signed = measures.iter().zip(goals);
    signed.map(|(measure, goal)| if goal.larger_is_better { -measure } else { measure.clone() }).collect()
}
