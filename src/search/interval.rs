//! Between which floats does an exact value lie?
//!
//! Every operation rounds outward by at least one step, so the exact result of exact operands within the
//! intervals is always inside. An interval may therefore exclude, and never decides that something holds.

use std::ops::RangeInclusive;

use num_traits::ToPrimitive;

use crate::exact::{Fraction, to_float};

/// All numbers from a lower to an upper end, the ends included; empty if the lower lies above.
///
/// The lower end is kept with its sign turned: so both ends are moved outward, cut and rounded by the same operations, two
/// at a time (B. Lambov, Interval arithmetic using SSE-2, Lecture Notes in Computer Science 5045, 2008, 102-113).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Interval {
    minus_low: f64,
    high: f64,
}

/// The largest whole number up to which every whole number is a float.
const EXACT: u64 = 1 << 53;

/// Whether an operation can have rounded the ends of its result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum EndRounding {
    /// All are whole numbers that floats hold exactly.
    Exact,
    Rounded,
}

/// More than half a unit in the last place, and than what is lost below the least float.
#[inline]
fn margin(end: f64) -> f64 {
    end.abs() * f64::EPSILON + f64::MIN_POSITIVE
}

/// The smaller of two; the first where the second is no number.
#[inline]
fn smaller(one: f64, other: f64) -> f64 {
    if other < one { other } else { one }
}

impl Interval {
    pub(super) const ALL: Self = Self { minus_low: f64::INFINITY, high: f64::INFINITY };

    pub(super) fn new(low: f64, high: f64) -> Self {
        Self { minus_low: -low, high }
    }

    #[inline]
    pub(super) fn low(self) -> f64 {
        -self.minus_low
    }

    #[inline]
    pub(super) fn high(self) -> f64 {
        self.high
    }

    /// As an operation has left it: each end moved outward by more than it has rounded; infinite where it is no number.
    #[inline]
    fn widened(self, ends: EndRounding) -> Self {
        match ends {
            EndRounding::Exact => self,
            EndRounding::Rounded => Self::ALL
                .meet(Self { minus_low: self.minus_low + margin(self.minus_low), high: self.high + margin(self.high) }),
        }
    }

    /// The whole numbers from one to another.
    #[inline]
    pub(super) fn whole(low: i64, high: i64) -> Self {
        let float = |value: i64| value.to_f64().unwrap_or(f64::NAN);
        let is_exact = low.unsigned_abs() <= EXACT && high.unsigned_abs() <= EXACT;
        Self::new(float(low), float(high)).widened(if is_exact { EndRounding::Exact } else { EndRounding::Rounded })
    }

    /// Around an exact value.
    pub(super) fn around(value: &Fraction) -> Self {
        match value.to_integer().to_i64() {
            Some(whole) if value.is_integer() => Self::whole(whole, whole),
            _ => Self::new(to_float(value), to_float(value)).widened(EndRounding::Rounded),
        }
    }

    /// Around the whole numbers from one bound to another; a bound that is missing is infinite.
    pub(super) fn whole_between(low: Option<&Fraction>, high: Option<&Fraction>) -> Self {
        Self::between(low.map(Fraction::ceil).as_ref(), high.map(Fraction::floor).as_ref())
    }

    /// Around the values from one bound to another; a bound that is missing is infinite.
    pub(super) fn between(low: Option<&Fraction>, high: Option<&Fraction>) -> Self {
        Self {
            minus_low: low.map_or(f64::INFINITY, |low| Self::around(low).minus_low),
            high: high.map_or(f64::INFINITY, |high| Self::around(high).high),
        }
    }

    #[inline]
    pub(super) fn is_empty(self) -> bool {
        self.minus_low + self.high < 0.0
    }

    /// What lies in both; an end of the other that is no number cuts nothing off.
    #[inline]
    pub(super) fn meet(self, other: Self) -> Self {
        Self { minus_low: smaller(self.minus_low, other.minus_low), high: smaller(self.high, other.high) }
    }

    /// The whole numbers within it, as an interval.
    #[inline]
    pub(super) fn rounded_inward(self) -> Self {
        Self { minus_low: floor(self.minus_low), high: floor(self.high) }
    }

    /// Whether whole numbers within it, and the sum or difference of two of them, are floats.
    pub(super) fn is_in_exact_range(self) -> bool {
        let limit = (EXACT / 2).to_f64().unwrap_or(0.0);
        self.minus_low <= limit && self.high <= limit
    }

    /// Whether the quotients of whole numbers within it are rounded by far less than they differ from whole numbers.
    pub(super) fn is_far_within_exact(self) -> bool {
        // r / n is at least 1 / n from a whole number that it is not, and rounded by some 10 r / n 2^-53.
        let limit = (EXACT >> 8).to_f64().unwrap_or(0.0);
        self.minus_low <= limit && self.high <= limit
    }

    pub(super) fn excludes_zero(self) -> bool {
        self.minus_low < 0.0 || self.high < 0.0
    }

    /// The integers within it.
    pub(super) fn integers(self) -> RangeInclusive<i64> {
        whole_above(self.low())..=whole_below(self.high)
    }

    /// Whether it holds no number below zero, and no infinite one.
    #[inline]
    fn is_plain(self) -> bool {
        self.minus_low <= 0.0 && self.high < f64::INFINITY
    }

    #[inline]
    fn holds_zero(self) -> bool {
        self.minus_low >= 0.0 && self.high >= 0.0
    }

    #[inline]
    pub(super) fn plus(self, other: Self, ends: EndRounding) -> Self {
        Self { minus_low: self.minus_low + other.minus_low, high: self.high + other.high }.widened(ends)
    }

    /// `[a, b] - [c, d] = [a - d, b - c]`.
    #[inline]
    pub(super) fn minus(self, other: Self, ends: EndRounding) -> Self {
        self.plus(other.negated(), ends)
    }

    #[inline]
    fn negated(self) -> Self {
        Self { minus_low: self.high, high: self.minus_low }
    }

    #[inline]
    pub(super) fn times(self, other: Self, ends: EndRounding) -> Self {
        if self.is_plain() && other.is_plain() {
            Self { minus_low: -(self.minus_low * other.minus_low), high: self.high * other.high }.widened(ends)
        } else {
            self.times_any(other, ends)
        }
    }

    /// Zero times a bound that is infinite is zero: the bound stands for numbers.
    fn times_any(self, other: Self, ends: EndRounding) -> Self {
        let product = |a: f64, b: f64| {
            let product = a * b;
            if product.is_nan() { 0.0 } else { product }
        };
        // A product is linear in either factor, so that it is least and greatest where both are at an end.
        let (a, b) = (product(self.low(), other.low()), product(self.low(), other.high));
        let (c, d) = (product(self.high, other.low()), product(self.high, other.high));
        Self::new(a.min(b).min(c).min(d), a.max(b).max(c).max(d)).widened(ends)
    }

    #[inline]
    pub(super) fn over(self, other: Self) -> Self {
        if self.is_plain() && other.minus_low < 0.0 {
            Self { minus_low: self.minus_low / other.high, high: -(self.high / other.minus_low) }
                .widened(EndRounding::Rounded)
        } else {
            self.over_any(other)
        }
    }

    /// Everything where the divisor may be zero from both sides.
    fn over_any(self, other: Self) -> Self {
        let (low, high) = (other.low(), other.high);
        if low > 0.0 || high < 0.0 {
            return self
                .times_any(Self::new(high.recip(), low.recip()).widened(EndRounding::Rounded), EndRounding::Rounded);
        }
        if low >= 0.0 && high > 0.0 {
            return self.times_any(Self::new(high.recip().next_down(), f64::INFINITY), EndRounding::Rounded);
        }
        if high <= 0.0 && low < 0.0 {
            return self.times_any(Self::new(f64::NEG_INFINITY, low.recip().next_up()), EndRounding::Rounded);
        }
        Self::ALL
    }

    #[inline]
    pub(super) fn absolute(self) -> Self {
        if self.minus_low <= 0.0 {
            self
        } else if self.high <= 0.0 {
            self.negated()
        } else {
            Self::new(0.0, self.high.max(self.minus_low))
        }
    }

    #[inline]
    pub(super) fn larger(self, other: Self) -> Self {
        Self { minus_low: smaller(self.minus_low, other.minus_low), high: self.high.max(other.high) }
    }

    #[inline]
    pub(super) fn smaller(self, other: Self) -> Self {
        Self { minus_low: self.minus_low.max(other.minus_low), high: smaller(self.high, other.high) }
    }

    pub(super) fn power(self, exponent: u32, ends: EndRounding) -> Self {
        let base = if exponent.is_multiple_of(2) { self.absolute() } else { self };
        (0..exponent).fold(Self::whole(1, 1), |product, _| product.times(base, ends))
    }

    /// The bases whose power is in this interval, within a wider one.
    pub(super) fn root(self, exponent: u32, base: Self) -> Self {
        // Powers of floats are good to a few units in the last place: 1e-9 is far more than they can be out.
        let root = |value: f64| {
            let root = value.abs().powf(f64::from(exponent).recip()) * (1.0 + 1e-9);
            if value < 0.0 { -root } else { root }
        };
        if exponent == 0 {
            return base;
        }
        if exponent.is_multiple_of(2) {
            let high = root(self.high.max(0.0));
            return base.meet(Self::new(-high, high));
        }
        let shrunk = |value: f64| root(value) / (1.0 + 3e-9);
        let low = if self.low() < 0.0 { root(self.low()) } else { shrunk(self.low()) };
        let high = if self.high < 0.0 { shrunk(self.high) } else { root(self.high) };
        base.meet(Self::new(low, high))
    }

    /// What remains of a number whose absolute value is in this interval.
    #[inline]
    pub(super) fn of_absolute(self, inside: Self) -> Self {
        let mut left = inside.meet(Self { minus_low: self.high, high: self.high });
        // Nothing lies between -low and low; an interval can lose that gap at an end, not in the middle.
        if self.minus_low < 0.0 {
            if left.minus_low < -self.minus_low {
                left.minus_low = smaller(left.minus_low, self.minus_low);
            }
            if left.high < -self.minus_low {
                left.high = smaller(left.high, self.minus_low);
            }
        }
        left
    }

    /// What remains of one of two numbers, the larger of which is in this interval.
    pub(super) fn of_larger(self, one: Self, other: Self) -> Self {
        // Neither is above the larger, and where the other one does not come up to it, this one does.
        let minus_low = if other.high < self.low() { self.minus_low } else { f64::INFINITY };
        one.meet(Self { minus_low, high: self.high })
    }

    /// What remains of one of two numbers, the smaller of which is in this interval.
    pub(super) fn of_smaller(self, one: Self, other: Self) -> Self {
        let high = if other.low() > self.high { self.high } else { f64::INFINITY };
        one.meet(Self { minus_low: self.minus_low, high })
    }

    /// What remains of a factor when the product is in this interval and the other factor is known.
    #[inline]
    pub(super) fn of_factor(self, one: Self, other: Self) -> Self {
        if other.holds_zero() && self.holds_zero() { one } else { one.meet(self.over(other)) }
    }
}

/// Below this a float and this together are rounded to a whole number: `1.5 * 2^52`, whose last place is 1.
const ROUNDS: f64 = 6_755_399_441_055_744.0;

/// The largest whole number not above a float; one that is too large to have a fraction stays.
#[inline]
fn floor(value: f64) -> f64 {
    if value.abs() < 1e15 {
        let nearest = value + ROUNDS - ROUNDS;
        if nearest > value { nearest - 1.0 } else { nearest }
    } else {
        value.floor()
    }
}

/// The smallest whole number not below a float, if there is one.
fn whole_above(value: f64) -> i64 {
    value.ceil().to_i64().unwrap_or(if value.is_sign_negative() { i64::MIN } else { i64::MAX })
}

/// The largest whole number not above a float.
fn whole_below(value: f64) -> i64 {
    value.floor().to_i64().unwrap_or(if value.is_sign_negative() { i64::MIN } else { i64::MAX })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    #[test]
    fn results_hold_the_exact_value() {
        let third = Interval::around(&fraction(1, 3));
        assert!(third.low() < third.high());
        let one = third.times(Interval::whole(3, 3), EndRounding::Rounded);
        assert!(one.low() < 1.0 && 1.0 < one.high());
        assert_eq!(Interval::whole(1, 2).over(Interval::whole(-1, 1)), Interval::ALL);
        assert!(Interval::whole(1, 2).over(Interval::whole(0, 2)).high().is_infinite());
        let cube = Interval::whole(-2, 3).power(3, EndRounding::Exact);
        assert!(cube.low() <= -8.0 && cube.high() >= 27.0);
        let root = Interval::whole(-8, 27).root(3, Interval::ALL);
        assert!(root.low() <= -2.0 && root.low() > -2.01 && root.high() >= 3.0 && root.high() < 3.01);
    }

    #[test]
    fn what_is_left_of_an_operand_holds_every_solution() {
        let left = Interval::whole(2, 3).of_absolute(Interval::whole(-1, 9));
        assert_eq!(left, Interval::whole(2, 3));
        let left = Interval::whole(4, 5).of_larger(Interval::whole(0, 9), Interval::whole(0, 3));
        assert_eq!(left, Interval::whole(4, 5));
        let whole = Interval::whole(0, 6).of_factor(Interval::whole(-9, 9), Interval::whole(0, 2));
        assert_eq!(whole, Interval::whole(-9, 9));
    }
}
