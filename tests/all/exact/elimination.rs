//! Is the exact solver right, against a slow twin that is plainly so?
//!
//! The twin writes every condition as a row, brings the dense matrix to reduced row
//! echelon form over the rationals, and reads every answer off a basis of its kernel.
//! Random systems favour small coefficients, repeated rows, loops of equalities and
//! coefficients at the ends of the machine word.

use num_bigint::BigInt;
use num_traits::{One, Zero};
use proptest::prelude::*;
use proptest::sample::select;
use toothmark::exact::Fraction;
use toothmark::exact::{Conditions, Dependencies, Equality, Equation, LinearSystem, Solution, Term, fraction};

use crate::support::random::cases;

pub(crate) type Matrix = Vec<Vec<Fraction>>;

fn dense_row(equation: &Equation, unknowns: usize) -> Vec<Fraction> {
    let mut row = vec![Fraction::zero(); unknowns];
    for term in equation.terms() {
        row[term.unknown] += Fraction::from(BigInt::from(term.coefficient));
    }
    row
}

fn difference(equality: Equality) -> Equation {
    [Term::of(1, equality.left), Term::of(-1, equality.right)].into_iter().collect()
}

/// Unknown 0 is zero, and the equalities.
fn rows_of_equalities(equalities: &[Equality], unknowns: usize) -> Matrix {
    let zero: Equation = [Term::of(1, 0)].into_iter().collect();
    let mut rows = vec![dense_row(&zero, unknowns)];
    rows.extend(equalities.iter().map(|&equality| dense_row(&difference(equality), unknowns)));
    rows
}

/// Brings the matrix to reduced row echelon form; returns its pivot columns.
pub(crate) fn reduce(matrix: &mut Matrix, columns: usize) -> Vec<usize> {
    let mut pivots = Vec::new();
    for column in 0..columns {
        let done = pivots.len();
        let Some(found) = (done..matrix.len()).find(|&row| !matrix[row][column].is_zero()) else {
            continue;
        };
        matrix.swap(done, found);
        let scale = matrix[done][column].clone();
        matrix[done].iter_mut().for_each(|value| *value /= &scale);
        let pivot = matrix[done].clone();
        for (index, row) in matrix.iter_mut().enumerate() {
            if index != done && !row[column].is_zero() {
                let factor = row[column].clone();
                row.iter_mut().zip(&pivot).for_each(|(value, above)| *value -= &factor * above);
            }
        }
        pivots.push(column);
    }
    pivots
}

fn rank(mut matrix: Matrix, columns: usize) -> usize {
    reduce(&mut matrix, columns).len()
}

/// One vector for each column without pivot.
pub(crate) fn kernel(mut matrix: Matrix, columns: usize) -> Matrix {
    let pivots = reduce(&mut matrix, columns);
    let free = (0..columns).filter(|column| !pivots.contains(column));
    free.map(|free| {
        let mut vector = vec![Fraction::zero(); columns];
        vector[free] = Fraction::one();
        for (row, &pivot) in pivots.iter().enumerate() {
            vector[pivot] = -matrix[row][free].clone();
        }
        vector
    })
    .collect()
}

fn slow_solution(case: &Case) -> Solution {
    let Case { unknowns, ref conditions, .. } = *case;
    let mut matrix = rows_of_equalities(&conditions.equalities, unknowns);
    let equations = case.equations.iter().chain(&conditions.equations);
    matrix.extend(equations.map(|equation| dense_row(equation, unknowns)));
    let basis = kernel(matrix, unknowns);
    let driver = conditions.driver;
    let Some(turning) = basis.iter().find(|vector| !vector[driver].is_zero()) else {
        let values = vec![None; unknowns];
        return Solution { driver_can_turn: false, values, freedom: basis.len() };
    };
    // An unknown is determined if it is the same multiple of the driver all over the kernel.
    let values = (0..unknowns).map(|unknown| {
        let multiple = &turning[unknown] / &turning[driver];
        let holds = |vector: &Vec<Fraction>| vector[unknown] == &multiple * &vector[driver];
        basis.iter().all(holds).then_some(multiple)
    });
    Solution { driver_can_turn: true, values: values.collect(), freedom: basis.len() - 1 }
}

fn slow_dependencies(case: &Case) -> Dependencies {
    let unknowns = case.unknowns;
    let merged = rows_of_equalities(&case.conditions.equalities, unknowns);
    let rank_without = |left_out: Option<usize>| {
        let kept = case.equations.iter().enumerate();
        let kept = kept.filter(|&(index, _)| Some(index) != left_out);
        let mut matrix = merged.clone();
        matrix.extend(kept.map(|(_, equation)| dense_row(equation, unknowns)));
        rank(matrix, unknowns) - rank(merged.clone(), unknowns)
    };
    let rank = rank_without(None);
    let equations = 0..case.equations.len();
    Dependencies { rank, dependent: equations.filter(|&i| rank_without(Some(i)) == rank).collect() }
}

#[derive(Debug, Clone)]
struct Case {
    unknowns: usize,
    equations: Vec<Equation>,
    inner: Vec<usize>,
    conditions: Conditions,
}

#[track_caller]
fn agrees_with_the_slow_twin(case: &Case) {
    let system = LinearSystem::new(case.unknowns, case.equations.clone(), &case.inner);
    let Conditions { driver, equalities, equations } = &case.conditions;
    let expected = slow_solution(case);
    assert_eq!(system.solve(&case.conditions), expected, "{case:?}");

    let mut reversed = case.conditions.clone();
    reversed.equalities.reverse();
    reversed.equations.reverse();
    assert_eq!(system.solve(&reversed), expected, "conditions in reverse, {case:?}");

    let mut as_rows = Conditions::of(*driver, vec![]);
    as_rows.equations.extend_from_slice(equations);
    as_rows.equations.extend(equalities.iter().map(|&equality| difference(equality)));
    assert_eq!(system.solve(&as_rows), expected, "equalities as equations, {case:?}");

    let plain = LinearSystem::new(case.unknowns, case.equations.clone(), &[]);
    assert_eq!(plain.solve(&case.conditions), expected, "no unknown eliminated before, {case:?}");

    let found = system.dependencies(equalities);
    assert_eq!(found, slow_dependencies(case), "dependencies, {case:?}");
    assert_eq!(found.dependent.is_empty(), found.rank == case.equations.len(), "{case:?}");
}

fn coefficients() -> impl Strategy<Value = i64> {
    prop_oneof![
        8 => -3_i64..=3,
        4 => select(vec![12, 18, 24, 36, 60, -72, 90]),
        1 => select(vec![i64::MIN, i64::MIN + 1, i64::MAX, i64::MAX - 1, 1 << 62, 3 << 61]),
        1 => any::<i64>(),
    ]
}

fn equations(unknowns: usize) -> impl Strategy<Value = Equation> {
    let term = (coefficients(), 0..unknowns);
    let any = prop::collection::vec(term, 0..5)
        .prop_map(|terms| terms.into_iter().map(|(coefficient, unknown)| Term::of(coefficient, unknown)).collect());
    let teeth = select(vec![-90_i64, -78, -60, 12, 18, 20, 24, 30, 36]);
    let mesh = ((teeth.clone(), 0..unknowns), (teeth, 0..unknowns), 0..unknowns);
    let mesh = mesh.prop_map(|((a, one), (b, other), carrier)| mesh_row(a, one, b, other, carrier));
    prop_oneof![1 => any, 2 => mesh]
}

/// `a (x_one - x_carrier) + b (x_other - x_carrier) = 0`.
fn mesh_row(a: i64, one: usize, b: i64, other: usize, carrier: usize) -> Equation {
    let terms = [(a, one), (b, other), (-(a + b), carrier)];
    terms.into_iter().map(|(coefficient, unknown)| Term::of(coefficient, unknown)).collect()
}

/// Equations of which some are repeated, so that they depend on one another.
fn systems(unknowns: usize, most: usize) -> impl Strategy<Value = Vec<Equation>> {
    let repeats = prop::collection::vec(any::<prop::sample::Index>(), 0..3);
    (prop::collection::vec(equations(unknowns), 0..=most), repeats).prop_map(|(mut rows, repeats)| {
        if !rows.is_empty() {
            let copies: Vec<_> = repeats.iter().map(|index| index.get(&rows).clone()).collect();
            rows.extend(copies);
        }
        rows
    })
}

fn drawn_systems(unknowns: std::ops::Range<usize>) -> impl Strategy<Value = Case> {
    unknowns.prop_flat_map(|unknowns| {
        let equality = (0..unknowns, 0..unknowns).prop_map(|(left, right)| Equality::of(left, right));
        let conditions = (
            0..unknowns,
            prop::collection::vec(equality, 0..=unknowns / 2),
            prop::collection::vec(equations(unknowns), 0..2),
        );
        let inner = prop::collection::vec(0..unknowns, 0..=unknowns / 2);
        (systems(unknowns, unknowns), inner, conditions).prop_map(
            move |(equations, inner, (driver, equalities, further))| Case {
                unknowns,
                equations,
                inner,
                conditions: Conditions { driver, equalities, equations: further },
            },
        )
    })
}

proptest! {
    #![proptest_config(cases(600))]
    #[test]
    fn small_systems_agree_with_the_slow_twin(case in drawn_systems(1..8)) {
        agrees_with_the_slow_twin(&case);
    }
}

proptest! {
    #![proptest_config(cases(24))]
    #[test]
    fn larger_systems_agree_with_the_slow_twin(case in drawn_systems(12..24)) {
        agrees_with_the_slow_twin(&case);
    }
}

fn held(driver: usize, unknowns: &[usize]) -> Conditions {
    let equalities = unknowns.iter().map(|&unknown| Equality::held(unknown)).collect();
    Conditions::of(driver, equalities)
}

#[test]
fn a_cluster_of_three_gears_has_the_speeds_of_the_willis_equation() {
    // Carrier 1; suns 2, 3, 4 with 26, 20, 31 teeth; cluster 5 with 31, 37, 26 teeth.
    let meshes = vec![mesh_row(26, 2, 31, 5, 1), mesh_row(20, 3, 37, 5, 1), mesh_row(31, 4, 26, 5, 1)];
    let system = LinearSystem::new(6, meshes, &[5]);
    // The law of the carrier (Willis 1841): with sun 3 held, w2 / w1 = 1 - (20 / 37) (31 / 26); with sun 4 held, 1 - (31 / 26) (31 / 26).
    assert_eq!(system.solve(&held(1, &[3])).values[2], Some(fraction(171, 481)));
    assert_eq!(system.solve(&held(1, &[4])).values[2], Some(fraction(-285, 676)));
    let both = system.solve(&held(1, &[3, 4]));
    assert!(!both.driver_can_turn, "two suns held lock the train");
    assert_eq!((both.freedom, both.values), (0, vec![None; 6]));
    let neutral = system.solve(&held(1, &[]));
    assert_eq!((neutral.freedom, &neutral.values[2]), (1, &None));
}

#[test]
fn five_hundred_stages_in_series_have_the_product_of_their_ratios() {
    // Stage k: sun 4k+1, planet 4k+2, ring 4k+3 (held), carrier 4k+4, which drives the next sun.
    let stages: usize = 500;
    let (mut meshes, mut inner, mut equalities) = (vec![], vec![], vec![]);
    let mut product = Fraction::one();
    for stage in 0..stages {
        let [sun, planet, ring, carrier] = [1, 2, 3, 4].map(|part| 4 * stage + part);
        let odd = i64::try_from(stage % 17).unwrap();
        let (suns, rings) = (18 + odd, 61 + 2 * odd);
        meshes.push(mesh_row(suns, sun, 20, planet, carrier));
        meshes.push(mesh_row(20, planet, -rings, ring, carrier));
        inner.push(planet);
        equalities.push(Equality::held(ring));
        if stage > 0 {
            equalities.push(Equality::of(sun, sun - 1));
        }
        product *= fraction(suns, suns + rings);
    }
    let system = LinearSystem::new(4 * stages + 1, meshes, &inner);
    let last = 4 * stages;
    let forward = system.solve(&Conditions { driver: 1, equalities: equalities.clone(), equations: vec![] });
    assert_eq!(forward.values[last].as_ref(), Some(&product));
    assert_eq!(forward.freedom, 0);
    let backward = system.solve(&Conditions { driver: last, equalities, equations: vec![] });
    assert_eq!(backward.values[1], Some(product.recip()));
    assert!(product.denom().bits() > 128, "the product is beyond every machine word");
}

#[test]
fn each_width_of_numbers_is_reached_and_hands_over_to_the_next() {
    // x1 = a x2, x2 = a x3, ...: the last of n + 1 unknowns is a^-n.
    let a = (1_i64 << 31) - 1;
    for length in 1..=6 {
        let equations = (1..=length).map(|unknown| {
            let terms = [Term { coefficient: 1, unknown }, Term { coefficient: -a, unknown: unknown + 1 }];
            terms.into_iter().collect()
        });
        let system = LinearSystem::new(length + 2, equations.collect(), &[]);
        let power = u32::try_from(length).unwrap();
        let expected = Fraction::new(1.into(), BigInt::from(a).pow(power));
        assert_eq!(system.solve(&held(1, &[])).values[length + 1], Some(expected), "{length} steps");
    }
}

/// Only the smaller unknown of an equality could be looked at, and nothing noticed: the larger one is the one that may
/// not be there.
#[test]
fn an_equality_with_an_unknown_that_is_not_there_is_refused_whichever_side_it_stands_on() {
    let rows: Vec<Equation> = vec![[Term::of(1, 1), Term::of(-1, 2)].into_iter().collect()];
    let system = LinearSystem::new(3, rows, &[]);
    for (left, right) in [(1, 3), (3, 1), (0, 9), (9, 0)] {
        let equality = Equality::of(left, right);
        let message = |told: Box<dyn std::any::Any + Send>| told.downcast_ref::<String>().cloned().unwrap_or_default();
        let asks: [&dyn Fn(); 2] =
            [&|| drop(system.dependencies(&[equality])), &|| drop(system.solve(&Conditions::of(1, vec![equality])))];
        for ask in asks {
            let told = std::panic::catch_unwind(std::panic::AssertUnwindSafe(ask)).map_err(message);
            let expected = format!("there is no unknown {} in a system of 3", left.max(right));
            assert_eq!(told, Err(expected), "{left} = {right}");
        }
    }
    assert_eq!(system.dependencies(&[Equality::of(1, 2)]).rank, 0, "what is there is taken");
}
