//! Does an answer fit on one screen, for every built-in gearset, and does it begin with words?
//!
//! A screen is 40 lines of 80 columns. Lessons, formulas, problem sheets, job sheets and pages are documents and are
//! longer.

use toothmark::description::{self, examples};

use crate::support::process::{command, run_with};

/// The lines of a screen.
const SCREEN: usize = 40;

/// The commands whose answers are asked for, each with what it needs to be told.
const ASKED: &[&[&str]] = &[
    &["ratios"],
    &["check"],
    &["compare", "inspection-railcar"],
    &["timing"],
    &["marks"],
    &["wrong"],
    &["wrong", "--within=1/2"],
    &["loads"],
    &["motion"],
    &["motion", "--rpm", "1500", "--torque", "80 N m", "--limit", "2000"],
    &["explore"],
    &["explore", "--from", "2", "--to=5"],
    &["loads", "--mesh-efficiency", "0.98", "--torque", "120 N m"],
];

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

/// Once only ratios said that a set cannot be put together; a set that is not together carries no load either.
#[test]
fn what_is_told_of_a_set_that_does_not_assemble_begins_with_that() {
    for asked in [&["ratios"][..], &["loads"], &["motion"], &["explore"]] {
        for (name, assembles) in [("cannot-be-trio", false), ("inspection-railcar", true)] {
            let mut program = command(asked);
            program.arg(name).env("COLUMNS", "80");
            let told = run_with(program, b"").stdout;
            let remark = told.lines().nth(2).unwrap_or_default();
            let is_head = remark == "note: \"cluster\" on 3 pins does not assemble as described: timing says by how";
            assert_eq!(is_head, !assembles, "{asked:?} of {name}: {told}");
        }
    }
}

/// Marks that are all but one in time, or nowhere near it, read on every pin of each kind of planets.
#[test]
fn what_was_found_fits_on_one_screen() {
    for example in examples() {
        let set = description::read(example.text).expect("a built-in gearset");
        for group in set.planet_groups().iter().filter(|group| group.spacings().len() > 1) {
            let planet = set.member(group.planets()[0]).name();
            for step in [0, 7, 40] {
                let read = |pin: usize| format!("--pin={planet}:{}={}deg", pin + 1, pin * step);
                let mut program = command(&["found", example.name, "--seen=output"]);
                program.args((0..group.spacings().len()).map(read)).env("COLUMNS", "80");
                let answer = run_with(program, b"");
                let lines = answer.stdout.lines().count();
                assert!(answer.code < 2, "{} {planet}: {}", example.name, answer.stderr);
                assert!(lines <= SCREEN, "{} {planet}, {step} degrees: {lines} lines\n{}", example.name, answer.stdout);
            }
        }
    }
}
