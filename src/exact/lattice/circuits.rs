//! Which smallest sets of rows of an integer matrix depend on each other, and how?
//!
//! Method: rows are taken in one after the other as long as they are independent, each reduced by those before it; a row
//! of which nothing is left closes a circuit if all of them have a part in that. Beside the circuits stands a basis of all
//! dependencies that grows row by row, in which every circuit has integer coordinates.
//! Source: Rockafellar (1969), "The elementary vectors of a subspace of R^N", in Bose and Dowling,
//! "Combinatorial Mathematics and its Applications", 104-127; the reduction without fractions is Gaussian elimination; the
//! growing basis: worked out here.

use super::hermite::{hermite_basis, leading};
use super::integer_matrix::IntegerMatrix;
use super::smith::SmithForm;
use crate::exact::checked_integer::{CheckedInteger, in_widening_words};
use num_bigint::BigInt;
use num_traits::{ToPrimitive, Zero};

/// The circuits of the rows of A: the primitive integer c with `c A = 0` whose support (the rows with a
/// factor other than zero) contains no smaller one; each once, its first factor positive.
///
/// Fewer rows come first, then the order of the rows. A circuit has at most rank + 1 rows.
///
/// # Examples
/// ```
/// use toothmark::exact::{IntegerMatrix, circuits};
/// let pairs = circuits(&IntegerMatrix::new(3, 1, [27, 33, 24]));
/// assert_eq!(pairs.len(), 3);
/// assert_eq!(pairs[0], [11.into(), (-9).into(), 0.into()]);
/// ```
pub fn circuits(matrix: &IntegerMatrix) -> Vec<Vec<BigInt>> {
    let rows = || (0..matrix.row_count()).map(|row| matrix.row(row));
    let words =
        || -> Option<Vec<Vec<i64>>> { rows().map(|row| row.iter().map(ToPrimitive::to_i64).collect()).collect() };
    in_widening_words(
        || CircuitSearch::<i64>::of_words(words()?),
        || CircuitSearch::<i128>::of_words(words()?),
        || CircuitSearch::of(rows().map(<[BigInt]>::to_vec).collect()),
    )
}

/// A row less its share of those that were taken in before it: the integer combination `factors` of all rows.
struct ReducedRow<T> {
    entries: Vec<T>,
    factors: Vec<T>,
}

/// The rows, and the circuits found, with numbers of one width; `None` where they are too narrow.
struct CircuitSearch<T> {
    rows: Vec<Vec<T>>,
    found: Vec<Vec<T>>,
}

impl<T: CheckedInteger> CircuitSearch<T> {
    fn of_words(rows: Vec<Vec<i64>>) -> Option<Vec<Vec<BigInt>>> {
        let row = |row: Vec<i64>| row.into_iter().map(T::of).collect();
        Self::of(rows.into_iter().map(row).collect::<Option<_>>()?)
    }

    fn of(rows: Vec<Vec<T>>) -> Option<Vec<Vec<BigInt>>> {
        let mut search = Self { rows, found: Vec::new() };
        search.extend(&mut Vec::new(), 0)?;
        let support =
            |circuit: &Vec<T>| -> Vec<usize> { (0..circuit.len()).filter(|&row| !circuit[row].is_zero()).collect() };
        search.found.sort_by_cached_key(|circuit| {
            let support = support(circuit);
            (support.len(), support)
        });
        Some(search.found.into_iter().map(|circuit| circuit.into_iter().map(Into::into).collect()).collect())
    }

    /// Takes in each of the rows from one on beside those that are taken in, which are independent.
    fn extend(&mut self, taken: &mut Vec<ReducedRow<T>>, from: usize) -> Option<()> {
        for row in from..self.rows.len() {
            let reduced = self.reduced(row, taken)?;
            if leading(&reduced.entries).is_some() {
                taken.push(reduced);
                self.extend(taken, row + 1)?;
                taken.pop();
                continue;
            }
            // Where one has no part in it the circuit is found without that one.
            let parts = reduced.factors.iter().filter(|factor| !factor.is_zero()).count();
            if parts == taken.len() + 1 {
                self.found.push(with_positive_first(reduced.factors));
            }
        }
        Some(())
    }

    fn reduced(&self, row: usize, taken: &[ReducedRow<T>]) -> Option<ReducedRow<T>> {
        let mut factors = vec![T::zero(); self.rows.len()];
        factors[row] = T::one();
        let mut reduced = ReducedRow { entries: self.rows[row].clone(), factors };
        for other in taken {
            reduced.clear(other)?;
        }
        Some(reduced)
    }
}

impl<T: CheckedInteger> ReducedRow<T> {
    /// Clears the column in which the other row begins, and divides by what all entries and factors have in common.
    fn clear(&mut self, other: &Self) -> Option<()> {
        let column = leading(&other.entries).expect("a row that is taken in has an entry");
        if self.entries[column].is_zero() {
            return Some(());
        }
        let divisor = self.entries[column].common_divisor(&other.entries[column]);
        let [own, share] = [&other.entries[column], &self.entries[column]].map(|entry| entry.clone() / divisor.clone());
        let pairs = [(&mut self.entries, &other.entries), (&mut self.factors, &other.factors)];
        for (values, others) in pairs {
            for (value, other) in values.iter_mut().zip(others) {
                *value = own.times(value)?.plus(&-share.times(other)?)?;
            }
        }
        let all = || self.entries.iter().chain(&self.factors);
        let common = all().fold(T::zero(), |common, value| common.common_divisor(value));
        if !common.is_one() {
            for value in self.entries.iter_mut().chain(&mut self.factors) {
                *value = value.clone() / common.clone();
            }
        }
        Some(())
    }
}

fn with_positive_first<T: CheckedInteger>(circuit: Vec<T>) -> Vec<T> {
    let is_negative = circuit.iter().find(|factor| !factor.is_zero()).is_some_and(T::is_negative);
    if is_negative { circuit.into_iter().map(|factor| -factor).collect() } else { circuit }
}

/// A basis of `{c : c A = 0}` whose vectors end later and later.
pub(super) fn staircase(matrix: &IntegerMatrix) -> Vec<Vec<BigInt>> {
    // An echelon basis of the mirrored vectors begins later and later; mirrored back and in reverse order, each ends
    // later than the one before.
    let kernel = SmithForm::of(matrix).left_kernel();
    let basis = hermite_basis(kernel.into_iter().map(mirrored).collect());
    basis.into_iter().map(mirrored).rev().collect()
}

fn mirrored(mut row: Vec<BigInt>) -> Vec<BigInt> {
    row.reverse();
    row
}

pub(super) fn last_row(vector: &[BigInt]) -> Option<usize> {
    vector.iter().rposition(|entry| !entry.is_zero())
}

/// The coordinates of a vector of the kernel in its staircase basis; integers, because it is a basis of
/// all integer vectors of the kernel.
pub(super) fn coordinates(kernel: &[Vec<BigInt>], vector: &[BigInt]) -> Vec<BigInt> {
    // Only the last basis vector reaches the last row, so its coordinate is the quotient there; then the next.
    let mut remainder = vector.to_vec();
    let mut coordinates = vec![BigInt::zero(); kernel.len()];
    for (coordinate, basis) in coordinates.iter_mut().zip(kernel).rev() {
        let Some(row) = last_row(basis) else { continue };
        *coordinate = &remainder[row] / &basis[row];
        remainder.iter_mut().zip(basis).for_each(|(entry, change)| *entry -= &*coordinate * change);
    }
    coordinates
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(matrix: &IntegerMatrix, expected: &[&[i64]]) {
        let vector = |row: &&[i64]| row.iter().map(|&entry| entry.into()).collect();
        let expected: Vec<Vec<BigInt>> = expected.iter().map(vector).collect();
        assert_eq!(circuits(matrix), expected, "the circuits");
    }

    #[test]
    fn rows_of_one_column_depend_in_pairs() {
        check(&IntegerMatrix::new(3, 1, [4, 6, -3]), &[&[3, -2, 0], &[3, 0, 4], &[0, 1, 2]]);
    }

    #[test]
    fn equal_rows_and_zero_rows_have_short_circuits() {
        let matrix = IntegerMatrix::new(4, 2, [1, 2, 0, 0, 1, 2, 0, 3]);
        check(&matrix, &[&[0, 1, 0, 0], &[1, 0, -1, 0]]);
    }

    #[test]
    fn independent_rows_have_none_and_three_in_a_plane_have_one() {
        check(&IntegerMatrix::identity(3), &[]);
        check(&IntegerMatrix::new(3, 2, [2, 0, 0, 3, 5, 5]), &[&[15, 10, -6]]);
    }

    #[test]
    fn a_staircase_ends_later_and_later_and_measures_every_circuit() {
        let matrix = IntegerMatrix::new(4, 1, [27, 33, 24, 24]);
        let kernel = staircase(&matrix);
        let ends: Vec<Option<usize>> = kernel.iter().map(|vector| last_row(vector)).collect();
        assert_eq!(ends, [Some(1), Some(2), Some(3)], "one row more each time");
        for circuit in circuits(&matrix) {
            let mut sum = vec![BigInt::zero(); 4];
            for (factor, vector) in coordinates(&kernel, &circuit).iter().zip(&kernel) {
                sum.iter_mut().zip(vector).for_each(|(entry, change)| *entry += factor * change);
            }
            assert_eq!(sum, circuit, "the coordinates give the circuit back");
        }
    }
}
