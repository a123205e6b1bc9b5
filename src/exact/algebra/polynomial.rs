//! Polynomials in several numbered unknowns with integer coefficients: sums, products, exact division.
//!
//! Sparse: a map from monomials to coefficients that are not zero, of any size. Division is long division
//! by the leading term. Greatest common divisors are in [`super::polynomial_divisor`], quotients
//! in [`super::rational_function`].

use std::collections::{BTreeMap, BTreeSet};
use std::ops::{Add, Mul, Neg, Sub};

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, Zero};

use super::monomial::Monomial;

/// A polynomial in the unknowns 0, 1, 2 ... with integer coefficients.
///
/// # Examples
/// ```
/// use toothmark::exact::Polynomial;
/// let [sun, ring] = [0, 1].map(Polynomial::unknown);
/// let square = &(&sun + &ring) * &(&sun - &ring);
/// assert_eq!(square, &(&sun * &sun) - &(&ring * &ring));
/// assert_eq!(square.value(&[7.into(), 3.into()]), 40.into());
/// ```
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct Polynomial {
    /// No coefficient is zero.
    terms: BTreeMap<Monomial, BigInt>,
}

impl Polynomial {
    /// A number.
    pub fn constant(value: impl Into<BigInt>) -> Self {
        Self::from_terms([(Monomial::default(), value.into())])
    }

    /// An unknown.
    pub fn unknown(unknown: usize) -> Self {
        Self::from_terms([(Monomial::unknown(unknown), BigInt::one())])
    }

    /// A sum of terms; those with one monomial add.
    pub(super) fn from_terms(terms: impl IntoIterator<Item = (Monomial, BigInt)>) -> Self {
        let mut sum = Self::default();
        for (monomial, coefficient) in terms {
            sum.add_term(monomial, coefficient);
        }
        sum
    }

    fn add_term(&mut self, monomial: Monomial, coefficient: BigInt) {
        use std::collections::btree_map::Entry;
        match self.terms.entry(monomial) {
            Entry::Vacant(_) if coefficient.is_zero() => {}
            Entry::Vacant(place) => {
                place.insert(coefficient);
            }
            Entry::Occupied(mut place) => {
                *place.get_mut() += coefficient;
                if place.get().is_zero() {
                    place.remove();
                }
            }
        }
    }

    /// Every term with its coefficient, which is not zero; the greatest monomial first, in the order of a
    /// dictionary in which unknown 0 is the first letter.
    pub fn terms(&self) -> impl DoubleEndedIterator<Item = (&Monomial, &BigInt)> + ExactSizeIterator {
        self.terms.iter().rev()
    }

    /// Whether it is the number 0.
    pub fn is_zero(&self) -> bool {
        self.terms.is_empty()
    }

    /// Whether it is the number 1.
    pub fn is_one(&self) -> bool {
        self.as_constant().is_some_and(|value| value.is_one())
    }

    /// The number that it is, if no unknown occurs in it.
    pub fn as_constant(&self) -> Option<BigInt> {
        match self.terms.first_key_value() {
            None => Some(BigInt::zero()),
            Some((monomial, value)) if self.terms.len() == 1 && monomial.powers().is_empty() => Some(value.clone()),
            Some(_) => None,
        }
    }

    /// The unknowns that occur in it.
    pub fn unknowns(&self) -> BTreeSet<usize> {
        self.terms.keys().flat_map(Monomial::powers).map(|power| power.unknown).collect()
    }

    /// The highest power in which an unknown occurs; 0 where it does not occur.
    pub fn degree_in(&self, unknown: usize) -> u32 {
        self.terms.keys().map(|monomial| monomial.exponent(unknown)).max().unwrap_or(0)
    }

    /// The most factors that a term has; 0 for a number.
    pub fn degree(&self) -> u32 {
        let degree = |monomial: &Monomial| monomial.powers().iter().map(|power| power.exponent).sum();
        self.terms.keys().map(degree).max().unwrap_or(0)
    }

    /// The value where unknown i is `at[i]`.
    ///
    /// # Panics
    /// If `at` has no value for an unknown that occurs.
    pub fn value(&self, at: &[BigInt]) -> BigInt {
        self.terms.iter().map(|(monomial, coefficient)| monomial.value(coefficient, at)).sum()
    }

    /// The term with the greatest monomial; `None` for 0.
    pub fn leading_term(&self) -> Option<(&Monomial, &BigInt)> {
        self.terms.last_key_value()
    }

    /// The quotient where the division leaves nothing over, in integer coefficients; `None` where it does, and for
    /// a divisor of 0.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::Polynomial;
    /// let [a, b] = [0, 1].map(Polynomial::unknown);
    /// let product = &(&a + &b) * &a;
    /// assert_eq!(product.divided_by(&a), Some(&a + &b));
    /// assert_eq!(product.divided_by(&b), None);
    /// ```
    pub fn divided_by(&self, divisor: &Self) -> Option<Self> {
        let (leading, coefficient) = divisor.leading_term()?;
        let mut remainder = self.clone();
        let mut quotient = Self::default();
        // The leading term of a product is the product of the leading terms, so each step settles one of the quotient.
        while let Some((monomial, value)) = remainder.leading_term() {
            let monomial = monomial.divided_by(leading)?;
            let (value, left) = value.div_rem(coefficient);
            if !left.is_zero() {
                return None;
            }
            for (other, factor) in &divisor.terms {
                remainder.add_term(monomial.times(other), -(&value * factor));
            }
            quotient.terms.insert(monomial, value);
        }
        Some(quotient)
    }

    /// The greatest number and monomial that are factors of every term; positive, 0 for 0.
    pub(super) fn term_content(&self) -> Self {
        let mut terms = self.terms.iter();
        let Some((monomial, coefficient)) = terms.next() else { return Self::default() };
        let first = (monomial.clone(), coefficient.abs());
        let content = terms.fold(first, |(monomial, divisor), (other, coefficient)| {
            (monomial.common_divisor(other), divisor.gcd(coefficient))
        });
        Self::from_terms([content])
    }

    /// The coefficients of the powers of an unknown that occur, by their exponents.
    pub(super) fn coefficients(&self, unknown: usize) -> BTreeMap<u32, Self> {
        let mut found = BTreeMap::<u32, Self>::new();
        for (monomial, coefficient) in &self.terms {
            let of_power = found.entry(monomial.exponent(unknown)).or_default();
            of_power.terms.insert(monomial.without(unknown), coefficient.clone());
        }
        found
    }

    /// The same polynomial, or its negative, such that the leading coefficient is positive.
    pub(super) fn with_positive_lead(self) -> Self {
        if self.leading_term().is_some_and(|(_, coefficient)| coefficient.is_negative()) { -self } else { self }
    }
}

impl Add for &Polynomial {
    type Output = Polynomial;

    fn add(self, other: &Polynomial) -> Polynomial {
        let mut sum = self.clone();
        for (monomial, coefficient) in &other.terms {
            sum.add_term(monomial.clone(), coefficient.clone());
        }
        sum
    }
}

impl Sub for &Polynomial {
    type Output = Polynomial;

    fn sub(self, other: &Polynomial) -> Polynomial {
        let mut difference = self.clone();
        for (monomial, coefficient) in &other.terms {
            difference.add_term(monomial.clone(), -coefficient);
        }
        difference
    }
}

impl Mul for &Polynomial {
    type Output = Polynomial;

    fn mul(self, other: &Polynomial) -> Polynomial {
        let mut product = Polynomial::default();
        for (monomial, coefficient) in &self.terms {
            for (factor, value) in &other.terms {
                product.add_term(monomial.times(factor), coefficient * value);
            }
        }
        product
    }
}

impl Neg for Polynomial {
    type Output = Self;

    fn neg(mut self) -> Self {
        self.terms.values_mut().for_each(|coefficient| *coefficient = -std::mem::take(coefficient));
        self
    }
}
