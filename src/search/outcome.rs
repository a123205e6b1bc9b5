//! What came of a search?
//!
//! The combinations found, and for all others what excluded them: the numbers add up to the size of the space
//! (or of the part that was searched). Outcomes of parts merge into that of the whole.

use serde::Serialize;

use crate::exact::Fraction;

use super::plan::wide;
use super::problem::Wanted;

/// The answer to a search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SearchOutcome {
    /// The combinations wanted: by rising cost where there is one goal, else by their values. Empty where only their
    /// number was asked for.
    pub found: Vec<Combination>,
    /// How many were found, listed or not.
    pub count: u128,
    /// How many combinations there are in the space, or in the part of it that was searched.
    pub combinations: u128,
    /// How many times a value was chosen or computed for an unknown: the work done.
    pub visited: u128,
    /// How many combinations each requirement and derived quantity excluded, in the order in which they were
    /// declared. A combination that breaks several is counted once, for the one that was noticed first.
    pub excluded: Vec<Excluded>,
    /// How many meet all requirements so far looked at, but cannot be among the wanted by the goals.
    pub beaten: u128,
    /// How many are left undecided because the search was stopped.
    pub undecided: u128,
    /// Whether nothing is left undecided.
    pub complete: bool,
    /// Whether the bound on memory was reached: a count remembered no more then, another search ended.
    pub memory_reached: bool,
    pub(crate) wanted: Wanted,
    pub(crate) larger_is_better: Vec<bool>,
}

/// A combination that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Combination {
    /// The values of all unknowns and derived quantities, in the order in which they were declared.
    pub values: Vec<i64>,
    /// The measure of every goal, exactly.
    pub measures: Vec<Fraction>,
}

/// How many combinations something excluded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub struct Excluded {
    /// The requirement or derived quantity.
    #[serde(rename = "requirement")]
    pub name: String,
    /// The number of combinations.
    pub combinations: u128,
}

impl SearchOutcome {
    /// The requirement that excluded the most combinations; of several the one declared first.
    pub fn most_excluding(&self) -> Option<&Excluded> {
        self.excluded.iter().filter(|one| one.combinations > 0).rev().max_by_key(|one| one.combinations)
    }

    /// The outcome of two parts together. In which order parts are merged does not matter.
    ///
    /// # Panics
    /// If the outcomes are not of one problem and one question.
    #[must_use]
    pub fn merge(mut self, other: Self) -> Self {
        assert_eq!(self.wanted, other.wanted, "outcomes of one question");
        assert_eq!(self.excluded.len(), other.excluded.len(), "outcomes of one problem");
        self.found.extend(other.found);
        self.count += other.count;
        self.combinations += other.combinations;
        self.visited += other.visited;
        self.beaten += other.beaten;
        self.undecided += other.undecided;
        self.complete &= other.complete;
        self.memory_reached |= other.memory_reached;
        for (one, other) in self.excluded.iter_mut().zip(other.excluded) {
            assert_eq!(one.name, other.name, "outcomes of one problem");
            one.combinations += other.combinations;
        }
        self.settle();
        self
    }

    /// All combinations that meet the requirements, cut down to those that another question asks for.
    #[must_use]
    pub(crate) fn cut_down_to(mut self, wanted: &Wanted) -> Self {
        self.wanted = wanted.clone();
        self.settle();
        self
    }

    /// Leaves the wanted of the found, in order.
    pub(super) fn settle(&mut self) {
        let before = self.found.len();
        let signs = &self.larger_is_better;
        put_in_order(&mut self.found, signs);
        match self.wanted {
            Wanted::Best(number) => cut_to_best(&mut self.found, number),
            Wanted::Pareto => cut_to_pareto(&mut self.found, signs),
            Wanted::All | Wanted::Within(_) | Wanted::Count => {}
        }
        let dropped = wide(before - self.found.len());
        self.beaten += dropped;
        self.count -= dropped;
    }
}

/// Puts combinations in order: by the cost where there is one goal, then by the values.
pub(super) fn put_in_order(found: &mut [Combination], larger_is_better: &[bool]) {
    found.sort_by(|a, b| order(a, b, larger_is_better));
}

fn order(a: &Combination, b: &Combination, larger_is_better: &[bool]) -> std::cmp::Ordering {
    let by_cost = match larger_is_better {
        [false] => a.measures[0].cmp(&b.measures[0]),
        [true] => b.measures[0].cmp(&a.measures[0]),
        _ => std::cmp::Ordering::Equal,
    };
    by_cost.then_with(|| a.values.cmp(&b.values))
}

/// Keeps the first ones of a sorted list and those as good as the last of them.
pub(super) fn cut_to_best(found: &mut Vec<Combination>, number: usize) {
    if number == 0 {
        found.clear();
    } else if let Some(last) = found.get(number - 1).map(|found| found.measures[0].clone()) {
        let kept = found.iter().skip(number).take_while(|found| found.measures[0] == last).count();
        found.truncate(number + kept);
    }
}

/// Whether measures are at least as good in every goal and better in one.
pub(super) fn dominates(a: &[Fraction], b: &[Fraction], larger_is_better: &[bool]) -> bool {
    let as_good = a.iter().zip(b).zip(larger_is_better).all(|((a, b), larger)| if *larger { a >= b } else { a <= b });
    as_good && a != b
}

fn cut_to_pareto(found: &mut Vec<Combination>, larger_is_better: &[bool]) {
    let all: Vec<Vec<Fraction>> = found.iter().map(|found| found.measures.clone()).collect();
    found.retain(|one| !all.iter().any(|other| dominates(other, &one.measures, larger_is_better)));
}
