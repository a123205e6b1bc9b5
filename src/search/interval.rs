//! Between which floats does an exact value lie?
//!
//! Every operation rounds outward by at least one step, so the exact result of exact operands within the
//! intervals is always inside. An interval may therefore exclude, and never decides that something holds.

use std::ops::RangeInclusive;

use num_traits::ToPrimitive;

use crate::exact::{Fraction, to_float};

/// All numbers from `low` to `high`, the ends included; empty if `low > high`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Interval {
    pub(super) low: f64,
    pub(super) high: f64,
}

/// The largest whole number up to which every whole number is a float.
const EXACT: i64 = 1 << 53;

impl Interval {
    pub(super) const ALL: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };

    /// From a lower to an upper end, either widened outward if it is no number.
    #[inline]
    fn outward(low: f64, high: f64) -> Self {
        let low = if low.is_nan() { f64::NEG_INFINITY } else { low.next_down() };
        let high = if high.is_nan() { f64::INFINITY } else { high.next_up() };
        Self { low, high }
    }

    /// The whole numbers from one to another.
    #[inline]
    pub(super) fn whole(low: i64, high: i64) -> Self {
        let float = |value: i64| value.to_f64().unwrap_or(f64::NAN);
        if low.abs() <= EXACT && high.abs() <= EXACT {
            Self { low: float(low), high: float(high) }
        } else {
            Self::outward(float(low), float(high))
        }
    }

    /// Around an exact value.
    pub(super) fn around(value: &Fraction) -> Self {
        match value.to_integer().to_i64() {
            Some(whole) if value.is_integer() => Self::whole(whole, whole),
            _ => Self::outward(to_float(value), to_float(value)),
        }
    }

    /// Around the values from one bound to another; a bound that is missing is infinite.
    pub(super) fn between(low: Option<&Fraction>, high: Option<&Fraction>) -> Self {
        Self {
            low: low.map_or(f64::NEG_INFINITY, |low| Self::around(low).low),
            high: high.map_or(f64::INFINITY, |high| Self::around(high).high),
        }
    }

    #[inline]
    pub(super) fn is_empty(self) -> bool {
        self.low > self.high
    }

    #[inline]
    pub(super) fn meet(self, other: Self) -> Self {
        Self { low: self.low.max(other.low), high: self.high.min(other.high) }
    }

    /// The integers within it.
    pub(super) fn integers(self) -> RangeInclusive<i64> {
        whole_above(self.low)..=whole_below(self.high)
    }

    #[inline]
    fn holds_zero(self) -> bool {
        self.low <= 0.0 && self.high >= 0.0
    }

    #[inline]
    pub(super) fn plus(self, other: Self) -> Self {
        Self::outward(self.low + other.low, self.high + other.high)
    }

    /// `[a, b] - [c, d] = [a - d, b - c]`.
    #[inline]
    pub(super) fn minus(self, other: Self) -> Self {
        Self::outward(self.low - other.high, self.high - other.low)
    }

    /// Zero times a bound that is infinite is zero: the bound stands for numbers.
    #[inline]
    pub(super) fn times(self, other: Self) -> Self {
        if self.low >= 0.0 && other.low >= 0.0 && self.high < f64::INFINITY && other.high < f64::INFINITY {
            return Self::outward(self.low * other.low, self.high * other.high);
        }
        let product = |a: f64, b: f64| {
            let product = a * b;
            if product.is_nan() { 0.0 } else { product }
        };
        // A product is linear in either factor, so that it is least and greatest where both are at an end.
        let (a, b) = (product(self.low, other.low), product(self.low, other.high));
        let (c, d) = (product(self.high, other.low), product(self.high, other.high));
        Self::outward(a.min(b).min(c).min(d), a.max(b).max(c).max(d))
    }

    /// Everything where the divisor may be zero from both sides.
    #[inline]
    pub(super) fn over(self, other: Self) -> Self {
        if other.low > 0.0 && self.low >= 0.0 && self.high < f64::INFINITY {
            return Self::outward(self.low / other.high, self.high / other.low);
        }
        if other.low > 0.0 || other.high < 0.0 {
            return self.times(Self::outward(other.high.recip(), other.low.recip()));
        }
        if other.low >= 0.0 && other.high > 0.0 {
            return self.times(Self { low: other.high.recip().next_down(), high: f64::INFINITY });
        }
        if other.high <= 0.0 && other.low < 0.0 {
            return self.times(Self { low: f64::NEG_INFINITY, high: other.low.recip().next_up() });
        }
        Self::ALL
    }

    #[inline]
    pub(super) fn absolute(self) -> Self {
        if self.low >= 0.0 {
            self
        } else if self.high <= 0.0 {
            Self { low: -self.high, high: -self.low }
        } else {
            Self { low: 0.0, high: self.high.max(-self.low) }
        }
    }

    pub(super) fn larger(self, other: Self) -> Self {
        Self { low: self.low.max(other.low), high: self.high.max(other.high) }
    }

    pub(super) fn smaller(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.min(other.high) }
    }

    pub(super) fn power(self, exponent: u32) -> Self {
        let base = if exponent.is_multiple_of(2) { self.absolute() } else { self };
        (0..exponent).fold(Self::whole(1, 1), |product, _| product.times(base))
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
            return base.meet(Self { low: -high, high });
        }
        let shrunk = |value: f64| root(value) / (1.0 + 3e-9);
        let low = if self.low < 0.0 { root(self.low) } else { shrunk(self.low) };
        let high = if self.high < 0.0 { shrunk(self.high) } else { root(self.high) };
        base.meet(Self { low, high })
    }

    /// What remains of a number whose absolute value is in this interval.
    #[inline]
    pub(super) fn of_absolute(self, inside: Self) -> Self {
        let mut left = inside.meet(Self { low: -self.high, high: self.high });
        // Nothing lies between -low and low; an interval can lose that gap at an end, not in the middle.
        if self.low > 0.0 {
            if left.low > -self.low {
                left.low = left.low.max(self.low);
            }
            if left.high < self.low {
                left.high = left.high.min(-self.low);
            }
        }
        left
    }

    /// What remains of one of two numbers, the larger of which is in this interval.
    pub(super) fn of_larger(self, one: Self, other: Self) -> Self {
        // Neither is above the larger, and where the other one does not come up to it, this one does.
        let low = if other.high < self.low { self.low } else { f64::NEG_INFINITY };
        one.meet(Self { low, high: self.high })
    }

    /// What remains of one of two numbers, the smaller of which is in this interval.
    pub(super) fn of_smaller(self, one: Self, other: Self) -> Self {
        let high = if other.low > self.high { self.high } else { f64::INFINITY };
        one.meet(Self { low: self.low, high })
    }

    /// What remains of a factor when the product is in this interval and the other factor is known.
    #[inline]
    pub(super) fn of_factor(self, one: Self, other: Self) -> Self {
        if other.holds_zero() && self.holds_zero() { one } else { one.meet(self.over(other)) }
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
        assert!(third.low < third.high);
        let one = third.times(Interval::whole(3, 3));
        assert!(one.low < 1.0 && 1.0 < one.high);
        assert_eq!(Interval::whole(1, 2).over(Interval::whole(-1, 1)), Interval::ALL);
        assert!(Interval::whole(1, 2).over(Interval::whole(0, 2)).high.is_infinite());
        let cube = Interval::whole(-2, 3).power(3);
        assert!(cube.low <= -8.0 && cube.high >= 27.0);
        let root = Interval::whole(-8, 27).root(3, Interval::ALL);
        assert!(root.low <= -2.0 && root.low > -2.01 && root.high >= 3.0 && root.high < 3.01);
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
