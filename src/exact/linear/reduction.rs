//! How is a system made ready once, and then solved under many sets of conditions?
//!
//! The inner unknowns, which no condition names, are eliminated once. Each set of
//! conditions then merges equal unknowns and eliminates the few variables left, with
//! the driver as parameter; the inner unknowns follow by substitution. How rows are
//! eliminated is told in `elimination`, how unknowns are merged in `merging`.

use crate::exact::rational::Fraction;
use num_traits::{One, Zero};

use super::directions::Directions;
use super::elimination::{Echelon, Expression, Sum, eliminate};
use super::equations::{Conditions, Equation, Solution};
use super::mergers::Watched;
use super::merging::{Class, Classes};
use super::sparse::{Entry, Row, divide_out, gather};
use crate::exact::whole::Whole;

/// A system whose inner unknowns are eliminated, in one width of numbers.
#[derive(Debug, Clone)]
pub(super) struct Reduction<T> {
    unknowns: usize,
    /// The unknowns that are not inner, rising; 0 is the first.
    outer: Vec<usize>,
    /// Equations between outer unknowns; a column is an unknown.
    rows: Vec<Row<T>>,
    inner: Vec<Inner<T>>,
    /// How many inner unknowns can be chosen at will.
    inner_freedom: usize,
}

/// An inner unknown by outer ones; `None` if inner unknowns chosen at will enter it.
#[derive(Debug, Clone)]
struct Inner<T> {
    unknown: usize,
    expression: Option<Expression<T>>,
}

impl<T: Whole> Reduction<T> {
    /// Eliminates the unknowns `inner` (rising, without 0).
    pub(super) fn new(unknowns: usize, equations: &[Equation], inner: &[usize]) -> Option<Self> {
        // Columns: the inner unknowns first, then the outer ones, both rising.
        let mut column = vec![usize::MAX; unknowns];
        for (place, &unknown) in inner.iter().enumerate() {
            column[unknown] = place;
        }
        let outer: Vec<usize> = (0..unknowns).filter(|&u| column[u] == usize::MAX).collect();
        for (place, &unknown) in outer.iter().enumerate() {
            column[unknown] = inner.len() + place;
        }
        let mut rows = Vec::with_capacity(equations.len());
        for equation in equations {
            rows.push(row_of(equation, |unknown| Some(column[unknown]))?);
        }
        let to_unknowns = |mut row: Row<T>| {
            for entry in &mut row {
                entry.column = outer[entry.column - inner.len()];
            }
            row
        };
        let mut echelon = eliminate(rows, inner.len())?;
        let inner_freedom = inner.len() - echelon.rank();
        let rows = std::mem::take(&mut echelon.rest).into_iter().map(to_unknowns).collect();
        let is_outer = |terms: &Row<T>| terms.first().is_none_or(|e| e.column >= inner.len());
        let inner_values = echelon.expressions()?.into_iter().zip(inner).map(|(known, &unknown)| {
            let expression = known
                .filter(|known| is_outer(&known.terms))
                .map(|known| Expression { denominator: known.denominator, terms: to_unknowns(known.terms) });
            Inner { unknown, expression }
        });
        let inner = inner_values.collect();
        Some(Self { unknowns, outer, rows, inner, inner_freedom })
    }

    /// The solution under conditions that name outer unknowns only.
    pub(super) fn solve(&self, conditions: &Conditions) -> Option<Solution> {
        let classes = Classes::new(self.unknowns, &self.outer, &conditions.equalities, Some(conditions.driver));
        let driver = match classes.of(conditions.driver) {
            Class::Fixed => classes.count,
            Class::Variable(number) => number,
        };
        let echelon = eliminate(self.merged_rows(&classes, &conditions.equations)?, driver)?;
        let freedom = driver - echelon.rank() + self.inner_freedom;
        if driver == classes.count || !echelon.rest.is_empty() {
            let values = vec![None; self.unknowns];
            return Some(Solution { driver_can_turn: false, values, freedom });
        }
        let values = self.values(&classes, driver, echelon)?;
        Some(Solution { driver_can_turn: true, values, freedom })
    }

    /// In which directions outer unknowns can move together when some are always equal.
    pub(super) fn directions(&self, watched: &Watched) -> Option<Directions<T>> {
        let classes = Classes::new(self.unknowns, &self.outer, &watched.always, None);
        let known = eliminate(self.merged_rows(&classes, &[])?, classes.count)?.expressions()?;
        let free: Vec<usize> = (0..classes.count).filter(|&column| known[column].is_none()).collect();
        let expression = |unknown: &usize| match classes.of(*unknown) {
            Class::Fixed => None,
            Class::Variable(column) => Some(known[column].clone().unwrap_or_else(|| Expression {
                denominator: T::one(),
                terms: Row::from_iter([Entry { column, value: T::one() }]),
            })),
        };
        let watched: Vec<Option<Expression<T>>> = watched.unknowns.iter().map(expression).collect();
        Directions::of(&watched, &free)
    }

    /// All equations, between classes of unknowns.
    fn merged_rows(&self, classes: &Classes, equations: &[Equation]) -> Option<Vec<Row<T>>> {
        let mut merged = Vec::with_capacity(self.rows.len() + equations.len());
        for row in &self.rows {
            let entries = row.iter().filter_map(|entry| match classes.of(entry.column) {
                Class::Fixed => None,
                Class::Variable(column) => Some(Entry { column, value: entry.value.clone() }),
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
    fn values(&self, classes: &Classes, driver: usize, echelon: Echelon<T>) -> Option<Vec<Option<Fraction>>> {
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

/// The value for one turn of the driver, if nothing but the driver determines it.
fn value<T: Whole>(expression: &Expression<T>, driver: usize) -> Option<Fraction> {
    match expression.terms.as_slice() {
        [] => Some(Fraction::zero()),
        [term] if term.column == driver => {
            Some(Fraction::new_raw(term.value.clone().into(), expression.denominator.clone().into()))
        }
        _ => None,
    }
}

/// An equation as a row without common divisor; unknowns without a column are zero.
pub(super) fn row_of<T: Whole>(equation: &Equation, column_of: impl Fn(usize) -> Option<usize>) -> Option<Row<T>> {
    let mut entries = Row::<T>::new();
    for term in equation.terms() {
        if let Some(column) = column_of(term.unknown) {
            entries.push(Entry { column, value: T::of(term.coefficient)? });
        }
    }
    let mut row = gather(entries.into_iter())?;
    divide_out(&mut row, T::zero());
    Some(row)
}
