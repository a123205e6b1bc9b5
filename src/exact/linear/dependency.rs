//! Which equations follow from one another?
//!
//! The factors with which the equations add up to nothing solve the transposed system.
//! An equation takes part in a dependency exactly if its factor is not zero in all of
//! these solutions, that is, if it can be left out without loss of rank (worked out here, from
//! the schoolbook theorem that row rank is column rank).

use super::elimination::eliminate;
use super::equations::{Equality, Equation};
use super::merging::{Class, Classes};
use super::sparse::{Entry, Row, divide_out, gather};
use crate::exact::whole::Whole;

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
pub(super) fn dependencies<T: Whole>(
    unknowns: usize,
    equations: &[Equation],
    equalities: &[Equality],
) -> Option<Dependencies> {
    let all: Vec<usize> = (0..unknowns).collect();
    let classes = Classes::new(unknowns, &all, equalities, None);
    let mut transposed = vec![Row::<T>::new(); classes.count];
    for (index, equation) in equations.iter().enumerate() {
        for term in equation.terms() {
            if let Class::Variable(class) = classes.of(term.unknown) {
                let value = T::of(term.coefficient)?;
                transposed[class].push(Entry { column: index, value });
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
    let can_differ_from_zero = |index: &usize| factors[*index].as_ref().is_none_or(|factor| !factor.terms.is_empty());
    let dependent = (0..equations.len()).filter(can_differ_from_zero).collect();
    Some(Dependencies { rank, dependent })
}
