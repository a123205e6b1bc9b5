//! Is there a `t` with `A t = b (mod 1)`, which one lies nearest to zero, and if there is none, which
//! equations contradict each other?
//!
//! Method: with the Smith form `U A V = D` and `t = V s` the equations fall apart into
//! `d_i s_i = (U b)_i (mod 1)`. Where `d_i` is zero the right-hand side has to be an integer, elsewhere
//! `s_i` may be read off. All solutions follow by adding the lattice `{t : A t integer}`, whose echelon
//! basis picks the canonical one.
//! Source: Smith (1861), "On systems of linear indeterminate equations and congruences", Phil. Trans.
//! Roy. Soc. 151, 293-326; the canonical choice among the solutions: worked out here.

use super::hermite::{TriangularLattice, hermite_basis, leading};
use super::integer_matrix::{IntegerMatrix, dot};
use super::smith::SmithForm;
use crate::exact::fraction::nearest_zero;
use crate::exact::rational::Fraction;
use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::Zero;
use thiserror::Error;

/// Why `A t = b (mod 1)` has no solution: a combination of the equations whose left-hand sides cancel
/// and whose right-hand sides do not.
///
/// # Examples
/// ```
/// use toothmark::exact::{Congruences, IntegerMatrix, fraction};
/// let system = Congruences::new(&IntegerMatrix::new(2, 1, [2, 2]));
/// let refusal = system.solve(&[fraction(1, 2), fraction(0, 1)]).unwrap_err();
/// assert_eq!(refusal.combination, [1.into(), (-1).into()]);
/// assert_eq!(refusal.fraction, fraction(1, 2));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("the equations times ({}) cancel on the left and leave {fraction} on the right", listed(combination))]
pub struct Inconsistency {
    /// The integer factors c of the equations, one for each, with `c A = 0`.
    pub combination: Vec<BigInt>,
    /// By how much `c b` misses the nearest integer: above -1/2, at most 1/2, never zero.
    pub fraction: Fraction,
}

fn listed(factors: &[BigInt]) -> String {
    factors.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

/// The left-hand sides of a system `A t = b (mod 1)`, A an m x n integer matrix, prepared for any
/// number of right-hand sides b.
///
/// # Examples
/// A body with 28, 34 and 25 teeth that has to show 22/3, 28/3 and 31/3 of a tooth at once:
/// ```
/// use toothmark::exact::{Congruences, IntegerMatrix, fraction};
/// let system = Congruences::new(&IntegerMatrix::new(3, 1, [28, 34, 25]));
/// let right = [22, 28, 31].map(|thirds| fraction(thirds, 3));
/// assert_eq!(system.solve(&right), Ok(vec![fraction(1, 3)]));
/// ```
#[derive(Clone, Debug)]
pub struct Congruences {
    smith: SmithForm,
    /// Echelon basis of the left kernel of A over the integers.
    dependencies: Vec<Vec<BigInt>>,
    /// Echelon basis of the right kernel W of A: directions in which t is free.
    free: Vec<Vec<BigInt>>,
    /// `{t : A t integer}` cut by W to zero wherever a vector of `free` has its pivot.
    period: TriangularLattice,
}

impl Congruences {
    /// Prepares the system with the left-hand sides `matrix` (m equations, n unknowns).
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Congruences, IntegerMatrix};
    /// let system = Congruences::new(&IntegerMatrix::new(1, 2, [4, 6]));
    /// assert!(system.dependencies().is_empty());
    /// ```
    pub fn new(matrix: &IntegerMatrix) -> Self {
        let smith = SmithForm::of(matrix);
        let rank = smith.rank();
        let unknowns = matrix.column_count();
        // A v_i = 0 for the columns v_i of V beyond the rank, and they are a basis of the right kernel.
        let free = hermite_basis((rank..unknowns).map(|at| smith.right.column(at)).collect());
        let generators: Vec<Vec<Fraction>> = (0..rank).map(|at| without_free(&free, period_of(&smith, at))).collect();
        Self {
            dependencies: hermite_basis(smith.left_kernel()),
            free,
            period: TriangularLattice::generated_by(&generators),
            smith,
        }
    }

    /// The canonical solution t of `A t = right (mod 1)`, one component for each unknown.
    ///
    /// Among all rational solutions it is the one whose first component is nearest to zero (of two
    /// equally near, the positive one), among those the one whose second component is, and so on.
    /// Every component lies above -1/2 and at most at 1/2. A component that the equations and the
    /// components before it leave entirely free is 0.
    ///
    /// # Errors
    /// An [`Inconsistency`] when there is no solution: of the violated [`Self::dependencies`] the one that
    /// involves the fewest equations, of several the first.
    ///
    /// # Panics
    /// When `right` has not as many entries as there are equations.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Congruences, IntegerMatrix, fraction};
    /// let system = Congruences::new(&IntegerMatrix::new(1, 1, [3]));
    /// assert_eq!(system.solve(&[fraction(1, 2)]), Ok(vec![fraction(1, 6)])); // not 1/2, not -1/6
    /// let system = Congruences::new(&IntegerMatrix::new(1, 2, [3, 3]));
    /// assert_eq!(system.solve(&[fraction(1, 2)]), Ok(vec![fraction(0, 1), fraction(1, 6)]));
    /// ```
    pub fn solve(&self, right: &[Fraction]) -> Result<Vec<Fraction>, Inconsistency> {
        if let Some(refusal) = self.refusal(right) {
            return Err(refusal);
        }
        // s_i = (U b)_i / d_i, then t = V s.
        let separate: Vec<Fraction> =
            (0..self.smith.rank()).map(|at| dot(self.smith.left.row(at), right) / &self.smith.diagonal[at]).collect();
        // Only as many unknowns s as the rank; the others stay 0, `dot` stops at the shorter side.
        let unknowns = self.smith.right.row_count();
        let solution = (0..unknowns).map(|at| dot(self.smith.right.row(at), &separate)).collect();
        Ok(self.period.nearest_to_zero(without_free(&self.free, solution)))
    }

    fn refusal(&self, right: &[Fraction]) -> Option<Inconsistency> {
        assert_eq!(right.len(), self.smith.left.row_count(), "one right-hand side for each equation");
        let violated = self.dependencies.iter().filter_map(|combination| {
            let value = dot(combination, right);
            let fraction = nearest_zero(&value);
            (!fraction.is_zero()).then(|| Inconsistency { combination: combination.clone(), fraction })
        });
        violated.min_by_key(|refusal| refusal.combination.iter().filter(|factor| !factor.is_zero()).count())
    }

    /// How many solutions modulo 1 every solvable right-hand side has: the product of the invariant
    /// factors `d_1 ... d_n`; `None` when the columns of A are dependent, for then there are infinitely
    /// many.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Congruences, IntegerMatrix};
    /// let count = |matrix| Congruences::new(&matrix).solutions_modulo_one();
    /// assert_eq!(count(IntegerMatrix::new(3, 1, [27, 33, 24])), Some(3.into()));
    /// assert_eq!(count(IntegerMatrix::new(1, 2, [27, 33])), None);
    /// ```
    pub fn solutions_modulo_one(&self) -> Option<BigInt> {
        // V is unimodular, so t modulo 1 is s modulo 1, and d_i s_i = 0 (mod 1) has d_i solutions.
        self.free.is_empty().then(|| self.smith.diagonal.iter().product())
    }

    /// The lattice `{t : A t integer}` by which solutions differ, with as many basis vectors as A has columns;
    /// `None` when the columns of A are dependent, for then it is no lattice.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Congruences, IntegerMatrix, fraction};
    /// let system = Congruences::new(&IntegerMatrix::new(3, 1, [27, 33, 24]));
    /// assert_eq!(system.period().unwrap().basis(), [[fraction(1, 3)]]);
    /// ```
    pub fn period(&self) -> Option<&TriangularLattice> {
        self.free.is_empty().then_some(&self.period)
    }

    /// The divisor of a direction: the number `D >= 0` for which `A t = x direction (mod 1)` can be
    /// solved, x rational, if and only if `D x` is an integer; 0 when it can be solved for every x.
    ///
    /// # Panics
    /// When `direction` has not as many entries as there are equations.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Congruences, IntegerMatrix};
    /// let cluster = Congruences::new(&IntegerMatrix::new(3, 1, [31, 37, 26]));
    /// assert_eq!(cluster.divisor(&[26.into(), 20.into(), 31.into()]), 57.into());
    /// ```
    pub fn divisor(&self, direction: &[BigInt]) -> BigInt {
        assert_eq!(direction.len(), self.smith.left.row_count(), "one entry for each equation");
        // Solvable means that x (c . direction) is an integer for every c of a basis of the left kernel.
        // If x D is an integer for the greatest common divisor D of these numbers, so is x times each of
        // them. Conversely D is an integer combination of them (Bezout), so if x times each is an integer,
        // x D is. The divisor is the same for every basis of the same lattice.
        let numbers = self.dependencies.iter().map(|combination| product(combination, direction));
        numbers.fold(BigInt::zero(), |common, number| common.gcd(&number))
    }

    /// A basis of `{c in Z^m : c A = 0}`: m minus rank vectors in echelon form, each primitive (its
    /// entries have no common divisor), of which every integer c with `c A = 0` is an integer combination.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Congruences, IntegerMatrix};
    /// let system = Congruences::new(&IntegerMatrix::new(2, 1, [27, 33]));
    /// assert_eq!(system.dependencies(), [[11.into(), (-9).into()]]);
    /// ```
    pub fn dependencies(&self) -> &[Vec<BigInt>] {
        // Primitive, because a vector of the kernel divided by a common divisor is in the kernel too.
        &self.dependencies
    }
}

/// `v_i / d_i`, a generator of `{t : A t integer}`: `A v_i = d_i times column i of the inverse of U`, an integer vector.
fn period_of(smith: &SmithForm, at: usize) -> Vec<Fraction> {
    smith.right.column(at).into_iter().map(|entry| Fraction::new(entry, smith.diagonal[at].clone())).collect()
}

/// The sum of `left_i * right_i`.
fn product(left: &[BigInt], right: &[BigInt]) -> BigInt {
    left.iter().zip(right).map(|(factor, entry)| factor * entry).sum()
}

/// `point` moved along the free directions until it is zero at all their pivots.
///
/// The canonical solution is zero there: once the components before a pivot are chosen, its own free
/// direction still reaches every value, 0 included, and directions with later pivots do not touch it.
fn without_free(free: &[Vec<BigInt>], mut point: Vec<Fraction>) -> Vec<Fraction> {
    for direction in free {
        let Some(pivot) = leading(direction) else {
            continue;
        };
        let factor = &point[pivot] / &direction[pivot];
        for (entry, change) in point.iter_mut().zip(direction) {
            *entry -= &factor * change;
        }
    }
    point
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    fn fractions(parts: &[(i64, i64)]) -> Vec<Fraction> {
        parts.iter().map(|&(numerator, denominator)| fraction(numerator, denominator)).collect()
    }

    /// The rows of the matrix are as many as the right-hand sides, its columns as the components.
    #[track_caller]
    fn check(entries: &[i64], right: &[(i64, i64)], solution: &[(i64, i64)]) {
        let matrix = IntegerMatrix::new(right.len(), solution.len(), entries.iter().copied());
        let answer = Congruences::new(&matrix).solve(&fractions(right));
        assert_eq!(answer, Ok(fractions(solution)), "the canonical solution");
    }

    #[test]
    fn of_two_equally_near_solutions_the_positive_one_is_taken() {
        check(&[1], &[(1, 2)], &[(1, 2)]);
        check(&[-2], &[(1, 2)], &[(1, 4)]);
    }

    #[test]
    fn free_components_are_zero_and_the_others_nearest_to_it() {
        check(&[0, 4], &[(3, 4)], &[(0, 1), (-1, 16)]);
        check(&[4, 0], &[(3, 4)], &[(-1, 16), (0, 1)]);
        check(&[1, 1, 0, 0, 1, 2], &[(1, 3), (1, 5)], &[(0, 1), (1, 3), (-1, 15)]);
        check(&[0, 0], &[(2, 1)], &[(0, 1), (0, 1)]);
        check(&[], &[], &[(0, 1), (0, 1)]);
    }

    #[test]
    fn a_system_without_unknowns_asks_for_integer_right_hand_sides() {
        check(&[], &[(5, 1)], &[]);
        let none = Congruences::new(&IntegerMatrix::new(1, 0, [0; 0]));
        let refusal = none.solve(&[fraction(2, 3)]).expect_err("2/3 is not an integer");
        assert_eq!(refusal.fraction, fraction(-1, 3), "it misses 1 by a third");
    }
}
