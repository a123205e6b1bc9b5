//! How long does the program take as a whole, beside one that prints a line?
//! `cargo bench --bench process`.
//!
//! The rival is this very benchmark, started again with a word that makes it print a line
//! and end. Both are started by turns and the medians compared, so that a busy machine
//! slows both.

#![allow(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::env;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

const ROUNDS: usize = 301;

/// The word that turns this program into its own rival.
const PRINT_A_LINE: &str = "print-a-line";

fn main() {
    if env::args().nth(1).as_deref() == Some(PRINT_A_LINE) {
        println!("a line");
        return;
    }
    let this = env::current_exe().expect("a running program has a path");
    let mut times = [Vec::new(), Vec::new()];
    for _ in 0..ROUNDS {
        times[0].push(milliseconds(Path::new(env!("CARGO_BIN_EXE_toothmark")), "ratios"));
        times[1].push(milliseconds(&this, PRINT_A_LINE));
    }
    let [ratios, line] = times.map(median);
    println!("`toothmark ratios`, whole process:  {ratios:.2} ms (median of {ROUNDS})");
    println!("a program that prints a line:       {line:.2} ms");
    println!("difference:                         {:.2} ms", ratios - line);
}

fn milliseconds(program: &Path, argument: &str) -> f64 {
    let start = Instant::now();
    let output = Command::new(program).arg(argument).stdin(Stdio::null()).output().expect("the program starts");
    let taken = start.elapsed();
    assert!(
        output.status.success() && !output.stdout.is_empty(),
        "{} {argument} printed its answer",
        program.display()
    );
    taken.as_secs_f64() * 1e3
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}
