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
use num_traits::One;

use super::class_search::TooManyClasses;
use super::integer_matrix::IntegerMatrix;
use super::joint_rows::{GivingWay, JointRows};
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
    rows: JointRows,
}

impl JointFit {
    /// Prepares A, the columns of each `u_k`, and C, those of y.
    ///
    /// # Panics
    /// When A and C have not as many rows.
    pub fn new(own: &IntegerMatrix, shared: &IntegerMatrix) -> Self {
        Self { rows: JointRows::new(own, shared) }
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
        JointSearch::new(&self.rows, targets, giving_way, giving_way.floor()).in_rounds(below)
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
        let found = JointSearch::new(&self.rows, targets, &parts, enough.clone()).below(&more)?;
        Ok(found.is_some_and(|v| v <= enough))
    }
}
