//! Which integer combinations of the rows of an integer matrix vanish, and by what numbers are the
//! others multiples? The Smith normal form `U A V = D` answers both.
//!
//! Method: the smallest entry left becomes the pivot, integer multiples of its row and column clear
//! the others, a remainder becomes the next, smaller pivot; a pivot that does not divide what remains
//! takes in the row that shows it. Every step is unimodular and is repeated on `U` and `V`.
//! Source: Smith (1861), "On systems of linear indeterminate equations and congruences", Phil. Trans.
//! Roy. Soc. 151, 293-326; the algorithm as in Cohen (1993), "A Course in Computational Algebraic
//! Number Theory", section 2.4.

use super::integer_matrix::IntegerMatrix;
use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, Zero};

/// The Smith normal form `U A V = D` of an m x n integer matrix A.
///
/// `left` is U (m x m) and `right` is V (n x n), both with determinant 1 or -1; `diagonal` holds the
/// min(m, n) invariant factors `d_1 | d_2 | ...` of A, none negative, the zeros last. The diagonal is
/// determined by A, the two transformations are not.
///
/// # Examples
/// ```
/// use toothmark::exact::{IntegerMatrix, SmithForm};
/// let form = SmithForm::of(&IntegerMatrix::new(2, 2, [4, 0, 0, 6]));
/// assert_eq!(form.diagonal, [2.into(), 12.into()]);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SmithForm {
    /// U, m x m: which combination of the rows of A each row of D is.
    pub left: IntegerMatrix,
    /// The diagonal of D: `d_1 | d_2 | ...`, none negative.
    pub diagonal: Vec<BigInt>,
    /// V, n x n: the change of unknowns `t = V s`.
    pub right: IntegerMatrix,
}

impl SmithForm {
    /// The Smith normal form of `matrix`.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{IntegerMatrix, SmithForm};
    /// let cluster = IntegerMatrix::new(3, 1, [27, 33, 24]);
    /// let form = SmithForm::of(&cluster);
    /// assert_eq!(form.diagonal, [3.into()]);
    /// assert_eq!(form.left.multiply(&cluster).multiply(&form.right), IntegerMatrix::new(3, 1, [3, 0, 0]));
    /// ```
    pub fn of(matrix: &IntegerMatrix) -> Self {
        let size = matrix.row_count().min(matrix.column_count());
        let mut reduction = Diagonalization {
            work: matrix.clone(),
            left: IntegerMatrix::identity(matrix.row_count()),
            right: IntegerMatrix::identity(matrix.column_count()),
        };
        for step in 0..size {
            while !reduction.is_settled(step) {}
        }
        let diagonal = (0..size).map(|at| reduction.work.get(at, at).clone()).collect();
        Self { left: reduction.left, diagonal, right: reduction.right }
    }

    /// The rank of the matrix: the number of invariant factors that are not zero.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{IntegerMatrix, SmithForm};
    /// assert_eq!(SmithForm::of(&IntegerMatrix::new(2, 2, [2, 4, 3, 6])).rank(), 1);
    /// ```
    pub fn rank(&self) -> usize {
        self.diagonal.iter().filter(|factor| !factor.is_zero()).count()
    }

    /// A basis of `{c : c A = 0}` over the integers: the rows of U beyond the rank. They are part of a
    /// unimodular matrix, so every integer solution is an integer combination of them.
    pub(super) fn left_kernel(&self) -> Vec<Vec<BigInt>> {
        (self.rank()..self.left.row_count()).map(|row| self.left.row(row).to_vec()).collect()
    }
}

/// Invariant: `left * matrix * right = work`, with `left` and `right` unimodular.
struct Diagonalization {
    work: IntegerMatrix,
    left: IntegerMatrix,
    right: IntegerMatrix,
}

impl Diagonalization {
    /// One round on the block from (`step`, `step`) on; true when its first entry is positive, divides
    /// the block and stands alone in its row and column, or when the block is zero.
    ///
    /// Each round that answers false leaves an entry smaller than the pivot of the round, or is
    /// followed by one that does, so rounds come to an end.
    fn is_settled(&mut self, step: usize) -> bool {
        let Some((row, column)) = self.smallest(step) else {
            return true;
        };
        self.work.swap_rows(step, row);
        self.left.swap_rows(step, row);
        self.work.swap_columns(step, column);
        self.right.swap_columns(step, column);
        if self.work.get(step, step).is_negative() {
            // Twice itself taken away: the row changes its sign.
            self.work.add_row(step, &BigInt::from(-2), step);
            self.left.add_row(step, &BigInt::from(-2), step);
        }
        if !self.clear_cross(step) {
            return false;
        }
        // The row brings an entry beside the pivot that it does not divide: the next round leaves a smaller remainder.
        if let Some(row) = self.undivided_row(step) {
            self.work.add_row(step, &BigInt::one(), row);
            self.left.add_row(step, &BigInt::one(), row);
            return false;
        }
        true
    }

    /// Where the entry of least size other than zero stands in the block from (`step`, `step`) on;
    /// the first of several, row by row.
    fn smallest(&self, step: usize) -> Option<(usize, usize)> {
        (step..self.work.row_count())
            .flat_map(|row| (step..self.work.column_count()).map(move |column| (row, column)))
            .filter(|&(row, column)| !self.work.get(row, column).is_zero())
            .min_by_key(|&(row, column)| self.work.get(row, column).abs())
    }

    /// Takes the pivot's row and column from all later ones as often as it fits; true when no
    /// remainder is left beside or below the pivot.
    fn clear_cross(&mut self, step: usize) -> bool {
        let pivot = self.work.get(step, step).clone();
        for row in step + 1..self.work.row_count() {
            let factor = -self.work.get(row, step).div_floor(&pivot);
            self.work.add_row(row, &factor, step);
            self.left.add_row(row, &factor, step);
        }
        for column in step + 1..self.work.column_count() {
            let factor = -self.work.get(step, column).div_floor(&pivot);
            self.work.add_column(column, &factor, step);
            self.right.add_column(column, &factor, step);
        }
        (step + 1..self.work.row_count()).all(|row| self.work.get(row, step).is_zero())
            && (step + 1..self.work.column_count()).all(|column| self.work.get(step, column).is_zero())
    }

    /// The first later row with an entry that the pivot does not divide.
    fn undivided_row(&self, step: usize) -> Option<usize> {
        let pivot = self.work.get(step, step);
        (step + 1..self.work.row_count())
            .find(|&row| self.work.row(row)[step + 1..].iter().any(|entry| !entry.is_multiple_of(pivot)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Multiplies out and compares the diagonal; determinants and random matrices are left to the
    /// long tests.
    #[track_caller]
    fn check(rows: usize, columns: usize, entries: &[i64], diagonal: &[i64]) {
        let matrix = IntegerMatrix::new(rows, columns, entries.iter().copied());
        let form = SmithForm::of(&matrix);
        let expected: Vec<BigInt> = diagonal.iter().map(|&entry| entry.into()).collect();
        assert_eq!(form.diagonal, expected, "the diagonal");
        let product = form.left.multiply(&matrix).multiply(&form.right);
        let mut wanted = vec![BigInt::zero(); rows * columns];
        for (at, factor) in expected.into_iter().enumerate() {
            wanted[at * columns + at] = factor;
        }
        assert_eq!(product, IntegerMatrix::new(rows, columns, wanted), "U A V = D");
    }

    #[test]
    fn a_matrix_is_brought_to_its_invariant_factors() {
        // d_1 = gcd of the entries (2), d_1 d_2 = gcd of the 2 x 2 minors (4), d_1 d_2 d_3 = the
        // determinant without its sign (624).
        check(3, 3, &[2, 4, 4, -6, 6, 12, 10, 4, 16], &[2, 2, 156]);
    }

    #[test]
    fn factors_that_do_not_divide_each_other_are_merged() {
        check(2, 2, &[6, 0, 0, 10], &[2, 30]);
        check(3, 3, &[6, 0, 0, 0, 10, 0, 0, 0, 15], &[1, 30, 30]);
    }

    #[test]
    fn zeros_and_empty_sides_are_allowed() {
        check(2, 3, &[0; 6], &[0, 0]);
        check(2, 2, &[0, 0, 0, -7], &[7, 0]);
        check(0, 2, &[], &[]);
        check(2, 0, &[], &[]);
    }
}
