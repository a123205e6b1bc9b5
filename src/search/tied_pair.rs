//! Which values are left of an unknown from which another one follows?
//!
//! Where a sum leaves two unknowns open, one often follows from the other: together they lie on a line. A window that is
//! linear along it, or is on either side of where a divisor changes its sign, leaves a range of integers, whose ends division
//! finds exactly.

use num_integer::Integer;

use super::interval::Interval;
use super::node_intervals::{NodeIntervals, UnknownNode};
use super::test::{Test, TestKind};

/// Two unknowns that a sum ties together, or one and itself, and what is linear along them.
#[derive(Clone, Debug)]
pub(super) struct TiedPair {
    /// The test for the sum.
    pub(super) sum: usize,
    pub(super) along: UnknownNode,
    pub(super) follower: UnknownNode,
    /// By what the sum rises with the follower, and by what the follower rises with the other.
    pub(super) unit: i64,
    pub(super) slope: i64,
    pub(super) windows: Vec<LinearWindow>,
}

/// The test for a window that is linear along a line, and the register whose zero it turns at if it does.
#[derive(Clone, Copy, Debug)]
pub(super) struct LinearWindow {
    pub(super) test: usize,
    pub(super) turn: Option<usize>,
}

impl TiedPair {
    /// The tests that bear on it.
    pub(super) fn tests(&self) -> impl Iterator<Item = usize> {
        std::iter::once(self.sum).chain(self.windows.iter().map(|window| window.test))
    }

    /// Both unknowns, one bit each.
    pub(super) fn unknowns(&self) -> u64 {
        1 << self.along.unknown | 1 << self.follower.unknown
    }

    /// Narrows both unknowns and says whether it did, or which test leaves nothing. Their values are used up.
    pub(super) fn narrow(
        &self,
        tests: &mut [Test],
        values: &mut [i64],
        state: &mut NodeIntervals,
    ) -> Result<bool, usize> {
        let (low, high) = state.intervals[self.along.node].integers().into_inner();
        let (least, most) = state.intervals[self.follower.node].integers().into_inner();
        let sum = LinearWindow { test: self.sum, turn: None };
        let Some(at_least) = self.point(sum, tests, values, [low, least]) else { return Ok(false) };
        // By this the sum is too large with the least of both.
        let [above, _] = at_least.margins;
        if above % self.unit != 0 {
            return Err(self.sum);
        }
        let following = |value: i64| least - above / self.unit + self.slope * (value - low);
        // The follower's own range is a window as well.
        let of_follower = |value| {
            let margins = [following(value) - least, most - following(value)];
            Some(Point { margins, turning: 1 })
        };
        let mut left = kept([low, high], of_follower).ok_or(self.sum)?;
        let mut cut_by = [self.sum; 2];
        for &window in &self.windows {
            let after = kept(left, |value| self.point(window, tests, values, [value, following(value)]));
            let after = after.ok_or(window.test)?;
            for end in [0, 1].into_iter().filter(|&end| after[end] != left[end]) {
                cut_by[end] = window.test;
            }
            left = after;
        }
        let mut follow = left.map(following);
        let is_narrowed = state.leave(self.along, Interval::whole(left[0], left[1]), cut_by);
        // Where it falls, its first value comes from the last one of the other.
        if self.slope < 0 {
            follow.reverse();
            cut_by.reverse();
        }
        Ok(state.leave(self.follower, Interval::whole(follow[0], follow[1]), cut_by) || is_narrowed)
    }

    /// A window with values of both unknowns; `None` where it has none.
    #[inline]
    fn point(
        &self,
        window: LinearWindow,
        tests: &mut [Test],
        values: &mut [i64],
        [value, following]: [i64; 2],
    ) -> Option<Point> {
        (values[self.along.unknown], values[self.follower.unknown]) = (value, following);
        let TestKind::Window(program) = &mut tests[window.test].kind else { return None };
        let margins = program.margins(values)?;
        let turning = match window.turn {
            Some(register) => program.register(register)?,
            None => 1,
        };
        Some(Point { margins, turning })
    }
}

/// What a window is at some value of an unknown.
struct Point {
    /// By how much its ends are kept.
    margins: [i64; 2],
    /// What changes its sign where it turns.
    turning: i64,
}

/// Of the values from one to another the first and the last at which a window is kept, which is linear in them but for one
/// turn; all of them where it has no value near an end.
fn kept([first, last]: [i64; 2], mut at: impl FnMut(i64) -> Option<Point>) -> Option<[i64; 2]> {
    if last - first < 2 {
        let mut is_kept = |value: &i64| at(*value).is_some_and(|point| point.margins.iter().all(|&margin| margin >= 0));
        let [first, last] = [[first, last], [last, first]].map(|values| values.into_iter().find(&mut is_kept));
        return Some([first?, last?]);
    }
    // Where it has no value it is not kept.
    let near = [[first, first + 1], [last, last - 1]];
    let ends = near.map(|values| values.into_iter().find_map(|value| Some((value, at(value)?))));
    let [Some((first, from)), Some((last, to))] = ends else { return Some([first, last]) };
    if from.turning.signum() == to.turning.signum() {
        return kept_between([first, last], [from.margins, to.margins]);
    }
    let Some(step) = step([first, last], [from.turning, to.turning]) else { return Some([first, last]) };
    let (size, turn) = (from.turning.abs(), first + from.turning.abs() / step);
    // Where it turns at an integer it has no value there if it divides, and is on both sides if it does not.
    let has_turn = size % step == 0;
    let before = [first, if has_turn { turn - 1 } else { turn }];
    let behind = [if has_turn && at(turn).is_some() { turn } else { turn + 1 }, last];
    let mut side = |from_to: [i64; 2]| {
        if from_to[0] > from_to[1] {
            return None;
        }
        let [Some(from), Some(to)] = from_to.map(&mut at) else { return Some(from_to) };
        kept_between(from_to, [from.margins, to.margins])
    };
    let sides = [side(before), side(behind)];
    Some([sides[0].or(sides[1])?[0], sides[1].or(sides[0])?[1]])
}

/// The same where it turns nowhere, by its margins at both ends.
fn kept_between(ends: [i64; 2], [at_first, at_last]: [[i64; 2]; 2]) -> Option<[i64; 2]> {
    let [mut first, mut last] = ends;
    for (at_first, at_last) in at_first.into_iter().zip(at_last) {
        let cut = |size: i64, divide: fn(&i64, &i64) -> i64| {
            step(ends, [at_first, at_last]).map_or(0, |step| divide(&size, &step))
        };
        match (at_first >= 0, at_last >= 0) {
            (true, true) => {}
            (false, false) => return None,
            (false, true) => first = first.max(ends[0] + cut(-at_first, Integer::div_ceil)),
            (true, false) => last = last.min(ends[1] - cut(-at_last, Integer::div_ceil)),
        }
    }
    (first <= last).then_some([first, last])
}

/// By how much what is linear changes from one value to the next, where that fits into 64 bits.
fn step([first, last]: [i64; 2], [at_first, at_last]: [i64; 2]) -> Option<i64> {
    (at_last.checked_sub(at_first)? / (last - first)).checked_abs()
}
