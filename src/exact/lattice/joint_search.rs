//! Which points of several lattice translates lie in the smallest zonotope, looked for without trying all?
//!
//! Of each target one point `K (o_k + n_k)` is chosen. Of the points chosen so far only the least and the greatest
//! `c.(o + n)` on each circuit count; how little v does for them is what `exchange` says, and no further point makes it
//! less. Where that is no better than the best choice known, none of its continuations is looked at. Of the targets
//! still open the one with the fewest points left goes first, and of its points the one that asks for least.
//! Points are few where v is small, so the search is made in rounds of growing v, until one finds something.
//! Source: Land and Doig (1960), "An automatic method of solving discrete programming problems", Econometrica 28,
//! 497-520, for branch and bound; Haralick and Elliott (1980), "Increasing tree search efficiency for constraint
//! satisfaction problems", Artif. Intell. 14, 263-313, for the order; the rounds: worked out here.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::One;

use super::class_search::{CLASS_LIMIT, TooManyClasses};
use super::exchange::{CommonPoint, Exchange, Span, Strip};
use super::hermite::leading;
use super::integer_matrix::dot;
use super::joint_rows::{GivingWay, JointRows, RowDependency};
use super::points_in_ranges::{FormRange, points_in_ranges};
use crate::exact::rational::Fraction;

/// So much of the work that may be done is one more exchange, beside one more point that is looked at.
const EXCHANGE: u32 = 20;

/// In the first round v has this part of the room that there is, as a power of two.
const FIRST_ROUND: u32 = 14;

/// A question: the rows, the targets and what gives way.
pub(super) struct JointSearch<'a> {
    rows: &'a JointRows,
    /// `K o_k` for each target.
    shifts: Vec<Vec<Fraction>>,
    /// A strip for each circuit of A, its direction in the steps by which y moves all points.
    strips: Vec<Strip>,
    giving_way: &'a GivingWay,
    /// A v that is as good as any smaller one.
    enough: Fraction,
    /// Every `c.(o + n)` is an integer over this one.
    denominator: BigInt,
}

/// A point of a target: `c.(o + n)` for each circuit, in parts of the common denominator.
type Levels = Vec<BigInt>;

impl<'a> JointSearch<'a> {
    pub(super) fn new(
        rows: &'a JointRows,
        targets: &[Vec<Fraction>],
        giving_way: &'a GivingWay,
        enough: Fraction,
    ) -> Self {
        let shift = |target: &Vec<Fraction>| rows.kernel.iter().map(|vector| dot(vector, target)).collect();
        let shifts: Vec<Vec<Fraction>> = targets.iter().map(shift).collect();
        let denominator = shifts.iter().flatten().fold(BigInt::one(), |common, shift| common.lcm(shift.denom()));
        let strips = rows.circuits.iter().map(|circuit| strip(circuit, &rows.steps, giving_way)).collect();
        Self { rows, shifts, strips, giving_way, enough, denominator }
    }

    /// The least v below a bound, in rounds that begin far below it; what may be done is for all rounds together.
    pub(super) fn in_rounds(&self, below: &Fraction) -> Result<Option<Fraction>, TooManyClasses> {
        let mut left = CLASS_LIMIT;
        let room = below - &self.enough;
        // 1, 3/2, 2, 3, 4, ... times the first part of the room.
        let parts = (1..=FIRST_ROUND).rev().flat_map(|power| [(4, power + 2), (6, power + 2)]);
        for (quarters, power) in parts {
            let bound = &self.enough + &room * Fraction::new(quarters.into(), BigInt::from(1) << power);
            if let Some(least) = self.round(&bound, &mut left)? {
                return Ok(Some(least));
            }
        }
        self.round(below, &mut left)
    }

    /// The least v below a bound, in one round.
    pub(super) fn below(&self, bound: &Fraction) -> Result<Option<Fraction>, TooManyClasses> {
        let mut left = CLASS_LIMIT;
        self.round(bound, &mut left)
    }

    /// The least v below a bound, with so much work left to do.
    fn round(&self, bound: &Fraction, left: &mut u32) -> Result<Option<Fraction>, TooManyClasses> {
        if self.enough >= *bound {
            return Ok(None);
        }
        if self.strips.is_empty() || self.shifts.is_empty() {
            return Ok(Some(self.enough.clone()));
        }
        let exchange = Exchange::new(&self.strips);
        let mut choice = Choice { question: self, exchange, best: bound.clone(), left };
        choice.begin()?;
        Ok((choice.best < *bound).then_some(choice.best))
    }

    /// The levels of every point of the first target, those that differ by a step of y once.
    fn first_points(&self, v: &Fraction, left: &mut u32) -> Result<Vec<Levels>, TooManyClasses> {
        let mut steps = vec![None; self.rows.kernel.len()];
        for step in &self.rows.steps {
            if let Some(pivot) = leading(step) {
                steps[pivot] = Some(step[pivot].clone());
            }
        }
        let points = points_in_ranges(&self.shifts[0], &self.untouched_ranges(v), &steps, left)?;
        Ok(points.iter().map(|point| self.levels(point)).collect())
    }

    /// The levels of every point of a target that could lie in one zonotope with a point of the first.
    fn points_beside(
        &self,
        first: &Levels,
        at: usize,
        v: &Fraction,
        left: &mut u32,
    ) -> Result<Vec<Levels>, TooManyClasses> {
        // Either is within b + v w of K C y, so they are at most twice that apart.
        let beside = self.rows.circuits.iter().zip(&self.strips).zip(first).map(|((circuit, strip), level)| {
            let (level, reach) = (self.exact(level), strip.reach(v) * BigInt::from(2));
            FormRange { form: &circuit.factors, low: &level - &reach, high: level + reach }
        });
        let ranges: Vec<FormRange<'_>> = beside.chain(self.untouched_ranges(v)).collect();
        let points = points_in_ranges(&self.shifts[at], &ranges, &vec![None; self.rows.kernel.len()], left)?;
        Ok(points.iter().map(|point| self.levels(point)).collect())
    }

    /// `|c.(o + n)| <= b + v w` for every dependency c of A and C together.
    fn untouched_ranges(&self, v: &Fraction) -> Vec<FormRange<'_>> {
        let range = |dependency: &'a RowDependency| {
            let reach = dependency.weigh(&self.giving_way.base) + v * dependency.weigh(&self.giving_way.rate);
            FormRange { form: &dependency.factors, low: -&reach, high: reach }
        };
        self.rows.untouched.iter().map(range).collect()
    }

    fn levels(&self, point: &[Fraction]) -> Levels {
        let level = |circuit: &RowDependency| (dot(&circuit.factors, point) * &self.denominator).to_integer();
        self.rows.circuits.iter().map(level).collect()
    }

    fn exact(&self, level: &BigInt) -> Fraction {
        Fraction::new(level.clone(), self.denominator.clone())
    }

    /// The spans of the levels as the strips see them.
    fn exact_spans(&self, spans: &[LevelSpan]) -> Vec<Span> {
        spans.iter().map(|span| Span { low: self.exact(&span.low), high: self.exact(&span.high) }).collect()
    }
}

fn strip(circuit: &RowDependency, steps: &[Vec<BigInt>], giving_way: &GivingWay) -> Strip {
    let along = |step: &Vec<BigInt>| {
        Fraction::from_integer(circuit.factors.iter().zip(step).map(|(factor, entry)| factor * entry).sum())
    };
    Strip {
        direction: steps.iter().map(along).collect(),
        base: circuit.weigh(&giving_way.base),
        rate: circuit.weigh(&giving_way.rate),
    }
}

/// The choice of a point for each target.
struct Choice<'a> {
    question: &'a JointSearch<'a>,
    exchange: Exchange<'a>,
    /// The least v of a whole choice so far, and before there is one the bound.
    best: Fraction,
    /// How much more may be done.
    left: &'a mut u32,
}

impl Choice<'_> {
    fn begin(&mut self) -> Result<(), TooManyClasses> {
        let question = self.question;
        for first in question.first_points(&self.best, self.left)? {
            let mut others = Vec::new();
            for at in 1..question.shifts.len() {
                others.push(question.points_beside(&first, at, &self.best, self.left)?);
            }
            let spans: Vec<LevelSpan> = first.iter().map(LevelSpan::at).collect();
            self.extend(&spans, others.iter().map(|points| points.iter().collect()).collect())?;
        }
        Ok(())
    }

    /// Chooses points for the targets that are still open, of those left for each, beside what spans so much.
    fn extend(&mut self, spans: &[LevelSpan], mut open: Vec<Vec<&Levels>>) -> Result<(), TooManyClasses> {
        let question = self.question;
        *self.left = self.left.checked_sub(EXCHANGE).ok_or(TooManyClasses)?;
        let Some(meeting) = self.exchange.least(&question.exact_spans(spans), &self.best) else { return Ok(()) };
        let meeting = CommonPoint { v: meeting.v.max(question.enough.clone()), ..meeting };
        let beside = self.room_beside(spans);
        for points in &mut open {
            points.retain(|point| are_within(point, &beside));
        }
        if meeting.v >= self.best || open.iter().any(Vec::is_empty) {
            return Ok(());
        }
        // Where every target has a point in reach of y, this y and v serve, and no choice of points allows less.
        let reached = self.reached(&meeting);
        let missed = (0..open.len()).filter(|&at| !open[at].iter().any(|point| are_within(point, &reached)));
        let Some(scarcest) = missed.min_by_key(|&at| open[at].len()) else {
            self.best = meeting.v;
            return Ok(());
        };
        let points = open.swap_remove(scarcest);
        let mut points: Vec<(Fraction, &Levels)> =
            points.into_iter().map(|point| (self.need(spans, point), point)).collect();
        points.sort();
        for (need, point) in points {
            // What is known by now may be as good as anything that is still to come.
            if need.max(meeting.v.clone()) >= self.best {
                return Ok(());
            }
            let wider: Vec<LevelSpan> = spans.iter().zip(point).map(|(span, level)| span.with(level)).collect();
            self.extend(&wider, open.clone())?;
        }
        Ok(())
    }

    /// Where one more point leaves `high - low < 2 (base + v rate)` on every circuit, v that of the best choice.
    fn room_beside(&self, spans: &[LevelSpan]) -> Vec<LevelSpan> {
        let room = |(span, strip): (&LevelSpan, &Strip)| {
            let widest = strip.reach(&self.best) * BigInt::from(2) * &self.question.denominator;
            let widest = widest.ceil().to_integer() - 1;
            LevelSpan { low: &span.high - &widest, high: &span.low + widest }
        };
        spans.iter().zip(&self.question.strips).map(room).collect()
    }

    /// What lies in reach of y on each circuit: `|c.(o + n) - g.y| <= base + v rate`.
    fn reached(&self, CommonPoint { y, v }: &CommonPoint) -> Vec<LevelSpan> {
        let denominator = &self.question.denominator;
        let reached = |strip: &Strip| {
            let (level, reach) = (strip.level(y), strip.reach(v));
            let [low, high] = [&level - &reach, level + reach].map(|end| end * denominator);
            LevelSpan { low: low.ceil().to_integer(), high: high.floor().to_integer() }
        };
        self.question.strips.iter().map(reached).collect()
    }

    /// A v that the spans with one more point need at least: `high - low <= 2 (base + v rate)` on every circuit.
    fn need(&self, spans: &[LevelSpan], point: &Levels) -> Fraction {
        let of_strip = |((span, level), strip): ((&LevelSpan, &BigInt), &Strip)| {
            let LevelSpan { low, high } = span.with(level);
            (self.question.exact(&(high - low)) / BigInt::from(2) - &strip.base) / &strip.rate
        };
        spans.iter().zip(point).zip(&self.question.strips).map(of_strip).max().unwrap_or_default()
    }
}

/// The least and the greatest level of some points on one circuit.
struct LevelSpan {
    low: BigInt,
    high: BigInt,
}

impl LevelSpan {
    fn at(level: &BigInt) -> Self {
        Self { low: level.clone(), high: level.clone() }
    }

    fn with(&self, level: &BigInt) -> Self {
        Self { low: (&self.low).min(level).clone(), high: (&self.high).max(level).clone() }
    }
}

fn are_within(levels: &Levels, spans: &[LevelSpan]) -> bool {
    levels.iter().zip(spans).all(|(level, span)| span.low <= *level && *level <= span.high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::IntegerMatrix;
    use crate::exact::fraction;

    /// By the formula alone, for levels in parts of a denominator that is not 1.
    #[test]
    fn what_is_in_reach_of_y_is_what_the_formula_says() {
        let own = IntegerMatrix::new(3, 1, [3, -5, 4]);
        let shared = IntegerMatrix::new(3, 2, [1, 0, -1, 2, 0, 1]);
        let rows = JointRows::new(&own, &shared);
        let way = GivingWay { base: vec![fraction(1, 7); 3], rate: [1, 2, 3].map(|size| fraction(size, 2)).to_vec() };
        let targets = [vec![fraction(1, 3), fraction(1, 2), fraction(0, 1)]];
        let question = JointSearch::new(&rows, &targets, &way, fraction(0, 1));
        assert!(question.denominator > BigInt::one(), "levels are fractions");
        let mut left = CLASS_LIMIT;
        let exchange = Exchange::new(&question.strips);
        let choice = Choice { question: &question, exchange, best: fraction(1, 1), left: &mut left };
        for (one, other) in [(0, 0), (1, 0), (-2, 3), (5, 7)] {
            let mut y = vec![fraction(one, 5), fraction(other, 4)];
            y.truncate(rows.steps.len());
            for v in [fraction(0, 1), fraction(1, 9), fraction(2, 3)] {
                let reached = choice.reached(&CommonPoint { y: y.clone(), v: v.clone() });
                for (span, strip) in reached.iter().zip(&question.strips) {
                    for level in (-400..400).map(BigInt::from) {
                        let off = question.exact(&level) - strip.level(&y);
                        let is_in_reach = off <= strip.reach(&v) && -off <= strip.reach(&v);
                        assert_eq!(span.low <= level && level <= span.high, is_in_reach, "{level} of {y:?} for {v}");
                    }
                }
            }
        }
    }
}
