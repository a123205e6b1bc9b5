//! Which equations follow from one another?
//!
//! The factors with which the equations add up to nothing solve the transposed system.
//! An equation takes part in a dependency exactly if its factor is not zero in all of
//! these solutions, that is, if it can be left out without loss of rank (worked out here, from
//! the schoolbook theorem that row rank is column rank).

use super::elimination::eliminate;
use super::equations::{Equality, Equation};
use super::merging::{Class, EqualUnknowns};
use super::sparse::{RowEntry, SparseRow, divide_out, gather};
use crate::exact::checked_integer::CheckedInteger;

/// The rank of the equations of a system, and which of them depend on others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dependencies {
    /// How many equations are independent of one another at most.
    pub rank: usize,
    /// The equations, by their place, that take part in a linear dependency: those
    /// that can be left out, one at a time, without loss of rank. Rising. Empty
    /// exactly if the rank is the number of equations.
    pub dependent: Vec<usize>,
}

/// Finds the dependencies, with numbers of one width.
pub(super) fn dependencies<T: CheckedInteger>(
    unknowns: usize,
    equations: &[Equation],
    equalities: &[Equality],
) -> Option<Dependencies> {
    let all: Vec<usize> = (0..unknowns).collect();
    let classes = EqualUnknowns::new(unknowns, &all, equalities, None);
    // y A = 0 is A^T y = 0: one row for each class of unknowns, one column for each equation.
    let mut transposed = vec![SparseRow::<T>::new(); classes.count];
    for (index, equation) in equations.iter().enumerate() {
        for term in equation.terms() {
            if let Class::Variable(class) = classes.of(term.unknown) {
                let value = T::of(term.coefficient)?;
                transposed[class].push(RowEntry { column: index, value });
            }
        }
    }
    let mut rows = Vec::with_capacity(transposed.len());
    for row in transposed {
        let mut row = gather(row.into_iter())?;
        divide_out(&mut row, T::zero());
        rows.push(row);
    }
    let echelon = eliminate(rows, equations.len())?;
    let rank = echelon.rank();
    let factors = echelon.expressions()?;
    // y_i is 0 in every solution exactly if elimination expresses it by nothing.
    let can_differ_from_zero = |index: &usize| factors[*index].as_ref().is_none_or(|factor| !factor.terms.is_empty());
    let dependent = (0..equations.len()).filter(can_differ_from_zero).collect();
    Some(Dependencies { rank, dependent })
}
