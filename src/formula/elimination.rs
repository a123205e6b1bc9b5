//! How does one speed follow from another in rows of polynomials?
//!
//! Every other column is eliminated, the pivot with the fewest neighbours first (after Markowitz, Management
//! Science 3, 1957, p. 255); a row is kept free of common factors. Either counts are left open, then any
//! polynomial but 0 is a pivot; or only the given counts matter, then a pivot must not vanish there, and what does
//! vanish there is taken for 0: these are the conditions under which the result holds.

use num_bigint::BigInt;
use num_traits::Zero;

use super::rows::Row;
use crate::exact::{Polynomial, RationalFunction};

/// Products of two terms that one product of polynomials may take: beyond, the formula fills pages.
const MOST_PRODUCTS: usize = 40_000;

/// Where a result has to hold.
#[derive(Clone, Copy)]
pub(super) enum Holds<'a> {
    /// For counts that are chosen at will.
    AtLarge,
    /// For these counts, one for each gear.
    At(&'a [BigInt]),
}

/// What follows for one speed when another is 1.
#[derive(Debug)]
pub(super) enum Follows {
    /// It has a value.
    Value(RationalFunction),
    /// It has many.
    Nothing,
    /// The other cannot be 1.
    Contradiction,
}

/// A result, and what has to be 0 for it.
#[derive(Debug)]
pub(super) struct Outcome {
    pub(super) follows: Follows,
    pub(super) conditions: Vec<Polynomial>,
}

/// The speed in the column `target` when that in the column `driver` is 1; column 0 stands. `None` where the
/// polynomials become too long.
pub(super) fn follow(rows: Vec<Row>, driver: usize, target: usize, holds: Holds<'_>) -> Option<Outcome> {
    if driver == 0 {
        return Some(Outcome { follows: Follows::Contradiction, conditions: Vec::new() });
    }
    let mut work = Elimination { rows, holds, conditions: Vec::new() };
    while let Some((row, column)) = work.next_pivot(|column| column != driver && column != target) {
        work.eliminate(row, column)?;
    }
    let mut relation = None;
    if target != 0
        && target != driver
        && let Some((row, column)) = work.next_pivot(|column| column == target)
    {
        relation = Some(work.eliminate(row, column)?);
    }
    if work.next_pivot(|column| column == driver).is_some() {
        return Some(work.result(Follows::Contradiction));
    }
    work.rows.extend(relation.iter().map(|row| {
        row.iter().filter(|(column, _)| ![driver, target].contains(column)).map(|(&at, it)| (at, it.clone())).collect()
    }));
    let follows = match relation {
        _ if target == 0 => Follows::Value(RationalFunction::constant(0)),
        _ if target == driver => Follows::Value(RationalFunction::constant(1)),
        None => Follows::Nothing,
        Some(mut row) => {
            let denominator = row.remove(&target).expect("a pivot is in its row");
            Follows::Value(RationalFunction::new(&-row.remove(&driver).unwrap_or_default(), &denominator))
        }
    };
    Some(work.result(follows))
}

struct Elimination<'a> {
    rows: Vec<Row>,
    holds: Holds<'a>,
    conditions: Vec<Polynomial>,
}

impl Elimination<'_> {
    /// The row and the column of the pivot that spreads least, among some columns.
    fn next_pivot(&self, among: impl Fn(usize) -> bool) -> Option<(usize, usize)> {
        let mut best = None;
        for (place, row) in self.rows.iter().enumerate() {
            for (&column, factor) in row.iter().filter(|(column, factor)| among(**column) && self.is_pivot(factor)) {
                let in_column = self.rows.iter().filter(|row| row.contains_key(&column)).count();
                let cost = ((row.len() - 1) * (in_column - 1), factor.terms().len());
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, (place, column)));
                }
            }
        }
        best.map(|(_, place)| place)
    }

    fn is_pivot(&self, factor: &Polynomial) -> bool {
        match self.holds {
            Holds::AtLarge => !factor.is_zero(),
            Holds::At(counts) => !factor.value(counts).is_zero(),
        }
    }

    /// Takes a row out and its column out of all others.
    fn eliminate(&mut self, row: usize, column: usize) -> Option<Row> {
        let pivot = self.rows.swap_remove(row);
        for row in std::mem::take(&mut self.rows) {
            let row = if row.contains_key(&column) { combine(&row, &pivot, column)? } else { row };
            self.keep(row);
        }
        Some(pivot)
    }

    /// Keeps a row without its common factor.
    fn keep(&mut self, mut row: Row) {
        if row.is_empty() {
            return;
        }
        let common = Polynomial::common_divisor_of(row.values());
        if !self.is_pivot(&common) {
            self.conditions.push(common);
            return;
        }
        if !common.is_one() {
            let divided = |factor: &Polynomial| factor.divided_by(&common).expect("a common divisor divides all");
            for factor in row.values_mut() {
                *factor = divided(factor);
            }
        }
        self.rows.push(row);
    }

    /// The result; all that is left in the rows has to be 0 for it where it holds at given counts.
    fn result(self, follows: Follows) -> Outcome {
        let Holds::At(counts) = self.holds else { return Outcome { follows, conditions: Vec::new() } };
        let left = self.rows.iter().flat_map(|row| row.values().cloned());
        let mut conditions: Vec<Polynomial> = Vec::new();
        for condition in self.conditions.iter().cloned().chain(left) {
            // A product is 0 where one of its factors is.
            let zero = condition.factors().into_iter().find(|factor| factor.value(counts).is_zero());
            conditions.extend(zero.filter(|zero| !conditions.contains(zero)));
        }
        Outcome { follows, conditions }
    }
}

/// A row with a multiple of the pivot's taken from a multiple of it, so that the column vanishes.
fn combine(row: &Row, pivot: &Row, column: usize) -> Option<Row> {
    let (own, others) = (&row[&column], &pivot[&column]);
    let common = own.common_divisor(others);
    let reduced = |factor: &Polynomial| factor.divided_by(&common).expect("a common divisor divides both");
    let (keep, take) = (reduced(others), reduced(own));
    let mut sum = Row::new();
    for (&at, factor) in row.iter().filter(|(at, _)| **at != column) {
        sum.insert(at, product(&keep, factor)?);
    }
    for (&at, factor) in pivot.iter().filter(|(at, _)| **at != column) {
        let entry = sum.entry(at).or_default();
        *entry = &*entry - &product(&take, factor)?;
    }
    sum.retain(|_, factor| !factor.is_zero());
    Some(sum)
}

fn product(one: &Polynomial, two: &Polynomial) -> Option<Polynomial> {
    (one.terms().len() * two.terms().len() <= MOST_PRODUCTS).then(|| one * two)
}
