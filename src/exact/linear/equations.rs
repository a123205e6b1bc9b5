//! Homogeneous equations in numbered unknowns, what holds beside them, and what follows.
//!
//! Unknown 0 is always zero: what is held is equal to it.

use smallvec::SmallVec;

use crate::exact::rational::Fraction;

/// An integer times an unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Term {
    /// The factor.
    pub coefficient: i64,
    /// The unknown, by its number.
    pub unknown: usize,
}

impl Term {
    /// `coefficient` times `unknown`.
    pub const fn of(coefficient: i64, unknown: usize) -> Self {
        Self { coefficient, unknown }
    }
}

/// A sum of terms that is zero.
///
/// # Examples
/// ```
/// use toothmark::exact::{Equation, Term};
/// // 2 x1 - 3 x2 = 0
/// let equation: Equation = [Term::of(2, 1), Term::of(-3, 2)].into_iter().collect();
/// assert_eq!(equation.terms().len(), 2);
/// ```
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Equation {
    terms: SmallVec<[Term; 4]>,
}

impl Equation {
    /// The terms as given, in any order; those with the same unknown add.
    pub fn terms(&self) -> &[Term] {
        &self.terms
    }
}

impl FromIterator<Term> for Equation {
    fn from_iter<I: IntoIterator<Item = Term>>(terms: I) -> Self {
        Self { terms: terms.into_iter().collect() }
    }
}

impl Extend<Term> for Equation {
    fn extend<I: IntoIterator<Item = Term>>(&mut self, terms: I) {
        self.terms.extend(terms);
    }
}

/// Two unknowns that are equal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Equality {
    /// One of them.
    pub left: usize,
    /// The other.
    pub right: usize,
}

impl Equality {
    /// `left` and `right` are equal.
    pub const fn of(left: usize, right: usize) -> Self {
        Self { left, right }
    }

    /// `unknown` is zero: equal to unknown 0.
    pub const fn held(unknown: usize) -> Self {
        Self::of(unknown, 0)
    }
}

/// What holds beside the equations of the system.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Conditions {
    /// The unknown whose value is 1.
    pub driver: usize,
    /// Unknowns that are equal, or zero.
    pub equalities: Vec<Equality>,
    /// Further equations.
    pub equations: Vec<Equation>,
}

impl Conditions {
    /// `driver` is 1 and the equalities hold; no further equations.
    pub const fn of(driver: usize, equalities: Vec<Equality>) -> Self {
        Self { driver, equalities, equations: Vec::new() }
    }
}

/// What follows from a system and conditions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solution {
    /// Whether there is a solution in which the driver is not zero.
    pub driver_can_turn: bool,
    /// One value for each unknown: what the unknown is in every solution whose driver
    /// is 1; `None` where such solutions differ, or if the driver cannot turn.
    pub values: Vec<Option<Fraction>>,
    /// The dimension of the space of solutions whose driver is zero: how many further
    /// values can be chosen at will once the driver's is given. An unknown that occurs
    /// nowhere counts one.
    pub freedom: usize,
}
