//! What a question is about: files, the built-in gearsets, or a planetary group typed as a stack of tooth counts.
//!
//! The words of the help are those of the comments here.

use std::path::{Path, PathBuf};

use clap::Args;
use toothmark::description;
use toothmark::gearset::Gearset;
use toothmark::quick::{StackNames, is_stack};
use toothmark::requests::{AskedAbout, NoAnswer, Question, WhatIfOptions};

use super::common::AnswerForm;
use super::completed_names;
use super::each::{DESCRIBED, ListArgument, Subjects};
use super::exit::Exit;
use super::input::source;
use super::output::{Said, eprint_notes};
use super::place::{ForceArgument, OutputPlaces, WrongPlace};
use super::trouble::{Refusal, Source, Trouble};

pub(super) use toothmark::requests::{SizeArguments, ToothSizeArguments, pitch};

/// What a question is about.
#[derive(Debug, Args)]
pub(super) struct SourceArguments {
    /// Descriptions (RON), each answered for itself, a built-in gearset by its name, "-" for standard input, or the gears
    /// on a pin, each with the sun before and the ring behind it: 26:31 20:37 31:26, or 18:36 :20:74, or 30:24:78
    #[arg(add = completed_names::descriptions(), value_name = "FILE|SUN:PLANET:RING", group = DESCRIBED)]
    what: Vec<PathBuf>,
    #[command(flatten)]
    list: ListArgument,
    /// Write the description of what is asked about to this file
    #[arg(long, value_name = "FILE", help_heading = "Without a description, or in place of what it says")]
    save: Option<PathBuf>,
    #[command(flatten)]
    pub(super) force: ForceArgument,
}

/// A question with what it is about and the form of its answer.
#[derive(Debug, Args)]
pub(super) struct Asks<Q: Args> {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    question: Q,
    #[command(flatten)]
    form: AnswerForm,
}

/// A question about files alone, which may be asked without one.
#[derive(Debug, Args)]
pub(super) struct AsksOfFiles<Q: Args> {
    #[command(flatten)]
    files: FileArguments,
    #[command(flatten)]
    question: Q,
    #[command(flatten)]
    form: AnswerForm,
}

/// Files.
#[derive(Debug, Args)]
pub(super) struct FileArguments {
    /// Descriptions (RON), each answered for itself, a built-in gearset by its name, or "-" for standard input
    #[arg(add = completed_names::descriptions(), value_name = "FILE", group = DESCRIBED)]
    file: Vec<PathBuf>,
    #[command(flatten)]
    list: ListArgument,
}

impl<Q: Args + Question + Sync> Asks<Q> {
    /// Answers for each gearset that is asked about.
    pub(super) fn answer(&self) -> Result<Exit, Trouble> {
        self.source.say(|about, file| {
            let (set, found) = self.question.ask(about)?;
            let said = Said::answer(&set, &found, self.form, file);
            Ok((set, said))
        })
    }
}

impl<Q: Args + Question + Sync> AsksOfFiles<Q> {
    /// Answers for each file, or for what is typed alone.
    pub(super) fn answer(&self) -> Result<Exit, Trouble> {
        self.files.subjects()?.say(|words, file| {
            ask(words, |about| {
                let (set, found) = self.question.ask(about)?;
                Ok(Said::answer(&set, &found, self.form, file))
            })
        })
    }
}

impl FileArguments {
    /// What they name.
    pub(super) fn subjects(&self) -> Result<Subjects, Trouble> {
        Subjects::of_files(&self.file, &self.list)
    }

    /// The files that are read, as far as they are named.
    pub(super) fn paths(&self) -> impl Iterator<Item = &Path> {
        self.file.iter().map(PathBuf::as_path)
    }
}

impl SourceArguments {
    /// Says something of each gearset that is asked about.
    pub(super) fn say(
        &self,
        say: impl Fn(&mut AskedAbout<'_>, Option<&str>) -> Result<(Gearset, Said), NoAnswer> + Sync,
    ) -> Result<Exit, Trouble> {
        let subjects = self.subjects()?;
        let subjects = if self.save.is_some() { Subjects::One(subjects.alone("what is saved")?) } else { subjects };
        subjects.say(|words, file| self.said(words, |about| say(about, file)))
    }

    /// Says something of the only gearset that is asked about, for what is made of one.
    pub(super) fn say_alone(
        &self,
        what: &str,
        say: impl Fn(&mut AskedAbout<'_>) -> Result<(Gearset, Said), NoAnswer>,
    ) -> Result<Said, Trouble> {
        self.said(&self.subjects()?.alone(what)?, say)
    }

    /// The only gearset that is asked about, for what is made of one.
    pub(super) fn alone(&self, what: &str, what_if: &WhatIfOptions) -> Result<Gearset, Trouble> {
        let words = self.subjects()?.alone(what)?;
        let places = self.checked_places()?;
        let set = ask(&words, |about| about.gearset(what_if))?;
        eprint_notes(self.save(places, &set)?);
        Ok(set)
    }

    /// What is said of one gearset, which is written to a file where that is asked for.
    fn said(
        &self,
        words: &[PathBuf],
        say: impl FnOnce(&mut AskedAbout<'_>) -> Result<(Gearset, Said), NoAnswer>,
    ) -> Result<Said, Trouble> {
        let places = self.checked_places()?;
        let (set, mut said) = ask(words, |about| {
            let (set, said) = say(about)?;
            Ok((set, Said { notes: about.notes(), ..said }))
        })?;
        match self.save(places, &set) {
            Ok(note) => said.notes.extend(note),
            Err(wrong) => said.unsaved = Some(wrong),
        }
        Ok(said)
    }

    fn checked_places(&self) -> Result<OutputPlaces, Trouble> {
        let mut places = OutputPlaces::new(self.force, self.file());
        self.save.as_deref().map(|path| places.check_file(path)).transpose()?;
        Ok(places)
    }

    fn save(&self, mut places: OutputPlaces, set: &Gearset) -> Result<Option<String>, WrongPlace> {
        let Some(path) = &self.save else { return Ok(None) };
        places.write(path, &description::write(set.draft()))?;
        Ok(Some(format!("the description is written to {}", path.display())))
    }

    /// What the words name: one gearset, or files that are asked about one by one.
    fn subjects(&self) -> Result<Subjects, Trouble> {
        if is_one_stack(&self.what) {
            return Ok(Subjects::One(self.what.clone()));
        }
        let is_number = |word: &PathBuf| word.to_string_lossy().starts_with(|letter: char| letter.is_ascii_digit());
        if let [first, others @ ..] = &self.what[..]
            && !others.is_empty()
            && self.what.iter().any(|word| is_number(word) && !word.exists())
        {
            return Err(several(first, others).into());
        }
        Subjects::of_files(&self.what, &self.list)
    }

    /// The file that is read, if it is one.
    pub(super) fn file(&self) -> Option<&Path> {
        self.what.first().map(PathBuf::as_path)
    }
}

/// Asks about words of the command line that stand together; faults are told with the text that they are in.
pub(super) fn ask<T>(
    words: &[PathBuf],
    ask: impl FnOnce(&mut AskedAbout<'_>) -> Result<T, NoAnswer>,
) -> Result<T, Trouble> {
    let is_stack = is_one_stack(words);
    let text = match words {
        [first, others @ ..] if !is_stack && !others.is_empty() => return Err(several(first, others).into()),
        _ if is_stack => Source::typed(&joined(words)),
        _ => source(words.first().map(PathBuf::as_path))?,
    };
    let answered = match description::text_of(&text.bytes) {
        Ok(_) if words.is_empty() => ask(&mut AskedAbout::not_named()),
        Ok(typed) if is_stack => ask(&mut AskedAbout::of_stack(typed)),
        Ok(read) => ask(&mut AskedAbout::of_text(read)),
        Err(faults) => Err(faults.into()),
    };
    answered.map_err(|reason| Trouble::of(reason, text))
}

/// The gearset of words of the command line that stand together, changed by these sizes.
pub(super) fn gearset(what: &[PathBuf], sizes: &SizeArguments, names: StackNames) -> Result<Gearset, Trouble> {
    ask(what, |about| about.gearset_named(&sizes.what_if(), names))
}

/// The words of the command line, in parts that are a gearset each: a stack is one, and so is every file.
pub(super) fn gearsets(what: &[PathBuf]) -> Vec<&[PathBuf]> {
    if is_one_stack(what) || what.is_empty() { vec![what] } else { what.chunks(1).collect() }
}

/// Whether the words are the gears of one planet.
pub(super) fn is_one_stack(what: &[PathBuf]) -> bool {
    is_stack(&joined(what)) && !what.iter().any(|word| word.exists())
}

/// The words as they were typed.
fn joined(what: &[PathBuf]) -> String {
    what.iter().map(|word| word.display().to_string()).collect::<Vec<_>>().join(" ")
}

fn several(first: &Path, others: &[PathBuf]) -> Refusal {
    let others = others.iter().map(|other| format!("{:?}", other.display().to_string())).collect::<Vec<_>>().join(", ");
    Refusal::new(
        format!("{:?} and {others} are asked about at once", first.display().to_string()),
        "name descriptions, or type the gears on a pin as 26:31 20:37 31:26; toothmark compare sets several side by side",
    )
}
