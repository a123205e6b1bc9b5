//! `toothmark merge`: the parts of a search put together.
//!
//! Each file is the JSON of `toothmark search --part K/N --format json`; it carries its request and its gearset, and
//! parts of different searches are refused.

use std::path::{Path, PathBuf};

use clap::Args;
use toothmark::description;
use toothmark::tooth_search::{MergeFault, MergedSearch, RequestText, SearchPart};

use super::asked::Asked;
use super::common::AnswerForm;
use super::exit::Exit;
use super::input::{ReadAs, other_file};
use super::output::eprint_notes;
use super::place::ForceArgument;
use super::results::ResultFolder;
use super::search::{ClosingComparison, print_and_write};
use super::trouble::Trouble;

/// The most bytes of a part: some fifty thousand results.
const LARGEST_PART: usize = 64 * 1024 * 1024;

/// The most results that are put together: two gigabytes of gearsets.
const MOST_RESULTS: usize = 100_000;

/// What to do with a part that is not what it was.
const AS_WRITTEN: &str = "take the files as search has written them";

#[derive(Debug, Args)]
pub(super) struct MergeArguments {
    /// The JSON of every part, in any order
    #[arg(required = true)]
    pub(super) parts: Vec<PathBuf>,
    /// Write each result as a description into this folder; it is made where there is none
    #[arg(long, value_name = "DIR")]
    pub(super) write: Option<PathBuf>,
    #[command(flatten)]
    pub(super) force: ForceArgument,
    #[command(flatten)]
    pub(super) form: AnswerForm,
}

pub(super) fn merge(arguments: &MergeArguments) -> Result<Exit, Trouble> {
    let read_files = arguments.parts.iter().map(PathBuf::as_path);
    let folder = arguments.write.as_deref();
    let folder = folder.map(|folder| ResultFolder::checked(folder, arguments.force, read_files)).transpose()?;
    let parts = parts(&arguments.parts)?;
    let asked = asked(&parts[0])?;
    let merged = asked.plan()?.merge(&parts).map_err(|fault| trouble(fault, &arguments.parts))?;
    let exit = print_and_write(&asked.set, &merged.answer, ClosingComparison::Nothing, arguments.form, folder)?;
    let near = "search the whole with --count exact for near misses to the end".to_owned();
    let near = merged.answer.is_near_open().then_some(near);
    eprint_notes(missing(&merged).into_iter().chain(not_counted(&merged, &arguments.parts)).chain(near));
    Ok(exit)
}

/// The parts, as long as they are not too many results together.
fn parts(paths: &[PathBuf]) -> Result<Vec<SearchPart>, Trouble> {
    let (mut parts, mut results) = (Vec::new(), 0_usize);
    for path in paths {
        let part = read(path)?;
        results = results.saturating_add(part.results());
        if results > MOST_RESULTS {
            return Err(Trouble::new(
                format!("the parts hold more than {MOST_RESULTS} results, and all are held at once"),
                "search for fewer (--results N), or tell those of each part one by one: search --part K/N --all --lines",
            ));
        }
        parts.push(part);
    }
    Ok(parts)
}

fn read(path: &Path) -> Result<SearchPart, Trouble> {
    let bytes = other_file(path, LARGEST_PART, ReadAs::Description)?;
    if bytes.len() > LARGEST_PART {
        return Err(Trouble::new(
            format!("{:?} is too large for a part of a search", path.display().to_string()),
            "cut the search into more parts; each may have 64 MiB",
        ));
    }
    serde_json::from_slice(&bytes).map_err(|_| {
        Trouble::new(
            format!("{:?} is not the JSON of a search", path.display().to_string()),
            "write it with toothmark search --part K/N --format json",
        )
    })
}

/// The question that a part is an answer to.
fn asked(part: &SearchPart) -> Result<Asked, Trouble> {
    let damaged = || Trouble::new("the parts do not hold a sound request", AS_WRITTEN);
    let set = description::read(&part.origin().description).map_err(|_| damaged())?;
    let text = RequestText::read(&part.origin().request).map_err(|_| damaged())?;
    Asked::new(set, text)
}

/// What is wrong with the parts, by the names of their files.
fn trouble(fault: MergeFault, paths: &[PathBuf]) -> Trouble {
    let name = |place: usize| paths[place].display().to_string();
    match fault {
        MergeFault::OtherSearch(place) => Trouble::new(
            format!("{:?} is a part of another search than {:?}", name(place), name(0)),
            "merge the parts of one request, cut into the same number of parts",
        ),
        MergeFault::NoSuchPart { place, part, of } => {
            Trouble::new(format!("{:?} says that it is part {part} of {of}", name(place)), AS_WRITTEN)
        }
        MergeFault::Twice([one, other]) => {
            Trouble::new(format!("{:?} and {:?} are the same part", name(one), name(other)), "name every part once")
        }
        MergeFault::NotFound(place) => {
            Trouble::new(format!("{:?} does not hold what a search of its request finds", name(place)), AS_WRITTEN)
        }
        MergeFault::Search(fault) => Trouble::new(&fault, fault.hint()),
        fault @ (MergeFault::NoParts | MergeFault::DoNotAddUp) => Trouble::new(fault, AS_WRITTEN),
    }
}

/// Which parts were not counted though others were.
fn not_counted(merged: &MergedSearch, paths: &[PathBuf]) -> Option<String> {
    let names: Vec<String> = merged.not_counted.iter().map(|&place| paths[place].display().to_string()).collect();
    let were = if names.len() == 1 { "was" } else { "were" };
    (!names.is_empty()).then(|| {
        format!(
            "{} {were} not counted (--count none) and the others were, so that only at least so many are told to serve",
            names.join(", ")
        )
    })
}

/// Which parts are missing, if any: the first few by their numbers.
fn missing(merged: &MergedSearch) -> Option<String> {
    let first: Vec<String> = merged.first_missing.iter().map(ToString::to_string).collect();
    let first = first.join(", ");
    match (merged.missing, merged.first_missing.len()) {
        (0, _) => None,
        (1, _) => Some(format!("part {first} is missing, so that nothing is proven")),
        (number, listed) if number == listed => Some(format!("parts {first} are missing, so that nothing is proven")),
        (number, _) => {
            Some(format!("{number} parts are missing, the first of them {first}, so that nothing is proven"))
        }
    }
}
