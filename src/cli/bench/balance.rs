//! `toothmark bench balance`: the answer, and the picture of the rotor.

use std::path::PathBuf;

use clap::Args;
use toothmark::drawing::rotor_pictures;
use toothmark::requests::{BalanceOptions, NoAnswer, Question as _};

use crate::cli::common::AnswerForm;
use crate::cli::draw::PaperArgument;
use crate::cli::exit::Exit;
use crate::cli::output::{Said, eprint_notes, write};
use crate::cli::place::{ForceArgument, OutputPlaces};
use crate::cli::source::{FileArguments, ask};
use crate::cli::trouble::Trouble;

const PICTURE: &str = "A picture";

#[derive(Debug, Args)]
pub(super) struct BalanceArguments {
    #[command(flatten)]
    files: FileArguments,
    #[command(flatten)]
    question: BalanceOptions,
    /// A picture of the rotor with its heavy spot and the holes, seen from the side named, 1:1 where it fits the paper; of
    /// two planes a second file beside it
    #[arg(long, value_name = "FILE.svg", help_heading = PICTURE)]
    picture: Option<PathBuf>,
    /// The paper of the picture
    #[arg(long, value_enum, default_value_t, help_heading = PICTURE)]
    paper: PaperArgument,
    #[command(flatten)]
    force: ForceArgument,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn balance(arguments: &BalanceArguments) -> Result<Exit, Trouble> {
    let subjects = arguments.files.subjects()?;
    let mut places = OutputPlaces::new(arguments.force, arguments.files.paths());
    let paths = picture_paths(arguments);
    for path in &paths {
        places.check_file(path)?;
    }
    let Some(_) = arguments.picture else {
        return subjects.say(|words, file| said(arguments, words, file).map(|(said, _)| said));
    };
    let words = subjects.alone("a picture")?;
    let (said, pictures) = said(arguments, &words, None)?;
    write(&said.text)?;
    for (path, picture) in paths.iter().zip(pictures) {
        places.write(path, &picture)?;
        eprint_notes([format!("{} is written", path.display())]);
    }
    Ok(said.exit)
}

/// What is said, and the pictures that go with it.
fn said(arguments: &BalanceArguments, words: &[PathBuf], file: Option<&str>) -> Result<(Said, Vec<String>), Trouble> {
    ask(words, |about| {
        let (set, told) = arguments.question.ask(about)?;
        if told.planes.is_empty() && arguments.picture.is_some() {
            let hint = "say what was found: --found \"22 g at 95 mm at 100 deg\" --seen input";
            return Err(NoAnswer::new("there is nothing to draw: nothing was found of a rotor", hint));
        }
        let pictures =
            arguments.picture.iter().flat_map(|_| rotor_pictures(&told, set.title(), arguments.paper.paper()));
        Ok((Said::answer(&set, &told, arguments.form, file), pictures.collect()))
    })
}

/// Where the picture of each plane goes: the second beside the first.
fn picture_paths(arguments: &BalanceArguments) -> Vec<PathBuf> {
    let of_path = |path: &PathBuf| {
        let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let second = arguments.question.has_two_planes().then(|| path.with_file_name(format!("{stem}-plane-2.svg")));
        std::iter::once(path.clone()).chain(second).collect::<Vec<_>>()
    };
    arguments.picture.as_ref().map(of_path).unwrap_or_default()
}
