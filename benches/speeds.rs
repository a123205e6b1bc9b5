//! How long does an exact solution take, beside one in floating point?
//! `cargo bench --bench speeds`.
//!
//! The rival is a dense LU decomposition of the same state in `f64`: filling the
//! matrix, decomposing and solving. Both are timed by turns in one run, medians of many
//! rounds are printed, and so is how often the rival says that what stands still turns.
//! All times are those of one of four states, in microseconds; a train is built once for
//! its four states, so a fourth of the building is added where building is included. The
//! result is one table in Markdown, to be put into `src/manual/exactness.md` as it is.

#![allow(clippy::print_stdout, reason = "the table is the result")]

mod trains;

use std::hint::black_box;
use std::time::{Duration, Instant};

use nalgebra::{DMatrix, DVector};
use num_traits::Zero;
use toothmark::exact::{Conditions, Equality, Solution, to_float};
use trains::Train;

const ROUNDS: usize = 41;

/// How long one round of each contender should take.
const ROUND: Duration = Duration::from_millis(4);

/// The heads of the columns.
const HEADS: [&str; 9] =
    ["train", "members", "exact, us", "built, us", "LU, us", "ratio", "built", "exact zeros", "not 0 in f64"];

fn main() {
    println!("| {} |", HEADS.join(" | "));
    println!("| ---{} |", " | --:".repeat(HEADS.len() - 1));
    for (name, build) in [("series", trains::in_series as fn(usize) -> Train), ("coupled", trains::coupled)] {
        for members in [16, 30, 60, 120, 240] {
            println!("| {name} | {} |", cells(&build(members)).join(" | "));
        }
    }
}

/// What stands in one line of the table after the name of the train.
fn cells(train: &Train) -> Vec<String> {
    let [exact, build, float] = times(train).map(|time| time / 4.0);
    let all = exact + build;
    let [zeros, missed] = zeros(train);
    let mut cells = vec![train.members.to_string()];
    cells.extend([exact, all, float, exact / float, all / float].map(|number| format!("{number:.2}")));
    cells.extend([zeros, missed].map(|count| count.to_string()));
    cells
}

/// Median microseconds to solve all four states exactly, to build the system, and to solve all four
/// states in floating point.
fn times(train: &Train) -> [f64; 3] {
    let system = train.system();
    medians([
        &mut || {
            for state in &train.states {
                black_box(system.solve(state));
            }
        },
        &mut || drop(black_box(train.system())),
        &mut || {
            for state in &train.states {
                black_box(float_solution(train, state));
            }
        },
    ])
}

/// How many speeds are zero over all states, and how many of them are not in floating point.
fn zeros(train: &Train) -> [usize; 2] {
    let system = train.system();
    let (mut zeros, mut missed) = (0, 0);
    for state in &train.states {
        let solution = system.solve(state);
        let float = float_solution(train, state).expect("the state is determined");
        let (still, turning) = compare(&solution, &float);
        zeros += still;
        missed += turning;
    }
    [zeros, missed]
}

/// How many members stand still, and how many of them turn according to the rival.
///
/// # Panics
/// If the two disagree by more than rounding explains.
fn compare(solution: &Solution, float: &DVector<f64>) -> (usize, usize) {
    let (mut zeros, mut missed) = (0, 0);
    for (exact, float) in solution.values[1..].iter().zip(float.iter()) {
        let exact = exact.as_ref().expect("the state is determined");
        let difference = (to_float(exact) - float).abs();
        assert!(difference <= 1e-9 * float.abs().max(1.0), "{exact} is not {float}");
        if exact.is_zero() {
            zeros += 1;
            missed += usize::from(float.abs() > 0.0);
        }
    }
    (zeros, missed)
}

/// The speeds by dense LU decomposition; a member is one column less than its number.
fn float_solution(train: &Train, state: &Conditions) -> Option<DVector<f64>> {
    let size = train.members;
    let mut matrix = DMatrix::<f64>::zeros(size, size);
    let mut row = 0;
    for mesh in &train.meshes {
        for &(teeth, member) in mesh.iter().filter(|term| term.1 > 0) {
            matrix[(row, member - 1)] += f64::from(teeth);
        }
        row += 1;
    }
    for &Equality { left, right } in &state.equalities {
        for (sign, member) in [(1.0, left), (-1.0, right)] {
            if member > 0 {
                matrix[(row, member - 1)] += sign;
            }
        }
        row += 1;
    }
    matrix[(row, state.driver - 1)] = 1.0;
    let mut turned = DVector::<f64>::zeros(size);
    turned[row] = 1.0;
    matrix.lu().solve(&turned)
}

/// Median microseconds of one call of each contender, timed by turns.
fn medians<const N: usize>(mut contenders: [&mut dyn FnMut(); N]) -> [f64; N] {
    let repeats = contenders.each_mut().map(|contender| {
        let mut repeats = 1_u32;
        while time(*contender, repeats) < ROUND {
            repeats *= 2;
        }
        repeats
    });
    let mut times: [Vec<f64>; N] = std::array::from_fn(|_| Vec::with_capacity(ROUNDS));
    for _ in 0..ROUNDS {
        for (index, contender) in contenders.iter_mut().enumerate() {
            let spent = time(*contender, repeats[index]);
            times[index].push(spent.as_secs_f64() * 1e6 / f64::from(repeats[index]));
        }
    }
    times.map(|mut times| {
        times.sort_by(f64::total_cmp);
        times[ROUNDS / 2]
    })
}

fn time(contender: &mut dyn FnMut(), repeats: u32) -> Duration {
    let start = Instant::now();
    for _ in 0..repeats {
        contender();
    }
    start.elapsed()
}
