//! What was read last of something, as left or as found.

use super::draft::DraftJobReading;
use super::value::{JobValue, side_by_side};
use crate::exact::Fraction;

/// What was read last of something.
pub(super) struct LastRead<'a> {
    pub(super) values: Vec<&'a JobValue>,
    /// It was read when the unit was taken apart, and not again.
    pub(super) only_as_found: bool,
}

impl<'a> LastRead<'a> {
    /// As left, or as found where nothing was left; none where nothing was read.
    pub(super) fn of(reading: &'a DraftJobReading) -> Option<Self> {
        let only_as_found = reading.left.is_empty();
        let column = if only_as_found { &reading.found } else { &reading.left };
        let values: Vec<&JobValue> = column.iter().map(|value| &**value).collect();
        (!values.is_empty()).then_some(Self { values, only_as_found })
    }

    pub(super) fn shown(&self) -> String {
        side_by_side(self.values.iter().copied(), ", ")
    }

    /// When it was read, as it is said of what is not good.
    pub(super) fn when(&self) -> &'static str {
        if self.only_as_found { "as found" } else { "as left" }
    }

    /// Every size that was read, in the unit of its kind.
    pub(super) fn sizes(&self) -> Vec<Fraction> {
        self.values.iter().filter_map(|value| value.size()).collect()
    }
}
