//! In which order are unknowns chosen, and what is done after each choice?
//!
//! A problem is compiled once: expressions into one graph and into exact programs, and for every level of the
//! search what is checked there (all unknowns of a requirement are known), what is propagated (some are not), what
//! is stepped through, and on which earlier values that which remains depends.

use super::graph::Graph;
use super::node_intervals::NodeIntervals;
use super::operation::Operation;
use super::own_choices::OwnChoices;
use super::problem::{SearchProblem, Wanted};
use super::program::Width;
use super::propagate::Propagation;
use super::space::ValueSource;
use super::test::Test;

/// A compiled problem.
#[derive(Debug)]
pub(super) struct Plan<'a> {
    pub(super) problem: &'a SearchProblem,
    pub(super) wanted: &'a Wanted,
    /// Of all expressions, derived quantities expanded.
    pub(super) graph: Graph,
    /// Of every node.
    pub(super) operations: Vec<Operation>,
    /// The node of every unknown and derived quantity.
    pub(super) leaves: Vec<usize>,
    /// Intervals before any choice.
    pub(super) start: NodeIntervals,
    /// The requirements, then the derived quantities, then the goals.
    pub(super) tests: Vec<Test>,
    /// The first derived quantity and the first goal among the tests.
    pub(super) first_derived: usize,
    pub(super) first_goal: usize,
    /// What is propagated before any choice.
    pub(super) before_choice: Propagation,
    pub(super) levels: Vec<Level>,
    pub(super) combinations: u128,
    /// What of the work is to be done; all of it if it is not shared out.
    pub(super) share: Option<OwnChoices>,
}

/// What happens when the value of one unknown is chosen.
#[derive(Clone, Debug, Default)]
pub(super) struct Level {
    pub(super) unknown: usize,
    /// The values in rising order; none for a derived quantity.
    pub(super) values: Vec<i64>,
    /// Whether the values follow on one another without a gap.
    pub(super) is_range: bool,
    /// The test that computes a derived quantity.
    pub(super) derived: Option<usize>,
    pub(super) checks: Vec<usize>,
    /// A test for divisibility whose solutions are stepped through.
    pub(super) stepping: Option<usize>,
    pub(super) propagation: Propagation,
    /// Requirements in code with bounds that are not complete yet.
    pub(super) possible: Vec<usize>,
    /// Goals in code that become known here, or that can be bounded anew.
    pub(super) measures: Vec<usize>,
    /// Unknowns known after this level.
    pub(super) known: u64,
    /// Combinations of the unknowns after this level.
    pub(super) after: u128,
    /// Where what remains from this level on depends on few earlier values: those.
    pub(super) context: Option<Context>,
}

/// The earlier values on which a remainder depends, and how to bound it from them.
#[derive(Clone, Debug)]
pub(super) struct Context {
    /// The unknowns with their least values and the number of values.
    pub(super) unknowns: Vec<(usize, i64, u64)>,
    pub(super) size: u64,
    pub(super) propagation: Propagation,
}

impl Level {
    /// How many values there are to choose from.
    pub(super) fn width(&self) -> usize {
        if self.derived.is_some() { 1 } else { self.values.len() }
    }
}

impl Plan<'_> {
    pub(super) fn width(&self) -> Width {
        self.tests.iter().map(|test| test.kind.width()).max().unwrap_or(Width::Narrow)
    }

    pub(super) fn is_free(&self, unknown: usize) -> bool {
        matches!(self.problem.space.unknowns[unknown].choice, ValueSource::Free(_))
    }

    /// Whether it depends on the value of a level to which part a combination belongs.
    pub(super) fn is_shared_out(&self, depth: usize) -> bool {
        self.share.is_some_and(|share| share.depth == depth)
    }

    /// Whether the value at a place of a level is this part's, after the beginning with a number.
    #[inline]
    pub(super) fn owns(&self, depth: usize, beginning: usize, place: usize) -> bool {
        self.share.is_none_or(|share| share.depth != depth || share.owns(beginning, place))
    }

    /// How many combinations that are this part's there are behind the values at some places of a level.
    pub(super) fn behind(&self, depth: usize, beginning: usize, places: impl ExactSizeIterator<Item = usize>) -> u128 {
        let number = if self.is_shared_out(depth) {
            places.filter(|&at| self.owns(depth, beginning, at)).count()
        } else {
            places.len()
        };
        wide(number) * self.levels[depth].after
    }

    /// How many combinations that are this part's there are from a level on.
    pub(super) fn after(&self, depth: usize, beginning: usize) -> u128 {
        self.levels.get(depth).map_or(1, |level| self.behind(depth, beginning, 0..level.width()))
    }

    /// Whether bounds improve with what is found: then the most promising of many beginnings comes first.
    pub(super) fn improves(&self) -> bool {
        match self.wanted {
            Wanted::Best(_) | Wanted::Pareto => true,
            Wanted::All | Wanted::Within(_) | Wanted::Count => false,
        }
    }

    pub(super) fn counts(&self) -> bool {
        *self.wanted == Wanted::Count
    }
}

/// A length as a number of combinations.
pub(super) fn wide(length: usize) -> u128 {
    u128::try_from(length).expect("a length fits into 128 bits")
}

/// The places of the bits that are set.
pub(super) fn bits(of: u64) -> impl Iterator<Item = usize> {
    (0..64).filter(move |place| of & (1 << place) != 0)
}
