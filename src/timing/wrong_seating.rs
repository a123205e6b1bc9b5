//! The nearest wrong seating of one cluster: how easily it could be put together wrong.
//!
//! Turn a cluster by u from its right seating: gear i is then out by the distance of
//! `P_i u` from a whole number of teeth. The largest of these, f(u), is zero at the right
//! seatings; every positive local minimum of f is a wrong seating, and the smallest of
//! them is the margin.
//!
//! A wrong seating is a choice of whole numbers `n_i`, the teeth by which each gear is
//! taken to be moved. Its best turn minimises `max |P_i u - n_i|`, and for one unknown
//! that minimum is the largest, over pairs of gears, of
//! `|P_j n_i - P_i n_j| / (P_i + P_j)` (every three of the intervals round `n_i / P_i`
//! that meet in pairs meet at once: Helly (1923), Jahresber. DMV 32, 175-176). So the search runs
//! over whole numbers only, and a choice is dropped as soon as one pair is too bad.

use num_integer::Integer;

use crate::exact::{Fraction, fraction};

/// The errors of a wrong seating of a cluster, turned so that the largest of them is as small as can be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct MinimaxErrors {
    /// The largest error, in teeth: the margin.
    pub(super) largest_error: Fraction,
    /// The error of each gear, in teeth, signed, in the order of the tooth counts.
    pub(super) errors: Vec<Fraction>,
}

/// The nearest wrong seating of a cluster whose meshing gears have these tooth counts;
/// `None` where everything that nearly goes in is right.
pub(super) fn nearest_wrong_seating(tooth_counts: &[i64]) -> Option<MinimaxErrors> {
    let cost = |i: usize, j: usize, difference: i64| Share {
        numerator: difference.abs(),
        denominator: tooth_counts[i] + tooth_counts[j],
    };
    let search = SeatingSearch { tooth_counts, cost: &cost, best: Share { numerator: 1, denominator: 2 }, found: None };
    search.run().map(|found| seating(tooth_counts, &found.moved))
}

/// A fraction of machine words, not negative, compared without division: tooth counts are far
/// too small for the products to overflow.
#[derive(Clone, Copy, PartialEq)]
struct Share {
    numerator: i64,
    denominator: i64,
}

impl PartialOrd for Share {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        (self.numerator * other.denominator).partial_cmp(&(other.numerator * self.denominator))
    }
}

/// The least factor by which the backlash of every gear, given in teeth, has to be multiplied
/// for some wrong seating to go in; `None` where it is more than `limit`.
///
/// A wrong seating goes in when no gear is out by more than its own backlash.
pub(super) fn least_play_factor(tooth_counts: &[i64], play: &[f64], limit: f64) -> Option<f64> {
    let count = |index: usize| float(tooth_counts[index]);
    let cost = |i: usize, j: usize, difference: i64| {
        if difference == 0 { 0.0 } else { float(difference.abs()) / (count(j) * play[i] + count(i) * play[j]) }
    };
    // The search keeps what is below its limit; backlash that just suffices is enough.
    let best = limit * (1.0 + f64::EPSILON);
    SeatingSearch { tooth_counts, cost: &cost, best, found: None }.run().map(|found| found.cost)
}

/// A tooth count, or a product of two, as a float.
fn float(count: i64) -> f64 {
    f64::from(i32::try_from(count).expect("tooth counts have at most five digits, and moves are below half of one"))
}

/// A search for the moves `n_i` whose worst pair costs least.
///
/// `cost(i, j, P_j n_i - P_i n_j)` is what a pair costs; it grows with the difference.
struct SeatingSearch<'a, C, F> {
    tooth_counts: &'a [i64],
    cost: &'a F,
    /// The least cost so far; at first the limit below which anything must be.
    best: C,
    found: Option<SeatingMet<C>>,
}

/// A wrong seating that the search has met.
struct SeatingMet<C> {
    moved: Vec<i64>,
    cost: C,
}

impl<C: Copy + PartialOrd, F: Fn(usize, usize, i64) -> C> SeatingSearch<'_, C, F> {
    fn run(mut self) -> Option<SeatingMet<C>> {
        let first = *self.tooth_counts.first()?;
        let common = self.tooth_counts.iter().fold(0, |common, count| count.gcd(&common));
        let mut moved = Vec::with_capacity(self.tooth_counts.len());
        // Right seatings repeat after first / common teeth, and turning either way is alike.
        for teeth in 0..=first / common / 2 {
            moved.push(teeth);
            self.extend(&mut moved, None);
            moved.pop();
        }
        self.found
    }

    /// Tries every move of the next gear that no pair forbids.
    fn extend(&mut self, moved: &mut Vec<i64>, worst: Option<C>) {
        let next = moved.len();
        let Some(&count) = self.tooth_counts.get(next) else {
            // All pairs in proportion: the gears moved together, which is a right seating.
            let (Some(worst), false) = (worst, self.is_right(moved)) else { return };
            self.best = worst;
            self.found = Some(SeatingMet { moved: moved.clone(), cost: worst });
            return;
        };
        // All counts are positive, so this division rounds down.
        let nearest = (2 * moved[0] * count + self.tooth_counts[0]) / (2 * self.tooth_counts[0]);
        for (start, step) in [(nearest, 1), (nearest - 1, -1)] {
            let mut teeth = start;
            while self.pair_cost(moved, 0, teeth) < self.best {
                if let Some(worst) = self.worst_with(moved, worst, teeth) {
                    moved.push(teeth);
                    self.extend(moved, Some(worst));
                    moved.pop();
                }
                teeth += step;
            }
        }
    }

    fn pair_cost(&self, moved: &[i64], earlier: usize, teeth: i64) -> C {
        let next = moved.len();
        let difference = self.tooth_counts[next] * moved[earlier] - self.tooth_counts[earlier] * teeth;
        (self.cost)(earlier, next, difference)
    }

    /// The worst cost of any pair once the next gear is moved by so many teeth, if it is
    /// still below the best.
    fn worst_with(&self, moved: &[i64], worst: Option<C>, teeth: i64) -> Option<C> {
        let mut worst = worst;
        for earlier in 0..moved.len() {
            let cost = self.pair_cost(moved, earlier, teeth);
            if worst.is_none_or(|worst| cost > worst) {
                worst = Some(cost);
            }
        }
        worst.filter(|&worst| worst < self.best)
    }

    fn is_right(&self, moved: &[i64]) -> bool {
        let (first, first_moved) = (self.tooth_counts[0], moved[0]);
        self.tooth_counts.iter().zip(moved).all(|(count, moved)| count * first_moved == first * moved)
    }
}

/// The errors of a choice of moves, at its best turn: where the worst pair shares evenly.
pub(super) fn seating(tooth_counts: &[i64], moved: &[i64]) -> MinimaxErrors {
    let mut largest = Share { numerator: 0, denominator: 1 };
    let mut turn = Share { numerator: 0, denominator: 1 };
    for (i, (a, n)) in tooth_counts.iter().zip(moved).enumerate() {
        for (b, m) in tooth_counts[..i].iter().zip(moved) {
            let error = Share { numerator: (b * n - a * m).abs(), denominator: a + b };
            if error > largest {
                (largest, turn) = (error, Share { numerator: n + m, denominator: a + b });
            }
        }
    }
    let error =
        |(count, moved): (&i64, &i64)| fraction(count * turn.numerator - moved * turn.denominator, turn.denominator);
    MinimaxErrors {
        largest_error: fraction(largest.numerator, largest.denominator),
        errors: tooth_counts.iter().zip(moved).map(error).collect(),
    }
}

#[cfg(test)]
mod tests {
    use num_traits::Signed;

    use super::*;

    #[track_caller]
    fn margin(tooth_counts: &[i64], expected: Option<(i64, i64)>) {
        let found = nearest_wrong_seating(tooth_counts);
        assert_eq!(found.as_ref().map(|seating| seating.largest_error.clone()), expected.map(|(a, b)| fraction(a, b)));
        if let Some(seating) = found {
            let worst = seating.errors.iter().map(Signed::abs).max();
            assert_eq!(worst, Some(seating.largest_error), "the errors of {tooth_counts:?}");
        }
    }

    #[test]
    fn margins_are_those_worked_out_from_the_definition() {
        margin(&[27, 33, 24], Some((3, 19)));
        margin(&[31, 37, 26], Some((5, 68)));
        margin(&[59, 60], Some((1, 119)));
        margin(&[31, 29], Some((1, 60)));
    }

    #[test]
    fn one_tooth_count_alone_cannot_be_put_in_wrong() {
        margin(&[18], None);
        margin(&[18, 18], None);
        margin(&[], None);
    }

    #[test]
    fn play_lets_a_wrong_seating_in_just_when_every_gear_has_enough() {
        let goes_in = |counts: &[i64], play: &[f64]| least_play_factor(counts, play, 1.0).is_some();
        assert!(goes_in(&[59, 60], &[1.0 / 118.0, 1.0 / 118.0]), "more play than the margin 1/119");
        assert!(!goes_in(&[59, 60], &[1.0 / 120.0, 1.0 / 120.0]), "less play than the margin 1/119");
        assert!(goes_in(&[59, 60], &[0.0, 1.0 / 58.0]), "all the error on the second gear");
        assert!(!goes_in(&[59, 60], &[0.0, 1.0 / 60.0]), "all the error on the second gear, too little play");
        assert!(!goes_in(&[18], &[0.4]), "one gear has no wrong seating");
    }
}
