//! What must hold of a combination?
//!
//! Either something that the search can look into (a window for an expression, a divisor, a common divisor),
//! which it propagates or steps through, or code, which it calls as soon as the unknowns that the code asks
//! for are known.

use std::fmt;
use std::ops::RangeInclusive;
use std::sync::Arc;

use super::expression::{Expression, Variable};
use crate::exact::Fraction;

/// A condition on the values of unknowns.
#[derive(Clone, Debug)]
pub struct Requirement(pub(super) RequirementKind);

#[derive(Clone, Debug)]
pub(super) enum RequirementKind {
    /// The expression lies between the bounds, both included.
    Window {
        of: Expression,
        low: Option<Fraction>,
        high: Option<Fraction>,
    },
    /// The quotient of both is whole.
    Multiple {
        of: Expression,
        divisor: Expression,
    },
    /// The greatest common divisor of two whole expressions.
    CommonDivisor {
        of: [Expression; 2],
        is: i64,
    },
    Code(Code),
}

type Predicate = Arc<dyn Fn(&[i64]) -> bool + Send + Sync>;
type Possible = Arc<dyn Fn(&[RangeInclusive<i64>]) -> bool + Send + Sync>;

/// A requirement in code: the unknowns whose values it gets, in this order, and the test.
#[derive(Clone)]
pub(super) struct Code {
    pub(super) needs: Vec<Variable>,
    pub(super) test: Predicate,
    pub(super) possible: Option<Possible>,
    /// Where none of these is 0 the requirement is met, without a call.
    pub(super) met_unless_zero: Option<Vec<Expression>>,
}

impl fmt::Debug for Code {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.debug_struct("Code").field("needs", &self.needs).finish_non_exhaustive()
    }
}

impl Requirement {
    /// A requirement in code, met where the test says so of the values of the unknowns, in the order given.
    ///
    /// The test is called as soon as all of them are known. It must answer the same for the same values.
    ///
    /// # Examples
    /// ```
    /// use toothmark::search::{Requirement, Space};
    /// let mut space = Space::new();
    /// let (sun, planet) = (space.range("sun", 12..=40), space.range("planet", 12..=40));
    /// let clear = |values: &[i64]| values[0] * 13 >= values[1] * 2;
    /// let neighbours = Requirement::code([sun, planet], clear);
    /// ```
    pub fn code(
        needs: impl IntoIterator<Item = Variable>,
        test: impl Fn(&[i64]) -> bool + Send + Sync + 'static,
    ) -> Self {
        let needs = needs.into_iter().collect();
        Self(RequirementKind::Code(Code { needs, test: Arc::new(test), possible: None, met_unless_zero: None }))
    }

    /// The same with bounds: `possible` gets the range that each unknown still has and says whether any
    /// combination in these ranges may meet the requirement. Of requirements that are not code nothing changes.
    #[must_use]
    pub fn with_bounds(mut self, possible: impl Fn(&[RangeInclusive<i64>]) -> bool + Send + Sync + 'static) -> Self {
        if let RequirementKind::Code(code) = &mut self.0 {
            code.possible = Some(Arc::new(possible));
        }
        self
    }

    /// The same where it is known to be met as soon as each of some expressions, in the unknowns that the code asks for,
    /// has a value that is not 0: the code is called for what is left. Of requirements that are not code nothing changes.
    #[must_use]
    pub(crate) fn met_unless_zero(mut self, expressions: Vec<Expression>) -> Self {
        if let RequirementKind::Code(code) = &mut self.0 {
            code.met_unless_zero = Some(expressions);
        }
        self
    }
}

impl Expression {
    /// The value is at least a bound.
    pub fn at_least(self, bound: impl Into<Expression>) -> Requirement {
        let zero = Some(Fraction::from_integer(0.into()));
        Requirement(RequirementKind::Window { of: self - bound, low: zero, high: None })
    }

    /// The value is at most a bound.
    pub fn at_most(self, bound: impl Into<Expression>) -> Requirement {
        let zero = Some(Fraction::from_integer(0.into()));
        Requirement(RequirementKind::Window { of: self - bound, low: None, high: zero })
    }

    /// The value is that of another expression.
    pub fn equals(self, other: impl Into<Expression>) -> Requirement {
        self.minus_within(other.into(), &Fraction::from_integer(0.into()))
    }

    fn minus_within(self, other: Expression, by: &Fraction) -> Requirement {
        Requirement(RequirementKind::Window { of: self - other, low: Some(-by.clone()), high: Some(by.clone()) })
    }

    /// The value lies from one bound to another, both included.
    pub fn within(self, low: Fraction, high: Fraction) -> Requirement {
        Requirement(RequirementKind::Window { of: self, low: Some(low), high: Some(high) })
    }

    /// The value is a whole multiple of a divisor; no multiple of zero is.
    pub fn divisible_by(self, divisor: impl Into<Expression>) -> Requirement {
        Requirement(RequirementKind::Multiple { of: self, divisor: divisor.into() })
    }

    /// The value leaves the same rest as another when divided by a modulus.
    pub fn congruent_to(self, other: impl Into<Expression>, modulus: i64) -> Requirement {
        (self - other).divisible_by(modulus)
    }

    /// The greatest common divisor of two whole values; for 1, they have none.
    pub fn common_divisor_is(self, other: impl Into<Expression>, divisor: i64) -> Requirement {
        Requirement(RequirementKind::CommonDivisor { of: [self, other.into()], is: divisor })
    }
}
