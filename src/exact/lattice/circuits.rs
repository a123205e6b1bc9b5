//! Which smallest sets of rows of an integer matrix depend on each other, and how?
//!
//! Method: every set of at most rank + 1 rows that contains no smaller dependent one is asked for its
//! dependency. Beside the circuits stands a basis of all dependencies that grows row by row, in which
//! every circuit has integer coordinates.
//! Source: Rockafellar (1969), "The elementary vectors of a subspace of R^N", in Bose and Dowling,
//! "Combinatorial Mathematics and its Applications", 104-127; the growing basis: worked out here.

use super::congruence::Congruences;
use super::hermite::hermite_basis;
use super::integer_matrix::IntegerMatrix;
use super::smith::SmithForm;
use num_bigint::BigInt;
use num_traits::Zero;

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
    let mut found: Vec<Vec<BigInt>> = Vec::new();
    let rank = SmithForm::of(matrix).rank();
    // Any rank + 1 rows are dependent, so a larger support contains a smaller one.
    for size in 1..=(rank + 1).min(matrix.row_count()) {
        for subset in subsets(matrix.row_count(), size) {
            if found.iter().any(|circuit| lies_within(circuit, &subset)) {
                continue;
            }
            let entries = subset.iter().flat_map(|&row| matrix.row(row).iter().cloned());
            let part = IntegerMatrix::new(size, matrix.column_count(), entries);
            // No smaller support lies within, so there is one dependency at most: of two, a combination would vanish in
            // one row more.
            if let Some(factors) = Congruences::new(&part).dependencies().first() {
                let mut circuit = vec![BigInt::zero(); matrix.row_count()];
                subset.iter().zip(factors).for_each(|(&row, factor)| circuit[row].clone_from(factor));
                found.push(circuit);
            }
        }
    }
    found
}

/// Whether the support of a circuit is a part of these rows.
fn lies_within(circuit: &[BigInt], rows: &[usize]) -> bool {
    circuit.iter().enumerate().all(|(row, factor)| factor.is_zero() || rows.contains(&row))
}

/// All ways to choose `size` of the numbers below `count`, each ascending, in lexicographic order.
fn subsets(count: usize, size: usize) -> Vec<Vec<usize>> {
    let mut chosen: Vec<Vec<usize>> = vec![Vec::new()];
    for taken in 0..size {
        // As many numbers have to follow as are still to be taken.
        let last = count - (size - taken);
        chosen = chosen.iter().flat_map(|subset| longer_by_one(subset, last)).collect();
    }
    chosen
}

/// A subset with each number appended that is greater than its own and at most `last`.
fn longer_by_one(subset: &[usize], last: usize) -> impl Iterator<Item = Vec<usize>> {
    let first = subset.last().map_or(0, |last| last + 1);
    (first..=last).map(move |next| [subset, &[next]].concat())
}

/// A basis of `{c : c A = 0}` whose vectors end later and later.
pub(super) fn staircase(matrix: &IntegerMatrix) -> Vec<Vec<BigInt>> {
    // An echelon basis of the mirrored vectors begins later and later; mirrored back and in reverse order, each ends
    // later than the one before.
    let kernel = Congruences::new(matrix).dependencies().to_vec();
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
