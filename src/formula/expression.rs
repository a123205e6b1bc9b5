//! How is a formula laid out to be read: taken apart into factors, or as one plus something?
//!
//! Unknowns that are common to all terms come first, then sums, as far as a sum falls apart into factors; terms and
//! factors stand in the order of the gears. What `a/b` with a sum of two terms, one of them alike in both
//! parts, is in textbooks is `1 + c/b`, or `1/(1 + c/a)`.

use num_bigint::BigInt;
use num_traits::{One, Signed};

use crate::exact::{Monomial, Polynomial, RationalFunction};

/// A formula as it is written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Formula {
    /// A number, not negative.
    Number(BigInt),
    /// The unknown of this number: the tooth count of a gear.
    Unknown(usize),
    /// A power, the exponent at least 2.
    Power(Box<Formula>, u32),
    /// What is written with a minus before it.
    Negative(Box<Formula>),
    /// Two terms or more; a negative one is subtracted.
    Sum(Vec<Formula>),
    /// Two factors or more, none of them negative.
    Product(Vec<Formula>),
    /// A fraction of two expressions, neither of them negative.
    Quotient(Box<Formula>, Box<Formula>),
}

/// A formula in factors.
///
/// # Examples
/// ```
/// use toothmark::exact::{Polynomial, RationalFunction};
/// use toothmark::formula::{Formula, factored};
/// let [a, b] = [0, 1].map(Polynomial::unknown);
/// let formula = RationalFunction::new(&(&(&a * &b) + &(&a * &a)), &Polynomial::constant(1));
/// // a (a + b)
/// let sum = Formula::Sum(vec![Formula::Unknown(0), Formula::Unknown(1)]);
/// assert_eq!(factored(&formula), Formula::Product(vec![Formula::Unknown(0), sum]));
/// ```
pub fn factored(formula: &RationalFunction) -> Formula {
    let negative = number_of(formula.numerator()).is_negative();
    let quotient = divided(factors(formula.numerator()), factors(formula.denominator()));
    if negative { Formula::Negative(Box::new(quotient)) } else { quotient }
}

/// A formula as one plus or minus a quotient of products, or as one divided by that; `None` where it is neither.
///
/// # Examples
/// ```
/// use num_bigint::BigInt;
/// use toothmark::exact::{Polynomial, RationalFunction};
/// use toothmark::formula::{Formula, one_plus};
/// let [sun, ring] = [0, 1].map(Polynomial::unknown);
/// let ratio = RationalFunction::new(&(&sun + &ring), &sun);
/// // 1 + ring/sun
/// let quotient = Formula::Quotient(Box::new(Formula::Unknown(1)), Box::new(Formula::Unknown(0)));
/// assert_eq!(one_plus(&ratio), Some(Formula::Sum(vec![Formula::Number(BigInt::from(1)), quotient])));
/// ```
pub fn one_plus(formula: &RationalFunction) -> Option<Formula> {
    let (numerator, denominator) = (formula.numerator(), formula.denominator());
    match (numerator.terms().len(), denominator.terms().len()) {
        (2, 1) => one_and_remainder(numerator, denominator),
        // a / (a + b) = 1 / (1 + b/a)
        (1, 2) => {
            let below = one_and_remainder(denominator, numerator)?;
            Some(Formula::Quotient(Box::new(Formula::Number(BigInt::one())), Box::new(below)))
        }
        _ => None,
    }
}

/// `sum / term` as `1 + (sum - term) / term`, if one of the two terms of the sum is that term.
fn one_and_remainder(sum: &Polynomial, term: &Polynomial) -> Option<Formula> {
    let remainder = sum - term;
    if remainder.terms().len() != 1 {
        return None;
    }
    Some(Formula::Sum(vec![Formula::Number(BigInt::one()), factored(&RationalFunction::new(&remainder, term))]))
}

/// A sum of products as it stands, the terms in the order of [`Polynomial::terms`].
///
/// # Examples
/// ```
/// use toothmark::exact::Polynomial;
/// use toothmark::formula::{Formula, expanded};
/// let [a, b] = [0, 1].map(Polynomial::unknown);
/// // a^2 - b
/// let square = Formula::Power(Box::new(Formula::Unknown(0)), 2);
/// let minus = Formula::Negative(Box::new(Formula::Unknown(1)));
/// assert_eq!(expanded(&(&(&a * &a) - &b)), Formula::Sum(vec![square, minus]));
/// ```
pub fn expanded(polynomial: &Polynomial) -> Formula {
    let term = |(monomial, coefficient): (&Monomial, &BigInt)| {
        let mut factors = Vec::new();
        if !coefficient.abs().is_one() || monomial.powers().is_empty() {
            factors.push(Formula::Number(coefficient.abs()));
        }
        factors.extend(monomial.powers().iter().map(|it| powered(Formula::Unknown(it.unknown), it.exponent)));
        let product = multiplied(factors);
        if coefficient.is_negative() { Formula::Negative(Box::new(product)) } else { product }
    };
    let mut terms: Vec<Formula> = polynomial.terms().map(term).collect();
    match terms.len() {
        0 => Formula::Number(BigInt::ZERO),
        1 => terms.remove(0),
        _ => Formula::Sum(terms),
    }
}

/// The number among the factors: it has the sign of the whole.
fn number_of(polynomial: &Polynomial) -> BigInt {
    polynomial.factors().first().and_then(Polynomial::as_constant).unwrap_or_else(BigInt::one)
}

/// The factors without a sign; like ones as powers.
fn factors(polynomial: &Polynomial) -> Vec<Formula> {
    let mut found: Vec<(Formula, u32)> = Vec::new();
    for factor in polynomial.factors() {
        let factor = match factor.as_constant() {
            Some(number) => Formula::Number(number.abs()),
            None => expanded(&factor),
        };
        match found.last_mut() {
            Some((last, exponent)) if *last == factor => *exponent += 1,
            _ => found.push((factor, 1)),
        }
    }
    found.retain(|(factor, _)| *factor != Formula::Number(BigInt::one()));
    found.into_iter().map(|(factor, exponent)| powered(factor, exponent)).collect()
}

fn powered(factor: Formula, exponent: u32) -> Formula {
    if exponent == 1 { factor } else { Formula::Power(Box::new(factor), exponent) }
}

fn multiplied(mut factors: Vec<Formula>) -> Formula {
    match factors.len() {
        0 => Formula::Number(BigInt::one()),
        1 => factors.remove(0),
        _ => Formula::Product(factors),
    }
}

fn divided(numerator: Vec<Formula>, denominator: Vec<Formula>) -> Formula {
    let numerator = multiplied(numerator);
    if denominator.is_empty() {
        return numerator;
    }
    Formula::Quotient(Box::new(numerator), Box::new(multiplied(denominator)))
}
