//! The Smith form, congruences modulo 1 and the nearest miss against slow twins that are plainly right.
//!
//! Smith form: multiply out, take determinants. Congruences: try every point of a grid that must hold
//! the answer. Nearest miss: for one unknown, walk along the function and look at every local minimum;
//! for more unknowns, the errors prove that v is reached and a grid of points finds nothing below it.
//! The entries are small and favour common factors, equal rows and zeros.

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::Ratio;
use num_traits::{One, Signed, Zero};
use proptest::collection::vec;
use proptest::prelude::*;
use toothmark::exact::{
    Congruences, ExactFit, Fraction, IntegerMatrix, LatticeMiss, SmithForm, Target, circuits, fraction, nearest_miss,
};

use crate::support::random::cases;

type Small = Ratio<i64>;

fn exact(value: &Small) -> Fraction {
    fraction(*value.numer(), *value.denom())
}

fn dot(left: &[BigInt], right: &[Fraction]) -> Fraction {
    left.iter().zip(right).map(|(factor, value)| value * factor).sum()
}

/// The determinant by elimination without fractions (Bareiss 1968, from memory).
fn determinant(matrix: &IntegerMatrix) -> BigInt {
    let size = matrix.row_count();
    let mut work: Vec<Vec<BigInt>> = (0..size).map(|row| matrix.row(row).to_vec()).collect();
    let (mut sign, mut before) = (BigInt::one(), BigInt::one());
    for step in 0..size {
        let Some(pivot) = (step..size).find(|&row| !work[row][step].is_zero()) else {
            return BigInt::zero();
        };
        if pivot != step {
            work.swap(pivot, step);
            sign = -sign;
        }
        for row in step + 1..size {
            for column in step + 1..size {
                let cross = &work[row][column] * &work[step][step] - &work[row][step] * &work[step][column];
                work[row][column] = cross / &before;
            }
        }
        before.clone_from(&work[step][step]);
    }
    sign * before
}

/// Entries with many common factors, among them 0.
fn entry() -> impl Strategy<Value = i64> {
    prop_oneof![2 => -6i64..=6, 1 => prop::sample::select(vec![0, 12, -12, 18, 30, 45])]
}

/// A matrix of up to `rows` by `columns`; a last row may be a sum of earlier ones, so that the rank drops.
fn matrix(rows: usize, columns: usize) -> impl Strategy<Value = IntegerMatrix> {
    (1..=rows, 1..=columns, any::<bool>()).prop_flat_map(|(rows, columns, dependent)| {
        vec(entry(), rows * columns).prop_map(move |mut entries| {
            if dependent && rows > 1 {
                for column in 0..columns {
                    let earlier = (0..rows - 1).map(|row| entries[row * columns + column]);
                    entries[(rows - 1) * columns + column] = earlier.sum::<i64>() * 2;
                }
            }
            IntegerMatrix::new(rows, columns, entries)
        })
    })
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn the_smith_form_multiplies_out(matrix in matrix(5, 5)) {
        let form = SmithForm::of(&matrix);
        let product = form.left.multiply(&matrix).multiply(&form.right);
        for row in 0..matrix.row_count() {
            for column in 0..matrix.column_count() {
                let wanted = if row == column { form.diagonal[row].clone() } else { BigInt::zero() };
                prop_assert_eq!(product.get(row, column), &wanted, "U A V = D");
            }
        }
        prop_assert!(determinant(&form.left).abs().is_one(), "U is unimodular");
        prop_assert!(determinant(&form.right).abs().is_one(), "V is unimodular");
        prop_assert!(form.diagonal.iter().all(|factor| !factor.is_negative()), "no factor is negative");
        for pair in form.diagonal.windows(2) {
            prop_assert!(pair[1].is_multiple_of(&pair[0]), "{} divides {}", pair[0], pair[1]);
        }
    }

    #[test]
    fn dependencies_cancel_are_primitive_and_as_many_as_the_rank_leaves(matrix in matrix(5, 3)) {
        let dependencies = Congruences::new(&matrix).dependencies().to_vec();
        let rank = SmithForm::of(&matrix).rank();
        prop_assert_eq!(dependencies.len(), matrix.row_count() - rank, "m minus rank");
        for vector in dependencies.iter().chain(&circuits(&matrix)) {
            let row = IntegerMatrix::new(1, vector.len(), vector.clone());
            let product = row.multiply(&matrix);
            prop_assert!(product.row(0).iter().all(Zero::is_zero), "c A = 0");
            let common = vector.iter().fold(BigInt::zero(), |common, factor| common.gcd(factor));
            prop_assert!(common.is_one(), "c is primitive");
        }
        if !dependencies.is_empty() {
            // A basis of all whole vectors of the kernel, not of a part of them.
            let basis = IntegerMatrix::new(dependencies.len(), matrix.row_count(), dependencies.concat());
            prop_assert!(SmithForm::of(&basis).diagonal.iter().all(One::is_one), "saturated");
        }
    }
}

/// A small system with at most two unknowns, and right-hand sides over one denominator.
#[derive(Clone, Debug)]
struct System {
    rows: Vec<Vec<i64>>,
    columns: usize,
    tops: Vec<i64>,
    bottom: i64,
}

impl System {
    fn matrix(&self) -> IntegerMatrix {
        IntegerMatrix::new(self.rows.len(), self.columns, self.rows.concat())
    }

    fn right(&self) -> Vec<Fraction> {
        self.tops.iter().map(|&top| fraction(top, self.bottom)).collect()
    }

    /// A denominator that every solution has when the columns are independent (Cramer's rule on a
    /// minor), and that the canonical one has otherwise (one component is 0 then, and one equation
    /// determines the other).
    fn grid(&self) -> i64 {
        let entries = |column: usize| self.rows.iter().map(move |row| row[column]).filter(|&entry| entry != 0);
        let minors = (0..self.rows.len()).flat_map(|one| {
            (0..one).map(move |other| self.rows[one][0] * self.rows[other][1] - self.rows[one][1] * self.rows[other][0])
        });
        let minor = if self.columns == 2 { minors.map(i64::abs).filter(|&minor| minor != 0).min() } else { None };
        let single = || (0..self.columns).filter_map(|at| entries(at).map(i64::abs).min()).fold(1, |a, b| a.lcm(&b));
        self.bottom * minor.unwrap_or_else(single)
    }

    /// All solutions on the grid with components above -1/2 and at most 1/2, in units of the grid.
    fn solutions(&self) -> Vec<Vec<i64>> {
        let grid = self.grid();
        let span = || -(grid - 1) / 2..=grid / 2;
        let fits = |point: &Vec<i64>| {
            self.rows.iter().zip(&self.tops).all(|(row, top)| {
                let sum: i64 = row.iter().zip(point).map(|(entry, component)| entry * component).sum();
                (sum - top * (grid / self.bottom)).rem_euclid(grid) == 0
            })
        };
        let points: Vec<Vec<i64>> = if self.columns == 1 {
            span().map(|first| vec![first]).collect()
        } else {
            span().flat_map(|first| span().map(move |second| vec![first, second])).collect()
        };
        points.into_iter().filter(fits).collect()
    }
}

fn system() -> impl Strategy<Value = System> {
    let tooth = prop_oneof![3 => -5i64..=5, 1 => prop::sample::select(vec![0, 6, -6])];
    (1..=3usize, 1..=2usize, prop::sample::select(vec![1i64, 2, 3, 4, 6])).prop_flat_map(
        move |(rows, columns, bottom)| {
            let row = vec(tooth.clone(), columns);
            (vec(row, rows), vec(-6i64..=6, rows), vec(0i64..12, columns), any::<bool>()).prop_map(
                move |(rows, tops, point, solvable)| {
                    // Half of the systems are made from a solution, or too few would have one.
                    let from = |row: &Vec<i64>| row.iter().zip(&point).map(|(entry, place)| entry * place).sum();
                    let tops = if solvable { rows.iter().map(from).collect() } else { tops };
                    System { rows, columns, tops, bottom }
                },
            )
        },
    )
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn the_canonical_solution_is_the_best_of_all_points_tried(system in system()) {
        let prepared = Congruences::new(&system.matrix());
        let right = system.right();
        let tried = system.solutions();
        match prepared.solve(&right) {
            Ok(solution) => {
                let nearness = |point: &&Vec<i64>| {
                    point.iter().map(|&component| (component.abs(), component < 0)).collect::<Vec<_>>()
                };
                let best = tried.iter().min_by_key(nearness).expect("the grid holds the canonical solution");
                let best: Vec<Fraction> = best.iter().map(|&component| fraction(component, system.grid())).collect();
                prop_assert_eq!(solution, best, "nearest to zero");
                if let Some(count) = prepared.solutions_modulo_one() {
                    prop_assert_eq!(count, BigInt::from(tried.len()), "as many as were found");
                }
            }
            Err(refusal) => {
                prop_assert!(tried.is_empty(), "nothing found either");
                let row = IntegerMatrix::new(1, right.len(), refusal.combination.clone());
                let product = row.multiply(&system.matrix());
                prop_assert!(product.row(0).iter().all(Zero::is_zero), "the left-hand sides cancel");
                let left_over = dot(&refusal.combination, &right) - &refusal.fraction;
                prop_assert!(left_over.is_integer(), "the fraction is what is left");
                prop_assert!(!refusal.fraction.is_integer(), "and it is not whole");
                prop_assert!(refusal.fraction.abs() <= fraction(1, 2), "nor more than a half");
            }
        }
    }

    #[test]
    fn a_larger_system_is_solved_where_it_can_be(
        matrix in matrix(5, 4),
        point in vec((-30i64..30, prop::sample::select(vec![1i64, 2, 3, 4, 5, 12])), 4),
    ) {
        let point: Vec<Fraction> = point.iter().map(|&(top, bottom)| fraction(top, bottom)).collect();
        let right: Vec<Fraction> = (0..matrix.row_count()).map(|row| dot(matrix.row(row), &point)).collect();
        let solution = Congruences::new(&matrix).solve(&right).expect("made from a solution");
        prop_assert_eq!(solution.len(), matrix.column_count(), "a component for each unknown");
        for (row, wanted) in right.iter().enumerate() {
            prop_assert!((dot(matrix.row(row), &solution) - wanted).is_integer(), "equation {row}");
        }
        for component in &solution {
            prop_assert!(*component > fraction(-1, 2) && *component <= fraction(1, 2), "{component} lies within");
        }
    }

    #[test]
    fn the_divisor_says_which_multiples_of_a_direction_can_be_solved(
        matrix in matrix(4, 2),
        direction in vec(-20i64..20, 4),
        top in 1i64..60,
        bottom in 1i64..60,
    ) {
        let prepared = Congruences::new(&matrix);
        let direction: Vec<BigInt> = direction.iter().take(matrix.row_count()).map(|&entry| entry.into()).collect();
        let divisor = prepared.divisor(&direction);
        prop_assert!(!divisor.is_negative(), "the divisor is not negative");
        let mut multiples = vec![fraction(top, bottom)];
        if !divisor.is_zero() {
            // The smallest step that can be solved, and one that just cannot.
            multiples.push(Fraction::new(BigInt::from(top), divisor.clone()));
            multiples.push(Fraction::new(BigInt::from(top), &divisor * 2u32));
        }
        for multiple in multiples {
            let right: Vec<Fraction> = direction.iter().map(|entry| &multiple * entry).collect();
            let whole = (&multiple * &divisor).is_integer();
            prop_assert_eq!(prepared.solve(&right).is_ok(), whole, "{} times the direction", multiple);
        }
    }
}

/// One unknown: `f(u) = max_i dist(a_i u - o_i, Z) / s_i` over one period.
#[derive(Clone, Debug)]
struct Line {
    teeth: Vec<i64>,
    offset: Vec<Small>,
    tolerances: Vec<Small>,
}

impl Line {
    fn height(&self, place: Small) -> Small {
        let rows = self.teeth.iter().zip(&self.offset).zip(&self.tolerances);
        let heights = rows.map(|((&teeth, offset), tolerance)| {
            let value = place * teeth - offset;
            (value - value.round()).abs() / tolerance
        });
        heights.max().expect("at least one row")
    }

    /// Every place in [0, 1) where the slope of f may change: a row at a whole or a half number, or
    /// two rows with equal quotients.
    fn breakpoints(&self) -> Vec<Small> {
        let mut places = Vec::new();
        for (one, &teeth) in self.teeth.iter().enumerate() {
            let steps = -2 * teeth.abs() - 2..=2 * teeth.abs() + 2;
            places.extend(steps.map(|step| (Small::new(step, 2) + self.offset[one]) / teeth));
            for other in 0..one {
                let scale = self.tolerances[other] / self.tolerances[one];
                for sign in [1, -1] {
                    // (a u - o - j) scale = sign (a' u - o' - j')
                    let slope = scale * teeth - Small::from(sign * self.teeth[other]);
                    if slope.is_zero() {
                        continue;
                    }
                    for first in -teeth.abs() - 1..=teeth.abs() + 1 {
                        for second in -self.teeth[other].abs() - 1..=self.teeth[other].abs() + 1 {
                            let level = scale * (self.offset[one] + first) - (self.offset[other] + second) * sign;
                            places.push(level / slope);
                        }
                    }
                }
            }
        }
        places.retain(|place| !place.is_negative() && *place < Small::one());
        places.sort_unstable();
        places.dedup();
        places
    }

    /// The smallest local minimum of f that lies below the bound; f is nowhere flat, because no row is 0.
    fn smallest_minimum(&self, exact_fit: ExactFit) -> Option<Small> {
        let heights: Vec<Small> = self.breakpoints().into_iter().map(|place| self.height(place)).collect();
        let count = heights.len();
        let minima = (0..count)
            .filter(|&at| heights[at] <= heights[(at + 1) % count] && heights[at] <= heights[(at + count - 1) % count]);
        let widest = self.tolerances.iter().max().expect("at least one row");
        minima
            .map(|at| heights[at])
            .filter(|height| *height * 2 * widest < Small::one())
            .filter(|height| exact_fit == ExactFit::Counted || !height.is_zero())
            .min()
    }
}

fn line() -> impl Strategy<Value = Line> {
    let teeth = prop_oneof![2 => 1i64..=12, 1 => prop::sample::select(vec![-12i64, -8, -6, 6, 9, 10])];
    let offsets = prop::sample::select(vec![(0i64, 1i64), (0, 1), (1, 2), (1, 3), (-1, 4), (2, 5)]);
    let tolerances = prop::sample::select(vec![(1i64, 1i64), (1, 1), (1, 2), (2, 3)]);
    (1..=4usize, any::<bool>(), any::<bool>()).prop_flat_map(move |(rows, shifted, weighted)| {
        let parts = (vec(teeth.clone(), rows), vec(offsets.clone(), rows), vec(tolerances.clone(), rows));
        parts.prop_map(move |(teeth, offset, tolerances)| Line {
            teeth,
            offset: offset.into_iter().map(|part| if shifted { part.into() } else { Small::zero() }).collect(),
            tolerances: tolerances.into_iter().map(|part| if weighted { part.into() } else { Small::one() }).collect(),
        })
    })
}

/// The errors are reached by some u and are nowhere greater than v, and somewhere as great.
fn errors_prove_the_value(matrix: &IntegerMatrix, target: &Target, miss: &LatticeMiss) -> Result<(), TestCaseError> {
    let reached: Vec<Fraction> =
        (0..matrix.row_count()).map(|row| &target.offset[row] + &miss.class[row] + &miss.errors[row]).collect();
    for combination in Congruences::new(matrix).dependencies() {
        prop_assert!(dot(combination, &reached).is_zero(), "k + o + errors lies in the column space");
    }
    let levels = miss.errors.iter().zip(&target.tolerances).map(|(error, tolerance)| error.abs() / tolerance);
    prop_assert_eq!(levels.max(), Some(miss.value.clone()), "the greatest error is v");
    Ok(())
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn the_nearest_miss_of_one_unknown_is_the_smallest_local_minimum(line in line()) {
        let rows = line.teeth.len();
        let matrix = IntegerMatrix::new(rows, 1, line.teeth.clone());
        let target = Target {
            offset: line.offset.iter().map(exact).collect(),
            tolerances: line.tolerances.iter().map(exact).collect(),
        };
        for exact_fit in [ExactFit::Counted, ExactFit::LeftOut] {
            let miss = nearest_miss(&matrix, &target, exact_fit).expect("few classes");
            let expected = line.smallest_minimum(exact_fit).map(|value| exact(&value));
            prop_assert_eq!(miss.as_ref().map(|miss| miss.value.clone()), expected, "{:?}", exact_fit);
            if let Some(miss) = miss {
                errors_prove_the_value(&matrix, &target, &miss)?;
            }
        }
    }
}

/// On a grid of u, in units of 1/252 (the denominators of the offsets divide it), every class that comes
/// nearer than `value` has to be the exact fit.
fn nothing_is_nearer(rows: &[(i64, i64)], offset: &[Small], value: &Fraction) -> Result<(), TestCaseError> {
    let grid = 252;
    let matrix = plane(rows);
    let kernel = Congruences::new(&matrix).dependencies().to_vec();
    for first in (0..grid).step_by(4) {
        for second in (0..grid).step_by(4) {
            let at =
                |(row, offset): (&(i64, i64), &Small)| row.0 * first + row.1 * second - (offset * grid).to_integer();
            let places: Vec<i64> = rows.iter().zip(offset).map(at).collect();
            let whole: Vec<i64> = places.iter().map(|place| (place + grid / 2).div_euclid(grid)).collect();
            let errors = places.iter().zip(&whole).map(|(place, whole)| (place - whole * grid).abs());
            if fraction(errors.max().expect("at least two rows"), grid) < *value {
                let point: Vec<Fraction> =
                    offset.iter().zip(&whole).map(|(entry, whole)| exact(&(entry + whole))).collect();
                let fits = kernel.iter().all(|combination| dot(combination, &point).is_zero());
                prop_assert!(fits, "u = ({}, {}) / {} is nearer and no exact fit", first, second, grid);
            }
        }
    }
    Ok(())
}

fn plane(rows: &[(i64, i64)]) -> IntegerMatrix {
    IntegerMatrix::new(rows.len(), 2, rows.iter().flat_map(|&(first, second)| [first, second]))
}

proptest! {
    #![proptest_config(cases(96))]

    #[test]
    fn nothing_lies_below_the_nearest_miss_of_two_unknowns(
        rows in vec((-6i64..=6, -6i64..=6), 2..=5),
        offset in vec(prop::sample::select(vec![(0i64, 1i64), (0, 1), (1, 2), (1, 3)]), 5),
    ) {
        let offset: Vec<Small> = offset[..rows.len()].iter().map(|&part| part.into()).collect();
        let target = Target { offset: offset.iter().map(exact).collect(), ..Target::integers(rows.len()) };
        let matrix = plane(&rows);
        let miss = nearest_miss(&matrix, &target, ExactFit::LeftOut).expect("few classes");
        if let Some(miss) = &miss {
            errors_prove_the_value(&matrix, &target, miss)?;
            prop_assert!(miss.value.is_positive() && miss.value < fraction(1, 2), "v lies within its bounds");
        }
        nothing_is_nearer(&rows, &offset, &miss.map_or(fraction(1, 2), |miss| miss.value))?;
    }
}

/// A cluster of which two gears mesh with one ratio and a third disagrees too was told to miss by all three: of what is
/// violated the shortest is told, wherever it stands in the list.
#[test]
fn a_refusal_names_the_fewest_equations() {
    // x = 0, y = 0, x + y = 1/3 and x = 1/2: the first and the last contradict one another, and so do the first three.
    let equations = [([1, 0], (0, 1)), ([0, 1], (0, 1)), ([1, 1], (1, 3)), ([1, 0], (1, 2))];
    let orders = [[0, 1, 2, 3], [3, 2, 1, 0], [0, 3, 1, 2], [1, 2, 0, 3], [2, 0, 3, 1]];
    let mut longer_ones_first = 0;
    for order in orders {
        let rows = order.map(|at| equations[at]);
        let matrix = IntegerMatrix::new(4, 2, rows.iter().flat_map(|(row, _)| *row));
        let right = rows.map(|(_, (numerator, denominator))| fraction(numerator, denominator));
        let system = Congruences::new(&matrix);
        let length = |combination: &[BigInt]| combination.iter().filter(|factor| !factor.is_zero()).count();
        let is_violated = |combination: &&Vec<BigInt>| !dot(combination, &right).is_integer();
        let violated: Vec<usize> =
            system.dependencies().iter().filter(is_violated).map(|combination| length(combination)).collect();
        longer_ones_first += usize::from(violated.first() > violated.iter().min());
        let refusal = system.solve(&right).expect_err("they contradict one another");
        assert_eq!(Some(&length(&refusal.combination)), violated.iter().min(), "{order:?}: {violated:?}");
        assert_eq!(refusal.fraction.denom(), dot(&refusal.combination, &right).denom(), "{order:?}");
    }
    assert!(longer_ones_first > 0, "the shortest is not always the first, so that the choice is seen");
}
