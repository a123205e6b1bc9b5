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
pub enum Expression {
    /// A number, not negative.
    Number(BigInt),
    /// The unknown of this number: the tooth count of a gear.
    Unknown(usize),
    /// A power, the exponent at least 2.
    Power(Box<Expression>, u32),
    /// What is written with a minus before it.
    Negative(Box<Expression>),
    /// Two terms or more; a negative one is subtracted.
    Sum(Vec<Expression>),
    /// Two factors or more, none of them negative.
    Product(Vec<Expression>),
    /// A fraction of two expressions, neither of them negative.
    Quotient(Box<Expression>, Box<Expression>),
}

/// A formula in factors.
///
/// # Examples
/// ```
/// use toothmark::exact::{Polynomial, RationalFunction};
/// use toothmark::formula::{Expression, factored};
/// let [a, b] = [0, 1].map(Polynomial::unknown);
/// let formula = RationalFunction::new(&(&(&a * &b) + &(&a * &a)), &Polynomial::constant(1));
/// // a (a + b)
/// let sum = Expression::Sum(vec![Expression::Unknown(0), Expression::Unknown(1)]);
/// assert_eq!(factored(&formula), Expression::Product(vec![Expression::Unknown(0), sum]));
/// ```
pub fn factored(formula: &RationalFunction) -> Expression {
    let negative = number_of(formula.numerator()).is_negative();
    let quotient = divided(factors(formula.numerator()), factors(formula.denominator()));
    if negative { Expression::Negative(Box::new(quotient)) } else { quotient }
}

/// A formula as one plus or minus a quotient of products, or as one divided by that; `None` where it is neither.
///
/// # Examples
/// ```
/// use num_bigint::BigInt;
/// use toothmark::exact::{Polynomial, RationalFunction};
/// use toothmark::formula::{Expression, one_plus};
/// let [sun, ring] = [0, 1].map(Polynomial::unknown);
/// let ratio = RationalFunction::new(&(&sun + &ring), &sun);
/// // 1 + ring/sun
/// let quotient = Expression::Quotient(Box::new(Expression::Unknown(1)), Box::new(Expression::Unknown(0)));
/// assert_eq!(one_plus(&ratio), Some(Expression::Sum(vec![Expression::Number(BigInt::from(1)), quotient])));
/// ```
pub fn one_plus(formula: &RationalFunction) -> Option<Expression> {
    let (numerator, denominator) = (formula.numerator(), formula.denominator());
    match (numerator.terms().len(), denominator.terms().len()) {
        (2, 1) => one_and_remainder(numerator, denominator),
        // a / (a + b) = 1 / (1 + b/a)
        (1, 2) => {
            let below = one_and_remainder(denominator, numerator)?;
            Some(Expression::Quotient(Box::new(Expression::Number(BigInt::one())), Box::new(below)))
        }
        _ => None,
    }
}

/// `sum / term` as `1 + (sum - term) / term`, if one of the two terms of the sum is that term.
fn one_and_remainder(sum: &Polynomial, term: &Polynomial) -> Option<Expression> {
    let remainder = sum - term;
    if remainder.terms().len() != 1 {
        return None;
    }
    Some(Expression::Sum(vec![Expression::Number(BigInt::one()), factored(&RationalFunction::new(&remainder, term))]))
}

/// A sum of products as it stands, the terms in the order of [`Polynomial::terms`].
///
/// # Examples
/// ```
/// use toothmark::exact::Polynomial;
/// use toothmark::formula::{Expression, expanded};
/// let [a, b] = [0, 1].map(Polynomial::unknown);
/// // a^2 - b
/// let square = Expression::Power(Box::new(Expression::Unknown(0)), 2);
/// let minus = Expression::Negative(Box::new(Expression::Unknown(1)));
/// assert_eq!(expanded(&(&(&a * &a) - &b)), Expression::Sum(vec![square, minus]));
/// ```
pub fn expanded(polynomial: &Polynomial) -> Expression {
    let term = |(monomial, coefficient): (&Monomial, &BigInt)| {
        let mut factors = Vec::new();
        if !coefficient.abs().is_one() || monomial.powers().is_empty() {
            factors.push(Expression::Number(coefficient.abs()));
        }
        factors.extend(monomial.powers().iter().map(|it| powered(Expression::Unknown(it.unknown), it.exponent)));
        let product = multiplied(factors);
        if coefficient.is_negative() { Expression::Negative(Box::new(product)) } else { product }
    };
    let mut terms: Vec<Expression> = polynomial.terms().map(term).collect();
    match terms.len() {
        0 => Expression::Number(BigInt::ZERO),
        1 => terms.remove(0),
        _ => Expression::Sum(terms),
    }
}

/// The number among the factors: it has the sign of the whole.
fn number_of(polynomial: &Polynomial) -> BigInt {
    polynomial.factors().first().and_then(Polynomial::as_constant).unwrap_or_else(BigInt::one)
}

/// The factors without a sign; like ones as powers.
fn factors(polynomial: &Polynomial) -> Vec<Expression> {
    let mut found: Vec<(Expression, u32)> = Vec::new();
    for factor in polynomial.factors() {
        let factor = match factor.as_constant() {
            Some(number) => Expression::Number(number.abs()),
            None => expanded(&factor),
        };
        match found.last_mut() {
            Some((last, exponent)) if *last == factor => *exponent += 1,
            _ => found.push((factor, 1)),
        }
    }
    found.retain(|(factor, _)| *factor != Expression::Number(BigInt::one()));
    found.into_iter().map(|(factor, exponent)| powered(factor, exponent)).collect()
}

fn powered(factor: Expression, exponent: u32) -> Expression {
    if exponent == 1 { factor } else { Expression::Power(Box::new(factor), exponent) }
}

fn multiplied(mut factors: Vec<Expression>) -> Expression {
    match factors.len() {
        0 => Expression::Number(BigInt::one()),
        1 => factors.remove(0),
        _ => Expression::Product(factors),
    }
}

fn divided(numerator: Vec<Expression>, denominator: Vec<Expression>) -> Expression {
    let numerator = multiplied(numerator);
    if denominator.is_empty() {
        return numerator;
    }
    Expression::Quotient(Box::new(numerator), Box::new(multiplied(denominator)))
}
