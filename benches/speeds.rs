//! How long does an exact solution take, beside one in floating point?
//!
//! The rival is a dense LU decomposition of the same state in `f64`: filling the
//! matrix, decomposing and solving. Both are timed by turns in one run, medians of many
//! rounds are printed, and so is how often the rival says that what stands still turns.

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

fn main() {
    for (title, build) in
        [("Gearsets in series", trains::in_series as fn(usize) -> Train), ("Gearsets coupled", trains::coupled)]
    {
        println!("\n{title}: median time for one of four states, in microseconds\n");
        println!(
            "| members | exact | exact, building included | f64 LU | ratio | ratio, building included | exact zeros | of them not zero in f64 |"
        );
        println!("|--:|--:|--:|--:|--:|--:|--:|--:|");
        for members in [16, 30, 60, 120, 240] {
            println!("{}", line(&build(members)));
        }
    }
}

/// One line of the table.
fn line(train: &Train) -> String {
    let system = train.system();
    let [exact, build, float] = medians([
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
    ]);
    let (exact, all, float) = (exact / 4.0, (exact + build) / 4.0, float / 4.0);
    let (mut zeros, mut missed) = (0, 0);
    for state in &train.states {
        let solution = system.solve(state);
        let float = float_solution(train, state).expect("the state is determined");
        let (still, turning) = compare(&solution, &float);
        zeros += still;
        missed += turning;
    }
    format!(
        "| {} | {exact:.2} | {all:.2} | {float:.2} | {:.2} | {:.2} | {zeros} | {missed} |",
        train.members,
        exact / float,
        all / float,
    )
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
