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
#[non_exhaustive]
pub struct Miss {
    /// The requirement that it breaks.
    pub name: String,
    /// The values of all unknowns and derived quantities, in the order in which they were declared.
    pub values: Vec<i64>,
    /// How far the expression is from its window, where there is one.
    pub by: Option<Fraction>,
    /// Whether none that breaks it alone is nearer, proven: a search that ended before its end may have missed one.
    pub is_proven: bool,
    /// How many combinations break this requirement and no other; at least so many where not all were counted.
    pub count: u128,
    /// Whether all of them were counted.
    pub is_counted: bool,
}

/// What would do if one requirement were given up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct NearestMisses {
    /// For each requirement that alone stands in the way the combination that breaks it least, of several the first by its
    /// values.
    pub found: Vec<Miss>,
    /// The requirements of which a search that ended before its end has found nothing.
    pub open: Vec<String>,
}

impl SearchProblem {
    /// What would do if one requirement were given up. Requirements of one name are one; nothing is found and nothing
    /// open where no single requirement is to blame.
    ///
    /// Asked where a search has found nothing; it searches once for each requirement and counts once, each with as many
    /// choices as the options allow. Where it is stopped, the requirements that it has not come to are open. Goals and parts
    /// do not matter.
    ///
    /// # Errors
    /// As [`SearchProblem::search`].
    ///
    /// # Examples
    /// ```
    /// use toothmark::search::{Expression, Options, SearchProblem, Space};
    /// let mut space = Space::new();
    /// let gear = Expression::from(space.range("gear", 12..=40));
    /// let mut problem = SearchProblem::new(space);
    /// problem.always_require("fits", gear.clone().at_most(30));
    /// problem.require("large", gear.at_least(32));
    /// let near = problem.nearest_misses(&Options::default()).unwrap();
    /// assert_eq!((near.found[0].name.as_str(), near.found[0].values[0]), ("large", 30));
    /// assert!(near.found[0].is_proven && near.open.is_empty());
    /// ```
    pub fn nearest_misses(&self, options: &Options<'_>) -> Result<NearestMisses, NotSearchable> {
        let options = Options { part: None, ..*options };
        let mut misses = NearestMisses::default();
        for name in self.names_to_give_up() {
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
            let Some(first) = outcome.found.first() else {
                misses.open.extend((!outcome.complete).then_some(name));
                continue;
            };
            let by = first.measures.first().filter(|_| is_window).cloned();
            let counted = relaxed.search(&Wanted::Count, &options)?;
            misses.found.push(Miss {
                name,
                values: first.values.clone(),
                by,
                is_proven: outcome.complete,
                // What was found may lie where the count did not come to.
                count: counted.count.max(outcome.count),
                is_counted: counted.complete,
            });
        }
        Ok(misses)
    }
}

impl SearchProblem {
    /// The names of the requirements that can be given up, each once.
    fn names_to_give_up(&self) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for (name, _) in &self.requirements {
            if !self.never_given_up.contains(name) && !names.contains(name) {
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
