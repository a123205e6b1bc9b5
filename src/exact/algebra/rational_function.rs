//! Quotients of two polynomials in lowest terms.
//!
//! The form is unique: numerator and denominator have no common divisor, numbers included, and the leading
//! coefficient of the denominator is positive.

use std::collections::{BTreeMap, BTreeSet};

use super::polynomial::Polynomial;
use crate::exact::rational::Fraction;
use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

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
        Self::of_coprime(reduced(numerator), reduced(denominator))
    }

    /// The product of functions; `None` where one product of polynomials on the way takes more than so many products of
    /// two terms.
    ///
    /// What numerators and denominators share is taken out before anything is multiplied, two at a time; after that no
    /// numerator has a divisor in common with a denominator, so neither have their products, and the result is in lowest
    /// terms as it is.
    pub(crate) fn product(factors: &[&Self], most_products: usize) -> Option<Self> {
        let mut numerators: Vec<Polynomial> = factors.iter().map(|factor| factor.numerator.clone()).collect();
        let mut denominators: Vec<Polynomial> = factors.iter().map(|factor| factor.denominator.clone()).collect();
        if numerators.iter().any(Polynomial::is_zero) {
            return Some(Self::constant(0));
        }
        cancel(&mut numerators, &mut denominators);
        let [numerator, denominator] =
            [multiplied(&numerators, most_products)?, multiplied(&denominators, most_products)?];
        Some(Self::of_coprime(numerator, denominator))
    }

    /// The quotient of two polynomials that have no common divisor.
    fn of_coprime(numerator: Polynomial, denominator: Polynomial) -> Self {
        let is_negative = denominator.leading_term().is_some_and(|(_, coefficient)| coefficient.is_negative());
        if is_negative {
            Self { numerator: -numerator, denominator: -denominator }
        } else {
            Self { numerator, denominator }
        }
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
        (!self.is_zero()).then(|| Self::of_coprime(self.denominator.clone(), self.numerator.clone()))
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

/// Takes out of each numerator what it shares with each denominator.
fn cancel(numerators: &mut [Polynomial], denominators: &mut [Polynomial]) {
    // Only polynomials with an unknown in common, or a number each as a factor of all terms, have a common divisor.
    let mut with_unknown: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (place, denominator) in denominators.iter().enumerate() {
        for unknown in denominator.unknowns() {
            with_unknown.entry(unknown).or_default().push(place);
        }
    }
    let with_number: Vec<usize> = (0..denominators.len()).filter(|&at| has_number(&denominators[at])).collect();
    for numerator in numerators {
        let mut places: BTreeSet<usize> =
            numerator.unknowns().iter().filter_map(|unknown| with_unknown.get(unknown)).flatten().copied().collect();
        if has_number(numerator) {
            places.extend(&with_number);
        }
        for place in places {
            let common = numerator.common_divisor(&denominators[place]);
            if !common.is_one() {
                let reduced = |part: &Polynomial| part.divided_by(&common).expect("a common divisor divides both");
                (*numerator, denominators[place]) = (reduced(numerator), reduced(&denominators[place]));
            }
        }
    }
}

/// Whether a number but 1 is a factor of all terms.
fn has_number(polynomial: &Polynomial) -> bool {
    polynomial.term_content().leading_term().is_some_and(|(_, number)| !number.is_one())
}

/// The product of polynomials that are not 0; `None` where that takes too many products of terms.
fn multiplied(factors: &[Polynomial], most_products: usize) -> Option<Polynomial> {
    // Without a common unknown no terms of a product meet, so that the length of the whole is known beforehand.
    let unknowns: Vec<usize> = factors.iter().flat_map(Polynomial::unknowns).collect();
    let distinct = unknowns.iter().collect::<BTreeSet<_>>().len();
    let terms = factors.iter().try_fold(1_usize, |terms, factor| terms.checked_mul(factor.terms().len()));
    if distinct == unknowns.len() && terms.is_none_or(|terms| terms > most_products) {
        return None;
    }
    factors.iter().try_fold(Polynomial::constant(1), |product, factor| {
        (product.terms().len().checked_mul(factor.terms().len())? <= most_products).then(|| &product * factor)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quotients with common unknowns, common numbers and either sign, multiplied both ways.
    #[test]
    fn a_product_factor_by_factor_is_that_of_all_numerators_by_all_denominators() {
        let [a, b, c] = [0, 1, 2].map(Polynomial::unknown);
        let number = |value: i64| Polynomial::constant(value);
        let pairs = [
            (&a + &b, a.clone()),
            (&a * &c, &(&a + &b) * &number(-6)),
            (number(4), &b - &c),
            (&(&c - &b) * &(&a - &c), number(9)),
            (&(&a * &a) - &(&c * &c), &(&a + &c) * &b),
        ];
        let quotients = pairs.each_ref().map(|(above, below)| RationalFunction::new(above, below));
        for first in 0..quotients.len() {
            for last in first..=quotients.len() {
                let some: Vec<&RationalFunction> = quotients[first..last].iter().collect();
                let one = Polynomial::constant(1);
                let above = some.iter().fold(one.clone(), |product, factor| &product * factor.numerator());
                let below = some.iter().fold(one, |product, factor| &product * factor.denominator());
                assert_eq!(RationalFunction::product(&some, 1000), Some(RationalFunction::new(&above, &below)));
            }
        }
    }

    #[test]
    fn a_product_that_would_be_too_long_is_not_begun() {
        let sum = |at: usize| &Polynomial::unknown(2 * at) + &Polynomial::unknown(2 * at + 1);
        let sums: Vec<RationalFunction> =
            (0..200).map(|at| RationalFunction::new(&sum(at), &Polynomial::constant(1))).collect();
        let [ten, all] = [&sums[..10], &sums[..]].map(|some| some.iter().collect::<Vec<_>>());
        assert_eq!(RationalFunction::product(&ten, 1024).map(|found| found.numerator.terms().len()), Some(1024));
        assert_eq!(RationalFunction::product(&ten, 1023), None);
        assert_eq!(RationalFunction::product(&all, 40_000), None);
    }
}
