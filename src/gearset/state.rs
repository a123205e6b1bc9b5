//! A state of a checked gearset: what drives, what is driven, and what restrains the members.

use num_bigint::BigInt;
use num_traits::ToPrimitive;

use super::{ControlId, MemberId, Pair};
use crate::exact::{Fraction, fraction};

/// A state with everything resolved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct State {
    /// The state's name.
    pub name: String,
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// What restrains the members, in the order of the description.
    pub restraints: Vec<Restraint>,
}

/// One thing that restrains members in a state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Restraint {
    /// A control is applied.
    Control(ControlId),
    /// A member stands still.
    Held(MemberId),
    /// Two members turn as one.
    Joined(Pair<MemberId>),
    /// A member turns at so many turns per turn of the input.
    Turning(MemberId, GivenSpeed),
}

/// A given speed in turns per turn of the input: a fraction of two machine words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GivenSpeed {
    numerator: i64,
    denominator: i64,
}

impl GivenSpeed {
    /// The speed, if numerator and denominator have at most 15 digits, which every speed
    /// that was ever measured has.
    pub(super) fn new(speed: &Fraction) -> Option<Self> {
        const LARGEST: i64 = 1_000_000_000_000_000;
        let word = |number: &BigInt| number.to_i64().filter(|number| number.abs() < LARGEST);
        Some(Self { numerator: word(speed.numer())?, denominator: word(speed.denom())? })
    }

    /// The speed as a fraction.
    pub fn value(self) -> Fraction {
        fraction(self.numerator, self.denominator)
    }

    /// The numerator, in lowest terms; its sign is that of the speed.
    pub fn numerator(self) -> i64 {
        self.numerator
    }

    /// The denominator, positive.
    pub fn denominator(self) -> i64 {
        self.denominator
    }
}
