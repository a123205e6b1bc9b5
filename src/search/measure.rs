//! What is a combination measured by?
//!
//! By an expression, which the search bounds by itself, or by code, which it calls as soon as the unknowns that
//! the code asks for are known. Code can bring bounds of its own; without them it excludes only when it is called.

use std::fmt;
use std::ops::RangeInclusive;
use std::sync::Arc;

use super::expression::{Expression, Variable};
use crate::exact::Fraction;

/// What a goal makes small or large: an expression, or code.
///
/// # Examples
/// ```
/// use toothmark::exact::fraction;
/// use toothmark::search::{Measure, Options, SearchProblem, Space, Wanted};
///
/// let mut space = Space::new();
/// let [sun, planet] = ["sun", "planet"].map(|name| space.range(name, 12..=40));
/// let mut problem = SearchProblem::new(space);
/// problem.require("ratio", (planet / sun).at_least(2));
/// // Steel that a blank of each gear takes, in squares of the module: a stock size for every ten teeth.
/// let blanks = |counts: &[i64]| counts.iter().map(|count| (count / 10 + 1).pow(2)).sum::<i64>();
/// let of = move |counts: &[i64]| Some(fraction(blanks(counts), 1));
/// problem.minimise(Measure::code([sun, planet], of).with_bounds(move |ranges| {
///     let least: Vec<i64> = ranges.iter().map(|range| *range.start()).collect();
///     Some(fraction(blanks(&least), 1))
/// }));
/// let best = problem.search(&Wanted::Best(1), &Options::default()).unwrap();
/// assert_eq!(best.found[0].values, [12, 24]);
/// assert_eq!(best.found[0].measures, [fraction(13, 1)]);
/// ```
#[derive(Clone, Debug)]
pub struct Measure(pub(super) Cost);

/// A measure, or its negative where larger is better: smaller is better.
#[derive(Clone, Debug)]
pub(super) enum Cost {
    Expression(Expression),
    Code(CostCode),
}

type CostFunction = Arc<dyn Fn(&[i64]) -> Option<Fraction> + Send + Sync>;
type Best = Arc<dyn Fn(&[RangeInclusive<i64>]) -> Option<Fraction> + Send + Sync>;

/// A measure in code: the unknowns whose values it gets, in this order.
#[derive(Clone)]
pub(super) struct CostCode {
    pub(super) needs: Vec<Variable>,
    value: CostFunction,
    best: Option<Best>,
    larger_is_better: bool,
}

impl fmt::Debug for CostCode {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.debug_struct("CostCode").field("needs", &self.needs).finish_non_exhaustive()
    }
}

impl Measure {
    /// A measure in code, computed from the values of the unknowns, in the order given.
    ///
    /// The code is called as soon as all of them are known, and must answer the same for the same values. Where it
    /// answers `None` the combination has no measure, and is left out as one whose expression has no value.
    pub fn code(
        needs: impl IntoIterator<Item = Variable>,
        value: impl Fn(&[i64]) -> Option<Fraction> + Send + Sync + 'static,
    ) -> Self {
        let needs = needs.into_iter().collect();
        Self(Cost::Code(CostCode { needs, value: Arc::new(value), best: None, larger_is_better: false }))
    }

    /// The same with bounds: `best` gets the range that each unknown still has and gives a measure that is at least
    /// as good as any in these ranges (at most the least where smaller is better, at least the largest where larger
    /// is), or `None` where it cannot tell. Of measures that are not code nothing changes.
    #[must_use]
    pub fn with_bounds(
        mut self,
        best: impl Fn(&[RangeInclusive<i64>]) -> Option<Fraction> + Send + Sync + 'static,
    ) -> Self {
        if let Cost::Code(code) = &mut self.0 {
            code.best = Some(Arc::new(best));
        }
        self
    }

    /// The cost where the measure is to be large.
    pub(super) fn negated(self) -> Cost {
        match self.0 {
            Cost::Expression(expression) => Cost::Expression(-expression),
            Cost::Code(code) => Cost::Code(CostCode { larger_is_better: true, ..code }),
        }
    }
}

impl CostCode {
    /// The cost of the values needed.
    pub(super) fn cost(&self, needed: &[i64]) -> Option<Fraction> {
        (self.value)(needed).map(|value| self.signed(value))
    }

    /// A cost that none in these ranges is below.
    pub(super) fn least(&self, ranges: &[RangeInclusive<i64>]) -> Option<Fraction> {
        self.best.as_ref().and_then(|best| best(ranges)).map(|best| self.signed(best))
    }

    pub(super) fn has_bounds(&self) -> bool {
        self.best.is_some()
    }

    fn signed(&self, measure: Fraction) -> Fraction {
        if self.larger_is_better { -measure } else { measure }
    }
}

impl<E: Into<Expression>> From<E> for Measure {
    fn from(expression: E) -> Self {
        Self(Cost::Expression(expression.into()))
    }
}
