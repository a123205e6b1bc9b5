//! Practice problems as two documents: the sheet for the class and the key for the teacher.
//!
//! Both say how the sheet is made again. The key has the answers, the working, and for each wrong answer the
//! mistake that leads to it.

mod words;
mod working;

use self::words::{answer, mistake, question, statement};
use self::working::working;
use crate::practice::{Difficulty, PracticeKind, PracticeProblem, PracticeQuestion, PracticeSheet};
use crate::report::render::document::{Block, Document, Fact, Table};

/// The sheet of questions.
///
/// # Examples
/// ```
/// use toothmark::practice::{Difficulty, SheetRequest, practice_sheet};
/// use toothmark::report::{markdown, question_sheet};
/// let request = SheetRequest { kind: None, difficulty: Difficulty::Easy, count: 3, seed: 5 };
/// let sheet = practice_sheet(&request).unwrap();
/// assert!(markdown(&question_sheet(&sheet)).contains("## Problem 3"));
/// ```
pub fn question_sheet(sheet: &PracticeSheet) -> Document {
    let mut blocks = vec![Block::Paragraph(format!(
        "Show the working. Unless it is said otherwise, speeds are as seen from the case, and every sense is as seen \
         from the input side. Sheet {}.",
        sheet.request.seed
    ))];
    for (index, problem) in sheet.problems.iter().enumerate() {
        blocks.push(Block::Heading(format!("Problem {}", index + 1)));
        blocks.extend(asked(problem));
    }
    Document { title: "Practice problems".into(), blocks }
}

/// The key: answers, working, wrong answers.
///
/// # Examples
/// ```
/// use toothmark::practice::{Difficulty, PracticeKind, SheetRequest, practice_sheet};
/// use toothmark::report::{answer_key, markdown};
/// let request = SheetRequest { kind: Some(PracticeKind::Torque), difficulty: Difficulty::Easy, count: 1, seed: 5 };
/// let key = markdown(&answer_key(&practice_sheet(&request).unwrap()));
/// assert!(key.contains("N m") && key.contains("--seed 5"));
/// ```
pub fn answer_key(sheet: &PracticeSheet) -> Document {
    let mut blocks = vec![
        Block::Facts(vec![
            Fact::new("problems", heading(sheet)),
            Fact::new("to make both sheets again", command(sheet)),
        ]),
        Block::Note(
            "with -o DIR every gearset is written beside the key, and toothmark explain DIR/problem-1.ron works it out \
             line by line"
                .into(),
        ),
        Block::Note(
            "every gearset assembles with the number of planets that is told, and neighbours have room; torques \
             are without losses, and nothing here says that a gear is strong enough"
                .into(),
        ),
    ];
    for (index, problem) in sheet.problems.iter().enumerate() {
        blocks.push(Block::Heading(format!(
            "Problem {}: {}, {}",
            index + 1,
            kind(problem.kind),
            word(problem.difficulty)
        )));
        blocks.extend(asked(problem));
        blocks.push(Block::Facts(answers(problem)));
        blocks.extend(working(problem));
        blocks.push(wrong_answers(problem));
    }
    Document { title: "Key to the practice problems".into(), blocks }
}

/// The problem as the class reads it.
fn asked(problem: &PracticeProblem) -> Vec<Block> {
    let mut blocks = vec![Block::Paragraph(statement(problem).join(" "))];
    blocks.extend(
        problem
            .parts
            .iter()
            .enumerate()
            .map(|(at, part)| Block::Paragraph(format!("{}{}", label(problem, at), question(problem, part)))),
    );
    blocks
}

/// `(a) `, where there are several parts.
fn label(problem: &PracticeProblem, at: usize) -> String {
    letter(problem, at).map_or_else(String::new, |letter| format!("({letter}) "))
}

fn letter(problem: &PracticeProblem, at: usize) -> Option<char> {
    ('a'..='z').nth(at).filter(|_| problem.parts.len() > 1)
}

fn answers(problem: &PracticeProblem) -> Vec<Fact> {
    let fact = |(at, part): (usize, &PracticeQuestion)| {
        Fact::new(&format!("{}answer", label(problem, at)), answer(&part.answer))
    };
    problem.parts.iter().enumerate().map(fact).collect()
}

fn wrong_answers(problem: &PracticeProblem) -> Block {
    let rows = problem.parts.iter().enumerate().flat_map(|(at, part)| {
        part.wrong.iter().map(move |wrong| {
            let part = letter(problem, at).map(String::from);
            part.into_iter().chain([answer(&wrong.answer), mistake(wrong.mistake).to_owned()]).collect()
        })
    });
    let rows = rows.collect();
    let part = (problem.parts.len() > 1).then_some("part");
    let headings = part.into_iter().chain(["found", "the mistake behind it"]).map(str::to_owned).collect();
    Block::Table(Table { caption: "Wrong answers".into(), headings, rows })
}

fn heading(sheet: &PracticeSheet) -> String {
    let request = &sheet.request;
    format!("{}, {}, {}", request.count, request.kind.map_or("mixed", kind), word(request.difficulty))
}

fn command(sheet: &PracticeSheet) -> String {
    let request = &sheet.request;
    format!(
        "toothmark problems --kind {} --difficulty {} --count {} --seed {}",
        request.kind.map_or("mixed", option),
        word(request.difficulty),
        request.count,
        request.seed
    )
}

fn word(difficulty: Difficulty) -> &'static str {
    match difficulty {
        Difficulty::Easy => "easy",
        Difficulty::Medium => "medium",
        Difficulty::Hard => "hard",
    }
}

/// A kind as an argument.
fn option(kind: PracticeKind) -> &'static str {
    match kind {
        PracticeKind::Simple => "simple",
        PracticeKind::Stepped => "stepped",
        PracticeKind::Cluster => "cluster",
        PracticeKind::Meshed => "meshed",
        PracticeKind::Bevel => "bevel",
        PracticeKind::Coupled => "coupled",
        PracticeKind::Counts => "counts",
        PracticeKind::Torque => "torque",
        PracticeKind::Assembly => "assembly",
    }
}

fn kind(kind: PracticeKind) -> &'static str {
    match kind {
        PracticeKind::Simple => "sun, ring and planets",
        PracticeKind::Stepped => "stepped planets",
        PracticeKind::Cluster => "clusters and bands",
        PracticeKind::Meshed => "planets in mesh",
        PracticeKind::Bevel => "bevel planets",
        PracticeKind::Coupled => "two coupled sets",
        PracticeKind::Counts => "missing tooth counts",
        PracticeKind::Torque => "torques",
        PracticeKind::Assembly => "planets that assemble",
    }
}
