//! Integer matrices and congruences: normal forms, solutions modulo one, and the integer vectors nearest to one.

pub(super) mod circuits;
pub(super) mod class_search;
pub(super) mod congruence;
mod exchange;
pub(super) mod hermite;
pub(super) mod integer_matrix;
pub(super) mod joint_fit;
pub(super) mod joint_rows;
mod joint_search;
pub(super) mod lattice_norm;
mod points_in_ranges;
pub(super) mod smith;
