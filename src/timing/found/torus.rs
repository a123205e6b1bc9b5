//! Turns of the planets on one pin, up to right seatings: boxes on a torus.
//!
//! The turns of the planets that were read are a point; two points that differ by a right
//! seating, a vector of the lattice `{t : A t whole}`, are the same. A reading is a box round
//! its point. A box that is as wide as the lattice repeats along one planet alone tells
//! nothing of that planet, so none is taken as wider.
//!
//! The planet of a cluster is the case of one component: an arc on a circle of 1/g turn.

use num_bigint::BigInt;
use num_traits::{Signed, Zero};

use crate::exact::{Fraction, TriangularLattice};

/// How many comparisons are made before the answer is given up: a second or so.
const MOST_STEPS: usize = 1_000_000;

/// There would be too much to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TooMuch;

/// Readings, or what follows from them, with what each component may be off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct TurnBox {
    pub(super) center: Vec<Fraction>,
    pub(super) half: Vec<Fraction>,
}

impl TurnBox {
    pub(super) fn low(&self, at: usize) -> Fraction {
        &self.center[at] - &self.half[at]
    }

    pub(super) fn high(&self, at: usize) -> Fraction {
        &self.center[at] + &self.half[at]
    }

    pub(super) fn moved(&self, by: &[Fraction]) -> Self {
        Self { center: sum(&self.center, by), half: self.half.clone() }
    }

    pub(super) fn holds(&self, at: usize, value: &Fraction) -> bool {
        (value - &self.center[at]).abs() <= self.half[at]
    }
}

/// The lattice of right seatings, seen by the planets that were read.
#[derive(Debug)]
pub(super) struct Torus {
    generators: Vec<Vec<Fraction>>,
    lattice: TriangularLattice,
    /// By how much each planet can be turned alone and be right again.
    pub(super) alone: Vec<Fraction>,
    steps: usize,
}

impl Torus {
    /// The lattice with this basis, seen by the planets `read`.
    pub(super) fn new(basis: &[Vec<Fraction>], read: &[usize]) -> Self {
        let seen = |row: &Vec<Fraction>| read.iter().map(|&planet| row[planet].clone()).collect::<Vec<_>>();
        let generators: Vec<Vec<Fraction>> = basis.iter().map(seen).collect();
        let alone = (0..read.len()).map(|last| {
            let order: Vec<usize> = (0..read.len()).filter(|&at| at != last).chain([last]).collect();
            let rows = in_order(&generators, &order);
            let lattice = TriangularLattice::generated_by(&rows);
            lattice.basis().last().and_then(|row| row.last()).cloned().unwrap_or_default()
        });
        let alone = alone.collect();
        Self { lattice: TriangularLattice::generated_by(&generators), generators, alone, steps: MOST_STEPS }
    }

    /// A box of readings; nothing is known of a planet that was not read.
    pub(super) fn box_of(&self, readings: &[Option<(Fraction, Fraction)>]) -> TurnBox {
        let (center, half): (Vec<Fraction>, Vec<Fraction>) = readings
            .iter()
            .enumerate()
            .map(|(at, reading)| match reading {
                Some((turn, resolution)) => (turn.clone(), resolution.clone().min(self.half(at))),
                None => (Fraction::zero(), self.half(at)),
            })
            .unzip();
        TurnBox { center, half }
    }

    /// Modulo this the turn of the first planet that was read repeats, whatever the others do.
    pub(super) fn first_period(&self) -> Fraction {
        self.lattice.basis().first().and_then(|row| row.first()).cloned().unwrap_or_default()
    }

    /// Half of what a planet can be turned alone: no reading is off by more.
    pub(super) fn half(&self, at: usize) -> Fraction {
        &self.alone[at] / BigInt::from(2)
    }

    /// Whether a box tells anything of a planet: one as wide as that can be turned alone does not.
    pub(super) fn tells(&self, at: usize, it: &TurnBox) -> bool {
        it.half[at] < self.half(at)
    }

    /// The right seatings in a box.
    pub(super) fn seatings_in(&mut self, within: &TurnBox) -> Result<Vec<Vec<Fraction>>, TooMuch> {
        let points = self.lattice.points_in(&within.center, &within.half, self.steps).ok_or(TooMuch)?;
        self.spend(points.len() + 1)?;
        Ok(points)
    }

    pub(super) fn spend(&mut self, steps: usize) -> Result<(), TooMuch> {
        self.steps = self.steps.checked_sub(steps).ok_or(TooMuch)?;
        Ok(())
    }

    /// Of the points that differ from the centre by right seatings and are within the box for the
    /// planets `right`, the one that is nearest to zero for the others, the farthest of them first.
    pub(super) fn nearest(&mut self, off: &TurnBox, right: &[usize]) -> Result<Option<Vec<Fraction>>, TooMuch> {
        let others: Vec<usize> = (0..off.center.len()).filter(|at| !right.contains(at)).collect();
        // Within the whole period of the others, taken after those that are to be right.
        let order = [right, &others].concat();
        let half = |&at: &usize| if right.contains(&at) { off.half[at].clone() } else { self.half(at) };
        let (halves, center): (Vec<_>, Vec<_>) = order.iter().map(|at| (half(at), off.center[*at].clone())).unzip();
        let points = if order.is_sorted() {
            self.lattice.points_in(&center, &halves, self.steps)
        } else {
            // A lattice of its own is worth some comparisons.
            self.spend(50)?;
            TriangularLattice::generated_by(&in_order(&self.generators, &order)).points_in(&center, &halves, self.steps)
        };
        let points = points.ok_or(TooMuch)?;
        self.spend(points.len() + 1)?;
        let off_by = |point: Vec<Fraction>| {
            let mut off_by = vec![Fraction::zero(); order.len()];
            for (place, &at) in order.iter().enumerate() {
                off_by[at] = &center[place] - &point[place];
            }
            off_by
        };
        Ok(points.into_iter().map(off_by).min_by_key(|off_by| how_far(off_by, &others)))
    }
}

/// First how far the planets `others` are off, the farthest first, then how far each is.
fn how_far(off_by: &[Fraction], others: &[usize]) -> (Vec<Fraction>, Vec<Fraction>) {
    let mut farthest: Vec<Fraction> = others.iter().map(|&at| off_by[at].abs()).collect();
    farthest.sort_by(|a, b| b.cmp(a));
    (farthest, off_by.iter().map(Signed::abs).collect())
}

pub(super) fn sum(one: &[Fraction], other: &[Fraction]) -> Vec<Fraction> {
    one.iter().zip(other).map(|(one, other)| one + other).collect()
}

fn in_order(rows: &[Vec<Fraction>], order: &[usize]) -> Vec<Vec<Fraction>> {
    rows.iter().map(|row| order.iter().map(|&at| row[at].clone()).collect()).collect()
}
