//! Which combinations belong to one part of the work?
//!
//! Every part lists the same beginnings, down to a level where many values are left. Of the values of that level each is the
//! work of one part: neighbouring ones belong to different parts, and so do the first ones of different beginnings.

use num_integer::Integer;

use super::problem::WorkShare;

/// More parts than this are refused: nobody has so many machines.
pub(crate) const MOST_PARTS: usize = 1 << 16;

/// The values of a level that are the work of one part.
#[derive(Clone, Copy, Debug)]
pub(super) struct OwnChoices {
    part: WorkShare,
    /// The level whose values are shared out.
    pub(super) depth: usize,
    factor: usize,
}

impl OwnChoices {
    pub(super) fn new(part: WorkShare, depth: usize) -> Self {
        // Prime to the number of parts and near the golden section of it, where multiples lie farthest apart.
        let golden = part.of.saturating_mul(618) / 1000;
        let factor = (golden..=part.of).find(|factor| factor.gcd(&part.of) == 1).unwrap_or(1);
        Self { part, depth, factor }
    }

    /// Whether it is the first part.
    pub(super) fn is_first(&self) -> bool {
        self.part.index == 0
    }

    /// Whether the value at a place is this part's, after the beginning with a number.
    pub(super) fn owns(&self, beginning: usize, place: usize) -> bool {
        let first = beginning % self.part.of * self.factor % self.part.of;
        (first + place) % self.part.of == self.part.index
    }
}
