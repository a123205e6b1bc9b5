//! Turns of several planets on one pin, up to right seatings: boxes on a torus.
//!
//! The turns of the planets that were read are a point; two points that differ by a right
//! seating, a vector of the lattice `{t : A t whole}`, are the same. A reading is a box round
//! its point. A box that is as wide as the lattice repeats along one planet alone tells
//! nothing of that planet, so none is taken as wider.
//!
//! The most boxes that share a point: seen from one of them, every other is there in so many
//! copies, and where most overlap, the lowest corner has each component from a lower side. Of as
//! many the boxes are taken whose middles are least off from the point, added up in parts of what
//! each planet can be turned alone: that is least where every component is a middle or a side.

use std::cmp::Reverse;

use num_traits::{Signed, Zero};

use super::agreement::Rank;
use crate::exact::{Fraction, TriangularLattice};

/// How many comparisons are made before the answer is given up: a second or so.
const MOST_STEPS: usize = 400_000;

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
    fn low(&self, at: usize) -> Fraction {
        &self.center[at] - &self.half[at]
    }

    fn high(&self, at: usize) -> Fraction {
        &self.center[at] + &self.half[at]
    }

    fn moved(&self, by: &[Fraction]) -> Self {
        Self { center: sum(&self.center, by), half: self.half.clone() }
    }

    fn holds(&self, at: usize, value: &Fraction) -> bool {
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

    /// Half of what a planet can be turned alone: no reading is off by more.
    pub(super) fn half(&self, at: usize) -> Fraction {
        &self.alone[at] / num_bigint::BigInt::from(2)
    }

    /// Whether a box tells anything of a planet: one as wide as that can be turned alone does not.
    fn tells(&self, at: usize, it: &TurnBox) -> bool {
        it.half[at] < self.half(at)
    }

    /// The right seatings in a box.
    pub(super) fn seatings_in(&mut self, within: &TurnBox) -> Result<Vec<Vec<Fraction>>, TooMuch> {
        let points = self.lattice.points_in(&within.center, &within.half, self.steps).ok_or(TooMuch)?;
        self.spend(points.len() + 1)?;
        Ok(points)
    }

    fn spend(&mut self, steps: usize) -> Result<(), TooMuch> {
        self.steps = self.steps.checked_sub(steps).ok_or(TooMuch)?;
        Ok(())
    }

    /// Of the points that differ from the centre by right seatings and are within the box for the
    /// planets `right`, the one that is nearest to zero for the others, the farthest of them first.
    pub(super) fn nearest(&mut self, off: &TurnBox, right: &[usize]) -> Result<Option<Vec<Fraction>>, TooMuch> {
        let others = (0..off.center.len()).filter(|at| !right.contains(at));
        let order: Vec<usize> = right.iter().copied().chain(others).collect();
        let lattice = TriangularLattice::generated_by(&in_order(&self.generators, &order));
        let half = |&at: &usize| if right.contains(&at) { off.half[at].clone() } else { self.half(at) };
        let halves: Vec<Fraction> = order.iter().map(half).collect();
        let center: Vec<Fraction> = order.iter().map(|&at| off.center[at].clone()).collect();
        let points = lattice.points_in(&center, &halves, self.steps).ok_or(TooMuch)?;
        // A lattice of its own is worth some comparisons.
        self.spend(points.len() + 50)?;
        let off_by = |point: Vec<Fraction>| -> Vec<Fraction> {
            let mut off_by = vec![Fraction::zero(); order.len()];
            for (place, &at) in order.iter().enumerate() {
                off_by[at] = &center[place] - &point[place];
            }
            off_by
        };
        let rank = |off_by: &Vec<Fraction>| {
            let size = |at: usize| off_by[at].abs();
            let others = (0..off_by.len()).filter(|at| !right.contains(at));
            let mut sizes: Vec<Fraction> = others.map(size).collect();
            sizes.sort_by_key(|size| Reverse(size.clone()));
            (sizes, (0..off_by.len()).map(size).collect::<Vec<_>>())
        };
        Ok(points.into_iter().map(off_by).min_by_key(rank))
    }
}

/// The boxes that share a point.
#[derive(Debug)]
pub(super) struct Shared {
    /// Whether each box does.
    pub(super) agrees: Vec<bool>,
    boxes: Vec<TurnBox>,
    rank: Rank,
}

impl Shared {
    /// The boxes that share a point and rank highest; there is at least one box.
    pub(super) fn most(torus: &mut Torus, boxes: Vec<TurnBox>) -> Result<Self, TooMuch> {
        let nothing = Rank { count: 0, off: Reverse(Fraction::zero()), agrees: vec![false; boxes.len()] };
        let mut search = Search { torus, best: nothing };
        for seed in &boxes {
            let copies = copies(search.torus, &boxes, seed)?;
            let held: Vec<Held> =
                copies.iter().map(|(number, copy)| Held { number: *number, copy, off: Fraction::zero() }).collect();
            search.extend(0, seed, &held)?;
            // Every other seed would only find the same ones again.
            if search.best.count == boxes.len() {
                break;
            }
        }
        let rank = search.best;
        Ok(Self { agrees: rank.agrees.clone(), boxes, rank })
    }

    /// The more agree the higher; of as many, those that are less off from one another.
    pub(super) fn rank(&self) -> &Rank {
        &self.rank
    }

    /// The first that agrees.
    pub(super) fn first(&self) -> usize {
        self.agrees.iter().position(|&agrees| agrees).unwrap_or(0)
    }

    /// The boxes that agree, but for one.
    pub(super) fn others(&self, but: usize) -> impl Iterator<Item = &TurnBox> {
        let agrees = move |&(at, _): &(usize, &TurnBox)| self.agrees[at] && at != but;
        self.boxes.iter().enumerate().filter(agrees).map(|(_, it)| it)
    }

    /// How far a box is from what the others that agree have in common, each component as far as they
    /// tell: the narrowest of them, less what copies of the next leave out.
    pub(super) fn beside(&self, torus: &mut Torus, index: usize) -> Result<TurnBox, TooMuch> {
        let own = &self.boxes[index];
        let mut others: Vec<&TurnBox> = self.others(index).collect();
        let wide = |it: &TurnBox| it.half.iter().zip(&torus.alone).map(|(half, alone)| half / alone).max();
        others.sort_by_key(|it| wide(it));
        let Some((narrowest, rest)) = others.split_first() else {
            let nowhere = own.center.iter().map(|_| Fraction::zero()).collect();
            return Ok(TurnBox { center: nowhere, half: own.half.clone() });
        };
        let mut common = (*narrowest).clone();
        for other in rest {
            let boxes = copies_of(torus, other, &common)?;
            common = hull(&common, &boxes);
        }
        let half: Vec<Fraction> = sum(&own.half, &common.half);
        let half = half.into_iter().enumerate().map(|(at, half)| half.min(torus.half(at))).collect();
        Ok(TurnBox { center: own.center.iter().zip(&common.center).map(|(own, other)| own - other).collect(), half })
    }
}

/// The smallest box round what copies leave of a box.
fn hull(common: &TurnBox, copies: &[TurnBox]) -> TurnBox {
    let two = num_bigint::BigInt::from(2);
    let side = |at: usize| {
        let low = copies.iter().map(|copy| copy.low(at)).min().unwrap_or_else(|| common.low(at));
        let high = copies.iter().map(|copy| copy.high(at)).max().unwrap_or_else(|| common.high(at));
        let (low, high) = (low.max(common.low(at)), high.min(common.high(at)));
        ((&low + &high) / &two, (high - low) / &two)
    };
    let (center, half) = (0..common.center.len()).map(side).unzip();
    TurnBox { center, half }
}

fn copies_of(torus: &mut Torus, other: &TurnBox, seed: &TurnBox) -> Result<Vec<TurnBox>, TooMuch> {
    let apart = seed.center.iter().zip(&other.center).map(|(seed, other)| seed - other).collect();
    let between = TurnBox { center: apart, half: sum(&seed.half, &other.half) };
    Ok(torus.seatings_in(&between)?.iter().map(|by| other.moved(by)).collect())
}

/// Every copy of every box that meets the seed, by the number of its box.
fn copies(torus: &mut Torus, boxes: &[TurnBox], seed: &TurnBox) -> Result<Vec<(usize, TurnBox)>, TooMuch> {
    let mut all = Vec::new();
    for (number, other) in boxes.iter().enumerate() {
        all.extend(copies_of(torus, other, seed)?.into_iter().map(|copy| (number, copy)));
    }
    Ok(all)
}

/// A copy of a box that holds the components of a point so far.
#[derive(Debug, Clone)]
struct Held<'a> {
    /// The number of the box.
    number: usize,
    copy: &'a TurnBox,
    /// How far the components so far are off from its middle, in parts of what each planet can be turned alone.
    off: Fraction,
}

/// The search for the point of a seed that ranks highest, component by component.
struct Search<'a> {
    torus: &'a mut Torus,
    best: Rank,
}

impl Search<'_> {
    fn extend(&mut self, at: usize, seed: &TurnBox, held: &[Held<'_>]) -> Result<(), TooMuch> {
        // No further component makes it better.
        let rank = self.rank(held);
        if rank <= self.best {
            return Ok(());
        }
        if at == seed.center.len() {
            self.best = rank;
            return Ok(());
        }
        for value in self.values(at, seed, held) {
            self.torus.spend(held.len())?;
            let alone = &self.torus.alone[at];
            let tells = |copy: &TurnBox| self.torus.tells(at, copy);
            let holding = held.iter().filter(|it| it.copy.holds(at, &value)).map(|it| {
                let off = if tells(it.copy) { (&value - &it.copy.center[at]).abs() / alone } else { Fraction::zero() };
                Held { off: &it.off + off, ..it.clone() }
            });
            self.extend(at + 1, seed, &holding.collect::<Vec<_>>())?;
        }
        Ok(())
    }

    /// The middles and sides of the boxes that tell something, and a side of the seed: those near the middle of
    /// the seed first.
    fn values(&self, at: usize, seed: &TurnBox, held: &[Held<'_>]) -> Vec<Fraction> {
        let telling = held.iter().filter(|it| self.torus.tells(at, it.copy));
        let each = telling.flat_map(|it| [it.copy.center[at].clone(), it.copy.low(at), it.copy.high(at)]);
        let mut values: Vec<Fraction> = each.filter(|value| seed.holds(at, value)).chain([seed.low(at)]).collect();
        values.sort_by_cached_key(|value| ((value - &seed.center[at]).abs(), value.clone()));
        values.dedup();
        values
    }

    /// The rank of a point whose components so far are held: of each box the copy counts that is least off.
    fn rank(&self, held: &[Held<'_>]) -> Rank {
        let mut least: Vec<Option<&Fraction>> = vec![None; self.best.agrees.len()];
        for it in held {
            let known = &mut least[it.number];
            *known = Some(known.map_or(&it.off, |off| off.min(&it.off)));
        }
        Rank {
            count: least.iter().flatten().count(),
            off: Reverse(least.iter().flatten().copied().sum()),
            agrees: least.iter().map(Option::is_some).collect(),
        }
    }
}

fn sum(one: &[Fraction], other: &[Fraction]) -> Vec<Fraction> {
    one.iter().zip(other).map(|(one, other)| one + other).collect()
}

fn in_order(rows: &[Vec<Fraction>], order: &[usize]) -> Vec<Vec<Fraction>> {
    rows.iter().map(|row| order.iter().map(|&at| row[at].clone()).collect()).collect()
}
