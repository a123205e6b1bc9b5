//! What do the pins of a group ask of tooth counts?
//!
//! A place of a pin is right if a whole number divides what the gears make of it: the least common
//! multiple of the denominators of all spacings, which is N for N equal pins.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, ToPrimitive};

use crate::exact::{Fraction, fraction};
use crate::gearset::PlanetGroup;
use crate::search::{Expression, Variable};

/// The pins of a group: as described, or so many equal ones as an unknown says.
#[derive(Debug, Clone)]
pub(super) enum PinPlaces {
    /// As described.
    Given(Vec<Fraction>),
    /// Equal, in a number to be found.
    Equal(Variable),
}

impl PinPlaces {
    pub(super) fn given(group: &PlanetGroup) -> Self {
        Self::Given(group.spacings())
    }

    /// The whole number that has to divide a place coefficient for every pin to be right.
    pub(super) fn divisor(&self) -> Expression {
        match self {
            Self::Equal(pins) => (*pins).into(),
            Self::Given(spacings) => Fraction::from_integer(common_denominator(spacings)).into(),
        }
    }

    /// The same number where an unknown number of pins has this value; `None` where it is none of 64 bits.
    pub(super) fn whole_divisor(&self, pins: Option<i64>) -> Option<i64> {
        match self {
            Self::Equal(_) => pins,
            Self::Given(spacings) => common_denominator(spacings).to_i64(),
        }
    }

    /// The spacings, where an unknown number of pins has this value.
    pub(super) fn spacings(&self, pins: Option<i64>) -> Vec<Fraction> {
        match (self, pins) {
            (Self::Given(spacings), _) => spacings.clone(),
            (Self::Equal(_), pins) => {
                let pins = pins.unwrap_or(1);
                (0..pins).map(|pin| fraction(pin, pins)).collect()
            }
        }
    }

    /// The least angle between two pins, in turns, where an unknown number of pins has this value; `None` for one pin.
    pub(super) fn least_angle(&self, pins: Option<i64>) -> Option<f64> {
        match self {
            Self::Given(spacings) => least_angle(spacings),
            Self::Equal(_) => pins.filter(|&pins| pins > 1).and_then(|pins| pins.to_f64()).map(f64::recip),
        }
    }

    /// The unknown number of pins, if it is one.
    pub(super) fn unknown(&self) -> Option<Variable> {
        match self {
            Self::Given(_) => None,
            Self::Equal(pins) => Some(*pins),
        }
    }
}

fn common_denominator(spacings: &[Fraction]) -> BigInt {
    spacings.iter().fold(BigInt::one(), |common, place| common.lcm(place.denom()))
}

/// Whether pins stand at equal spacings.
pub(super) fn is_equal(spacings: &[Fraction]) -> bool {
    let mut places = spacings.to_vec();
    places.sort();
    let pins = i64::try_from(places.len()).unwrap_or(i64::MAX);
    (0..pins).zip(places).all(|(pin, place)| place == fraction(pin, pins))
}

/// The least angle between two pins, in turns; `None` for one pin.
fn least_angle(spacings: &[Fraction]) -> Option<f64> {
    let mut places = spacings.to_vec();
    places.sort();
    let next = places.iter().skip(1).cloned().chain(places.first().map(|first| first + fraction(1, 1)));
    let angles = places.iter().zip(next).map(|(place, next)| next - place);
    angles.min().filter(|_| spacings.len() > 1).and_then(|angle| angle.to_f64())
}
