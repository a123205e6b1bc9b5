//! What is an integer matrix here? Rows, columns and integer entries without bound.
//!
//! Only what the normal forms and their callers need: building, reading, multiplying, and (inside
//! this layer) the elementary row and column steps of which unimodular matrices are made.
//! The method is the schoolbook one; there is no source to name.

use crate::exact::rational::Fraction;
use num_bigint::BigInt;
use num_traits::Zero;

/// An integer matrix, stored row after row; either side may be zero.
///
/// # Examples
/// ```
/// use toothmark::exact::IntegerMatrix;
/// let matrix = IntegerMatrix::new(2, 3, [1, 2, 3, 4, 5, 6]);
/// assert_eq!((matrix.row_count(), matrix.column_count()), (2, 3));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IntegerMatrix {
    row_count: usize,
    column_count: usize,
    entries: Vec<BigInt>,
}

impl IntegerMatrix {
    /// The matrix of `row_count` by `column_count` entries, given row after row.
    ///
    /// # Panics
    /// When the number of entries is not `row_count * column_count`.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::IntegerMatrix;
    /// let column = IntegerMatrix::new(3, 1, [31, 37, 26]);
    /// assert_eq!(column.get(1, 0), &37.into());
    /// ```
    pub fn new<I>(row_count: usize, column_count: usize, entries: I) -> Self
    where
        I: IntoIterator,
        I::Item: Into<BigInt>,
    {
        let entries: Vec<BigInt> = entries.into_iter().map(Into::into).collect();
        assert_eq!(entries.len(), row_count * column_count, "as many entries as the shape asks for");
        Self { row_count, column_count, entries }
    }

    /// The identity matrix of `size` rows and columns.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::IntegerMatrix;
    /// assert_eq!(IntegerMatrix::identity(2), IntegerMatrix::new(2, 2, [1, 0, 0, 1]));
    /// ```
    pub fn identity(size: usize) -> Self {
        let entries = (0..size * size).map(|at| BigInt::from(u8::from(at / size == at % size)));
        Self::new(size, size, entries)
    }

    /// The number of rows.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::IntegerMatrix;
    /// assert_eq!(IntegerMatrix::new(1, 2, [5, 6]).row_count(), 1);
    /// ```
    pub fn row_count(&self) -> usize {
        self.row_count
    }

    /// The number of columns.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::IntegerMatrix;
    /// assert_eq!(IntegerMatrix::new(1, 2, [5, 6]).column_count(), 2);
    /// ```
    pub fn column_count(&self) -> usize {
        self.column_count
    }

    /// The entry in the given row and column, both counted from zero.
    ///
    /// # Panics
    /// When the row or the column does not exist.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::IntegerMatrix;
    /// assert_eq!(IntegerMatrix::new(2, 2, [1, 2, 3, 4]).get(1, 0), &3.into());
    /// ```
    pub fn get(&self, row: usize, column: usize) -> &BigInt {
        &self.row(row)[column]
    }

    /// One row, counted from zero, as a slice of `column_count` entries.
    ///
    /// # Panics
    /// When the row does not exist.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::IntegerMatrix;
    /// assert_eq!(IntegerMatrix::new(2, 2, [1, 2, 3, 4]).row(1), [3.into(), 4.into()]);
    /// ```
    pub fn row(&self, row: usize) -> &[BigInt] {
        assert!(row < self.row_count, "row {row} of {}", self.row_count);
        &self.entries[row * self.column_count..(row + 1) * self.column_count]
    }

    /// One column, counted from zero, as a new vector of `row_count` entries.
    ///
    /// # Panics
    /// When the column does not exist.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::IntegerMatrix;
    /// assert_eq!(IntegerMatrix::new(2, 2, [1, 2, 3, 4]).column(1), [2.into(), 4.into()]);
    /// ```
    pub fn column(&self, column: usize) -> Vec<BigInt> {
        assert!(column < self.column_count, "column {column} of {}", self.column_count);
        (0..self.row_count).map(|row| self.get(row, column).clone()).collect()
    }

    /// The product `self * right`, of shapes m x n and n x p.
    ///
    /// # Panics
    /// When the columns of `self` are not as many as the rows of `right`.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::IntegerMatrix;
    /// let turn = IntegerMatrix::new(2, 2, [0, -1, 1, 0]);
    /// assert_eq!(turn.multiply(&turn), IntegerMatrix::new(2, 2, [-1, 0, 0, -1]));
    /// ```
    #[must_use]
    pub fn multiply(&self, right: &Self) -> Self {
        assert_eq!(self.column_count, right.row_count, "inner sizes of a product agree");
        let cell = |row: usize, column: usize| -> BigInt {
            (0..self.column_count).map(|at| self.get(row, at) * right.get(at, column)).sum()
        };
        let places = (0..self.row_count).flat_map(|row| (0..right.column_count).map(move |column| (row, column)));
        Self::new(self.row_count, right.column_count, places.map(|(row, column)| cell(row, column)))
    }

    pub(super) fn swap_rows(&mut self, one: usize, other: usize) {
        for column in 0..self.column_count {
            self.entries.swap(one * self.column_count + column, other * self.column_count + column);
        }
    }

    pub(super) fn swap_columns(&mut self, one: usize, other: usize) {
        for row in 0..self.row_count {
            self.entries.swap(row * self.column_count + one, row * self.column_count + other);
        }
    }

    pub(super) fn add_row(&mut self, target: usize, factor: &BigInt, source: usize) {
        for column in 0..self.column_count {
            let change = factor * self.get(source, column);
            self.entries[target * self.column_count + column] += change;
        }
    }

    pub(super) fn add_column(&mut self, target: usize, factor: &BigInt, source: usize) {
        for row in 0..self.row_count {
            let change = factor * self.get(row, source);
            self.entries[row * self.column_count + target] += change;
        }
    }
}

/// The sum of `left_i * right_i`, of two vectors of one length.
pub(super) fn dot(left: &[BigInt], right: &[Fraction]) -> Fraction {
    left.iter().zip(right).filter(|(factor, _)| !factor.is_zero()).map(|(factor, value)| value * factor).sum()
}
