//! Which pins agree with one another: the most boxes of readings that share a point.
//!
//! Seen from one box, every other is there in so many copies, and where most overlap, the lowest corner has each
//! component from a lower side. Of as many the boxes are taken whose middles are least off from the point, added up in
//! parts of what each planet can be turned alone: that is least where every component is a middle or a side. Of as good
//! ones those that hold the earlier pin. Worked out here.

use std::cmp::Reverse;

use num_bigint::BigInt;
use num_traits::{Signed, Zero};

use super::torus::{TooMuch, Torus, TurnBox, sum};
use crate::exact::Fraction;

/// The boxes that share a point.
#[derive(Debug)]
pub(super) struct SharedPoint {
    /// Whether each box does.
    pub(super) agrees: Vec<bool>,
    boxes: Vec<TurnBox>,
    rank: Rank,
}

impl SharedPoint {
    /// The boxes that share a point and rank highest; there is at least one box.
    pub(super) fn most(torus: &mut Torus, boxes: Vec<TurnBox>) -> Result<Self, TooMuch> {
        let nothing = Rank { count: 0, off: Reverse(Fraction::zero()), agrees: vec![false; boxes.len()] };
        let mut search = PointSearch { torus, best: nothing };
        for (number, seed) in boxes.iter().enumerate() {
            // Whatever an earlier box shares in was found from there, and what is left may be too few.
            if boxes.len() - number < search.best.count {
                break;
            }
            let copies = copies(search.torus, &boxes, number)?;
            let held: Vec<Held> =
                copies.iter().map(|(number, copy)| Held { number: *number, copy, off: Fraction::zero() }).collect();
            search.extend(0, seed, &held)?;
        }
        let rank = search.best;
        Ok(Self { agrees: rank.agrees.clone(), boxes, rank })
    }

    /// The more agree the higher; of as many, those that are less off from one another.
    pub(super) fn rank(&self) -> &Rank {
        &self.rank
    }

    /// Whether every box shares the point.
    pub(super) fn all_agree(&self) -> bool {
        self.agrees.iter().all(|&agrees| agrees)
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
        let Some((narrowest, wider)) = others.split_first() else {
            let nowhere = own.center.iter().map(|_| Fraction::zero()).collect();
            return Ok(TurnBox { center: nowhere, half: own.half.clone() });
        };
        let mut common = (*narrowest).clone();
        for other in wider {
            let boxes = copies_of(torus, other, &common)?;
            common = hull(&common, &boxes);
        }
        let half: Vec<Fraction> = sum(&own.half, &common.half);
        let half = half.into_iter().enumerate().map(|(at, half)| half.min(torus.half(at))).collect();
        let center = own.center.iter().zip(&common.center).map(|(own, other)| own - other).collect();
        // Of all that differ by right seatings the one that is nearest.
        let apart = TurnBox { center, half };
        let center = torus.nearest(&apart, &[])?.unwrap_or(apart.center);
        Ok(TurnBox { center, half: apart.half })
    }
}

/// The smallest box round what copies leave of a box.
fn hull(common: &TurnBox, copies: &[TurnBox]) -> TurnBox {
    let two = BigInt::from(2);
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

/// Every copy that meets the seed of it and of the boxes after it, by the number of its box.
fn copies(torus: &mut Torus, boxes: &[TurnBox], seed: usize) -> Result<Vec<(usize, TurnBox)>, TooMuch> {
    let mut all = Vec::new();
    for (number, other) in boxes.iter().enumerate().skip(seed) {
        all.extend(copies_of(torus, other, &boxes[seed])?.into_iter().map(|copy| (number, copy)));
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
struct PointSearch<'a> {
    torus: &'a mut Torus,
    best: Rank,
}

impl PointSearch<'_> {
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

/// How good an agreement is: by the first field, then the second, then the third.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Rank {
    count: usize,
    /// How far those that agree are off from the turns in common, added up: marks that read
    /// alike come before marks whose readings only just touch.
    off: Reverse<Fraction>,
    /// Of equal ones those with the earlier pin.
    agrees: Vec<bool>,
}
