//! Between which floats are the values of every node still, and who said so?

use super::interval::Interval;

/// The interval of every node, and who cut off the ends of every unknown.
#[derive(Clone, Debug, Default)]
pub(super) struct NodeIntervals {
    pub(super) intervals: Vec<Interval>,
    /// For each unknown the tests that last moved its lower and its upper end.
    pub(super) cut_by: Vec<[usize; 2]>,
}

/// An unknown with its node.
#[derive(Clone, Copy, Debug)]
pub(super) struct UnknownNode {
    pub(super) unknown: usize,
    pub(super) node: usize,
}

impl NodeIntervals {
    pub(super) fn copy_from(&mut self, other: &Self) {
        self.intervals.copy_from_slice(&other.intervals);
        self.cut_by.copy_from_slice(&other.cut_by);
    }

    /// Leaves of an unknown what is in an interval; `cut_by` says by which test each end is cut off if it is. Whether that
    /// narrows it.
    #[inline]
    pub(super) fn leave(&mut self, of: UnknownNode, after: Interval, cut_by: [usize; 2]) -> bool {
        let before = std::mem::replace(&mut self.intervals[of.node], after);
        let is_cut = [after.low() > before.low(), after.high() < before.high()];
        for end in [0, 1].into_iter().filter(|&end| is_cut[end]) {
            self.cut_by[of.unknown][end] = cut_by[end];
        }
        is_cut != [false; 2]
    }
}
