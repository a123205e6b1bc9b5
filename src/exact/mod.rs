//! Which numbers follow exactly from others? Fractions, linear equations, whole matrices,
//! congruences, and the whole vectors nearest to a solution.
//!
//! Nothing here has ever heard of gears. Every answer is exact and of any size; machine words are
//! used where they suffice, with every overflow caught. The source of a method stands in the file
//! that holds it.

mod circuits;
mod class_search;
mod congruence;
mod dependency;
mod directions;
mod elimination;
mod fraction;
mod hermite;
mod integer_matrix;
mod lattice_norm;
mod linear_system;
mod mergers;
mod merging;
mod monomial;
mod polynomial;
mod polynomial_divisor;
mod rational;
mod rational_function;
mod reduction;
mod smith;
mod sparse;
mod whole;

pub use circuits::circuits;
pub use class_search::{ExactFit, Target, TooManyClasses};
pub use congruence::{Congruences, Refusal};
pub use dependency::Dependencies;
pub use fraction::{
    decimal, distance_to_whole, fraction, has_whole_multiple, mixed, multiple, nearest_whole, nearest_zero, parse,
    part_of_turn, to_float,
};
pub use hermite::TriangularLattice;
pub use integer_matrix::IntegerMatrix;
pub use lattice_norm::{Miss, misses_within, nearest_miss};
pub use linear_system::{Conditions, Equality, Equation, LinearSystem, Solution, Term};
pub use mergers::{FixedQuotient, Merged, Merger, Mergers, Watched, count_mergers};
pub use monomial::{Monomial, Power};
pub use polynomial::Polynomial;
pub use rational::{Fraction, INTEGER_SERIALIZED_AS, serialize_integer, serialize_integer_or_none};
pub use rational_function::RationalFunction;
pub use smith::SmithForm;
