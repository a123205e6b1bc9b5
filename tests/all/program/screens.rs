//! Does an answer fit on one screen, for every built-in gearset, and does it begin with words?
//!
//! A screen is 40 lines of 80 columns. Lessons, formulas, problem sheets, job sheets and pages are documents and are
//! longer.

use toothmark::description::examples;

use crate::support::process::{command, run_with};

/// The lines of a screen.
const SCREEN: usize = 40;

/// The commands whose answers are asked for, each with what it needs to be told.
const ASKED: &[&[&str]] = &[&["ratios"], &["timing"], &["marks"]];

#[test]
fn every_answer_fits_on_one_screen_and_begins_with_words() {
    let mut long = Vec::new();
    for example in examples() {
        for asked in ASKED {
            let mut program = command(asked);
            program.arg(example.name).env("COLUMNS", "80");
            let answer = run_with(program, b"");
            let name = format!("{} {}", asked.join(" "), example.name);
            assert!(answer.code < 2, "{name}: {}", answer.stderr);
            let mut lines = answer.stdout.lines();
            assert!(lines.next().is_some_and(|title| !title.is_empty()), "{name} has no title");
            let first = lines.find(|line| !line.is_empty()).unwrap_or_default();
            assert!(first.starts_with(char::is_alphanumeric), "{name} begins with {first:?}");
            let lines = answer.stdout.lines().count();
            if lines > SCREEN {
                long.push(format!("{name}: {lines} lines"));
            }
        }
    }
    assert!(long.is_empty(), "longer than a screen:\n{}", long.join("\n"));
}
