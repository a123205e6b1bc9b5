//! How are sparse rows of integers brought to echelon form, and solved?
//!
//! Gaussian elimination on rows without common divisor. The next pivot is taken from a
//! row with the fewest entries, in its column with the fewest rows (after Markowitz,
//! Management Science 3, 1957, p. 255): rows in series are then done in linear time.
//! Columns from a limit on are parameters, on which nothing is pivoted. Then every
//! pivot is expressed by the columns without pivot, last pivot first.

use super::sparse::{RowEntry, SparseRow, combine, divide_out};
use crate::exact::checked_integer::CheckedInteger;

/// A row that has been used up to eliminate a column:
/// `value * x[column] + others = 0`.
#[derive(Debug)]
struct Pivot<T> {
    column: usize,
    value: T,
    others: SparseRow<T>,
}

/// The rows in echelon form.
#[derive(Debug)]
pub(super) struct Echelon<T> {
    limit: usize,
    pivots: Vec<Pivot<T>>,
    /// The non-zero rows that are left; they have parameters only.
    pub(super) remainder: Vec<SparseRow<T>>,
}

/// `denominator * x = terms`; denominator positive, no common divisor.
#[derive(Debug, Clone)]
pub(super) struct SolvedColumn<T> {
    pub(super) denominator: T,
    pub(super) terms: SparseRow<T>,
}

impl<T: CheckedInteger> SolvedColumn<T> {
    /// The column itself.
    pub(super) fn of_column(column: usize) -> Self {
        Self { denominator: T::one(), terms: SparseRow::from_iter([RowEntry { column, value: T::one() }]) }
    }
}

/// Eliminates as many of the columns below `limit` as possible.
pub(super) fn eliminate<T: CheckedInteger>(rows: Vec<SparseRow<T>>, limit: usize) -> Option<Echelon<T>> {
    let mut work = SparseElimination::new(rows, limit);
    let mut pivots = Vec::with_capacity(limit.min(work.rows.len()));
    while let Some(index) = work.shortest_row() {
        pivots.push(work.eliminate_with(index)?);
    }
    let mut remainder = work.rows;
    remainder.retain(|row| !row.is_empty());
    Some(Echelon { limit, pivots, remainder })
}

impl<T: CheckedInteger> Echelon<T> {
    /// How many columns below the limit could be eliminated.
    pub(super) fn rank(&self) -> usize {
        self.pivots.len()
    }

    /// For every column below the limit, its expression by parameters and by columns
    /// without pivot; `None` for a column without pivot.
    pub(super) fn expressions(self) -> Option<Vec<Option<SolvedColumn<T>>>> {
        let mut known: Vec<Option<SolvedColumn<T>>> = Vec::new();
        known.resize_with(self.limit, || None);
        // Back substitution: of `value x + others = 0` the others have no pivot or a later one, which is known by now.
        for pivot in self.pivots.into_iter().rev() {
            let mut sum = Sum::new();
            for entry in &pivot.others {
                sum.add(&entry.value, entry.column, known.get(entry.column))?;
            }
            known[pivot.column] = Some(sum.divided_by(&-pivot.value)?);
        }
        Some(known)
    }
}

/// A growing sum of expressions on a common denominator.
#[derive(Debug)]
pub(super) struct Sum<T>(SolvedColumn<T>);

impl<T: CheckedInteger> Sum<T> {
    /// Zero.
    pub(super) fn new() -> Self {
        Self(SolvedColumn { denominator: T::one(), terms: SparseRow::new() })
    }

    /// Adds `factor * x[column]`, by its expression if there is one in `known`.
    pub(super) fn add(&mut self, factor: &T, column: usize, known: Option<&Option<SolvedColumn<T>>>) -> Option<()> {
        let sum = &mut self.0;
        let Some(Some(known)) = known else {
            let itself = [RowEntry { column, value: T::one() }];
            let factor = factor.times(&sum.denominator)?;
            sum.terms = combine(&T::one(), &sum.terms, &factor, &itself)?;
            return Some(());
        };
        if known.terms.is_empty() {
            return Some(());
        }
        // s/d + f k/e = (s e/g + f k d/g) / (d e/g) with g = gcd(d, e).
        let common = sum.denominator.common_divisor(&known.denominator);
        let widening = known.denominator.clone() / common.clone();
        let factor = factor.times(&(sum.denominator.clone() / common))?;
        sum.terms = combine(&widening, &sum.terms, &factor, &known.terms)?;
        sum.denominator = sum.denominator.times(&widening)?;
        Some(())
    }

    /// The sum divided by a number that is not zero, in lowest terms.
    pub(super) fn divided_by(self, divisor: &T) -> Option<SolvedColumn<T>> {
        let SolvedColumn { mut denominator, mut terms } = self.0;
        denominator = denominator.times(divisor)?;
        if denominator.is_negative() {
            denominator = -denominator;
            for entry in &mut terms {
                entry.value = -entry.value.clone();
            }
        }
        denominator = divide_out(&mut terms, denominator);
        Some(SolvedColumn { denominator, terms })
    }
}

/// The state of an elimination.
///
/// Invariants: a row that still has columns to eliminate is in the list of its length;
/// a column to eliminate lists every row it occurs in. Both lists may hold more rows
/// than that, so whoever reads them looks at the row.
#[derive(Debug)]
struct SparseElimination<T> {
    limit: usize,
    /// A row that has become a pivot is left empty.
    rows: Vec<SparseRow<T>>,
    by_length: Stacks,
    by_column: Stacks,
}

/// Rows with this many columns to eliminate or more are not told apart by length: long rows cost their fill-in anyway.
const LONG: usize = 12;

impl<T: CheckedInteger> SparseElimination<T> {
    fn new(rows: Vec<SparseRow<T>>, limit: usize) -> Self {
        let mut by_length = Stacks::new(LONG + 1, 4 * rows.len());
        let mut by_column = Stacks::new(limit, 6 * rows.len());
        for (index, row) in rows.iter().enumerate().rev() {
            by_length.push(length(row, limit), index);
            for entry in row.iter().take_while(|entry| entry.column < limit) {
                by_column.push(entry.column, index);
            }
        }
        Self { limit, rows, by_length, by_column }
    }

    /// A row with the fewest columns to eliminate, but at least one.
    fn shortest_row(&mut self) -> Option<usize> {
        for wanted in 1..=LONG {
            while let Some(index) = self.by_length.pop(wanted) {
                if length(&self.rows[index], self.limit) == wanted {
                    return Some(index);
                }
            }
        }
        None
    }

    /// Makes a row a pivot and eliminates its rarest column from all other rows.
    fn eliminate_with(&mut self, index: usize) -> Option<Pivot<T>> {
        let row = std::mem::take(&mut self.rows[index]);
        // Markowitz: of the shortest row the rarest column, so that (row length - 1)(column depth - 1) new entries at
        // most arise. The depth of a stack may count rows that no longer have the column: an upper bound.
        let place = (0..row.len())
            .take_while(|&place| row[place].column < self.limit)
            .min_by_key(|&place| self.by_column.depth(row[place].column))
            .expect("a row taken as pivot has a column to eliminate");
        let column = row[place].column;
        while let Some(target) = self.by_column.pop(column) {
            self.reduce(target, &row, place)?;
        }
        let mut others = row;
        let value = others.remove(place).value;
        Some(Pivot { column, value, others })
    }

    /// Eliminates the column of `pivot[place]` from the row `target`, if it is there.
    fn reduce(&mut self, target: usize, pivot: &SparseRow<T>, place: usize) -> Option<()> {
        let row = &self.rows[target];
        let Some(found) = row.iter().position(|entry| entry.column == pivot[place].column) else {
            return Some(());
        };
        if pivot.len() == 1 {
            self.rows[target].remove(found);
        } else {
            // (p/g) row - (r/g) pivot, with p and r the two entries of the column and g = gcd(p, r): it vanishes there.
            let common = pivot[place].value.common_divisor(&row[found].value);
            let keep = pivot[place].value.clone() / common.clone();
            let add = -(row[found].value.clone() / common);
            let sum = combine(&keep, row, &add, pivot)?;
            self.list_new_columns(target, pivot);
            self.rows[target] = sum;
        }
        divide_out(&mut self.rows[target], T::zero());
        self.by_length.push(length(&self.rows[target], self.limit), target);
        Some(())
    }

    /// Lists the row `target` in the columns that `pivot` brings into it.
    fn list_new_columns(&mut self, target: usize, pivot: &SparseRow<T>) {
        let mut old = self.rows[target].iter().peekable();
        for entry in pivot.iter().take_while(|entry| entry.column < self.limit) {
            while old.next_if(|old| old.column < entry.column).is_some() {}
            if old.peek().is_none_or(|old| old.column != entry.column) {
                self.by_column.push(entry.column, target);
            }
        }
    }
}

/// How many columns of a row are below the limit; at most [`LONG`].
fn length<T>(row: &SparseRow<T>, limit: usize) -> usize {
    row.iter().take(LONG).take_while(|entry| entry.column < limit).count()
}

/// Many short stacks of row numbers in two allocations.
#[derive(Debug)]
struct Stacks {
    tops: Vec<Top>,
    links: Vec<StackLink>,
}

#[derive(Debug, Clone, Copy)]
struct Top {
    depth: usize,
    link: usize,
}

#[derive(Debug, Clone, Copy)]
struct StackLink {
    row: usize,
    below: usize,
}

impl Stacks {
    fn new(count: usize, capacity: usize) -> Self {
        Self { tops: vec![Top { depth: 0, link: 0 }; count], links: Vec::with_capacity(capacity) }
    }

    fn push(&mut self, stack: usize, row: usize) {
        let top = &mut self.tops[stack];
        let below = std::mem::replace(&mut top.link, self.links.len());
        top.depth += 1;
        self.links.push(StackLink { row, below });
    }

    fn pop(&mut self, stack: usize) -> Option<usize> {
        let top = &mut self.tops[stack];
        top.depth = top.depth.checked_sub(1)?;
        let StackLink { row, below } = self.links[top.link];
        top.link = below;
        Some(row)
    }

    fn depth(&self, stack: usize) -> usize {
        self.tops[stack].depth
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::linear::sparse::gather;

    fn rows(entries: &[&[(usize, i64)]]) -> Vec<SparseRow<i64>> {
        let row =
            |row: &&[(usize, i64)]| gather(row.iter().map(|&(column, value)| RowEntry { column, value })).unwrap();
        entries.iter().map(row).collect()
    }

    #[test]
    fn pivots_are_expressed_by_what_has_none() {
        // x0 + x1 + x2 = 0, x0 - x1 + p = 0 with the parameter p = x3: one of three is free.
        let echelon = eliminate(rows(&[&[(0, 1), (1, 1), (2, 1)], &[(0, 1), (1, -1), (3, 1)]]), 3).unwrap();
        assert_eq!((echelon.rank(), echelon.remainder.len()), (2, 0));
        let known = echelon.expressions().unwrap();
        assert_eq!(known.iter().filter(|expression| expression.is_none()).count(), 1);
    }

    #[test]
    fn what_cancels_is_determined_although_its_parts_are_not() {
        // x0 + x1 = p, x0 + x1 + x2 = 0, p = x3: x2 = -p whatever x0 and x1 are.
        let echelon = eliminate(rows(&[&[(0, 1), (1, 1), (3, -1)], &[(0, 1), (1, 1), (2, 1)]]), 3).unwrap();
        let known = echelon.expressions().unwrap();
        let expression = known[2].as_ref().unwrap();
        assert_eq!(expression.denominator, 1);
        assert_eq!(expression.terms.as_slice(), [RowEntry { column: 3, value: -1 }]);
    }

    #[test]
    fn a_row_left_with_parameters_only_is_handed_back() {
        let echelon = eliminate(rows(&[&[(0, 2), (1, 3)], &[(0, 4), (1, 5)]]), 1).unwrap();
        // Twice the first row taken from the second: 5 x1 - 6 x1 = 0.
        assert_eq!((echelon.rank(), echelon.remainder), (1, rows(&[&[(1, -1)]])));
    }

    #[test]
    fn rows_longer_than_the_longest_list_are_eliminated_too() {
        let long: Vec<(usize, i64)> = (0..40).map(|column| (column, 1)).collect();
        let other: Vec<(usize, i64)> = (0..40).map(|column| (column, 2 + i64::from(column == 7))).collect();
        let echelon = eliminate(rows(&[&long, &other, &long]), 40).unwrap();
        assert_eq!((echelon.rank(), echelon.remainder.len()), (2, 0));
        let known = echelon.expressions().unwrap();
        assert!(known[7].as_ref().is_some_and(|seven| seven.terms.is_empty()), "x7 = 0");
    }
}
