//! How little must strips widen until they have a point in common?
//!
//! Strip c holds the points y with `high_c - (b_c + v w_c) <= g_c.y <= low_c + b_c + v w_c`, each w positive; asked
//! is the least v. That is a linear program in few unknowns, (y, v), and its dual is
//! `max sum λ_j (gain_j)` with `sum λ_j s_j g_j = 0`, `sum λ_j w_j = 1`, λ >= 0, j over both sides of every strip: s = 1
//! and gain `high - b` for the lower side, s = -1 and gain `-low - b` for the upper one.
//! Method: the exchange of Stiefel, which is the simplex method on the dual. As many sides are held as there are
//! unknowns; they meet in one (y, v). A side that (y, v) violates is taken in for one of them, v grows, and where none
//! is violated v is proved least: (y, v) is a point, λ the proof that there is none for a smaller v.
//! Source: Stiefel (1960), "Note on Jordan elimination, linear programming and Tchebycheff approximation", Numer.
//! Math. 2, 1-17; Bland (1977), "New finite pivoting rules for the simplex method", Math. Oper. Res. 2, 103-107, for the
//! order that never runs in a circle.

use num_traits::{One, Zero};

use crate::exact::rational::Fraction;

/// A strip: its direction g, and what it gives way, `base + v rate` with a positive rate.
#[derive(Clone, Debug)]
pub(super) struct Strip {
    pub(super) direction: Vec<Fraction>,
    pub(super) base: Fraction,
    pub(super) rate: Fraction,
}

/// What lies in a strip before it gives way: everything from `low` to `high`.
#[derive(Clone, Debug)]
pub(super) struct Span {
    pub(super) low: Fraction,
    pub(super) high: Fraction,
}

/// A point y in every strip, and the v that it takes.
#[derive(Clone, Debug)]
pub(super) struct CommonPoint {
    pub(super) y: Vec<Fraction>,
    pub(super) v: Fraction,
}

impl Strip {
    /// `g.y`.
    pub(super) fn level(&self, y: &[Fraction]) -> Fraction {
        self.direction.iter().zip(y).map(|(entry, of_y)| entry * of_y).sum()
    }

    /// `b + v w`.
    pub(super) fn reach(&self, v: &Fraction) -> Fraction {
        &self.base + v * &self.rate
    }
}

/// One side of a strip, in the order in which sides are tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct StripSide {
    strip: usize,
    /// Whether it bounds `g.y` from below: s = 1.
    is_lower: bool,
}

/// The strips with the sides that are held. What is held is a basis of the dual whatever the spans, so each question
/// begins where the last one ended.
pub(super) struct Exchange<'a> {
    strips: &'a [Strip],
    /// A side for each unknown, those of y and then v.
    held: Vec<StripSide>,
    /// The inverse of the matrix that has the columns `(s g, w)` of the sides that are held; its last column is λ.
    inverse: Vec<Vec<Fraction>>,
}

impl<'a> Exchange<'a> {
    /// The directions of the strips, of which there is one at least, span the space of y.
    pub(super) fn new(strips: &'a [Strip]) -> Self {
        let unknowns = strips[0].direction.len() + 1;
        let identity = (0..unknowns).map(|row| (0..unknowns).map(|at| unit(row, at)).collect());
        let nowhere = StripSide { strip: strips.len(), is_lower: false };
        let mut exchange = Self { strips, held: vec![nowhere; unknowns], inverse: identity.collect() };
        // As long as no side is held for v its unit column stands in: λ = (0, ..., 0, 1), and no exchange touches it.
        for strip in 0..strips.len() {
            let side = StripSide { strip, is_lower: true };
            let column = exchange.in_terms_of_held(side);
            let open = |&at: &usize| exchange.held[at] == nowhere && !column[at].is_zero();
            if let Some(at) = (0..unknowns - 1).find(open) {
                exchange.replace(at, side, &column);
            }
        }
        // Both sides of one strip, half each, and the others with λ = 0; without y one side alone.
        let first = exchange.held[0];
        let opposite = StripSide { strip: if first == nowhere { 0 } else { first.strip }, is_lower: false };
        exchange.replace(unknowns - 1, opposite, &exchange.in_terms_of_held(opposite));
        exchange
    }

    /// The least v with a point in every strip, if it is below `below`, and such a point.
    pub(super) fn least(&mut self, spans: &[Span], below: &Fraction) -> Option<CommonPoint> {
        loop {
            // v = sum λ_j gain_j: any (y', v') in all strips has v' = sum λ_j (s_j g_j.y' + v' w_j) >= v.
            let meeting = self.meeting(spans);
            if meeting.v >= *below {
                return None;
            }
            let Some(side) = self.first_violated(&meeting, spans) else {
                debug_assert!(self.proves(&meeting.v, spans), "the dual has the same value");
                return Some(meeting);
            };
            self.take_in(side);
        }
    }

    /// Where all sides that are held meet: `s_j g_j.y + v w_j = gain_j`.
    fn meeting(&self, spans: &[Span]) -> CommonPoint {
        let gains: Vec<Fraction> = self.held.iter().map(|&side| self.gain(side, spans)).collect();
        let unknown = |at: usize| gains.iter().zip(&self.inverse).map(|(gain, row)| gain * &row[at]).sum();
        let last = gains.len() - 1;
        CommonPoint { y: (0..last).map(unknown).collect(), v: unknown(last) }
    }

    fn gain(&self, side: StripSide, spans: &[Span]) -> Fraction {
        let (span, base) = (&spans[side.strip], &self.strips[side.strip].base);
        if side.is_lower { &span.high - base } else { -(&span.low + base) }
    }

    /// The column `(s g, w)` of a side.
    fn column(&self, side: StripSide) -> impl Iterator<Item = Fraction> {
        let strip = &self.strips[side.strip];
        let signed = move |entry: &Fraction| if side.is_lower { entry.clone() } else { -entry };
        strip.direction.iter().map(signed).chain([strip.rate.clone()])
    }

    /// The first side beyond which the point lies.
    fn first_violated(&self, CommonPoint { y, v }: &CommonPoint, spans: &[Span]) -> Option<StripSide> {
        self.strips.iter().zip(spans).enumerate().find_map(|(at, (strip, span))| {
            let (level, reach) = (strip.level(y), strip.reach(v));
            let is_above = level > &span.low + &reach;
            (is_above || level < &span.high - &reach).then_some(StripSide { strip: at, is_lower: !is_above })
        })
    }

    /// Holds a side instead of the one that keeps every λ from falling below zero; of several the first, as Bland says.
    fn take_in(&mut self, side: StripSide) {
        let column = self.in_terms_of_held(side);
        let ratio = |at: usize| (self.multiplier(at) / &column[at], self.held[at]);
        let candidates = (0..column.len()).filter(|&at| column[at] > Fraction::zero());
        let leaving = candidates.min_by_key(|&at| ratio(at));
        // sum λ_j w_j = 1 with every w_j > 0 bounds the multipliers, so one of them falls to zero.
        self.replace(leaving.expect("the multipliers are bounded"), side, &column);
    }

    /// λ of a side that is held.
    fn multiplier(&self, at: usize) -> &Fraction {
        let row = &self.inverse[at];
        &row[row.len() - 1]
    }

    fn in_terms_of_held(&self, side: StripSide) -> Vec<Fraction> {
        let column: Vec<Fraction> = self.column(side).collect();
        let dot = |row: &Vec<Fraction>| row.iter().zip(&column).map(|(entry, other)| entry * other).sum();
        self.inverse.iter().map(dot).collect()
    }

    fn replace(&mut self, at: usize, side: StripSide, column: &[Fraction]) {
        self.held[at] = side;
        let row: Vec<Fraction> = self.inverse[at].iter().map(|entry| entry / &column[at]).collect();
        for (other, factor) in column.iter().enumerate().filter(|(_, factor)| !factor.is_zero()) {
            self.inverse[other].iter_mut().zip(&row).for_each(|(entry, change)| *entry -= change * factor);
        }
        self.inverse[at] = row;
    }

    /// Whether the multipliers prove that no point has a smaller v: `λ >= 0`, `sum λ_j (s_j g_j, w_j) = (0, 1)` and
    /// `sum λ_j gain_j = v`.
    fn proves(&self, v: &Fraction, spans: &[Span]) -> bool {
        let mut sums = vec![Fraction::zero(); self.held.len()];
        let mut value = Fraction::zero();
        for (at, &side) in self.held.iter().enumerate() {
            let multiplier = self.multiplier(at);
            sums.iter_mut().zip(self.column(side)).for_each(|(sum, entry)| *sum += entry * multiplier);
            value += self.gain(side, spans) * multiplier;
        }
        let last = sums.len() - 1;
        sums.iter().enumerate().all(|(at, sum)| *sum == unit(last, at))
            && (0..sums.len()).all(|at| *self.multiplier(at) >= Fraction::zero())
            && value == *v
    }
}

/// Entry `at` of the unit vector `number`.
fn unit(number: usize, at: usize) -> Fraction {
    if at == number { Fraction::one() } else { Fraction::zero() }
}
