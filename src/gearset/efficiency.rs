//! The efficiency of a mesh: which part of the power that rolls into it comes out again.
//!
//! It is a fraction, exact as given, more than zero and at most one; a float would make every
//! efficiency of a train a float.

use crate::exact::{Fraction, fraction};
use num_bigint::BigInt;
use num_traits::{One, Signed, ToPrimitive};

/// The efficiency of a mesh: a fraction of two numbers of up to nine digits, in (0, 1].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Efficiency {
    numerator: i64,
    denominator: i64,
}

impl Efficiency {
    /// A mesh without losses.
    pub const WITHOUT_LOSS: Self = Self { numerator: 1, denominator: 1 };

    /// An efficiency, if it is more than zero, at most one, and has up to nine digits in its numerator and
    /// in its denominator.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::Efficiency};
    /// assert_eq!(Efficiency::new(&fraction(98, 100)).unwrap().value(), fraction(49, 50));
    /// assert!(Efficiency::new(&fraction(98, 1)).is_none());
    /// ```
    pub fn new(value: &Fraction) -> Option<Self> {
        const LARGEST: i64 = 1_000_000_000;
        let word = |number: &BigInt| number.to_i64().filter(|number| *number < LARGEST);
        let sound = value.is_positive() && *value <= Fraction::one();
        Some(Self { numerator: word(value.numer())?, denominator: word(value.denom())? }).filter(|_| sound)
    }

    /// The efficiency as a fraction.
    pub fn value(self) -> Fraction {
        fraction(self.numerator, self.denominator)
    }

    /// The numerator, in lowest terms.
    pub fn numerator(self) -> i64 {
        self.numerator
    }

    /// The denominator.
    pub fn denominator(self) -> i64 {
        self.denominator
    }
}
