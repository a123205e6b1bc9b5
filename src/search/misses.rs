//! When nothing meets all requirements, what comes nearest?
//!
//! A miss breaks one requirement only. For each requirement it is the combination that meets all others and breaks
//! this one least: where it is a window for an expression, by the distance to the window; elsewhere any, the
//! first by its values.

use num_bigint::BigInt;

use super::expression::{Expression, Variable};
use super::problem::{NotSearchable, Options, SearchProblem, Wanted};
use super::requirement::RequirementKind;
use super::space::{Space, ValueSource};
use crate::exact::Fraction;

/// The combination that breaks one requirement and no other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Miss {
    /// The requirement that it breaks.
    pub name: String,
    /// The values of all unknowns and derived quantities, in the order in which they were declared.
    pub values: Vec<i64>,
    /// How far the expression is from its window, where there is one.
    pub by: Option<Fraction>,
    /// How many combinations break this requirement and no other.
    pub count: u128,
}

impl SearchProblem {
    /// What would do if one requirement were given up: for each requirement that alone stands in the way the
    /// combination that breaks it least, of several the first by its values. Requirements of one name are one. Empty
    /// where no single requirement is to blame.
    ///
    /// Asked where a search has found nothing; it searches once for each requirement. Of a search that is
    /// stopped nothing is told. Goals and parts do not matter.
    ///
    /// # Errors
    /// As [`SearchProblem::search`].
    pub fn nearest_misses(&self, options: &Options<'_>) -> Result<Vec<Miss>, NotSearchable> {
        let options = Options { part: None, ..*options };
        let mut misses = Vec::new();
        for name in self.requirement_names() {
            let mut relaxed = self.clone();
            relaxed.requirements.retain(|(other, _)| *other != name);
            let mut given_up = self.requirements.iter().filter(|(other, _)| *other == name).map(|(_, rule)| &rule.0);
            let (distance, is_window) = match (given_up.next(), given_up.next()) {
                (Some(RequirementKind::Window { of, low, high }), None) => {
                    (distance(of, low.clone(), high.clone()), true)
                }
                _ => (rank(&self.space), false),
            };
            relaxed.goals.clear();
            relaxed.minimise(distance);
            let outcome = relaxed.search(&Wanted::Best(1), &options)?;
            if let (true, Some(first)) = (outcome.complete, outcome.found.into_iter().next()) {
                let by = first.measures.into_iter().next().filter(|_| is_window);
                let count = relaxed.search(&Wanted::Count, &options)?.count;
                misses.push(Miss { name, values: first.values, by, count });
            }
        }
        Ok(misses)
    }
}

impl SearchProblem {
    /// The names of the requirements, each once.
    fn requirement_names(&self) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for (name, _) in &self.requirements {
            if !names.contains(name) {
                names.push(name.clone());
            }
        }
        names
    }
}

/// A number that is the smaller, the earlier the values come.
fn rank(space: &Space) -> Expression {
    let mut rank = Expression::from(0);
    for (place, unknown) in space.unknowns.iter().enumerate() {
        if let ValueSource::Free(values) = &unknown.choice
            && let (Some(&first), Some(&last)) = (values.first(), values.last())
        {
            let places = Fraction::from(BigInt::from(last) - first + 1);
            rank = rank * places + (Variable(place) - first);
        }
    }
    rank
}

/// How far an expression is from a window: zero within.
fn distance(of: &Expression, low: Option<Fraction>, high: Option<Fraction>) -> Expression {
    let below = low.map(|low| low - of.clone());
    let above = high.map(|high| of.clone() - high);
    below.into_iter().chain(above).fold(0.into(), Expression::larger)
}
