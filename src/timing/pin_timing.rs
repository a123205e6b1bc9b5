//! How is each planet on one pin turned: the part of the answer on timing that marks are worked out from.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::exact::Fraction;
use crate::gearset::{GearId, MemberId};

/// How the planets on one pin are turned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PinTiming {
    /// The pin, counted from 1.
    pub pin: usize,
    /// Its place in turns, counter-clockwise seen from the input side, as described.
    pub place: Fraction,
    /// The turn of each planet of the group relative to its own radius (mark to the centre: 0), against that on the
    /// first pin, counter-clockwise seen from the input side, in turns; none where the pin is refused. Of all
    /// equivalent seatings the one nearest to zero (halfway between two: the positive one; for several planets the
    /// first planet decides, then the second, and so on).
    pub turns: Option<BTreeMap<MemberId, Fraction>>,
    /// The same in teeth of each gear in mesh; empty where the pin is refused.
    pub gears: Vec<GearTurn>,
}

/// How a planet is turned, in teeth of one of its gears.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GearTurn {
    /// The gear.
    pub gear: GearId,
    /// The planet that it belongs to.
    pub planet: MemberId,
    /// The teeth from the line of centres to the mark, counter-clockwise positive.
    pub teeth: Fraction,
}
