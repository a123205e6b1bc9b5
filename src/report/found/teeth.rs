//! How far a planet is turned, in teeth of one of its gears, as the reader sees it.
//!
//! Turns are counter-clockwise seen from the input side; seen from the output side they are the other way round, but
//! for bevel planets, which are looked at from the outer end of their pin.

use super::{abs, number_of_teeth};
use crate::exact::{Fraction, fraction, multiple};
use crate::gearset::{GearId, Gearset, Side};
use crate::report::timing::sided;
use crate::report::words;

/// The gear that turns are told in, and where the reader stands.
#[derive(Debug, Clone, Copy)]
pub(super) struct TeethSeen<'a> {
    pub(super) set: &'a Gearset,
    pub(super) gear: GearId,
    pub(super) from: Side,
}

impl TeethSeen<'_> {
    /// A turn as the reader sees it.
    pub(super) fn seen(&self, turn: &Fraction) -> Fraction {
        match self.from {
            Side::Output if !self.set.gear(self.gear).kind().is_bevel() => -turn,
            Side::Input | Side::Output => turn.clone(),
        }
    }

    /// A turn with its side: `10 1/3 clockwise`.
    pub(super) fn short(&self, turn: &Fraction) -> String {
        let teeth = self.seen(&self.teeth(turn));
        sided(&number_of_teeth(&teeth), &teeth)
    }

    /// The same in words: `1 tooth of d 31 clockwise`.
    pub(super) fn in_words(&self, turn: &Fraction) -> String {
        let teeth = self.seen(&self.teeth(turn));
        let word = if abs(&teeth) > fraction(1, 1) { "teeth" } else { "tooth" };
        sided(&format!("{} {word} of {}", number_of_teeth(&teeth), words::gear(self.set, self.gear)), &teeth)
    }

    /// A part of a turn in teeth, without a side to look from.
    pub(super) fn teeth(&self, turn: &Fraction) -> Fraction {
        multiple(turn, self.set.gear(self.gear).tooth_count().get().into())
    }
}
