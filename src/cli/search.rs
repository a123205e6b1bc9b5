//! `toothmark search`: what is asked, from a request or from arguments, and how the search is run.

use std::fs;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use clap::{Args, ValueEnum};
use indicatif::{ProgressBar, ProgressStyle};
use toothmark::description;
use toothmark::gearset::Gearset;
use toothmark::report::{SearchOrigin, Searched, visible};
use toothmark::search::teeth::{
    CenterDistancesText, CommonFactors, MarksWanted, NearMiss, RequestText, TeethAnswer, TeethPlan, TeethRequest,
};
use toothmark::search::{Options, Part, Wanted};

use super::arguments::Format;
use super::exit::Exit;
use super::input::{Trouble, WrongReading, gearset};
use super::output::show;

#[derive(Debug, Args)]
pub(super) struct SearchArguments {
    /// A request (RON) that names its gearset; without one the arguments below are the request
    pub(super) request: Option<PathBuf>,
    /// The description whose teeth may change; the railcar if left out
    #[arg(long, value_name = "FILE", conflicts_with = "request")]
    pub(super) gearset: Option<PathBuf>,
    /// A gear that may change, with the fewest and the most teeth: L=15..30; may be repeated
    #[arg(long, value_name = "GEAR=FROM..TO", conflicts_with = "request", allow_hyphen_values = true)]
    pub(super) teeth: Vec<String>,
    /// What is wanted of a ratio: low=2.75 (as near as can be), low=2.5..3, low=largest, low=smallest
    #[arg(long, value_name = "STATE=WISH", conflicts_with = "request", allow_hyphen_values = true)]
    pub(super) ratio: Vec<String>,
    /// Other numbers of equal pins for a planet: cluster=3,4
    #[arg(long, value_name = "PLANET=N,...", conflicts_with = "request")]
    pub(super) pins: Vec<String>,
    /// Which marks are to serve
    #[arg(long, value_enum, conflicts_with = "request")]
    pub(super) marks: Option<MarksArgument>,
    /// The nearest wrong seating is to be out by this part of a tooth or more
    #[arg(long, value_name = "TEETH", conflicts_with = "request")]
    pub(super) margin: Option<String>,
    /// The least room between tips that are not in mesh, in modules; 1/2 if left out
    #[arg(long, value_name = "MODULES", conflicts_with = "request", allow_hyphen_values = true)]
    pub(super) room: Option<String>,
    /// No external gear with fewer teeth
    #[arg(long, value_name = "N", conflicts_with = "request")]
    pub(super) fewest_teeth: Option<i64>,
    /// At most so many parts changed
    #[arg(long, value_name = "N", conflicts_with = "request")]
    pub(super) most_parts: Option<u32>,
    /// Keep the pin circle as it is
    #[arg(long, conflicts_with = "request")]
    pub(super) keep_pin_circle: bool,
    /// No common factors of teeth that meet
    #[arg(long, conflicts_with = "request")]
    pub(super) hunting: bool,
    /// How many results: the best, and all as good as the last of them
    #[arg(long, value_name = "N", default_value_t = 10)]
    pub(super) results: usize,
    /// Every result
    #[arg(long, conflicts_with = "results")]
    pub(super) all: bool,
    /// Only a part of the work, such as 3/64; toothmark merge puts the JSON of all parts together
    #[arg(long, value_name = "K/N")]
    pub(super) part: Option<String>,
    /// How many threads work; as many as there are cores if left out
    #[arg(long, value_name = "N")]
    pub(super) threads: Option<NonZeroUsize>,
    /// Write each result as a description into this folder; it is made where there is none
    #[arg(long, value_name = "DIR")]
    pub(super) write: Option<PathBuf>,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum MarksArgument {
    /// A list of teeth as well
    Any,
    /// All marks to the centre
    Radial,
    /// All marks the same way
    Parallel,
}

/// A request with its gearset.
pub(super) struct Asked {
    pub(super) set: Gearset,
    pub(super) text: RequestText,
    pub(super) request: TeethRequest,
}

impl Asked {
    pub(super) fn new(set: Gearset, text: RequestText) -> Result<Self, Trouble> {
        let request = text.request(&set).map_err(|problems| {
            Trouble::WrongReadings(problems.into_iter().map(|it| WrongReading::new(it.sentence, it.hint)).collect())
        })?;
        Ok(Self { set, text, request })
    }

    pub(super) fn plan(&self) -> Result<TeethPlan<'_>, Trouble> {
        TeethPlan::new(&self.set, &self.request).map_err(Trouble::CannotSearch)
    }
}

/// Which results a plan gives: the best of one goal, or all that nothing beats in every goal.
pub(super) fn wanted(plan: &TeethPlan<'_>, results: Option<usize>) -> Wanted {
    match results {
        None => Wanted::All,
        Some(results) if plan.goal_names().len() == 1 => Wanted::Best(results),
        Some(_) => Wanted::Pareto,
    }
}

pub(super) fn search(arguments: &SearchArguments) -> Result<Exit, Trouble> {
    let part = arguments.part.as_deref().map(part).transpose()?;
    let asked = asked(arguments)?;
    let plan = asked.plan()?;
    let stop = Arc::new(AtomicBool::new(false));
    let heard = Arc::clone(&stop);
    // Where the signal cannot be caught, Ctrl-C ends the program as it does anywhere.
    let _ = ctrlc::set_handler(move || heard.store(true, Ordering::Relaxed));
    let bar = bar();
    let progress = |share: f64| bar.set_position(thousandths(share));
    let options = Options { threads: arguments.threads, part, stop: Some(&stop), progress: Some(&progress) };
    let results = (!arguments.all).then_some(arguments.results);
    let answer = plan.search(&wanted(&plan, results), &options).map_err(Trouble::CannotSearch)?;
    bar.finish_and_clear();
    let part = part.map(|part| [part.index + 1, part.of]);
    let shown = Shown { asked: &asked, plan: &plan, answer: &answer, results, part, stop: &stop };
    show_answer(&shown, arguments.format, arguments.write.as_deref())
}

/// An answer with what it takes to show it.
pub(super) struct Shown<'a> {
    pub(super) asked: &'a Asked,
    pub(super) plan: &'a TeethPlan<'a>,
    pub(super) answer: &'a TeethAnswer,
    pub(super) results: Option<usize>,
    pub(super) part: Option<[usize; 2]>,
    pub(super) stop: &'a AtomicBool,
}

pub(super) fn show_answer(shown: &Shown<'_>, format: Format, folder: Option<&Path>) -> Result<Exit, Trouble> {
    let near_misses = near_misses(shown)?;
    let goals = shown.plan.goal_names();
    let answer = Searched {
        set: &shown.asked.set,
        answer: shown.answer,
        near_misses: near_misses.as_deref(),
        goals: &goals,
        part: shown.part,
    };
    if let Some(folder) = folder {
        write_results(shown.answer, folder)?;
    }
    let origin = SearchOrigin {
        description: description::write(shown.asked.set.draft()),
        request: shown.asked.text.write(),
        results_asked: shown.results,
    };
    show(format, || answer.document(), || answer.records(), || answer.json(&origin))?;
    let done = shown.answer.outcome.complete && !shown.answer.found.is_empty();
    Ok(if done { Exit::Done } else { Exit::AnswerIsNo })
}

/// What would serve with one requirement less, where nothing serves.
fn near_misses(shown: &Shown<'_>) -> Result<Option<Vec<NearMiss>>, Trouble> {
    let outcome = &shown.answer.outcome;
    if !outcome.found.is_empty() || !outcome.complete || shown.part.is_some() {
        return Ok(None);
    }
    let options = Options { stop: Some(shown.stop), ..Options::default() };
    shown.plan.near_misses(&options).map(Some).map_err(Trouble::CannotSearch)
}

fn write_results(answer: &TeethAnswer, folder: &Path) -> Result<(), Trouble> {
    let trouble = |path: &Path, error: &std::io::Error| Trouble::CannotWriteFile {
        path: path.display().to_string(),
        reason: super::draw::reason(error),
    };
    fs::create_dir_all(folder).map_err(|error| trouble(folder, &error))?;
    for (place, found) in answer.found.iter().enumerate() {
        let path = folder.join(format!("result-{}.ron", place + 1));
        let file = fs::OpenOptions::new().write(true).create_new(true).open(&path);
        let written = file.and_then(|mut file| {
            std::io::Write::write_all(&mut file, description::write(found.set.draft()).as_bytes())
        });
        match written {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                return Err(Trouble::IsThere { path: path.display().to_string() });
            }
            other => other.map_err(|error| trouble(&path, &error))?,
        }
    }
    Ok(())
}

fn asked(arguments: &SearchArguments) -> Result<Asked, Trouble> {
    let Some(path) = &arguments.request else {
        return Asked::new(gearset(arguments.gearset.as_deref())?, of_arguments(arguments)?);
    };
    let source = fs::read_to_string(path).map_err(|error| Trouble::CannotRead {
        path: path.display().to_string(),
        reason: error.to_string().split(" (os error").next().unwrap_or_default().to_lowercase(),
    })?;
    let text = RequestText::read(&source).map_err(|it| {
        Trouble::WrongReadings(vec![WrongReading::new(format!("{}: {}", path.display(), it.sentence), it.hint)])
    })?;
    let set = match &text.gearset {
        None => gearset(None)?,
        Some(name) => named_gearset(path, name)?,
    };
    Asked::new(set, text)
}

/// A built-in gearset of this name, or the description beside the request.
fn named_gearset(request: &Path, name: &str) -> Result<Gearset, Trouble> {
    let beside = request.with_file_name(name);
    match description::example(name) {
        Some(text) if !beside.exists() => Ok(description::read(text).expect("every built-in gearset is sound")),
        _ => gearset(Some(&beside)),
    }
}

fn of_arguments(arguments: &SearchArguments) -> Result<RequestText, Trouble> {
    let mut text = RequestText::default();
    let mut wrong = Vec::new();
    for teeth in &arguments.teeth {
        match range(teeth) {
            Some((gear, fewest, most)) => text.teeth(gear, fewest, most),
            None => wrong.push(WrongReading::new(
                format!("{teeth:?} is not a range of teeth"),
                "write the gear with the fewest and the most teeth, such as --teeth L=15..30",
            )),
        }
    }
    for ratio in &arguments.ratio {
        match ratio.rsplit_once('=') {
            Some((state, wish)) => text.ratio(state.trim(), wish.trim()),
            None => wrong.push(WrongReading::new(
                format!("{ratio:?} is not a wish for a ratio"),
                "write the state and the wish, such as --ratio low=2.75, low=2.5..3, low=largest",
            )),
        }
    }
    for pins in &arguments.pins {
        match numbers(pins) {
            Some((planet, counts)) => text.pins(planet, counts),
            None => wrong.push(WrongReading::new(
                format!("{pins:?} is not a choice of pins"),
                "write the planet and the numbers to try, such as --pins cluster=3,4",
            )),
        }
    }
    if !wrong.is_empty() {
        return Err(Trouble::WrongReadings(wrong));
    }
    text.margin.clone_from(&arguments.margin);
    text.room.clone_from(&arguments.room);
    text.fewest_teeth = arguments.fewest_teeth;
    text.most_parts = arguments.most_parts;
    text.marks = match arguments.marks {
        None | Some(MarksArgument::Any) => MarksWanted::Any,
        Some(MarksArgument::Radial) => MarksWanted::Radial,
        Some(MarksArgument::Parallel) => MarksWanted::Parallel,
    };
    if arguments.keep_pin_circle {
        text.center_distances = CenterDistancesText::Kept;
    }
    if arguments.hunting {
        text.common_factors = CommonFactors::Avoided;
    }
    Ok(text)
}

fn range(text: &str) -> Option<(&str, i64, i64)> {
    let (gear, range) = text.rsplit_once('=')?;
    let (fewest, most) = range.split_once("..")?;
    Some((gear.trim(), fewest.trim().parse().ok()?, most.trim().parse().ok()?))
}

fn numbers(text: &str) -> Option<(&str, Vec<i64>)> {
    let (planet, counts) = text.rsplit_once('=')?;
    Some((planet.trim(), counts.split(',').map(|count| count.trim().parse().ok()).collect::<Option<_>>()?))
}

/// A part as typed, counted from 1.
fn part(text: &str) -> Result<Part, Trouble> {
    let read = || {
        let (index, of) = text.split_once('/')?;
        let (index, of): (usize, usize) = (index.trim().parse().ok()?, of.trim().parse().ok()?);
        (1..=of).contains(&index).then(|| Part { index: index - 1, of })
    };
    read().ok_or_else(|| {
        let sentence = format!("{} is not a part", visible(&format!("{text:?}")));
        Trouble::WrongReadings(vec![WrongReading::new(sentence, "write which part and of how many, such as 3/64")])
    })
}

const THOUSAND: u64 = 1000;

/// A bar on standard error, which shows itself only on a terminal, and only where there is time to see it.
fn bar() -> ProgressBar {
    let bar = ProgressBar::new(THOUSAND);
    let style = ProgressStyle::with_template("{bar:40} {percent} % decided, {elapsed} gone, about {eta} to go");
    bar.with_style(style.expect("the template is sound"))
}

/// A share in thousandths, for the bar.
fn thousandths(share: f64) -> u64 {
    (0..THOUSAND).rev().find(|&part| share * 1000.0 >= f64::from(u32::try_from(part).unwrap_or(0))).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arguments_are_taken_apart_at_the_last_equals_sign() {
        assert_eq!(range("L=15..30"), Some(("L", 15, 30)));
        assert_eq!(range("a=b = 15 .. 30"), Some(("a=b", 15, 30)));
        assert_eq!([range("L"), range("L=15"), range("L=x..3")], [None; 3]);
        assert_eq!(numbers("cluster=3,4"), Some(("cluster", vec![3, 4])));
        assert_eq!([0.0, 0.5, 0.9999, 1.0].map(thousandths), [0, 500, 999, 999]);
    }
}
