//! Questions on a terminal, each with a way back, until a gearset is told that is sound.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use dialoguer::{Error, Input};

use super::answers::{Answers, InterviewQuestion};
use super::written::written;
use super::{gearset, show};
use crate::cli::exit::Exit;
use crate::cli::output::{eprint_notes, tell_done};
use crate::cli::place::OutputPlaces;
use crate::cli::trouble::Trouble;

/// What takes a question back.
const BACK: &str = "back";

/// How whoever interrupts a program is told by its exit code.
const INTERRUPTED: i32 = 130;

/// Asks for what is not told yet, shows what was understood, and writes it where that is wanted.
pub(super) fn interview(told: Answers, file: Option<&Path>, mut places: OutputPlaces) -> Result<Exit, Trouble> {
    eprint_notes([format!("an empty line takes what stands in brackets, {BACK:?} goes back a question")]);
    let go_on = Arc::new(Mutex::new(told.command()));
    on_interrupt(&go_on);
    // Every state of the answers, so that each question can be taken back.
    let mut story = vec![told];
    loop {
        let last = story.last().expect("the first answers are never taken back").clone();
        note(&go_on, &last);
        let Some(question) = last.next() else {
            if let Some(exit) = finish(&last, file, &mut places, &go_on)? {
                return Ok(exit);
            }
            go_back(&mut story);
            continue;
        };
        let text = ask(&question, &last).map_err(|error| stopped(&error, &go_on))?;
        if is_back(&text) {
            go_back(&mut story);
            continue;
        }
        let mut next = last;
        next.take(question.about, &text).expect("the prompt takes what can be taken only");
        story.push(next);
    }
}

/// Asks until the answer can be taken, or asks to go back.
fn ask(question: &InterviewQuestion, so_far: &Answers) -> Result<String, Error> {
    let InterviewQuestion { text, if_empty, about } = question;
    let prompt = if if_empty.is_empty() { text.clone() } else { format!("{text} [{if_empty}]") };
    let can_be_taken = |answer: &String| -> Result<(), String> {
        if is_back(answer) { Ok(()) } else { so_far.clone().take(*about, answer) }
    };
    Input::<String>::new()
        .with_prompt(prompt)
        .allow_empty(true)
        .report(false)
        .validate_with(can_be_taken)
        .interact_text()
}

fn is_back(answer: &str) -> bool {
    answer.trim().eq_ignore_ascii_case(BACK)
}

fn go_back(story: &mut Vec<Answers>) {
    if story.len() > 1 {
        story.pop();
    }
}

/// Shows what was understood and writes it; `None` where the last answers are to be changed.
fn finish(
    answers: &Answers,
    file: Option<&Path>,
    places: &mut OutputPlaces,
    go_on: &Arc<Mutex<String>>,
) -> Result<Option<Exit>, Trouble> {
    let set = gearset(&answers.outline())?;
    show(&set)?;
    let path = match file {
        Some(path) => Some(path.to_owned()),
        None => new_file(places).map_err(|error| stopped(&error, go_on))?,
    };
    let Some(path) = path else { return Ok(None) };
    // Whoever has answered a dozen questions is not asked again.
    places.write(&path, &written(&set)).map_err(|wrong| Trouble::new(&wrong, how_to_go_on(go_on)))?;
    tell_done([
        format!("The description is written to {}", path.display()),
        format!("Next: toothmark timing {}", path.display()),
    ])?;
    Ok(Some(Exit::Done))
}

/// A file that can be written; `None` to go back.
fn new_file(places: &mut OutputPlaces) -> Result<Option<PathBuf>, Error> {
    const USUAL: &str = "mine.ron";
    loop {
        let prompt = format!("Is this the gearset? Then to which file is it written? [{USUAL}]");
        let typed: String = Input::new().with_prompt(prompt).allow_empty(true).report(false).interact_text()?;
        let name = if typed.trim().is_empty() { USUAL } else { typed.trim() };
        if is_back(name) {
            return Ok(None);
        }
        match places.check_file(Path::new(name)) {
            Ok(()) => return Ok(Some(name.into())),
            Err(wrong) => eprint_notes([format!("{wrong}: {}", wrong.hint())]),
        }
    }
}

/// Keeps the command that goes on from here.
fn note(go_on: &Arc<Mutex<String>>, answers: &Answers) {
    if let Ok(mut command) = go_on.lock() {
        *command = answers.command();
    }
}

/// Ctrl-C ends the questions with the command that goes on.
#[expect(clippy::exit, reason = "a prompt that waits for a key cannot be ended in another way")]
fn on_interrupt(go_on: &Arc<Mutex<String>>) {
    let command = Arc::clone(go_on);
    // Where the signal cannot be caught, it ends the program as it does anywhere.
    let _ = ctrlc::set_handler(move || {
        eprint_notes([how_to_go_on(&command)]);
        std::process::exit(INTERRUPTED);
    });
}

fn how_to_go_on(go_on: &Arc<Mutex<String>>) -> String {
    let command = go_on.lock().map(|command| command.clone()).unwrap_or_default();
    format!("nothing is written; to go on from here: {command}")
}

fn stopped(error: &Error, go_on: &Arc<Mutex<String>>) -> Trouble {
    Trouble::new(format!("the questions were broken off: {error}"), how_to_go_on(go_on))
}
