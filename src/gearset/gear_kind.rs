//! A gear: one body of teeth, solid with the member that it belongs to.
//!
//! People count teeth and say what kind of gear it is; formulas want a signed count,
//! negative for internal teeth, so that external and internal pairs share one law.

use serde::Serialize;

use crate::exact::Fraction;
use crate::syntax::words;

/// The kind of teeth, and with it the sign that a formula gives the tooth count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GearKind {
    /// Teeth that point outward: a sun, or an ordinary planet gear.
    External,
    /// Teeth that point inward: a ring, or an internal planet.
    Internal,
    /// A bevel gear on the main axis, at this side of the planet pins.
    BevelCentral(Side),
    /// A bevel gear on a planet pin.
    BevelPlanet,
}

impl GearKind {
    /// Whether the gear is a bevel gear, on either axis.
    pub fn is_bevel(self) -> bool {
        matches!(self, Self::BevelCentral(_) | Self::BevelPlanet)
    }
}

/// A side of the planet pins along the main axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum Side {
    /// The side from which the gearset is viewed: the input side.
    #[serde(rename = "input side")]
    Input,
    /// The far side.
    #[serde(rename = "output side")]
    Output,
}

impl Side {
    /// In words, as people stand at it: `the input side`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Input => "the input side",
            Self::Output => "the output side",
        }
    }

    /// A turn that is counter-clockwise from the input side, as it is seen from here: turning the stack over flips
    /// every sense of rotation. What was seen from here becomes in the same way what it is from the input side.
    pub fn seen(self, turn: &Fraction) -> Fraction {
        match self {
            Self::Input => turn.clone(),
            Self::Output => -turn,
        }
    }
}

words! {
    Side for Side: "a side of the planets", "InputSide" {
        InputSide() => { Side::Input }
        OutputSide() => { Side::Output }
    }
}

/// A number of teeth: at least 1 and at most [`ToothCount::MAX`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ToothCount(u16);

impl ToothCount {
    /// The largest count that is taken for a gear; anything above is a slip of the pen.
    pub const MAX: i64 = 10_000;

    /// A count, if it lies in 1..=[`ToothCount::MAX`].
    ///
    /// # Examples
    /// ```
    /// use toothmark::gearset::ToothCount;
    /// assert_eq!(ToothCount::new(26).map(ToothCount::get), Some(26));
    /// assert_eq!(ToothCount::new(0), None);
    /// ```
    pub fn new(count: i64) -> Option<Self> {
        u16::try_from(count).ok().filter(|&count| count >= 1 && i64::from(count) <= Self::MAX).map(Self)
    }

    /// The number of teeth.
    pub fn get(self) -> u16 {
        self.0
    }
}
