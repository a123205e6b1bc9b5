//! How much is there to compare before an answer can be given, and is that too much?
//!
//! The steps are counted before the first is made, from what was read alone: for each reading
//! that may be exact every point that clusters may share is compared with every reading, and
//! for each cluster every seating within its resolution is looked at. Readings that anybody
//! would make need some thousands.

use num_traits::ToPrimitive;

use super::reading::Reading;
use crate::exact::{Fraction, multiple};

/// The most steps that are made, a second or so.
pub(super) const MOST_STEPS: u64 = 1_000_000;

/// How many comparisons a seating costs whose errors are worked out.
const SEATING_COST: u64 = 20;

/// The steps of one convention, with gears of these tooth counts and so many readings that may
/// be exact.
pub(super) fn steps(readings: &[&Reading], tooth_counts: &[i64], exact: usize) -> u64 {
    let whole = |number: usize| u64::try_from(number).unwrap_or(u64::MAX);
    let (read, exact) = (whole(readings.len()), whole(exact));
    let points = read.saturating_mul(read).saturating_mul(3 * exact);
    let widest = readings.iter().map(|reading| &reading.resolution).max();
    // The resolutions of two clusters, either way, and the choices at both ends.
    let choices =
        |count: &i64| widest.and_then(|widest| teeth_within(widest, count.saturating_mul(4))).map(|it| it + 2);
    let seatings = tooth_counts.iter().filter_map(choices).fold(0, u64::saturating_add);
    points.saturating_add(seatings.saturating_mul(read).saturating_mul(exact).saturating_mul(SEATING_COST))
}

fn teeth_within(turn: &Fraction, count: i64) -> Option<u64> {
    multiple(turn, count).ceil().to_integer().to_u64()
}
