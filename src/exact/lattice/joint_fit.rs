//! How little must every row give way so that `A u_k + C y = o_k + n_k` for several k, y the same for all?
//!
//! A and C are integer matrices with the same rows, `o_k` rational, the `n_k` integer vectors; `u_k` and y are free.
//! Row r of every k gives way `base_r + v rate_r`, and asked is the least v.
//! With c the circuits of A each `u_k` cancels: errors within those bounds exist for k if and only if
//! `|c.C y - c.(o_k + n_k)| <= sum |c_r| (base_r + v rate_r)` for every c (as in `lattice_norm`). In the coordinates
//! of a basis K of all dependencies that is a point `K (o_k + n_k)` of a lattice translate for each k; y and v must be
//! such that all points lie in one zonotope round `K C y`, as large as v makes it. Which points these are is looked for
//! in `joint_search`, the least v for given points in `exchange`.
//! Source: the duality as in `lattice_norm`; its use for several targets at once: worked out here.

use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

use super::circuits::{circuits, coordinates, last_row, staircase};
use super::class_search::TooManyClasses;
use super::hermite::hermite_basis;
use super::integer_matrix::{IntegerMatrix, dot};
use super::joint_search::JointSearch;
use crate::exact::rational::Fraction;

/// The rows A and C, prepared for any targets.
///
/// # Examples
/// One row for y and u alike, and one for u alone: what they are apart is shared.
/// ```
/// use toothmark::exact::{GivingWay, IntegerMatrix, JointFit, fraction};
/// let fit = JointFit::new(&IntegerMatrix::new(2, 1, [3, 2]), &IntegerMatrix::new(2, 1, [1, 0]));
/// let targets = [[0, 0], [1, 0]].map(|thirds| thirds.map(|part| fraction(part, 3)).to_vec());
/// // (2, -3) cancels u: 2 y - 2 (0 or 1/3) is to be an integer. Midway both are 1/3 off, shared by 2 + 3 parts.
/// let least = fit.least(&targets, &GivingWay::alike(2), &fraction(1, 2))?;
/// assert_eq!(least, Some(fraction(1, 30)));
/// # Ok::<(), toothmark::exact::TooManyClasses>(())
/// ```
#[derive(Clone, Debug)]
pub struct JointFit {
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

impl JointFit {
    /// Prepares A, the columns of each `u_k`, and C, those of y.
    ///
    /// # Panics
    /// When A and C have not as many rows.
    pub fn new(own: &IntegerMatrix, shared: &IntegerMatrix) -> Self {
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

    /// The least v, none less than that with which some row gives way nothing; `None` where it is not below `below`.
    ///
    /// # Errors
    /// [`TooManyClasses`] when the search would take too long.
    ///
    /// # Panics
    /// When an entry of a target, a base or a rate is missing, or a rate is not positive.
    pub fn least(
        &self,
        targets: &[Vec<Fraction>],
        giving_way: &GivingWay,
        below: &Fraction,
    ) -> Result<Option<Fraction>, TooManyClasses> {
        JointSearch::new(self, targets, giving_way, giving_way.floor()).in_rounds(below)
    }

    /// Whether row r may be off by `tolerances[r]`, all positive.
    ///
    /// # Errors
    /// [`TooManyClasses`] when the search would take too long.
    ///
    /// # Panics
    /// When an entry of a target or a tolerance is missing, or a tolerance is not positive.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{IntegerMatrix, JointFit, fraction};
    /// let fit = JointFit::new(&IntegerMatrix::new(2, 1, [3, 2]), &IntegerMatrix::new(2, 0, [0; 0]));
    /// let apart = [vec![fraction(0, 1), fraction(1, 4)]];
    /// // 2 * 0 - 3 * 1/4 is 1/4 off an integer.
    /// assert_eq!(fit.is_within(&apart, vec![fraction(1, 20); 2]), Ok(true));
    /// assert_eq!(fit.is_within(&apart, vec![fraction(1, 21); 2]), Ok(false));
    /// ```
    pub fn is_within(&self, targets: &[Vec<Fraction>], tolerances: Vec<Fraction>) -> Result<bool, TooManyClasses> {
        // All that is within them counts as 1, so the first such fit ends the search.
        let (enough, parts) = (Fraction::one(), GivingWay::in_parts_of(tolerances));
        let more = &enough + Fraction::new(1.into(), BigInt::from(1) << 40);
        let found = JointSearch::new(self, targets, &parts, enough.clone()).below(&more)?;
        Ok(found.is_some_and(|v| v <= enough))
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
