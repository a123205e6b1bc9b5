//! What is known of the rows `A u_k + C y` before any target is given: their dependencies, in coordinates.
//!
//! The circuits of A, a basis K of all its dependencies that grows row by row, those of them that C does not touch, and
//! by what `K C y` moves all points together. Symbols and source as in `joint_fit`.

use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

use super::circuits::{circuits, coordinates, last_row, staircase};
use super::hermite::hermite_basis;
use super::integer_matrix::{IntegerMatrix, dot};
use crate::exact::rational::Fraction;

/// The rows A and C.
#[derive(Clone, Debug)]
pub(super) struct JointRows {
    /// K: a basis of `{c : c A = 0}` that grows row by row.
    pub(super) kernel: Vec<Vec<BigInt>>,
    /// The circuits of A.
    pub(super) circuits: Vec<RowDependency>,
    /// A basis of the dependencies of A and C together: what y does not touch.
    pub(super) untouched: Vec<RowDependency>,
    /// The echelon basis of `K C Z^j`, by which all points can be moved together.
    pub(super) steps: Vec<Vec<BigInt>>,
}

/// A dependency of the rows.
#[derive(Clone, Debug)]
pub(super) struct RowDependency {
    /// `|c_r|`, a size for each row.
    sizes: Vec<BigInt>,
    /// Its coordinates f in the basis K, `c = f K`, up to the last one other than zero.
    pub(super) factors: Vec<BigInt>,
}

/// What every row gives way: `base + v rate`, rates positive.
///
/// # Examples
/// ```
/// use toothmark::exact::{GivingWay, fraction};
/// assert_eq!(GivingWay::alike(2).rate, [fraction(1, 1), fraction(1, 1)]);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GivingWay {
    /// What row r gives way for v = 0.
    pub base: Vec<Fraction>,
    /// And how much more for each unit of v.
    pub rate: Vec<Fraction>,
}

impl GivingWay {
    /// Every one of `rows` rows gives way v.
    pub fn alike(rows: usize) -> Self {
        Self::in_parts_of(vec![Fraction::one(); rows])
    }

    /// Row r gives way v times its tolerance.
    pub fn in_parts_of(tolerances: Vec<Fraction>) -> Self {
        Self { base: vec![Fraction::zero(); tolerances.len()], rate: tolerances }
    }

    /// The v with which some row gives way nothing and the others something.
    pub(super) fn floor(&self) -> Fraction {
        let ends = self.base.iter().zip(&self.rate).map(|(base, rate)| -(base / rate));
        ends.max().unwrap_or_default()
    }
}

impl JointRows {
    pub(super) fn new(own: &IntegerMatrix, shared: &IntegerMatrix) -> Self {
        let rows = own.row_count();
        assert_eq!(rows, shared.row_count(), "the rows are the same");
        let kernel = staircase(own);
        let basis = IntegerMatrix::new(kernel.len(), rows, kernel.iter().flatten().cloned());
        let moved = basis.multiply(shared);
        let both = (0..rows).flat_map(|row| [own.row(row), shared.row(row)].concat());
        let both = IntegerMatrix::new(rows, own.column_count() + shared.column_count(), both);
        Self {
            circuits: circuits(own).iter().map(|circuit| RowDependency::new(&kernel, circuit)).collect(),
            untouched: staircase(&both).iter().map(|vector| RowDependency::new(&kernel, vector)).collect(),
            steps: hermite_basis((0..moved.column_count()).map(|at| moved.column(at)).collect()),
            kernel,
        }
    }
}

impl RowDependency {
    fn new(kernel: &[Vec<BigInt>], vector: &[BigInt]) -> Self {
        let mut factors = coordinates(kernel, vector);
        factors.truncate(last_row(&factors).map_or(0, |last| last + 1));
        Self { sizes: vector.iter().map(Signed::abs).collect(), factors }
    }

    /// `sum |c_r| part_r`.
    pub(super) fn weigh(&self, parts: &[Fraction]) -> Fraction {
        dot(&self.sizes, parts)
    }
}
