//! Which combinations of whole numbers meet all requirements, and which of them are the best, proven?
//!
//! A search over a [`Space`] of unknowns that knows nothing of what they stand for. It is exhaustive: every combination
//! is found, or excluded by something that the answer names, and the numbers add up. Expressions are bounded by
//! interval arithmetic, so that most combinations are never looked at, and decided by exact whole-number
//! arithmetic; code is called where an expression cannot say it.
//!
//! A gear train on two parallel shafts, say: 7:1 in two steps, as near as can be, both pairs on the same centre
//! distance, and every tooth of a wheel to meet every tooth of its pinion.
//!
//! ```
//! use toothmark::exact::fraction;
//! use toothmark::search::{Expression, Options, SearchProblem, Space, Wanted};
//!
//! let mut space = Space::new();
//! let [first_pinion, second_pinion] = ["first pinion", "second pinion"].map(|name| space.range(name, 17..=30));
//! let [first_wheel, second_wheel] = ["first wheel", "second wheel"].map(|name| space.range(name, 40..=80));
//!
//! let mut problem = SearchProblem::new(space);
//! problem.require("one centre distance", (first_pinion + first_wheel).equals(second_pinion + second_wheel));
//! problem.require("first pair hunts", Expression::from(first_pinion).common_divisor_is(first_wheel, 1));
//! problem.require("second pair hunts", Expression::from(second_pinion).common_divisor_is(second_wheel, 1));
//! let ratio = first_wheel * second_wheel / (first_pinion * second_pinion);
//! problem.minimise(ratio.distance_to(7));
//!
//! let best = problem.search(&Wanted::Best(1), &Options::default()).unwrap();
//! assert!(best.complete, "nothing was left undecided");
//! let design = &best.found[0];
//! println!("{:?} is off by {}", design.values, design.measures[0]);
//! let excluded: u128 = best.excluded.iter().map(|one| one.combinations).sum();
//! assert_eq!(best.count + excluded + best.beaten, best.combinations);
//! ```
//!
//! - **Requirements** are windows, equalities and comparisons of [`Expression`]s, divisors, congruences, common
//!   divisors, and [`Requirement::code`].
//! - **Goals** are expressions, or code ([`Measure::code`]), to be minimised or maximised; [`Wanted`] says which
//!   combinations are meant: the best with all ties, all, all within a bound, a Pareto set, or their number.
//! - **Derived quantities** ([`Space::derived`]) let counts multiply: what hangs on a difference of two unknowns alone
//!   is counted once for each difference.
//! - **Parts**: [`Options::part`] does a share of the work, [`SearchOutcome::merge`] puts shares together.
//! - Nothing found: [`SearchOutcome::most_excluding`] and [`SearchProblem::nearest_misses`] say why.

mod bound;
mod crew;
mod expression;
mod graph;
mod interval;
mod kept;
mod listing;
mod measure;
mod memory;
mod misses;
mod node_intervals;
mod operation;
mod order;
mod outcome;
mod own_choices;
mod pareto;
mod part;
mod plan;
mod planning;
mod probe;
mod problem;
mod program;
mod propagate;
mod requirement;
mod run;
mod space;
mod stepping;
mod test;
mod tied_pair;
mod tying;
mod walk;

pub use expression::{Expression, Variable};
pub use measure::Measure;
pub use misses::{Miss, NearestMisses};
pub use outcome::{Combination, Excluded, SearchOutcome};
#[cfg(feature = "report")]
pub(crate) use own_choices::MOST_PARTS;
pub use problem::{MemoryBound, NotSearchable, Options, SearchProblem, Wanted, WorkShare};
pub use program::Width;
pub use requirement::Requirement;
pub use space::Space;
