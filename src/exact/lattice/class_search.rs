//! Which class of integer vectors has the smallest v, looked for without trying all?
//!
//! Method: branch and bound over the coordinates of a class in a basis of the dependencies that grows
//! row by row. The circuits of the rows so far bound the next coordinate from both sides; a class that
//! is already no nearer than the nearest one found is not followed further.
//! Source: Land and Doig (1960), "An automatic method of solving discrete programming problems",
//! Econometrica 28, 497-520, for the principle; v, class and circuit as in `lattice_norm`.

use super::circuits::{coordinates, last_row};
use super::integer_matrix::dot;
use crate::exact::rational::Fraction;
use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, Zero};
use thiserror::Error;

/// How many classes [`nearest_miss`](super::nearest_miss) looks at before it gives up,
/// those of the first rows alone included.
pub(super) const CLASS_LIMIT: u32 = 200_000;

/// Where the rows should meet integers, and how much each may be off.
///
/// # Examples
/// ```
/// use toothmark::exact::Target;
/// assert_eq!(Target::integers(3).tolerances.len(), 3);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Target {
    /// o: row i of `A u` should differ from `offset[i]` by an integer.
    pub offset: Vec<Fraction>,
    /// s, all positive: the error of row i counts as `error / tolerances[i]`.
    pub tolerances: Vec<Fraction>,
}

impl Target {
    /// Every one of `rows` rows should be an integer, and all errors count alike: o = 0, s = 1.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::Target;
    /// assert_eq!(Target::integers(1).offset, [toothmark::exact::fraction(0, 1)]);
    /// ```
    pub fn integers(rows: usize) -> Self {
        Self { offset: vec![Fraction::zero(); rows], tolerances: vec![Fraction::one(); rows] }
    }
}

/// What becomes of the class with v = 0, of which there is at most one (with o = 0 that of k = 0).
///
/// # Examples
/// ```
/// use num_traits::Zero;
/// use toothmark::exact::{ExactFit, IntegerMatrix, Target, nearest_miss};
/// let pair = IntegerMatrix::new(2, 1, [31, 29]);
/// let fit = nearest_miss(&pair, &Target::integers(2), ExactFit::Counted)?;
/// assert!(fit.is_some_and(|fit| fit.value.is_zero()));
/// # Ok::<(), toothmark::exact::TooManyClasses>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExactFit {
    /// It is a class like any other, and then the nearest.
    Counted,
    /// It is left out: only classes with v > 0 are looked for.
    LeftOut,
}

/// The search was given up: more than 200 000 classes would have to be looked at, those of the
/// first rows alone included.
///
/// # Examples
/// ```
/// use toothmark::exact::TooManyClasses;
/// assert_eq!(TooManyClasses.to_string(), "more than 200000 classes would have to be looked at");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("more than {CLASS_LIMIT} classes would have to be looked at")]
pub struct TooManyClasses;

/// What one circuit says about the coordinates y of a class: `v >= |factors . y| / weight`.
pub(super) struct Constraint {
    /// The circuit in the staircase basis up to its last coordinate other than zero, that one positive.
    factors: Vec<BigInt>,
    weight: Fraction,
}

/// The search through the coordinates `w = kernel k` of the classes, with `y = w + kernel o`.
///
/// The circuits that end with coordinate j are those of the first rows only, so the choices of the
/// first j coordinates are the classes of fewer rows, few as well, and v grows with every coordinate.
/// Every layer has a circuit, because every vector of the kernel is a sum of circuits whose supports
/// lie within its own.
pub(super) struct ClassSearch<'a> {
    layers: &'a [Vec<Constraint>],
    /// `kernel o`.
    shift: Vec<Fraction>,
    exact_fit: ExactFit,
    /// How many more coordinates may be tried.
    left: u32,
    /// Only classes with a smaller v are of interest; v of `found` once there is one.
    pub(super) bound: Fraction,
    /// w of the nearest class so far.
    pub(super) found: Option<Vec<BigInt>>,
    /// Where every class below the bound is wanted: v and w of each.
    pub(super) every: Option<Vec<(Fraction, Vec<BigInt>)>>,
}

/// For each coordinate the circuits that end with it.
pub(super) fn layers(
    kernel: &[Vec<BigInt>],
    circuits: &[Vec<BigInt>],
    tolerances: &[Fraction],
) -> Vec<Vec<Constraint>> {
    let mut layers: Vec<Vec<Constraint>> = kernel.iter().map(|_| Vec::new()).collect();
    for circuit in circuits {
        let mut factors = coordinates(kernel, circuit);
        let Some(last) = last_row(&factors) else {
            continue;
        };
        factors.truncate(last + 1);
        if factors[last].is_negative() {
            factors = factors.iter().map(|factor| -factor).collect();
        }
        // v >= |c.(k + o)| / sum |c_i| s_i, and c.(k + o) = factors . y with the coordinates `factors` of c.
        let sizes: Vec<BigInt> = circuit.iter().map(Signed::abs).collect();
        layers[last].push(Constraint { factors, weight: dot(&sizes, tolerances) });
    }
    layers
}

impl<'a> ClassSearch<'a> {
    pub(super) fn new(
        layers: &'a [Vec<Constraint>],
        kernel: &[Vec<BigInt>],
        target: &Target,
        exact_fit: ExactFit,
    ) -> Self {
        let shift = kernel.iter().map(|vector| dot(vector, &target.offset)).collect();
        // v < 1 / (2 max s): below that every error is under half, and the classes are the local minima.
        let widest = target.tolerances.iter().max().cloned().unwrap_or_else(Fraction::one);
        let bound = (widest * BigInt::from(2)).recip();
        Self { layers, shift, exact_fit, left: CLASS_LIMIT, bound, found: None, every: None }
    }

    /// Keeps every class whose v is below `bound`, instead of the nearest one alone.
    pub(super) fn for_every_class_below(mut self, bound: Fraction) -> Self {
        self.bound = self.bound.min(bound);
        self.every = Some(Vec::new());
        self
    }

    /// Tries every value of the next coordinate after `chosen`, whose classes have the v `value` on the
    /// rows so far, from the middle of the interval outwards.
    pub(super) fn extend(&mut self, chosen: &mut Vec<Fraction>, value: &Fraction) -> Result<(), TooManyClasses> {
        let Some(layer) = self.layers.get(chosen.len()) else {
            self.record(chosen, value);
            return Ok(());
        };
        let (mut first, mut last) = self.interval(layer, chosen);
        let middle = (&first + &last).div_floor(&BigInt::from(2));
        let mut distance = BigInt::zero();
        loop {
            let (below, above) = (&middle - &distance, &middle + &distance);
            if below < first && last < above {
                return Ok(());
            }
            let bound = self.bound.clone();
            if above <= last && first <= above {
                self.try_next(chosen, value, &above)?;
            }
            if below != above && first <= below && below <= last {
                self.try_next(chosen, value, &below)?;
            }
            // A nearer class was found: the interval shrinks around the same middle.
            if self.bound < bound {
                (first, last) = self.interval(layer, chosen);
            }
            distance += 1u32;
        }
    }

    fn try_next(
        &mut self,
        chosen: &mut Vec<Fraction>,
        value: &Fraction,
        candidate: &BigInt,
    ) -> Result<(), TooManyClasses> {
        self.left = self.left.checked_sub(1).ok_or(TooManyClasses)?;
        // The v of the rows so far is the greatest quotient of all circuits that end here or earlier.
        let layer = &self.layers[chosen.len()];
        chosen.push(&self.shift[chosen.len()] + candidate);
        let levels = layer.iter().map(|constraint| constraint.level(chosen));
        let longer = levels.fold(value.clone(), Fraction::max);
        if longer < self.bound {
            self.extend(chosen, &longer)?;
        }
        chosen.pop();
        Ok(())
    }

    /// The first and the last integer w for which the next coordinate keeps every quotient of its layer
    /// below the bound; the first is the greater one when there is none.
    fn interval(&self, layer: &[Constraint], chosen: &[Fraction]) -> (BigInt, BigInt) {
        let shift = &self.shift[chosen.len()];
        let ranges = layer.iter().map(|constraint| {
            let (last, earlier) = (&constraint.factors[chosen.len()], &constraint.factors[..chosen.len()]);
            // |earlier . y + last (w + shift)| < bound weight, solved for w; the ends are left out.
            let reach = &self.bound * &constraint.weight / last;
            let centre = -dot(earlier, chosen) / last - shift;
            let first = (&centre - &reach).floor().to_integer() + BigInt::one();
            (first, (centre + reach).ceil().to_integer() - BigInt::one())
        });
        ranges.reduce(|one, other| (one.0.max(other.0), one.1.min(other.1))).expect("every layer has a circuit")
    }

    fn record(&mut self, chosen: &[Fraction], value: &Fraction) {
        if value.is_zero() && self.exact_fit == ExactFit::LeftOut {
            return;
        }
        let coordinates = chosen.iter().zip(&self.shift).map(|(place, shift)| (place - shift).to_integer()).collect();
        if let Some(every) = &mut self.every {
            every.push((value.clone(), coordinates));
        } else {
            self.found = Some(coordinates);
            self.bound = value.clone();
        }
    }
}

impl Constraint {
    fn level(&self, chosen: &[Fraction]) -> Fraction {
        dot(&self.factors, chosen).abs() / &self.weight
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::lattice::circuits::{circuits, staircase};
    use crate::exact::{IntegerMatrix, fraction};

    /// Searches among the clusters of 31, 37 and 26 teeth with so many steps allowed.
    #[track_caller]
    fn check(left: u32, expected: &Result<Fraction, TooManyClasses>) {
        let matrix = IntegerMatrix::new(3, 1, [31, 37, 26]);
        let target = Target::integers(3);
        let kernel = staircase(&matrix);
        let layers = layers(&kernel, &circuits(&matrix), &target.tolerances);
        let mut search = ClassSearch::new(&layers, &kernel, &target, ExactFit::LeftOut);
        search.left = left;
        let end = search.extend(&mut Vec::new(), &Fraction::zero());
        assert_eq!(&end.map(|()| search.bound), expected, "with {left} steps");
    }

    #[test]
    fn a_search_that_takes_too_long_is_given_up() {
        check(5, &Err(TooManyClasses));
        check(CLASS_LIMIT, &Ok(fraction(5, 68)));
    }

    #[test]
    fn most_classes_are_not_looked_at() {
        // 31 + 37 + 26 classes have a v below 1/2, each with two coordinates.
        check(60, &Ok(fraction(5, 68)));
    }
}
