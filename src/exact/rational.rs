//! What is an exact fraction, and how does it calculate?
//!
//! A [`Fraction`] is a ratio of two integers of any size, always in lowest terms. It is a type of its own, around the
//! rational numbers of `num-rational`, calculated in machine words where these suffice, so that whoever serialises an
//! answer can tell it from everything else.

use std::cmp::Ordering;
use std::fmt::{self, Debug, Display, Formatter};
use std::hash::{Hash, Hasher};
use std::iter::Sum;
use std::ops::{Add, AddAssign, Deref, Div, DivAssign, Mul, MulAssign, Neg, Rem, Sub, SubAssign};
use std::str::FromStr;

use num_bigint::BigInt;
use num_rational::{BigRational, ParseRatioError};
use num_traits::{Num, One, Signed, ToPrimitive, Zero};
use serde::{Serialize, Serializer};

use super::in_words;

/// An exact ratio of two integers, in lowest terms, the denominator positive.
///
/// # Examples
/// ```
/// use toothmark::exact::{Fraction, fraction};
/// let sum: Fraction = [fraction(1, 2), fraction(1, 3)].into_iter().sum();
/// assert_eq!(sum, fraction(5, 6));
/// assert_eq!(sum.denom(), &6.into());
/// ```
#[derive(Clone, Default, Eq)]
pub struct Fraction(BigRational);

impl Fraction {
    /// The name under which a fraction is handed to a serializer, as a newtype around its text.
    pub const SERIALIZED_AS: &'static str = "exact::Fraction";

    /// The fraction `numerator / denominator`.
    ///
    /// # Panics
    /// If `denominator` is zero.
    pub fn new(numerator: BigInt, denominator: BigInt) -> Self {
        Self(BigRational::new(numerator, denominator))
    }

    /// The same of two integers without a common divisor, the denominator positive, which is not checked.
    pub(crate) fn new_raw(numerator: BigInt, denominator: BigInt) -> Self {
        Self(BigRational::new_raw(numerator, denominator))
    }

    /// An integer as a fraction.
    pub fn from_integer(integer: BigInt) -> Self {
        Self(BigRational::from_integer(integer))
    }

    /// The exact value of a float; `None` for one that is not finite.
    pub fn from_float(value: f64) -> Option<Self> {
        BigRational::from_float(value).map(Self)
    }

    /// The largest integer that is not larger.
    #[must_use]
    pub fn floor(&self) -> Self {
        Self(self.0.floor())
    }

    /// The least integer that is not less.
    #[must_use]
    pub fn ceil(&self) -> Self {
        Self(self.0.ceil())
    }

    /// The nearest integer; halfway between two, the one farther from zero.
    #[must_use]
    pub fn round(&self) -> Self {
        Self(self.0.round())
    }

    /// The integer part, towards zero.
    #[must_use]
    pub fn trunc(&self) -> Self {
        Self(self.0.trunc())
    }

    /// What the integer part leaves, with the sign of the value.
    #[must_use]
    pub fn fract(&self) -> Self {
        Self(self.0.fract())
    }

    /// The value to a power; one to the power of zero, whatever the value.
    ///
    /// # Panics
    /// If the value is zero and the power negative.
    #[must_use]
    pub fn pow(&self, power: i32) -> Self {
        Self(self.0.pow(power))
    }

    /// One divided by the value.
    ///
    /// # Panics
    /// If the value is zero.
    #[must_use]
    pub fn recip(&self) -> Self {
        Self(self.0.recip())
    }
}

/// In lowest terms equal fractions have equal numerators and denominators.
impl PartialEq for Fraction {
    fn eq(&self, other: &Self) -> bool {
        self.0.numer() == other.0.numer() && self.0.denom() == other.0.denom()
    }
}

impl Hash for Fraction {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.0.numer().hash(state);
        self.0.denom().hash(state);
    }
}

impl PartialOrd for Fraction {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Fraction {
    fn cmp(&self, other: &Self) -> Ordering {
        in_words::order(&self.0, &other.0).unwrap_or_else(|| self.0.cmp(&other.0))
    }
}

/// Numerator, denominator and whatever else a rational number tells of itself.
impl Deref for Fraction {
    type Target = BigRational;

    fn deref(&self) -> &BigRational {
        &self.0
    }
}

impl From<BigRational> for Fraction {
    fn from(value: BigRational) -> Self {
        Self(value)
    }
}

impl From<BigInt> for Fraction {
    fn from(integer: BigInt) -> Self {
        Self::from_integer(integer)
    }
}

/// One operator between two types, by that of the rational numbers within.
macro_rules! forward {
    ($operator:ident::$method:ident, $($left:ty, $right:ty, $of:expr;)*) => {$(
        impl $operator<$right> for $left {
            type Output = Fraction;

            fn $method(self, other: $right) -> Fraction {
                let of: fn($left, $right) -> BigRational = $of;
                Fraction(of(self, other))
            }
        }
    )*};
}

/// Each operator for values and references alike, with a fraction or an integer on the right.
macro_rules! operator {
    ($($operator:ident::$method:ident, $assign:ident::$assigned:ident, $in_words:ident;)*) => {$(
        forward! {
            $operator::$method,
            Fraction, Fraction, |left, right| {
                in_words::$in_words(&left.0, &right.0).unwrap_or_else(|| left.0.$method(right.0))
            };
            Fraction, &Fraction, |left, right| {
                in_words::$in_words(&left.0, &right.0).unwrap_or_else(|| left.0.$method(&right.0))
            };
            &Fraction, Fraction, |left, right| {
                in_words::$in_words(&left.0, &right.0).unwrap_or_else(|| (&left.0).$method(right.0))
            };
            &Fraction, &Fraction, |left, right| {
                in_words::$in_words(&left.0, &right.0).unwrap_or_else(|| (&left.0).$method(&right.0))
            };
            Fraction, BigInt, |left, right| left.0.$method(right);
            Fraction, &BigInt, |left, right| left.0.$method(right);
            &Fraction, BigInt, |left, right| (&left.0).$method(right);
            &Fraction, &BigInt, |left, right| (&left.0).$method(right);
        }

        impl $assign for Fraction {
            fn $assigned(&mut self, other: Self) {
                self.$assigned(&other);
            }
        }

        impl $assign<&Self> for Fraction {
            fn $assigned(&mut self, other: &Self) {
                match in_words::$in_words(&self.0, &other.0) {
                    Some(value) => self.0 = value,
                    None => self.0.$assigned(&other.0),
                }
            }
        }
    )*};
}

operator! {
    Add::add, AddAssign::add_assign, sum;
    Sub::sub, SubAssign::sub_assign, difference;
    Mul::mul, MulAssign::mul_assign, product;
    Div::div, DivAssign::div_assign, quotient;
}

impl Rem for Fraction {
    type Output = Self;

    fn rem(self, other: Self) -> Self {
        Self(self.0 % other.0)
    }
}

impl Neg for Fraction {
    type Output = Self;

    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Neg for &Fraction {
    type Output = Fraction;

    fn neg(self) -> Fraction {
        Fraction(-&self.0)
    }
}

impl Sum for Fraction {
    fn sum<I: Iterator<Item = Self>>(values: I) -> Self {
        values.fold(Self::zero(), |sum, value| sum + value)
    }
}

impl<'a> Sum<&'a Self> for Fraction {
    fn sum<I: Iterator<Item = &'a Self>>(values: I) -> Self {
        values.fold(Self::zero(), |sum, value| sum + value)
    }
}

impl Zero for Fraction {
    fn zero() -> Self {
        Self(BigRational::zero())
    }

    fn is_zero(&self) -> bool {
        self.0.is_zero()
    }
}

impl One for Fraction {
    fn one() -> Self {
        Self(BigRational::one())
    }

    fn is_one(&self) -> bool {
        self.0.is_one()
    }
}

impl Num for Fraction {
    type FromStrRadixErr = ParseRatioError;

    fn from_str_radix(text: &str, radix: u32) -> Result<Self, ParseRatioError> {
        BigRational::from_str_radix(text, radix).map(Self)
    }
}

impl Signed for Fraction {
    fn abs(&self) -> Self {
        Self(self.0.abs())
    }

    fn abs_sub(&self, other: &Self) -> Self {
        Self(self.0.abs_sub(&other.0))
    }

    fn signum(&self) -> Self {
        Self(self.0.signum())
    }

    fn is_positive(&self) -> bool {
        self.0.is_positive()
    }

    fn is_negative(&self) -> bool {
        self.0.is_negative()
    }
}

impl ToPrimitive for Fraction {
    fn to_i64(&self) -> Option<i64> {
        self.0.to_i64()
    }

    fn to_u64(&self) -> Option<u64> {
        self.0.to_u64()
    }

    fn to_f64(&self) -> Option<f64> {
        self.0.to_f64()
    }
}

impl FromStr for Fraction {
    type Err = ParseRatioError;

    fn from_str(text: &str) -> Result<Self, ParseRatioError> {
        text.parse().map(Self)
    }
}

impl Display for Fraction {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        Display::fmt(&self.0, formatter)
    }
}

impl Debug for Fraction {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        Debug::fmt(&self.0, formatter)
    }
}

/// The text `3/4` inside a newtype of the name [`Fraction::SERIALIZED_AS`].
impl Serialize for Fraction {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_newtype_struct(Self::SERIALIZED_AS, &self.to_string())
    }
}

/// The name under which [`serialize_integer`] hands over an integer.
pub const INTEGER_SERIALIZED_AS: &str = "exact::Integer";

/// Serialises an integer of any size as a newtype of the name [`INTEGER_SERIALIZED_AS`] around its digits, for
/// `#[serde(serialize_with)]`.
///
/// # Errors
/// Those of the serializer.
pub fn serialize_integer<S: Serializer>(integer: &BigInt, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_newtype_struct(INTEGER_SERIALIZED_AS, &integer.to_string())
}

/// As [`serialize_integer`] where there may be none.
///
/// # Errors
/// Those of the serializer.
pub fn serialize_integer_or_none<S: Serializer>(integer: &Option<BigInt>, serializer: S) -> Result<S::Ok, S::Error> {
    /// An integer as a value to be serialised.
    struct Within<'a>(&'a BigInt);

    impl Serialize for Within<'_> {
        fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
            serialize_integer(self.0, serializer)
        }
    }

    integer.as_ref().map(Within).serialize(serializer)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    /// By their definitions: `sign |x| = x`, `floor <= x < floor + 1`, `-x` turned round, and halves away from zero.
    #[test]
    fn signs_and_roundings_are_those_of_their_definitions() {
        let huge = Fraction::new(BigInt::from(10).pow(30) + 1, BigInt::from(2));
        let numbers = (-12..=12).flat_map(|numerator| (1..=4).map(move |of| fraction(numerator, of)));
        for x in numbers.chain([huge.clone(), -huge]) {
            let sign = x.signum();
            assert_eq!(&sign * x.abs(), x, "{x}");
            assert_eq!(sign, fraction(i64::from(x.is_positive()) - i64::from(x.is_negative()), 1), "{x}");
            let (floor, ceil) = (x.floor(), x.ceil());
            assert!(floor.is_integer() && floor <= x && x < &floor + Fraction::one(), "{x}");
            assert_eq!(ceil, -(-&x).floor(), "{x}");
            assert_eq!(x.trunc(), if x.is_negative() { ceil } else { floor }, "{x}");
            let half = fraction(1, 2);
            assert_eq!(x.round(), &sign * (x.abs() + half).floor(), "{x}");
            assert_eq!(x.abs_sub(&Fraction::one()), Fraction::zero().max(&x - Fraction::one()), "{x}");
        }
    }
}
