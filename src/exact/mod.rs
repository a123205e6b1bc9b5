//! Which numbers follow exactly from others? Fractions, linear equations, integer matrices,
//! congruences, and the integer vectors nearest to a solution.
//!
//! Nothing here has ever heard of gears. Every answer is exact and of any size; machine words are
//! used where they suffice, with every overflow caught. The source of a method stands in the file
//! that holds it.

mod algebra;
mod checked_integer;
mod fraction;
mod in_words;
mod lattice;
mod linear;
mod rational;
mod typed;

pub use algebra::monomial::{Monomial, Power};
pub use algebra::polynomial::Polynomial;
pub use algebra::rational_function::RationalFunction;
pub use fraction::{
    decimal, distance_to_integer, fraction, mixed, multiple, multiple_is_integer, nearest_integer, nearest_zero, parse,
    part_of_turn, to_float,
};
pub use lattice::circuits::circuits;
pub use lattice::class_search::{ExactFit, Target, TooManyClasses};
pub use lattice::congruence::{Congruences, Inconsistency};
pub use lattice::hermite::TriangularLattice;
pub use lattice::integer_matrix::IntegerMatrix;
pub use lattice::joint_fit::JointFit;
pub use lattice::joint_rows::GivingWay;
pub use lattice::lattice_norm::{LatticeMiss, misses_within, nearest_miss};
pub use lattice::smith::SmithForm;
pub use linear::dependency::Dependencies;
pub use linear::equations::{Conditions, Equality, Equation, Solution, Term};
pub use linear::linear_system::LinearSystem;
pub use linear::mergers::{FixedQuotient, Merged, Merger, Mergers, Watched, count_mergers};
pub use rational::{Fraction, INTEGER_SERIALIZED_AS, serialize_integer, serialize_integer_or_none};
pub use typed::{Mistyped, TypedNumber};
