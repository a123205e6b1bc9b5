//! `toothmark problems`: a sheet of practice problems and its key, into files or one after the other.
//!
//! A seed that nobody gave is drawn here and told, so that every sheet can be made again. No file is written before
//! it is certain that none of them would be written over unasked.

use std::hash::{BuildHasher, RandomState};
use std::path::PathBuf;

use clap::{Args, ValueEnum};
use toothmark::description;
use toothmark::practice::{
    CannotFill, Difficulty, MOST_PROBLEMS, PracticeKind, PracticeProblem, PracticeSheet, SheetRequest, practice_sheet,
};
use toothmark::report::{Document, LineStyle, TextLayout, answer_key, html, markdown, question_sheet, text};

use super::common::DocumentFormat;
use super::exit::Exit;
use super::output::{tell_done, write, write_document};
use super::place::{ForceArgument, NewFile, OutputPlaces};
use super::trouble::{Refusal, Trouble};

#[derive(Debug, Args)]
pub(super) struct ProblemsArguments {
    /// What the problems are about
    #[arg(long, value_enum, default_value_t)]
    kind: KindArgument,
    /// How hard they are
    #[arg(long, value_enum, default_value_t)]
    difficulty: DifficultyArgument,
    /// How many, from 1 to 50
    #[arg(short = 'n', long, value_name = "N", default_value = "6", value_parser = count, allow_hyphen_values = true)]
    count: usize,
    /// A whole number: the same one makes the same sheet; without it one is chosen and told
    #[arg(long, value_name = "N", value_parser = seed, allow_hyphen_values = true)]
    seed: Option<u64>,
    /// Write questions, key and the gearset of each problem into this folder; it is made where there is none
    #[arg(short, long, value_name = "DIR", conflicts_with_all = ["questions", "key"])]
    output: Option<PathBuf>,
    /// Write the questions to this file
    #[arg(long, value_name = "FILE")]
    questions: Option<PathBuf>,
    /// Write the key to this file
    #[arg(long, value_name = "FILE")]
    key: Option<PathBuf>,
    #[command(flatten)]
    force: ForceArgument,
    /// The form of both
    #[arg(long, value_enum, default_value = "text")]
    format: DocumentFormat,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum KindArgument {
    /// Each of the others in turn
    #[default]
    Mixed,
    /// Sun, ring and plain planets
    Simple,
    /// Stepped planets
    Stepped,
    /// Clusters of three gears, drums and bands
    Cluster,
    /// Planets that mesh with one another
    Meshed,
    /// Bevel planets
    Bevel,
    /// Two coupled sets
    Coupled,
    /// Tooth counts to be found
    Counts,
    /// Torques, delivered and holding
    Torque,
    /// How many planets go together
    Assembly,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum DifficultyArgument {
    /// One step
    Easy,
    /// A planet's speed as well, or a second state
    #[default]
    Medium,
    /// Two speeds given, or several conditions at once
    Hard,
}

pub(super) fn problems(arguments: &ProblemsArguments) -> Result<Exit, Trouble> {
    let sheet = practice_sheet(&request(arguments)).map_err(cannot_fill)?;
    let (questions, key) = (question_sheet(&sheet), answer_key(&sheet));
    let files = files(arguments, &sheet, &questions, &key);
    if files.is_empty() {
        return print(arguments.format, &questions, &key);
    }
    let mut places = OutputPlaces::new(arguments.force, None);
    for file in &files {
        places.check_folder(file.path.parent().unwrap_or(&file.path))?;
        places.check_file(&file.path)?;
    }
    let (written, outcome) = places.write_all(&files);
    let listed = files[..written].iter().map(|file| file.path.display().to_string());
    let told = tell_done(listed.chain([format!("seed {}", sheet.request.seed)]));
    outcome?;
    told.map(|()| Exit::Done)
}

fn cannot_fill(reason: CannotFill) -> Refusal {
    match reason {
        CannotFill::Count { .. } => Refusal::new(reason, how_many()),
        CannotFill::UsedUp { .. } => Refusal::new(reason, "ask for fewer, for another difficulty, or for --kind mixed"),
    }
}

fn how_many() -> String {
    format!("write a whole number from 1 to {MOST_PROBLEMS}, such as --count 6")
}

/// A number of problems.
fn count(text: &str) -> Result<usize, Refusal> {
    text.trim().parse().map_err(|_| Refusal::new(format!("{text:?} is not a number of problems"), how_many()))
}

fn seed(text: &str) -> Result<u64, Refusal> {
    let hint = || format!("write a whole number from 0 to {}, such as --seed 7", u64::MAX);
    text.trim().parse().map_err(|_| Refusal::new(format!("{text:?} is not a seed"), hint()))
}

fn request(arguments: &ProblemsArguments) -> SheetRequest {
    let seed = arguments.seed.unwrap_or_else(|| RandomState::new().hash_one(0) % 1_000_000);
    let (kind, difficulty) = (arguments.kind.kind(), arguments.difficulty.difficulty());
    SheetRequest { kind, difficulty, count: arguments.count, seed }
}

/// What goes into which file; into a folder go the gearsets as well.
fn files(arguments: &ProblemsArguments, sheet: &PracticeSheet, questions: &Document, key: &Document) -> Vec<NewFile> {
    let page = |path: PathBuf, document: &Document| NewFile { path, text: rendered(arguments.format, document) };
    let Some(folder) = &arguments.output else {
        let named = [(&arguments.questions, questions), (&arguments.key, key)];
        return named.into_iter().filter_map(|(path, document)| Some(page(path.clone()?, document))).collect();
    };
    let ending = match arguments.format {
        DocumentFormat::Markdown => "md",
        DocumentFormat::Html => "html",
        DocumentFormat::Text => "txt",
    };
    let problem = |(index, problem): (usize, &PracticeProblem)| NewFile {
        path: folder.join(format!("problem-{}.ron", index + 1)),
        text: description::write(problem.set.draft()),
    };
    [(folder.join(format!("questions.{ending}")), questions), (folder.join(format!("key.{ending}")), key)]
        .map(|(path, document)| page(path, document))
        .into_iter()
        .chain(sheet.problems.iter().enumerate().map(problem))
        .collect()
}

/// Both, one after the other.
fn print(format: DocumentFormat, questions: &Document, key: &Document) -> Result<Exit, Trouble> {
    if format == DocumentFormat::Html {
        let hint = "name a folder with -o, or files with --questions and --key";
        return Err(Trouble::new("a page for a browser holds questions or key, not both", hint));
    }
    write_document(questions, format)?;
    write("\n")?;
    write_document(key, format)?;
    Ok(Exit::Done)
}

/// A file is the same on every machine, whatever the terminal is like.
fn rendered(format: DocumentFormat, document: &Document) -> String {
    match format {
        DocumentFormat::Markdown => markdown(document),
        DocumentFormat::Html => html(document),
        DocumentFormat::Text => {
            let styled = text(document, TextLayout { width: 100, lines: LineStyle::Ascii });
            anstream::adapter::strip_str(&styled).to_string()
        }
    }
}

impl KindArgument {
    fn kind(self) -> Option<PracticeKind> {
        match self {
            Self::Mixed => None,
            Self::Simple => Some(PracticeKind::Simple),
            Self::Stepped => Some(PracticeKind::Stepped),
            Self::Cluster => Some(PracticeKind::Cluster),
            Self::Meshed => Some(PracticeKind::Meshed),
            Self::Bevel => Some(PracticeKind::Bevel),
            Self::Coupled => Some(PracticeKind::Coupled),
            Self::Counts => Some(PracticeKind::Counts),
            Self::Torque => Some(PracticeKind::Torque),
            Self::Assembly => Some(PracticeKind::Assembly),
        }
    }
}

impl DifficultyArgument {
    fn difficulty(self) -> Difficulty {
        match self {
            Self::Easy => Difficulty::Easy,
            Self::Medium => Difficulty::Medium,
            Self::Hard => Difficulty::Hard,
        }
    }
}
