//! Polynomials in many unknowns with integer coefficients, and their quotients.

pub(super) mod monomial;
pub(super) mod polynomial;
pub(super) mod polynomial_divisor;
pub(super) mod rational_function;
