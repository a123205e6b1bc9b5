//! A product of powers of numbered unknowns: how is it ordered, multiplied and divided?
//!
//! Monomials are ordered as words in a dictionary, unknown 0 weighing most: of two, the one with the
//! higher power of the first unknown in which they differ is the greater. Multiplying both by a third keeps
//! their order, which division of polynomials rests on.

use std::cmp::Ordering;

use num_bigint::BigInt;
use smallvec::SmallVec;

/// A power of an unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Power {
    /// The number of the unknown.
    pub unknown: usize,
    /// How often it is a factor: at least once.
    pub exponent: u32,
}

/// A product of powers of different unknowns, in rising order of these; without any it is 1.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct Monomial(SmallVec<[Power; 6]>);

impl Monomial {
    /// An unknown itself.
    pub(super) fn unknown(unknown: usize) -> Self {
        Self(SmallVec::from_iter([Power { unknown, exponent: 1 }]))
    }

    /// The powers, in rising order of their unknowns.
    pub fn powers(&self) -> &[Power] {
        &self.0
    }

    /// How often an unknown is a factor.
    pub fn exponent(&self, unknown: usize) -> u32 {
        self.0.iter().find(|power| power.unknown == unknown).map_or(0, |power| power.exponent)
    }

    /// The value of `coefficient` times this where unknown i is `at[i]`.
    pub(super) fn value(&self, coefficient: &BigInt, at: &[BigInt]) -> BigInt {
        self.0.iter().fold(coefficient.clone(), |product, power| product * at[power.unknown].pow(power.exponent))
    }

    pub(super) fn times(&self, other: &Self) -> Self {
        let mut product = self.0.clone();
        for &Power { unknown, exponent } in &other.0 {
            match product.iter().position(|power| power.unknown >= unknown) {
                Some(place) if product[place].unknown == unknown => product[place].exponent += exponent,
                Some(place) => product.insert(place, Power { unknown, exponent }),
                None => product.push(Power { unknown, exponent }),
            }
        }
        Self(product)
    }

    /// The quotient, if the divisor is a factor.
    pub(super) fn divided_by(&self, divisor: &Self) -> Option<Self> {
        let mut quotient = self.0.clone();
        for &Power { unknown, exponent } in &divisor.0 {
            let power = quotient.iter_mut().find(|power| power.unknown == unknown)?;
            power.exponent = power.exponent.checked_sub(exponent)?;
        }
        quotient.retain(|power| power.exponent > 0);
        Some(Self(quotient))
    }

    /// The greatest monomial that is a factor of both.
    pub(super) fn common_divisor(&self, other: &Self) -> Self {
        let common = |power: &Power| Power {
            unknown: power.unknown,
            exponent: power.exponent.min(other.exponent(power.unknown)),
        };
        Self(self.0.iter().map(common).filter(|power| power.exponent > 0).collect())
    }

    /// The same without an unknown.
    pub(super) fn without(&self, unknown: usize) -> Self {
        Self(self.0.iter().copied().filter(|power| power.unknown != unknown).collect())
    }
}

impl Ord for Monomial {
    fn cmp(&self, other: &Self) -> Ordering {
        for (one, two) in self.0.iter().zip(&other.0) {
            // An unknown that comes first weighs more; of one unknown the higher power does.
            let order = two.unknown.cmp(&one.unknown).then(one.exponent.cmp(&two.exponent));
            if order.is_ne() {
                return order;
            }
        }
        self.0.len().cmp(&other.0.len())
    }
}

impl PartialOrd for Monomial {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
