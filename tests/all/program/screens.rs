//! Does an answer fit on one screen, for every built-in gearset, and does it begin with words?
//!
//! A screen is 40 lines of 80 columns. Lessons, formulas, problem sheets, job sheets and pages are documents and are
//! longer.

use toothmark::description::{self, examples};

use crate::support::process::{Run, command, run_with};

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

/// The commands that answer of some gearsets only, each with what it needs to be told and what it says of the others.
const ASKED_OF_SOME: &[(&[&str], &[&str])] = &[
    (&["teeth", "close", "--module", "2.5"], NO_SPUR_GEARS),
    (&["teeth", "close", "--dp", "10", "--split", "equal-sliding"], NO_SPUR_GEARS),
    (&["teeth", "order", "--module", "2.5"], NO_SPUR_GEARS),
    (&["teeth", "order", "--dp", "10", "--backlash-limits", "3..6 thou", "--tip-tolerance", "4 thou"], NO_SPUR_GEARS),
    (&["teeth", "backlash", "--module", "2.5"], NO_SPUR_GEARS),
    (&["teeth", "backlash", "--dp", "10", "--backlash", "4 thou", "--clearance", "3 thou"], NO_SPUR_GEARS),
    (&["teeth", "identify"], &["nothing was measured"]),
    (&["match"], &["no cluster has been measured"]),
];

/// What is said of a gearset of bevel gears alone, or without meshes.
const NO_SPUR_GEARS: &[&str] =
    &["no mesh of spur gears", "no gears are in mesh", "nothing here has spur gears in mesh"];

/// What is longer than a screen, told of it alone: of several files the title begins with the name of each.
fn longer_than_a_screen(asked: &[&str], file: &str, answer: &str) -> Option<String> {
    begins_with_words(asked, file, answer);
    let is_long = |answer: &str| answer.lines().count() > SCREEN;
    let alone = is_long(answer).then(|| ask(asked, file).expect("it was answered among others"));
    let lines = alone.filter(|answer| is_long(answer))?.lines().count();
    Some(format!("{} {file}: {lines} lines", asked.join(" ")))
}

#[track_caller]
fn begins_with_words(asked: &[&str], gearset: &str, answer: &str) {
    let name = format!("{} {gearset}", asked.join(" "));
    let mut lines = answer.lines();
    assert!(lines.next().is_some_and(|title| !title.is_empty()), "{name} has no title");
    let first = lines.find(|line| !line.is_empty()).unwrap_or_default();
    // Names in quotes are words.
    let words = first.trim_start_matches('"');
    assert!(words.starts_with(char::is_alphanumeric), "{name} begins with {first:?}");
}

/// What a command says of each of several files, or why it says nothing. The program is started once for all of them but
/// where several files are one question; `program::several` says that it tells of each what it tells of that alone.
fn ask_each(asked: &[&str], files: &[String]) -> Vec<Result<String, String>> {
    if asked[0] == "compare" {
        return files.iter().map(|file| ask(asked, file)).collect();
    }
    let mut program = command(asked);
    program.args(["--files-from", "-"]).env("COLUMNS", "80");
    let Run { stdout, stderr, .. } = run_with(program, files.join("\n").as_bytes());
    let title = |file: &String| format!("{file}: ");
    let begins = |line: &str| files.iter().any(|file| line.starts_with(&title(file)));
    let mut answers: Vec<String> = Vec::new();
    for line in stdout.lines() {
        match answers.last_mut() {
            Some(answer) if !begins(line) => answer.push_str(line),
            _ => answers.push(line.to_owned()),
        }
        answers.last_mut().expect("one was begun").push('\n');
    }
    let refusals: Vec<&str> = stderr.split_inclusive("\nerror: ").collect();
    let said = |file: &String| {
        let answer = answers.iter().find(|answer| answer.starts_with(&title(file)));
        let refusal = || refusals.iter().find(|refusal| refusal.contains(&title(file))).copied().unwrap_or_default();
        // What is not the last one ends with an empty line.
        answer.map(|answer| format!("{}\n", answer.trim_end())).ok_or_else(|| refusal().to_owned())
    };
    files.iter().map(said).collect()
}

fn ask(asked: &[&str], file: &str) -> Result<String, String> {
    let mut program = command(asked);
    program.arg(file).env("COLUMNS", "80");
    let answer = run_with(program, b"");
    if answer.code < 2 { Ok(answer.stdout) } else { Err(answer.stderr) }
}

fn files_of_examples() -> Vec<String> {
    examples().iter().map(|example| format!("../gearsets/{}.ron", example.name)).collect()
}

#[test]
fn every_answer_fits_on_one_screen_and_begins_with_words() {
    let mut long = Vec::new();
    let files = files_of_examples();
    for asked in ASKED {
        for (file, said) in files.iter().zip(ask_each(asked, &files)) {
            let answer = said.unwrap_or_else(|refusal| panic!("{} {file}: {refusal}", asked.join(" ")));
            long.extend(longer_than_a_screen(asked, file, &answer));
        }
    }
    assert!(long.is_empty(), "longer than a screen:\n{}", long.join("\n"));
}

/// Those of teeth, readings and measured clusters, of the built-in gearsets and of those in which there is something odd.
#[test]
fn answers_of_some_gearsets_fit_on_one_screen() {
    let odd = std::fs::read_dir("tests/accepted").expect("it is there").map(|entry| entry.expect("a file").file_name());
    let odd = odd.map(|name| format!("accepted/{}", name.to_str().expect("a plain name")));
    let files: Vec<String> = files_of_examples().into_iter().chain(odd).collect();
    let mut long = Vec::new();
    for (asked, refusals) in ASKED_OF_SOME {
        let mut answered = 0;
        for (file, said) in files.iter().zip(ask_each(asked, &files)) {
            match said {
                Ok(answer) => {
                    long.extend(longer_than_a_screen(asked, file, &answer));
                    answered += 1;
                }
                Err(refusal) => {
                    let is_told = refusals.iter().any(|told| refusal.contains(told)) && refusal.contains("hint: ");
                    assert!(is_told, "{} {file}: {refusal}", asked.join(" "));
                }
            }
        }
        assert!(answered > 1, "{} answers {answered}", asked.join(" "));
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
