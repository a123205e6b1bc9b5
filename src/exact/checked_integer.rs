//! Which integers does an exact computation run on?
//!
//! Machine words of 64 bits where they suffice, then 128 bits, then numbers of any
//! size. A computation is written once over [`CheckedInteger`]; it answers `None` as soon as a
//! word overflows and is then run again in the next width, see [`in_widening_words`].

use std::fmt::Debug;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{CheckedAdd, CheckedMul, Signed};

/// An integer whose overflow is noticed.
///
/// Invariant: every value in use has a negative that fits too, so negation, absolute
/// value, common divisors and exact quotients cannot overflow.
pub(super) trait CheckedInteger:
    Clone + Debug + Integer + Signed + CheckedAdd + CheckedMul + From<i64> + Into<BigInt>
{
    /// The value itself, or `None` if its negative does not fit.
    fn symmetric(self) -> Option<Self>;

    /// A coefficient in this width, if it fits.
    fn of(coefficient: i64) -> Option<Self> {
        Self::from(coefficient).symmetric()
    }

    /// `self + other`, if it fits.
    fn plus(&self, other: &Self) -> Option<Self> {
        self.checked_add(other)?.symmetric()
    }

    /// `self * other`, if it fits.
    fn times(&self, other: &Self) -> Option<Self> {
        self.checked_mul(other)?.symmetric()
    }

    /// The greatest common divisor, not negative; most calls meet a one.
    fn common_divisor(&self, other: &Self) -> Self {
        if self.is_one() || other.is_one() { Self::one() } else { self.gcd(other) }
    }
}

impl CheckedInteger for i64 {
    fn symmetric(self) -> Option<Self> {
        (self != Self::MIN).then_some(self)
    }
}

impl CheckedInteger for i128 {
    fn symmetric(self) -> Option<Self> {
        (self != Self::MIN).then_some(self)
    }
}

impl CheckedInteger for BigInt {
    fn symmetric(self) -> Option<Self> {
        Some(self)
    }
}

/// The first answer of three attempts at the same computation, in 64 bits, in 128
/// bits and in any size.
pub(super) fn in_widening_words<A>(
    narrow: impl FnOnce() -> Option<A>,
    double: impl FnOnce() -> Option<A>,
    unbounded: impl FnOnce() -> Option<A>,
) -> A {
    narrow().or_else(double).or_else(unbounded).expect("numbers of any size do not overflow")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_overflow_is_noticed_and_so_is_the_value_without_a_negative() {
        assert_eq!(i64::of(i64::MIN), None);
        assert_eq!(i64::MAX.plus(&1), None);
        assert_eq!((-i64::MAX).plus(&-1), None);
        assert_eq!((1_i64 << 62).times(&-2), None);
        assert_eq!((1_i64 << 62).times(&2), None);
        assert_eq!(i128::MAX.times(&2), None);
        assert_eq!((-i128::MAX).plus(&-1), None);
        assert_eq!(i128::of(i64::MIN), Some(i128::from(i64::MIN)));
        assert_eq!(BigInt::of(i64::MIN), Some(BigInt::from(i64::MIN)));
    }

    #[test]
    fn the_common_divisor_is_not_negative() {
        assert_eq!((-12_i64).common_divisor(&18), 6);
        assert_eq!(0_i64.common_divisor(&-5), 5);
        assert_eq!(1_i64.common_divisor(&-5), 1);
        assert_eq!((-1_i64).common_divisor(&5), 1);
    }
}
