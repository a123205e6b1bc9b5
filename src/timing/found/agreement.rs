//! Which clusters agree with one another: the largest number of readings that share a turn.
//!
//! Each reading, less what its convention expects, is an arc on a circle of 1/g turn. A point
//! that most arcs cover is a turn that so many clusters may have in common; the ends and
//! middles of arcs are enough to find it. Of several such sets the one is taken whose readings are
//! least off from one another, then the one that holds the earlier pin.

use std::cmp::Reverse;

use num_bigint::BigInt;
use num_traits::{Signed, Zero};

use super::reading::Reading;
use crate::exact::{Fraction, fraction, nearest_zero};

/// The clusters that agree.
#[derive(Debug)]
pub(super) struct Agreement {
    readings: Vec<Reading>,
    seatings: BigInt,
    /// A turn that they may have in common.
    point: Fraction,
    /// Whether each reading agrees.
    pub(super) agrees: Vec<bool>,
    rank: Rank,
}

/// How far a cluster is turned beside the others that agree.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Beside {
    pub(super) turn: Fraction,
    /// How far that may be off, either way.
    pub(super) resolution: Fraction,
}

impl Agreement {
    /// The readings that agree modulo 1/g; there is at least one reading.
    pub(super) fn of(readings: Vec<Reading>, equivalent_seatings: i64) -> Self {
        let seatings = BigInt::from(equivalent_seatings);
        let covers = |point: &Fraction| -> Vec<bool> {
            let covers = |reading: &Reading| {
                nearest_zero(&((&reading.turn - point) * &seatings)).abs() <= &reading.resolution * &seatings
            };
            readings.iter().map(covers).collect()
        };
        let points = readings
            .iter()
            .flat_map(|Reading { turn, resolution }| [turn.clone(), turn - resolution, turn + resolution]);
        let of_point = |point: Fraction| {
            let agrees = covers(&point);
            let off = |reading: &Reading| nearest_zero(&((&reading.turn - &point) * &seatings)).abs();
            let off =
                readings.iter().zip(&agrees).filter(|(_, agrees)| **agrees).map(|(reading, _)| off(reading)).sum();
            (Rank { count: agrees.iter().filter(|&&agrees| agrees).count(), off: Reverse(off), agrees }, point)
        };
        // Of equal ranks the first point.
        let (rank, point) = points
            .map(of_point)
            .reduce(|best, next| if next.0 > best.0 { next } else { best })
            .expect("there is at least one reading");
        Self { readings, seatings, point, agrees: rank.agrees.clone(), rank }
    }

    /// The more agree the higher; of as many, those that are less off from one another.
    pub(super) fn rank(&self) -> &Rank {
        &self.rank
    }

    /// The first reading that agrees.
    pub(super) fn first(&self) -> usize {
        self.agrees.iter().position(|&agrees| agrees).unwrap_or(0)
    }

    /// The readings that agree, but for one.
    pub(super) fn others(&self, but: usize) -> impl Iterator<Item = &Reading> {
        let agrees = move |&(index, _): &(usize, &Reading)| self.agrees[index] && index != but;
        self.readings.iter().enumerate().filter(agrees).map(|(_, reading)| reading)
    }

    /// How far a reading is from the middle of what the others that agree allow; 0 where there
    /// are none. What is beyond half an equivalent seating is not told from what is within.
    pub(super) fn beside(&self, index: usize) -> Beside {
        let own = &self.readings[index];
        let off = |reading: &Reading| self.nearest(&(&reading.turn - &self.point));
        let half = Fraction::new(1.into(), &self.seatings * 2);
        if self.others(index).next().is_none() {
            return Beside { turn: Fraction::zero(), resolution: own.resolution.clone().min(half) };
        }
        let telling = self.telling(index);
        let low = telling.iter().map(|reading| off(reading) - &reading.resolution).max();
        let high = telling.iter().map(|reading| off(reading) + &reading.resolution).min();
        let Some((low, high)) = low.zip(high) else { return Beside { turn: off(own), resolution: half } };
        let two = BigInt::from(2);
        Beside {
            turn: self.nearest(&(off(own) - (&low + &high) / &two)),
            resolution: (&own.resolution + (high - low) / two).min(half),
        }
    }

    /// The others that agree and tell something: arcs of less than half the circle, so that two of
    /// them meet in one arc and not in two; where there are none the narrowest, if it leaves
    /// anything out at all.
    fn telling(&self, but: usize) -> Vec<&Reading> {
        let part_of_circle = |reading: &Reading| &reading.resolution * &self.seatings;
        let narrow: Vec<&Reading> =
            self.others(but).filter(|reading| part_of_circle(reading) < fraction(1, 4)).collect();
        if !narrow.is_empty() {
            return narrow;
        }
        let narrowest = self.others(but).min_by_key(|reading| &reading.resolution);
        narrowest.into_iter().filter(|reading| part_of_circle(reading) < fraction(1, 2)).collect()
    }

    /// A turn less the equivalent seating nearest to it.
    pub(super) fn nearest(&self, turn: &Fraction) -> Fraction {
        nearest_zero(&(turn * &self.seatings)) / &self.seatings
    }
}

/// How good an agreement is: by the first field, then the second, then the third.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Rank {
    pub(super) count: usize,
    /// How far those that agree are off from the turn in common, added up: marks that read
    /// alike come before marks whose readings only just touch.
    pub(super) off: Reverse<Fraction>,
    /// Of equal ones those with the earlier pin.
    pub(super) agrees: Vec<bool>,
}
