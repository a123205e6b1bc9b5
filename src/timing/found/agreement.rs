//! Which clusters agree with one another: the largest number of readings that share a turn.
//!
//! Each reading, less what its convention expects, is an arc on a circle of 1/g turn. A point
//! that most arcs cover is a turn that so many clusters may have in common; the first ends
//! and middles of arcs are enough to find it. Of several such sets the one is taken that
//! holds the earlier pin.

use std::cmp::Reverse;

use num_bigint::BigInt;
use num_traits::Signed;

use super::reading::Reading;
use crate::exact::{Fraction, fraction, nearest_zero};

/// The clusters that agree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Agreement {
    /// Whether each reading agrees.
    pub(super) agrees: Vec<bool>,
    /// The turn that those have in common: the middle of what their resolution allows.
    pub(super) common: Fraction,
    /// How far the common turn may be off, either way.
    pub(super) slack: Fraction,
}

impl Agreement {
    /// The first reading that agrees.
    pub(super) fn first(&self) -> usize {
        self.agrees.iter().position(|&agrees| agrees).unwrap_or(0)
    }
}

/// The readings that agree modulo 1/g; there is at least one reading.
pub(super) fn agreement(readings: &[Reading], equivalent_seatings: i64) -> Agreement {
    let seatings = BigInt::from(equivalent_seatings);
    let apart = |reading: &Reading, point: &Fraction| nearest_zero(&((&reading.turn - point) * &seatings)) / &seatings;
    let covers = |point: &Fraction| -> Vec<bool> {
        readings.iter().map(|reading| apart(reading, point).abs() <= reading.resolution).collect()
    };
    let points = readings.iter().flat_map(|reading| {
        let Reading { turn, resolution } = reading;
        [turn.clone(), turn - resolution, turn + resolution]
    });
    let rank = |agrees: &[bool]| (agrees.iter().filter(|&&agrees| agrees).count(), agrees.to_vec());
    let (agrees, point) = points
        .map(|point| (covers(&point), point))
        .min_by_key(|(agrees, _)| Reverse(rank(agrees)))
        .expect("there is at least one reading");
    let agreeing = || readings.iter().zip(&agrees).filter(|(_, agrees)| **agrees).map(|(reading, _)| reading);
    let low = agreeing().map(|reading| apart(reading, &point) - &reading.resolution).max();
    let high = agreeing().map(|reading| apart(reading, &point) + &reading.resolution).min();
    let (low, high) = (low.unwrap_or_else(|| fraction(0, 1)), high.unwrap_or_else(|| fraction(0, 1)));
    let two = BigInt::from(2);
    Agreement { common: point + (&low + &high) / &two, slack: (high - low) / two, agrees }
}
