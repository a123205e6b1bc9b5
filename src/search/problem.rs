//! What is looked for, and in which space?
//!
//! A [`SearchProblem`] is a space with requirements and goals; a [`Wanted`] says which of the combinations that meet
//! the requirements are meant. [`SearchProblem::search`] finds them.

use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicBool, Ordering};

use super::expression::Variable;
use super::measure::{Cost, Measure};
use super::requirement::Requirement;
use super::space::Space;
use crate::exact::Fraction;

/// A space of combinations, what must hold of them, and what they are measured by.
///
/// # Examples
/// ```
/// use toothmark::exact::fraction;
/// use toothmark::search::{Options, SearchProblem, Space, Wanted};
///
/// let mut space = Space::new();
/// let (sun, ring) = (space.range("sun", 20..=30), space.range("ring", 60..=80));
/// let mut problem = SearchProblem::new(space);
/// problem.require("three pins", (sun + ring).divisible_by(3));
/// problem.minimise((1 + ring / sun).distance_to(fraction(7, 2)));
/// let best = problem.search(&Wanted::Best(1), &Options::default()).unwrap();
/// let designs: Vec<&[i64]> = best.found.iter().map(|found| &found.values[..]).collect();
/// assert_eq!(designs, [[24, 60], [30, 75]]);
/// ```
#[derive(Clone, Debug)]
pub struct SearchProblem {
    pub(super) space: Space,
    pub(super) requirements: Vec<(String, Requirement)>,
    /// The names of those that are never given up.
    pub(super) never_given_up: Vec<String>,
    pub(super) goals: Vec<Objective>,
    pub(super) order: Option<Vec<Variable>>,
}

/// A measure and the sense in which it is better.
#[derive(Clone, Debug)]
pub(super) struct Objective {
    pub(super) cost: Cost,
    pub(super) larger_is_better: bool,
}

/// Which combinations are wanted, of those that meet every requirement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// The best by the one goal: as many as given, and all that are as good as the last of them.
    Best(usize),
    /// All.
    All,
    /// All whose one measure is at most (at least, where larger is better) a bound.
    Within(Fraction),
    /// All that no other is better than in one goal and at least as good as in every other, those that are
    /// equal in every goal included.
    Pareto,
    /// Only how many there are, whatever the goals.
    Count,
}

/// A share of the work: of the choices at one of the outer levels every `of`-th, so that the shares are alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WorkShare {
    /// Which part, from 0.
    pub index: usize,
    /// How many parts there are.
    pub of: usize,
}

/// How much a search may keep: the counts that it remembers and the combinations that it has found, ties among them.
///
/// Where it is reached a count goes on and remembers no more, which takes longer; a search for anything else ends with what it
/// has found so far. What a search takes at its beginning, and short trials for a bound, do not grow and do not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MemoryBound {
    /// About how many bytes.
    pub bytes: u64,
    /// About how many of them go to what is made of each combination found, beside its values.
    pub per_found: u64,
}

/// How a search is run; what it finds does not depend on it, unless it is stopped or does a part only.
#[derive(Clone, Copy, Default)]
pub struct Options<'a> {
    /// How many threads work; as many as the machine has cores if not given.
    pub threads: Option<NonZeroUsize>,
    /// The share of the work to be done; all of it if not given.
    pub part: Option<WorkShare>,
    /// About how many times a value may be chosen: a search that takes more ends with what it has found so far, the same
    /// on every machine, as one thread works on it alone.
    pub most_choices: Option<u128>,
    /// How much the search may keep; as much as it comes to if not given.
    pub memory: Option<MemoryBound>,
    /// As soon as this is true the search ends with what it has found so far.
    pub stop: Option<&'a AtomicBool>,
    /// Called now and then with the share of the combinations that is decided, from 0 to 1, never falling.
    pub progress: Option<&'a (dyn Fn(f64) + Sync)>,
}

impl Options<'_> {
    /// Whether whoever began the search wants it to end.
    pub fn is_stop_requested(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }
}

impl std::fmt::Debug for Options<'_> {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter
            .debug_struct("Options")
            .field("threads", &self.threads)
            .field("part", &self.part)
            .field("most_choices", &self.most_choices)
            .field("memory", &self.memory)
            .finish()
    }
}

/// Why a problem cannot be searched.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotSearchable {
    /// More unknowns and derived quantities than can be told apart.
    #[error("a space has at most 64 unknowns and derived quantities, this one has {0}")]
    TooManyUnknowns(usize),
    /// More combinations than can be counted.
    #[error("a space has fewer than 2^128 combinations: narrow the ranges")]
    TooManyCombinations,
    /// A common divisor of something that is no polynomial with whole coefficients.
    #[error("`{0}` asks for a common divisor of values that need not be whole")]
    NotWhole(String),
    /// A derived quantity whose values have no bounds, or depend on unknowns declared after it.
    #[error("the derived quantity `{0}` is not bounded by what was declared before it")]
    Unbounded(String),
    /// An order that does not name every unknown once.
    #[error("an order names every unknown that is not derived exactly once")]
    Order,
    /// A question that needs another number of goals.
    #[error("the best and those within a bound need exactly one goal, a Pareto set at least one")]
    Goals,
    /// A part that does not exist, or one of more than 65,536.
    #[error("part {index} of {of} does not exist: parts count from 0, and there are at most 65,536")]
    Part {
        /// The part asked for.
        index: usize,
        /// How many there are.
        of: usize,
    },
}

impl SearchProblem {
    /// A problem without requirements and goals.
    pub fn new(space: Space) -> Self {
        Self { space, requirements: Vec::new(), never_given_up: Vec::new(), goals: Vec::new(), order: None }
    }

    /// Adds a requirement with the name under which the answer says what it excluded.
    pub fn require(&mut self, name: &str, requirement: Requirement) {
        self.requirements.push((name.to_owned(), requirement));
    }

    /// Adds a requirement that is never given up: [`SearchProblem::nearest_misses`] does not ask what would do without one
    /// of its name.
    pub fn always_require(&mut self, name: &str, requirement: Requirement) {
        self.never_given_up.push(name.to_owned());
        self.require(name, requirement);
    }

    /// Adds a goal: the smaller the measure, the better.
    pub fn minimise(&mut self, measure: impl Into<Measure>) {
        self.goals.push(Objective { cost: measure.into().0, larger_is_better: false });
    }

    /// Adds a goal: the larger the measure, the better.
    pub fn maximise(&mut self, measure: impl Into<Measure>) {
        self.goals.push(Objective { cost: measure.into().negated(), larger_is_better: true });
    }

    /// Leaves out the goals.
    pub(crate) fn forget_goals(&mut self) {
        self.goals.clear();
    }

    /// Fixes the order in which unknowns are chosen, the outermost first; without it the search chooses one.
    /// It decides how long a search takes, not what it finds.
    pub fn choose_in_order(&mut self, order: impl IntoIterator<Item = Variable>) {
        self.order = Some(order.into_iter().collect());
    }

    /// The space.
    pub fn space(&self) -> &Space {
        &self.space
    }

    /// For each goal whether it is the better the larger it is.
    pub(crate) fn larger_is_better(&self) -> Vec<bool> {
        self.goals.iter().map(|goal| goal.larger_is_better).collect()
    }

    pub(crate) fn check_goals(&self, wanted: &Wanted) -> Result<(), NotSearchable> {
        let goals_suit = match wanted {
            Wanted::Best(_) | Wanted::Within(_) => self.goals.len() == 1,
            Wanted::Pareto => !self.goals.is_empty(),
            Wanted::All | Wanted::Count => true,
        };
        if goals_suit { Ok(()) } else { Err(NotSearchable::Goals) }
    }
}
