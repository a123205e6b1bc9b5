//! Which wrong seatings fit what was read?
//!
//! Those of [`crate::timing::wrong`] and their mirror images, up to right seatings: a wrong seating with the turns w
//! fits a box with the middle c and the halves h if some right seating p has `|c - w - p| <= h`. They stand in the order
//! of their first turn modulo that of the lattice, so that few have to be tried.

use std::collections::BTreeSet;

use num_bigint::BigInt;
use num_traits::ToPrimitive;

use super::answer::{NearMesh, NearSeating, SeatingsKnown};
use super::torus::{TooMuch, Torus, TurnBox};
use crate::exact::{Fraction, TooManyClasses, fraction, multiple};
use crate::gearset::{Gearset, PlanetGroup};
use crate::timing::by_hand::{ByHand, EASE_BY_FORCE};
use crate::timing::wrong::{Misplaced, SeatingClasses, WrongMesh, WrongSeating};

/// How many comparisons a seating is worth whose errors are weighed.
const SEATING_COST: usize = 20;

/// Every wrong seating of a group.
pub(super) struct Fitting {
    classes: SeatingClasses,
    tooth_counts: Vec<i64>,
    /// The turns of these planets were read.
    read: Vec<usize>,
    /// Modulo this the first turn that was read repeats.
    period: Fraction,
    /// Each with that turn modulo its period, in this order.
    wrong: Vec<(Fraction, Misplaced)>,
    pub(super) known: SeatingsKnown,
}

impl Fitting {
    pub(super) fn new(set: &Gearset, group: &PlanetGroup, torus: &Torus, read: Vec<usize>) -> Self {
        let classes = SeatingClasses::new(set, group, EASE_BY_FORCE);
        let (period, first) = (torus.first_period(), read[0]);
        let (every, known) = match every(group, &classes) {
            Ok(every) => (every, SeatingsKnown::Every),
            Err(TooManyClasses) => (Vec::new(), SeatingsKnown::TooMany),
        };
        let both = every.into_iter().flat_map(|it| [it.mirrored(), it]);
        let mut wrong: Vec<(Fraction, Misplaced)> = both.map(|it| (remainder(&it.turns[first], &period), it)).collect();
        wrong.sort_by(|a, b| a.0.cmp(&b.0));
        let tooth_counts = set.matrix().timing(group).iter().map(|row| row.terms[0].tooth_count.abs()).collect();
        Self { classes, tooth_counts, read, period, wrong, known }
    }

    /// The wrong seatings that are in one of the boxes, the one that is least out first.
    pub(super) fn seatings(&self, torus: &mut Torus, boxes: &[TurnBox]) -> Result<Vec<NearSeating>, TooMuch> {
        let mut fitting = BTreeSet::new();
        for within in boxes {
            for at in self.near(within) {
                let wrong = &self.wrong[at].1;
                let turns = self.read.iter().map(|&planet| &wrong.turns[planet]);
                let center = within.center.iter().zip(turns).map(|(center, turn)| center - turn).collect();
                let right = torus.seatings_in(&TurnBox { center, half: within.half.clone() })?;
                fitting.extend(right.iter().map(|right| self.as_read(wrong, right)));
            }
        }
        torus.spend(fitting.len() * SEATING_COST)?;
        Ok(fitting.iter().map(|it| near_seating(self.classes.weighed(it))).collect())
    }

    /// Those whose first turn may be in the box, by their number.
    fn near(&self, within: &TurnBox) -> impl Iterator<Item = usize> {
        let number = |turn: &Fraction| self.wrong.partition_point(|(first, _)| first < turn);
        let low = remainder(&(&within.center[0] - &within.half[0]), &self.period);
        let high = &low + &within.half[0] * BigInt::from(2);
        let behind = |turn: &Fraction| self.wrong.partition_point(|(first, _)| first <= turn);
        // What lies beyond the end of the period is at its beginning again.
        let begin = number(&low);
        let (end, again) = if high < self.period {
            (behind(&high), 0)
        } else {
            (self.wrong.len(), behind(&(&high - &self.period)).min(begin))
        };
        (begin..end).chain(0..again)
    }

    /// A planet by itself is told beside what was read, turned on by a right seating; of planets that mesh with one
    /// another each from its nearest right seating.
    fn as_read(&self, wrong: &Misplaced, right: &[Fraction]) -> Misplaced {
        let mut wrong = wrong.clone();
        if let ([turn], [right]) = (&mut wrong.turns[..], right) {
            *turn += right;
            for (teeth, &count) in wrong.teeth.iter_mut().zip(&self.tooth_counts) {
                *teeth += multiple(right, count).to_integer().to_i64().expect("a right seating is within a turn");
            }
        }
        wrong
    }
}

fn every(group: &PlanetGroup, classes: &SeatingClasses) -> Result<Vec<Misplaced>, TooManyClasses> {
    /// More than anybody would look through; those of one planet are as few as its teeth.
    const MOST: usize = 5000;
    if group.places().len() == 1 {
        return Ok(Vec::new());
    }
    let every = classes.within(&fraction(1, 2))?;
    if group.planets().len() > 1 && every.len() > MOST { Err(TooManyClasses) } else { Ok(every) }
}

/// What is left of a turn after whole periods, 0 or more.
fn remainder(turn: &Fraction, period: &Fraction) -> Fraction {
    turn - (turn / period).floor() * period
}

fn near_seating(it: WrongSeating) -> NearSeating {
    let turns: Vec<Fraction> = it.turns.into_iter().map(|it| it.turns).collect();
    let mesh = |it: &WrongMesh| NearMesh { mesh: it.mesh, moved: it.teeth, error: it.error.clone() };
    NearSeating {
        turn: if let [turn] = &turns[..] { Some(turn.clone()) } else { None },
        within_backlash: it.by_hand.map(|by_hand| by_hand == ByHand::Unnoticed),
        least_backlash_mm: it.goes_in_from_mm,
        meshes: it.meshes.iter().map(mesh).collect(),
        turns,
        largest_error_mm: it.meshes.iter().try_fold(0.0, |worst, mesh| Some(f64::max(worst, mesh.error_mm?))),
        by_hand: it.by_hand,
        could_be: it.could_be,
        largest_error: it.largest_error,
    }
}
