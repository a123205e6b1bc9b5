//! Quotients of two polynomials in lowest terms.
//!
//! The form is unique: numerator and denominator have no common divisor, numbers included, and the leading
//! coefficient of the denominator is positive.

use super::polynomial::Polynomial;
use crate::exact::rational::Fraction;
use num_bigint::BigInt;
use num_traits::Zero;

/// A quotient of two polynomials, in lowest terms.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct RationalFunction {
    numerator: Polynomial,
    denominator: Polynomial,
}

impl RationalFunction {
    /// The quotient of two polynomials.
    ///
    /// # Panics
    /// If the denominator is 0 whatever the unknowns are.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Polynomial, RationalFunction, fraction};
    /// let [sun, ring] = [0, 1].map(Polynomial::unknown);
    /// let ratio = RationalFunction::new(&(&(&sun + &ring) * &ring), &(&sun * &ring));
    /// assert_eq!(ratio.numerator(), &(&sun + &ring));
    /// assert_eq!(ratio.value(&[24.into(), 60.into()]), Some(fraction(7, 2)));
    /// ```
    pub fn new(numerator: &Polynomial, denominator: &Polynomial) -> Self {
        assert!(!denominator.is_zero(), "nothing is divided by zero");
        let common = numerator.common_divisor(denominator);
        let reduced = |part: &Polynomial| part.divided_by(&common).expect("a common divisor divides both");
        let (numerator, denominator) = (reduced(numerator), reduced(denominator));
        let positive = denominator.clone().with_positive_lead();
        let numerator = if positive == denominator { numerator } else { -numerator };
        Self { numerator, denominator: positive }
    }

    /// A number.
    pub fn constant(value: i64) -> Self {
        Self { numerator: Polynomial::constant(value), denominator: Polynomial::constant(1) }
    }

    /// What is divided.
    pub fn numerator(&self) -> &Polynomial {
        &self.numerator
    }

    /// What it is divided by: its leading coefficient is positive.
    pub fn denominator(&self) -> &Polynomial {
        &self.denominator
    }

    /// Whether it is 0 whatever the unknowns are.
    pub fn is_zero(&self) -> bool {
        self.numerator.is_zero()
    }

    /// Whether no unknown occurs in it.
    pub fn is_constant(&self) -> bool {
        self.numerator.as_constant().is_some() && self.denominator.as_constant().is_some()
    }

    /// One divided by it; `None` for 0.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Polynomial, RationalFunction};
    /// let [sun, ring] = [0, 1].map(Polynomial::unknown);
    /// let reciprocal = RationalFunction::new(&sun, &ring).reciprocal();
    /// assert_eq!(reciprocal, Some(RationalFunction::new(&ring, &sun)));
    /// assert_eq!(RationalFunction::constant(0).reciprocal(), None);
    /// ```
    pub fn reciprocal(&self) -> Option<Self> {
        (!self.is_zero()).then(|| Self::new(&self.denominator, &self.numerator))
    }

    /// The value where unknown i is `at[i]`; `None` where the denominator is 0 there.
    ///
    /// # Panics
    /// If `at` has no value for an unknown that occurs.
    pub fn value(&self, at: &[BigInt]) -> Option<Fraction> {
        let denominator = self.denominator.value(at);
        (!denominator.is_zero()).then(|| Fraction::new(self.numerator.value(at), denominator))
    }
}
