//! A rigid body of a checked gearset, and where it turns.

use super::{GearId, MemberId};
use crate::exact::Fraction;

/// A rigid body of a checked gearset.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Member {
    pub(super) name: String,
    pub(super) place: Place,
    pub(super) gears: Vec<GearId>,
}

impl Member {
    /// The member's name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Where it turns.
    pub fn place(&self) -> &Place {
        &self.place
    }

    /// The gears solid with it.
    pub fn gears(&self) -> &[GearId] {
        &self.gears
    }
}

/// Where a member turns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// It is the fixed housing.
    Case,
    /// On the main axis.
    MainAxis,
    /// On a pin of a carrier.
    Pin {
        /// The carrier; the case for a shaft on a fixed axis.
        carrier: MemberId,
        /// The place of each pin, in turns, in [0, 1), as described.
        pins: Vec<Fraction>,
    },
}
