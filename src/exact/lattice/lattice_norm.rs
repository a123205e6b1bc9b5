//! Which integer vector k that is no fit of `A u = k + o` comes nearest to being one, and how near?
//!
//! For A an m x n integer matrix, o rational, tolerances `s_i > 0` and u free in R^n:
//! `v(k) = min_u max_i |(A u - k - o)_i| / s_i = max_c |c.(k + o)| / sum_i |c_i| s_i`, c running over
//! the circuits of A. No quotient exceeds v, for `c A = 0` gives `c.(k + o) = -c.(A u - k - o)`; by
//! duality v is the greatest c.(k + o) with `c A = 0`, `sum |c_i| s_i <= 1`, reached at a vertex, and
//! there c is a multiple of a circuit. Vectors k that differ by one of A R^n form a class with one v.
//! Source: Cheney (1966), "Introduction to Approximation Theory", chapter 2, for the duality;
//! Rockafellar (1969), "The elementary vectors of a subspace of R^N"; the classes: worked out here.

use super::circuits::{circuits, staircase};
use super::class_search::{ClassSearch, ExactFit, Target, TooManyClasses, layers};
use super::hermite::TriangularLattice;
use super::integer_matrix::{IntegerMatrix, dot};
use super::smith::SmithForm;
use crate::exact::rational::Fraction;
use num_bigint::BigInt;
use num_traits::{Signed, Zero};

/// A class of integer vectors with its nearness and its errors.
///
/// # Examples
/// ```
/// use toothmark::exact::{ExactFit, IntegerMatrix, Target, nearest_miss};
/// let pair = IntegerMatrix::new(2, 1, [59, 60]);
/// let miss = nearest_miss(&pair, &Target::integers(2), ExactFit::LeftOut)?.expect("two gears have a wrong seating");
/// assert_eq!(miss.value.to_string(), "1/119");
/// assert_eq!(miss.errors[0], -&miss.errors[1]);
/// # Ok::<(), toothmark::exact::TooManyClasses>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LatticeMiss {
    /// v: the greatest of `|errors[i]| / tolerances[i]`.
    pub value: Fraction,
    /// k, one entry for each row: of its class the vector whose first entry is nearest to zero (of two,
    /// the positive one), among those the one whose second is, and so on.
    pub class: Vec<BigInt>,
    /// `(A u - k - o)_i` at the best u. Where several u are best, the strict one: the greatest quotient
    /// error to tolerance is as small as can be, then the greatest among the rows that this does not
    /// determine, and so on; a row on which nothing depends has the error 0.
    pub errors: Vec<Fraction>,
}

/// The class of integer vectors k with the smallest v(k), among those with
/// `v < 1 / (2 max s_i)`; `None` when there is none.
///
/// `matrix` is A, m x n; its columns may be dependent. Below that bound every error is less than 1/2,
/// so `k_i` is the integer nearest to `(A u - o)_i`: the classes below the bound are just the local
/// minima of `max_i dist((A u - o)_i, Z) / s_i`. Of several classes with the same v any one may be
/// answered, the same in every call.
///
/// # Errors
/// [`TooManyClasses`] when the search would take too long.
///
/// # Panics
/// When an offset or a tolerance is missing, or a tolerance is not positive.
///
/// # Examples
/// ```
/// use toothmark::exact::{ExactFit, IntegerMatrix, Target, nearest_miss};
/// let cluster = IntegerMatrix::new(3, 1, [27, 33, 24]);
/// let miss = nearest_miss(&cluster, &Target::integers(3), ExactFit::LeftOut)?;
/// assert_eq!(miss.map(|miss| miss.value.to_string()), Some("3/19".to_owned()));
/// # Ok::<(), toothmark::exact::TooManyClasses>(())
/// ```
pub fn nearest_miss(
    matrix: &IntegerMatrix,
    target: &Target,
    exact_fit: ExactFit,
) -> Result<Option<LatticeMiss>, TooManyClasses> {
    check_shape(matrix, target);
    let kernel = staircase(matrix);
    let circuits = circuits(matrix);
    let layers = layers(&kernel, &circuits, &target.tolerances);
    let mut search = ClassSearch::new(&layers, &kernel, target, exact_fit);
    search.extend(&mut Vec::new(), &Fraction::zero())?;
    Ok(search.found.map(|coordinates| {
        let class = VectorClasses::new(&kernel, matrix.row_count()).representative(&coordinates);
        LatticeMiss::of(search.bound, class, &circuits, target)
    }))
}

/// Every class of integer vectors k with `0 < v(k) <= most` and `v(k) < 1/2`, all rows integers and all errors
/// alike: the positive local minima of `max_i dist((A u)_i, Z)` up to `most`.
///
/// Of k and -k, which mirror one another, only one is answered. The smallest v comes first.
///
/// # Errors
/// [`TooManyClasses`] when the search would take too long.
///
/// # Examples
/// ```
/// use toothmark::exact::{IntegerMatrix, fraction, misses_within};
/// let pair = IntegerMatrix::new(2, 1, [4, 3]);
/// let values: Vec<String> = misses_within(&pair, &fraction(1, 2))?.iter().map(|miss| miss.value.to_string()).collect();
/// assert_eq!(values, ["1/7", "2/7", "3/7"]);
/// # Ok::<(), toothmark::exact::TooManyClasses>(())
/// ```
pub fn misses_within(matrix: &IntegerMatrix, most: &Fraction) -> Result<Vec<LatticeMiss>, TooManyClasses> {
    let target = Target::integers(matrix.row_count());
    let kernel = staircase(matrix);
    let circuits = circuits(matrix);
    let layers = layers(&kernel, &circuits, &target.tolerances);
    // The search keeps what is below its bound; what is too much is left out again.
    let bound = most * Fraction::new(1025.into(), 1024.into());
    let mut search = ClassSearch::new(&layers, &kernel, &target, ExactFit::LeftOut).for_every_class_below(bound);
    search.extend(&mut Vec::new(), &Fraction::zero())?;
    let classes = VectorClasses::new(&kernel, matrix.row_count());
    let mut found = search.every.unwrap_or_default();
    found.retain(|(value, coordinates)| value <= most && leads_its_mirror_image(coordinates));
    found.sort();
    let found = found.into_iter().map(|(value, coordinates)| (value, classes.representative(&coordinates)));
    Ok(found.map(|(value, class)| LatticeMiss::of(value, class, &circuits, &target)).collect())
}

/// Of w and -w exactly one: the one whose first entry other than zero is positive.
fn leads_its_mirror_image(coordinates: &[BigInt]) -> bool {
    coordinates.iter().find(|coordinate| !coordinate.is_zero()).is_some_and(Signed::is_positive)
}

impl LatticeMiss {
    fn of(value: Fraction, class: Vec<BigInt>, circuits: &[Vec<BigInt>], target: &Target) -> Self {
        let errors = strict_errors(circuits, &class, target);
        Self { value, class, errors }
    }
}

fn check_shape(matrix: &IntegerMatrix, target: &Target) {
    assert_eq!(target.offset.len(), matrix.row_count(), "an offset for each row");
    assert_eq!(target.tolerances.len(), matrix.row_count(), "a tolerance for each row");
    assert!(target.tolerances.iter().all(Signed::is_positive), "tolerances are positive");
}

/// The way from the coordinates of a class to a vector of it.
struct VectorClasses {
    form: SmithForm,
    rows: usize,
    /// The differences of vectors of one class.
    within: TriangularLattice,
}

impl VectorClasses {
    fn new(kernel: &[Vec<BigInt>], rows: usize) -> Self {
        let matrix = IntegerMatrix::new(kernel.len(), rows, kernel.iter().flatten().cloned());
        let form = SmithForm::of(&matrix);
        let fraction_column = |at| form.right.column(at).into_iter().map(Fraction::from).collect();
        let within: Vec<Vec<Fraction>> = (kernel.len()..rows).map(fraction_column).collect();
        Self { rows, within: TriangularLattice::generated_by(&within), form }
    }

    /// A vector k of the class with `kernel k = coordinates`, reduced as [`LatticeMiss::class`] says.
    fn representative(&self, coordinates: &[BigInt]) -> Vec<BigInt> {
        // K k = w with U K V = D and k = V s. The kernel holds every integer vector of its span, so its invariant
        // factors are all 1: s = U w gives the first entries of s, and the other columns of V span the differences
        // within a class.
        let right: Vec<Fraction> = coordinates.iter().cloned().map(Fraction::from).collect();
        let separate: Vec<Fraction> = (0..coordinates.len()).map(|at| dot(self.form.left.row(at), &right)).collect();
        let some = (0..self.rows).map(|row| dot(self.form.right.row(row), &separate)).collect();
        self.within.nearest_to_zero(some).iter().map(|coordinate| coordinate.to_integer()).collect()
    }
}

/// The errors of the class of k at the strict best u.
///
/// The circuit whose quotient is greatest is tight: on it every error has the full size and the sign
/// that the factor has. These errors taken as known, the other rows pose the same question again, with
/// what is left of each circuit for its circuits (contraction of a matroid).
fn strict_errors(circuits: &[Vec<BigInt>], class: &[BigInt], target: &Target) -> Vec<Fraction> {
    let point: Vec<Fraction> = target.offset.iter().zip(class).map(|(offset, entry)| offset + entry).collect();
    let mut errors: Vec<Option<Fraction>> = vec![None; class.len()];
    loop {
        let levels =
            circuits.iter().filter_map(|circuit| Some((level(circuit, &point, &errors, &target.tolerances)?, circuit)));
        let Some((level, circuit)) = levels.max_by_key(|(level, _)| level.abs()) else {
            break;
        };
        // |c.e| <= sum |c_i| |e_i|, with equality only where every |e_i| is level s_i and has the sign of c_i.
        for (row, factor) in circuit.iter().enumerate().filter(|(_, factor)| !factor.is_zero()) {
            errors[row].get_or_insert_with(|| &level * &target.tolerances[row] * factor.signum());
        }
    }
    errors.into_iter().map(Option::unwrap_or_default).collect()
}

/// What a circuit leaves for each unit of tolerance of its rows that are still open; `None` where none is.
fn level(
    circuit: &[BigInt],
    point: &[Fraction],
    errors: &[Option<Fraction>],
    tolerances: &[Fraction],
) -> Option<Fraction> {
    // c.e = c.(A u - k - o) = -c.(k + o), of which the known errors take their share.
    let mut remainder = -dot(circuit, point);
    let mut weight = Fraction::zero();
    for (row, factor) in circuit.iter().enumerate() {
        match &errors[row] {
            Some(known) => remainder -= known * factor,
            None => weight += &tolerances[row] * factor.abs(),
        }
    }
    (!weight.is_zero()).then(|| remainder / weight)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    #[track_caller]
    fn check(matrix: &IntegerMatrix, target: &Target, value: Option<(i64, i64)>) {
        let miss = nearest_miss(matrix, target, ExactFit::LeftOut).expect("few classes");
        let expected = value.map(|(numerator, denominator)| fraction(numerator, denominator));
        assert_eq!(miss.map(|miss| miss.value), expected, "the nearest miss");
    }

    #[test]
    fn clusters_have_their_known_margins() {
        for (teeth, value) in [
            (vec![27, 33, 24], (3, 19)),
            (vec![31, 37, 26], (5, 68)),
            (vec![59, 60], (1, 119)),
            (vec![31, 29], (1, 60)),
            (vec![31, 29, 31, -29], (1, 60)),
        ] {
            let rows = teeth.len();
            check(&IntegerMatrix::new(rows, 1, teeth), &Target::integers(rows), Some(value));
        }
    }

    #[test]
    fn rows_that_always_agree_have_no_miss() {
        check(&IntegerMatrix::new(2, 1, [7, 7]), &Target::integers(2), None);
        check(&IntegerMatrix::new(1, 1, [7]), &Target::integers(1), None);
        check(&IntegerMatrix::new(2, 2, [7, 1, 3, 3]), &Target::integers(2), None);
    }

    #[test]
    fn equal_rows_with_different_offsets_share_the_difference() {
        let offset = vec![fraction(0, 1), fraction(1, 5)];
        let target = Target { offset, ..Target::integers(2) };
        check(&IntegerMatrix::new(2, 1, [7, 7]), &target, Some((1, 10)));
    }

    #[test]
    fn the_greater_tolerance_takes_the_greater_share() {
        let tolerances = vec![fraction(1, 10), fraction(1, 5)];
        let target = Target { tolerances, ..Target::integers(2) };
        let pair = IntegerMatrix::new(2, 1, [3, 2]);
        let miss = nearest_miss(&pair, &target, ExactFit::LeftOut).expect("few classes").expect("a miss");
        // The circuit is (2, -3): v = 1 / (2/10 + 3/5) = 5/4.
        assert_eq!(miss.value, fraction(5, 4), "one over the weighted sum");
        let sizes: Vec<Fraction> = miss.errors.iter().map(Signed::abs).collect();
        assert_eq!(sizes, [fraction(1, 8), fraction(1, 4)], "the tolerances times v");
    }
}
