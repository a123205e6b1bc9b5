//! What is computed from the unknowns, exactly?
//!
//! An [`Expression`] is built with the ordinary signs from [`Variable`]s, whole numbers and fractions. It can
//! be bounded while some unknowns are open and computed exactly when none is. Parts that are written alike are
//! one part: what two expressions share is bounded by both.

use std::ops::{Add, Div, Mul, Neg, Sub};
use std::sync::Arc;

use crate::exact::{Fraction, fraction};

/// An unknown of a [`super::Space`]; it can be used wherever an expression can.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Variable(pub(super) usize);

impl Variable {
    /// The place of its value in the values of a found combination.
    ///
    /// # Examples
    /// ```
    /// let mut space = toothmark::search::Space::new();
    /// assert_eq!(space.range("sun", 12..=40).place(), 0);
    /// ```
    pub fn place(self) -> usize {
        self.0
    }
}

/// A number computed from unknowns by sums, products, quotients, powers, absolute values, the larger and the
/// smaller of two.
///
/// A quotient whose divisor is zero has no value; no requirement on it is met.
///
/// # Examples
/// ```
/// use toothmark::search::{Expression, Space};
/// let mut space = Space::new();
/// let (sun, ring) = (space.range("sun", 12..=40), space.range("ring", 50..=100));
/// let ratio: Expression = 1 + ring / sun;
/// let both = ratio.larger(sun - 30).squared();
/// ```
#[derive(Clone, Debug)]
pub struct Expression(pub(super) Arc<ExpressionTree>);

/// How an expression is put together.
#[derive(Debug)]
pub(super) enum ExpressionTree {
    Constant(Fraction),
    Variable(Variable),
    Sum(Expression, Expression),
    Difference(Expression, Expression),
    Product(Expression, Expression),
    Quotient(Expression, Expression),
    Power(Expression, u32),
    Absolute(Expression),
    Larger(Expression, Expression),
    Smaller(Expression, Expression),
}

impl Expression {
    fn of(term: ExpressionTree) -> Self {
        Self(Arc::new(term))
    }

    /// The value without its sign.
    #[must_use]
    pub fn absolute(self) -> Self {
        Self::of(ExpressionTree::Absolute(self))
    }

    /// The larger of two values.
    #[must_use]
    pub fn larger(self, other: impl Into<Self>) -> Self {
        Self::of(ExpressionTree::Larger(self, other.into()))
    }

    /// The smaller of two values.
    #[must_use]
    pub fn smaller(self, other: impl Into<Self>) -> Self {
        Self::of(ExpressionTree::Smaller(self, other.into()))
    }

    /// A whole power; the power 0 is 1.
    #[must_use]
    pub fn power(self, exponent: u32) -> Self {
        Self::of(ExpressionTree::Power(self, exponent))
    }

    /// The value times itself.
    #[must_use]
    pub fn squared(self) -> Self {
        self.power(2)
    }

    /// How far the value is from a target, without its sign.
    #[must_use]
    pub fn distance_to(self, target: impl Into<Self>) -> Self {
        (self - target).absolute()
    }

    /// The largest of several values; `None` if there are none.
    pub fn largest(values: impl IntoIterator<Item = Self>) -> Option<Self> {
        values.into_iter().reduce(Self::larger)
    }
}

impl From<Variable> for Expression {
    fn from(variable: Variable) -> Self {
        Self::of(ExpressionTree::Variable(variable))
    }
}

impl From<i64> for Expression {
    fn from(whole: i64) -> Self {
        Self::of(ExpressionTree::Constant(fraction(whole, 1)))
    }
}

impl From<Fraction> for Expression {
    fn from(value: Fraction) -> Self {
        Self::of(ExpressionTree::Constant(value))
    }
}

macro_rules! signs {
    ($($sign:ident, $function:ident, $term:ident;)*) => {$(
        impl<R: Into<Expression>> $sign<R> for Expression {
            type Output = Expression;
            fn $function(self, other: R) -> Expression {
                Expression::of(ExpressionTree::$term(self, other.into()))
            }
        }
        impl<R: Into<Expression>> $sign<R> for Variable {
            type Output = Expression;
            fn $function(self, other: R) -> Expression {
                Expression::of(ExpressionTree::$term(self.into(), other.into()))
            }
        }
        impl $sign<Expression> for i64 {
            type Output = Expression;
            fn $function(self, other: Expression) -> Expression {
                Expression::of(ExpressionTree::$term(self.into(), other))
            }
        }
        impl $sign<Variable> for i64 {
            type Output = Expression;
            fn $function(self, other: Variable) -> Expression {
                Expression::of(ExpressionTree::$term(self.into(), other.into()))
            }
        }
        impl $sign<Expression> for Fraction {
            type Output = Expression;
            fn $function(self, other: Expression) -> Expression {
                Expression::of(ExpressionTree::$term(self.into(), other))
            }
        }
    )*};
}

signs! {
    Add, add, Sum;
    Sub, sub, Difference;
    Mul, mul, Product;
    Div, div, Quotient;
}

impl Neg for Expression {
    type Output = Self;
    fn neg(self) -> Self {
        0 - self
    }
}
