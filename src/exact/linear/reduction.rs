//! How is a system made ready once, and then solved under many sets of conditions?
//!
//! The inner unknowns, which no condition names, are eliminated once. Each set of
//! conditions then merges equal unknowns and eliminates the few variables left, with
//! the driver as parameter; the inner unknowns follow by substitution. How rows are
//! eliminated is told in `elimination`, how unknowns are merged in `merging`.

use crate::exact::rational::Fraction;
use num_traits::{One, Zero};

use super::directions::Directions;
use super::elimination::{Echelon, SolvedColumn, Sum, eliminate};
use super::equations::{Conditions, Equation, Solution};
use super::mergers::Watched;
use super::merging::{Class, EqualUnknowns};
use super::sparse::{RowEntry, SparseRow, divide_out, gather};
use crate::exact::checked_integer::CheckedInteger;

/// A system whose inner unknowns are eliminated, in one width of numbers.
#[derive(Debug, Clone)]
pub(super) struct ReducedSystem<T> {
    unknowns: usize,
    /// The unknowns that are not inner, rising; 0 is the first.
    outer: Vec<usize>,
    /// Equations between outer unknowns; a column is an unknown.
    rows: Vec<SparseRow<T>>,
    inner: Vec<Inner<T>>,
    /// How many inner unknowns can be chosen at will.
    inner_freedom: usize,
}

/// An inner unknown by outer ones; `None` if inner unknowns chosen at will enter it.
#[derive(Debug, Clone)]
struct Inner<T> {
    unknown: usize,
    expression: Option<SolvedColumn<T>>,
}

/// Which column of the elimination an unknown has: the inner unknowns come first, then the outer ones, both rising.
struct Columns {
    of: Vec<usize>,
    outer: Vec<usize>,
    inner_count: usize,
}

impl Columns {
    fn new(unknowns: usize, inner: &[usize]) -> Self {
        let mut of = vec![usize::MAX; unknowns];
        for (place, &unknown) in inner.iter().enumerate() {
            of[unknown] = place;
        }
        let outer: Vec<usize> = (0..unknowns).filter(|&unknown| of[unknown] == usize::MAX).collect();
        for (place, &unknown) in outer.iter().enumerate() {
            of[unknown] = inner.len() + place;
        }
        Self { of, outer, inner_count: inner.len() }
    }

    /// A row over outer columns, with unknowns for columns.
    fn to_unknowns<T>(&self, mut row: SparseRow<T>) -> SparseRow<T> {
        for entry in &mut row {
            entry.column = self.outer[entry.column - self.inner_count];
        }
        row
    }

    /// An expression by outer unknowns; `None` where an inner column without pivot is in it. Columns rise, so that the
    /// first tells.
    fn by_outer<T>(&self, known: SolvedColumn<T>) -> Option<SolvedColumn<T>> {
        let is_outer = known.terms.first().is_none_or(|first| first.column >= self.inner_count);
        is_outer.then(|| SolvedColumn { denominator: known.denominator, terms: self.to_unknowns(known.terms) })
    }
}

impl<T: CheckedInteger> ReducedSystem<T> {
    /// Eliminates the unknowns `inner` (rising, without 0).
    pub(super) fn new(unknowns: usize, equations: &[Equation], inner: &[usize]) -> Option<Self> {
        let columns = Columns::new(unknowns, inner);
        let mut rows = Vec::with_capacity(equations.len());
        for equation in equations {
            rows.push(row_of(equation, |unknown| Some(columns.of[unknown]))?);
        }
        // Of (A B; C D), inner columns first, elimination below the limit leaves the Schur complement D - C A^-1 B:
        // equations between outer unknowns that hold exactly if some inner ones go with them.
        let mut echelon = eliminate(rows, inner.len())?;
        let inner_freedom = inner.len() - echelon.rank();
        let rows = std::mem::take(&mut echelon.remainder).into_iter().map(|row| columns.to_unknowns(row)).collect();
        let by_outer = |known: Option<SolvedColumn<T>>| known.and_then(|known| columns.by_outer(known));
        let inner = echelon
            .expressions()?
            .into_iter()
            .zip(inner)
            .map(|(known, &unknown)| Inner { unknown, expression: by_outer(known) })
            .collect();
        Some(Self { unknowns, outer: columns.outer, rows, inner, inner_freedom })
    }

    /// The solution under conditions that name outer unknowns only.
    pub(super) fn solve(&self, conditions: &Conditions) -> Option<Solution> {
        let classes = EqualUnknowns::new(self.unknowns, &self.outer, &conditions.equalities, Some(conditions.driver));
        // The driver is the last variable, so that with it as limit it stays a parameter: nothing is pivoted on it.
        let driver = match classes.of(conditions.driver) {
            Class::Fixed => classes.count,
            Class::Variable(number) => number,
        };
        let echelon = eliminate(self.merged_rows(&classes, &conditions.equations)?, driver)?;
        // With the driver at 0 each column without pivot is a direction of the kernel.
        let freedom = driver - echelon.rank() + self.inner_freedom;
        // A row that is left says c x_driver = 0 with c not 0.
        if driver == classes.count || !echelon.remainder.is_empty() {
            let values = vec![None; self.unknowns];
            return Some(Solution { driver_can_turn: false, values, freedom });
        }
        let values = self.values(&classes, driver, echelon)?;
        Some(Solution { driver_can_turn: true, values, freedom })
    }

    /// In which directions outer unknowns can move together when some are always equal.
    pub(super) fn directions(&self, watched: &Watched) -> Option<Directions<T>> {
        let classes = EqualUnknowns::new(self.unknowns, &self.outer, &watched.always, None);
        let known = eliminate(self.merged_rows(&classes, &[])?, classes.count)?.expressions()?;
        // The kernel basis: one vector for each column without pivot, which is 1 there and 0 at the others.
        let free: Vec<usize> = (0..classes.count).filter(|&column| known[column].is_none()).collect();
        let in_free_columns = |&unknown: &usize| match classes.of(unknown) {
            Class::Fixed => None,
            Class::Variable(column) => Some(known[column].clone().unwrap_or_else(|| SolvedColumn::of_column(column))),
        };
        let watched: Vec<Option<SolvedColumn<T>>> = watched.unknowns.iter().map(in_free_columns).collect();
        Directions::of(&watched, &free)
    }

    /// All equations, between classes of unknowns: columns of one class add, those of unknown 0 drop out.
    fn merged_rows(&self, classes: &EqualUnknowns, equations: &[Equation]) -> Option<Vec<SparseRow<T>>> {
        let mut merged = Vec::with_capacity(self.rows.len() + equations.len());
        for row in &self.rows {
            let entries = row.iter().filter_map(|entry| match classes.of(entry.column) {
                Class::Fixed => None,
                Class::Variable(column) => Some(RowEntry { column, value: entry.value.clone() }),
            });
            let mut row = gather(entries)?;
            divide_out(&mut row, T::zero());
            merged.push(row);
        }
        for equation in equations {
            merged.push(row_of(equation, |unknown| match classes.of(unknown) {
                Class::Fixed => None,
                Class::Variable(column) => Some(column),
            })?);
        }
        Some(merged)
    }

    /// The value of every unknown for one turn of the driver.
    fn values(&self, classes: &EqualUnknowns, driver: usize, echelon: Echelon<T>) -> Option<Vec<Option<Fraction>>> {
        let known = echelon.expressions()?;
        let mut values = vec![None; self.unknowns];
        for &unknown in &self.outer {
            values[unknown] = match classes.of(unknown) {
                Class::Fixed => Some(Fraction::zero()),
                Class::Variable(column) if column == driver => Some(Fraction::one()),
                Class::Variable(column) => known[column].as_ref().and_then(|x| value(x, driver)),
            };
        }
        for Inner { unknown, expression } in &self.inner {
            let Some(expression) = expression else {
                continue;
            };
            let mut sum = Sum::new();
            for entry in &expression.terms {
                if let Class::Variable(column) = classes.of(entry.column) {
                    sum.add(&entry.value, column, known.get(column))?;
                }
            }
            values[*unknown] = value(&sum.divided_by(&expression.denominator)?, driver);
        }
        Some(values)
    }
}

/// The value for one turn of the driver, if nothing but the driver determines it: `b x = a x_driver` is a/b, in lowest
/// terms and with b positive as every expression is.
fn value<T: CheckedInteger>(expression: &SolvedColumn<T>, driver: usize) -> Option<Fraction> {
    match expression.terms.as_slice() {
        [] => Some(Fraction::zero()),
        [term] if term.column == driver => {
            Some(Fraction::new_raw(term.value.clone().into(), expression.denominator.clone().into()))
        }
        _ => None,
    }
}

/// An equation as a row without common divisor; unknowns without a column are zero.
pub(super) fn row_of<T: CheckedInteger>(
    equation: &Equation,
    column_of: impl Fn(usize) -> Option<usize>,
) -> Option<SparseRow<T>> {
    let mut entries = SparseRow::<T>::new();
    for term in equation.terms() {
        if let Some(column) = column_of(term.unknown) {
            entries.push(RowEntry { column, value: T::of(term.coefficient)? });
        }
    }
    let mut row = gather(entries.into_iter())?;
    divide_out(&mut row, T::zero());
    Some(row)
}
