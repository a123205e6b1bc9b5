//! How does one speed follow from another in rows of polynomials?
//!
//! Every other column is eliminated, the pivot with the fewest neighbours first (after Markowitz, Management
//! Science 3, 1957, p. 255); a row is kept free of common factors. Either counts are left open, then any
//! polynomial but 0 is a pivot; or only the given counts matter, then a pivot must not vanish there, and what does
//! vanish there is taken for 0: these are the conditions under which the result holds.

use num_bigint::BigInt;
use num_traits::{Signed, Zero};

use super::rows::PolynomialRow;
use crate::exact::{Polynomial, RationalFunction};

/// Products of two terms that one product of polynomials may take: beyond, the formula fills pages.
pub(super) const MOST_PRODUCTS: usize = 40_000;

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

/// A result, what has to be 0 for it, and what must not be.
#[derive(Debug)]
pub(super) struct Derivation {
    pub(super) follows: Follows,
    pub(super) conditions: Vec<Polynomial>,
    /// Factors of all that was divided by, but those that are 0 at no positive counts: where the conditions are 0 and
    /// none of these is, every step is one of the numbers as well.
    pub(super) nonzero: Vec<Polynomial>,
}

/// The speed in the column `target` when that in the column `driver` is 1; column 0 stands. `None` where the
/// polynomials become too long.
pub(super) fn follow(rows: Vec<PolynomialRow>, driver: usize, target: usize, holds: Holds<'_>) -> Option<Derivation> {
    if driver == 0 {
        return Some(Derivation { follows: Follows::Contradiction, conditions: Vec::new(), nonzero: Vec::new() });
    }
    let mut work = PolynomialElimination { rows, holds, conditions: Vec::new(), divided_by: Vec::new() };
    while let Some((row, column)) = work.next_pivot(|column| column != driver && column != target) {
        work.eliminate(row, column)?;
    }
    // The remaining rows are in target and driver alone: one says a target + b driver = 0, others c driver = 0.
    let mut relation = None;
    if target != 0
        && target != driver
        && let Some((row, column)) = work.next_pivot(|column| column == target)
    {
        relation = Some(work.eliminate(row, column)?);
    }
    // c driver = 0 with c not 0.
    if work.next_pivot(|column| column == driver).is_some() {
        return Some(work.result(Follows::Contradiction));
    }
    // Other columns of the relation have no pivot, so that their entries vanish at the counts: conditions, too.
    work.rows.extend(relation.iter().map(|row| without(row, [driver, target])));
    let follows = match relation {
        _ if target == 0 => Follows::Value(RationalFunction::constant(0)),
        _ if target == driver => Follows::Value(RationalFunction::constant(1)),
        None => Follows::Nothing,
        Some(mut row) => {
            // a target + b driver = 0 with driver = 1: target = -b/a.
            let denominator = row.remove(&target).expect("a pivot is in its row");
            Follows::Value(RationalFunction::new(&-row.remove(&driver).unwrap_or_default(), &denominator))
        }
    };
    Some(work.result(follows))
}

fn without(row: &PolynomialRow, columns: [usize; 2]) -> PolynomialRow {
    row.iter().filter(|(column, _)| !columns.contains(column)).map(|(&at, factor)| (at, factor.clone())).collect()
}

struct PolynomialElimination<'a> {
    rows: Vec<PolynomialRow>,
    holds: Holds<'a>,
    conditions: Vec<Polynomial>,
    /// Every pivot, and every common factor that was taken out of a row.
    divided_by: Vec<Polynomial>,
}

impl PolynomialElimination<'_> {
    /// The row and the column of the pivot that spreads least, among some columns.
    fn next_pivot(&self, among: impl Fn(usize) -> bool) -> Option<(usize, usize)> {
        let mut best = None;
        for (place, row) in self.rows.iter().enumerate() {
            for (&column, factor) in row.iter().filter(|(column, factor)| among(**column) && self.is_pivot(factor)) {
                let in_column = self.rows.iter().filter(|row| row.contains_key(&column)).count();
                // Markowitz: as many new entries as there can be, then the length of the pivot itself.
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
    fn eliminate(&mut self, row: usize, column: usize) -> Option<PolynomialRow> {
        let pivot = self.rows.swap_remove(row);
        self.divided_by.push(pivot[&column].clone());
        for row in std::mem::take(&mut self.rows) {
            let row = if row.contains_key(&column) { combine(&row, &pivot, column)? } else { row };
            self.keep(row);
        }
        Some(pivot)
    }

    /// Keeps a row without its common factor.
    fn keep(&mut self, mut row: PolynomialRow) {
        if row.is_empty() {
            return;
        }
        let common = Polynomial::common_divisor_of(row.values());
        // common (row') = 0: where the common factor vanishes the row says nothing, which is a condition of the result.
        if !self.is_pivot(&common) {
            self.conditions.push(common);
            return;
        }
        if !common.is_one() {
            for factor in row.values_mut() {
                *factor = factor.divided_by(&common).expect("a common divisor divides all");
            }
            self.divided_by.push(common);
        }
        self.rows.push(row);
    }

    /// The result; all that is left in the rows has to be 0 for it where it holds at given counts.
    fn result(self, follows: Follows) -> Derivation {
        let nonzero = self.nonzero();
        let Holds::At(counts) = self.holds else { return Derivation { follows, conditions: Vec::new(), nonzero } };
        let remaining = self.rows.iter().flat_map(|row| row.values().cloned());
        let mut conditions: Vec<Polynomial> = Vec::new();
        for condition in self.conditions.iter().cloned().chain(remaining) {
            // A product is 0 where one of its factors is.
            let zero = condition.factors().into_iter().find(|factor| factor.value(counts).is_zero());
            conditions.extend(zero.filter(|zero| !conditions.contains(zero)));
        }
        Derivation { follows, conditions, nonzero }
    }

    /// The factors of all that was divided by that positive counts can make 0: those whose terms have both signs.
    fn nonzero(&self) -> Vec<Polynomial> {
        let mut found: Vec<Polynomial> = Vec::new();
        for factor in self.divided_by.iter().flat_map(Polynomial::factors) {
            let is_positive: Vec<bool> = factor.terms().map(|(_, coefficient)| coefficient.is_positive()).collect();
            let has_both_signs = is_positive.contains(&true) && is_positive.contains(&false);
            if has_both_signs && !found.contains(&factor) {
                found.push(factor);
            }
        }
        found
    }
}

/// A row with a multiple of the pivot's taken from a multiple of it, so that the column vanishes.
fn combine(row: &PolynomialRow, pivot: &PolynomialRow, column: usize) -> Option<PolynomialRow> {
    let (own, others) = (&row[&column], &pivot[&column]);
    // (q/g) row - (r/g) pivot, r and q being the entries of row and pivot in the column and g = gcd(r, q).
    let common = own.common_divisor(others);
    let reduced = |factor: &Polynomial| factor.divided_by(&common).expect("a common divisor divides both");
    let (keep, take) = (reduced(others), reduced(own));
    let mut sum = PolynomialRow::new();
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
