//! How long does the program take as a whole, beside one that prints a line, and one that reads its arguments before?
//! `cargo bench --bench process`.
//!
//! The rivals are this very benchmark, started again with a word that makes it print a line
//! and end. All are started by turns and the medians compared, so that a busy machine
//! slows all.

#![allow(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::env;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

use clap::Parser;

const ROUNDS: usize = 301;

/// The words that turn this program into its own rivals.
const PRINT_A_LINE: &str = "print-a-line";
const READ_ARGUMENTS: &str = "read-arguments";

/// What a bare program reads its arguments into.
#[derive(Debug, Parser)]
struct BareArguments {
    /// What is asked
    question: String,
    /// A file
    file: Option<PathBuf>,
    /// Only this state
    #[arg(long)]
    state: Option<String>,
    /// How many
    #[arg(long, default_value_t = 3)]
    pins: u32,
    /// All of it
    #[arg(long)]
    full: bool,
}

fn main() {
    match env::args().nth(1).as_deref() {
        Some(PRINT_A_LINE) => return println!("a line"),
        Some(READ_ARGUMENTS) => return println!("{:?}", BareArguments::parse()),
        _ => {}
    }
    let this = env::current_exe().expect("a running program has a path");
    let mut times = [Vec::new(), Vec::new(), Vec::new()];
    for _ in 0..ROUNDS {
        times[0].push(milliseconds(Path::new(env!("CARGO_BIN_EXE_toothmark")), "ratios"));
        times[1].push(milliseconds(&this, PRINT_A_LINE));
        times[2].push(milliseconds(&this, READ_ARGUMENTS));
    }
    let [ratios, line, bare] = times.map(median);
    println!("`toothmark ratios`, whole process:  {ratios:.2} ms (median of {ROUNDS})");
    println!("a program that prints a line:       {line:.2} ms");
    println!(
        "one that reads its arguments:       {bare:.2} ms; `toothmark ratios` takes {:.2} times that",
        ratios / bare
    );
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
