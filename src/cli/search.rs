//! `toothmark search`: what is asked, from a request or from arguments, and how the search is run.

use std::num::NonZeroUsize;
use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use clap::{Args, ValueEnum};
use indicatif::{ProgressBar, ProgressStyle};
use toothmark::comparison::{Candidate, compare};
use toothmark::gearset::Gearset;
use toothmark::report::{
    Answer as _, Block, Extent, account_line, csv, how_many_serve, memory_reached, result_line, result_records,
};
use toothmark::search::{MemoryBound, Options, WorkShare};
use toothmark::tooth_search::{CountWish, Counted, SearchOrigin, TeethAnswer, TeethFound, TeethPlan};

use super::asked::{Asked, AskedArguments, asked};
use super::common::{AnswerForm, Format};
use super::exit::Exit;
use super::output::{self, answer_with, eprint_notes, show, write, write_lines};
use super::place::ForceArgument;
use super::results::ResultFolder;
use super::trouble::{Refusal, Trouble};
use super::values;
use super::waiting::at_work;

#[derive(Debug, Args)]
pub(super) struct SearchArguments {
    #[command(flatten)]
    question: AskedArguments,
    /// How many results: the best, and all as good as the last of them
    #[arg(long, value_name = "N", default_value = "10")]
    pub(super) results: NonZeroUsize,
    /// Every result
    #[arg(long, conflicts_with = "results")]
    pub(super) all: bool,
    /// With --all, one line of JSON a result as it is made and the account as the last: however many there are, only their
    /// counts are kept
    #[arg(long, requires = "all", conflicts_with_all = ["write", "compare", "format", "count", "results"])]
    pub(super) lines: bool,
    /// How far to count what serves, once the best are proven: to the end, as far as it goes quickly, or not at all; and
    /// whether near misses are searched for to the end, where nothing serves
    #[arg(long, value_enum, default_value_t)]
    pub(super) count: CountArgument,
    /// Only a part of the work, such as 3/64; toothmark merge puts the JSON of all parts together
    #[arg(long, value_name = "K/N", value_parser = values::part, allow_hyphen_values = true)]
    pub(super) part: Option<WorkShare>,
    /// How many threads work; as many as there are cores if left out
    #[arg(long, value_name = "N")]
    pub(super) threads: Option<NonZeroUsize>,
    /// How much the search may keep: what it remembers of counts, and results with ties. Where it is reached a search ends
    /// with what it has, a count goes on without remembering more; the text of the answer comes on top
    #[arg(long, value_name = "SIZE", value_parser = memory, default_value = "2GB")]
    pub(super) memory: u64,
    /// Set the best of the results beside the gearset as it is: everything that compare shows; for text and Markdown
    #[arg(long)]
    pub(super) compare: bool,
    /// Write each result as a description into this folder; it is made where there is none
    #[arg(long, value_name = "DIR")]
    pub(super) write: Option<PathBuf>,
    #[command(flatten)]
    pub(super) force: ForceArgument,
    #[command(flatten)]
    pub(super) form: AnswerForm,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum CountArgument {
    /// All that serve, however long it takes; the answer stands before, and Ctrl-C ends the count
    Exact,
    /// At least so many as are found in about the time of the search
    #[default]
    AtLeast,
    /// No more than the search itself comes across
    None,
}

impl CountArgument {
    fn wish(self) -> CountWish {
        match self {
            Self::Exact => CountWish::Exact,
            Self::AtLeast => CountWish::AtLeast,
            Self::None => CountWish::None,
        }
    }
}

/// So many bytes: `500MB`, `2 GB`.
fn memory(text: &str) -> Result<u64, Refusal> {
    const UNITS: [(&str, u64); 3] = [("kb", 1000), ("mb", 1_000_000), ("gb", 1_000_000_000)];
    let typed = text.trim().to_ascii_lowercase();
    let read = UNITS.iter().find_map(|(unit, bytes)| Some((typed.strip_suffix(unit)?, bytes)));
    let read = read.and_then(|(number, bytes)| number.trim_end().parse::<u64>().ok()?.checked_mul(*bytes));
    let hint = "write a whole number with kB, MB or GB, such as --memory 500MB";
    read.filter(|bytes| *bytes > 0).ok_or_else(|| Refusal::new(format!("{text:?} is not an amount of memory"), hint))
}

pub(super) fn search(arguments: &SearchArguments) -> Result<Exit, Trouble> {
    let beside = beside(arguments)?;
    let asked = asked(&arguments.question)?;
    let plan = asked.plan()?;
    let read = arguments.question.files(asked.text.gearset.as_ref().map(|name| name.as_str()));
    let folder = arguments.write.as_deref();
    let folder = folder.map(|folder| ResultFolder::checked(folder, arguments.force, read.iter().map(PathBuf::as_path)));
    let folder = folder.transpose()?;
    let stop = Arc::new(AtomicBool::new(false));
    let heard = Arc::clone(&stop);
    // Where signals cannot be caught they end the program as they do anywhere.
    let _ = ctrlc::set_handler(move || heard.store(true, Ordering::Relaxed));
    let bar = bar();
    let progress = |share: f64| bar.set_position(thousandths(share));
    let options = Options {
        threads: arguments.threads,
        part: arguments.part,
        memory: Some(MemoryBound { bytes: arguments.memory, per_found: 0 }),
        stop: Some(&stop),
        progress: Some(&progress),
        ..Options::default()
    };
    let results = (!arguments.all).then_some(arguments.results.get());
    let origin = SearchOrigin::new(&asked.set, &asked.text, results);
    if let Some(form) = EachForm::of(arguments) {
        let told = told_each(&asked, &plan, &origin, &options, form)?;
        bar.finish_and_clear();
        // Neither rows nor lines say it in words.
        eprint_notes(memory_reached(&told.answer).map(str::to_owned).into_iter().chain(told.cut_off()));
        return Ok(if told.is_cut_off { Exit::AnswerIsNo } else { told.answer.outcome().into() });
    }
    let mut answer = plan.answer(&origin, &options).map_err(|fault| asked.cannot_search(&fault))?;
    bar.finish_and_clear();
    // What is to go on to the end may take long, and the answer does not wait for it where a person does.
    let is_open = if answer.results.is_empty() { answer.is_near_open() } else { answer.counted == Counted::AtLeast };
    let is_told_first = arguments.count == CountArgument::Exact && arguments.form.format.is_for_people();
    if !is_told_first || !is_open {
        plan.count(&mut answer, arguments.count.wish(), &options).map_err(|fault| asked.cannot_search(&fault))?;
        let exit = print_and_write(&asked.set, &answer, beside, arguments.form, folder)?;
        let may_be_counted = answer.proven && answer.part.is_none() && answer.counted == Counted::AtLeast;
        let notes = [
            may_be_counted.then_some("--count exact counts all that serve"),
            (answer.is_near_open() && arguments.count != CountArgument::Exact)
                .then_some("--count exact searches for near misses to the end, however long that takes"),
        ];
        eprint_notes(notes.into_iter().flatten().map(str::to_owned));
        return Ok(exit);
    }
    let exit = print_and_write(&asked.set, &answer, beside, arguments.form, folder)?;
    if answer.results.is_empty() {
        tell_nearest(&asked, &plan, answer, &options, arguments.form)?;
        return Ok(exit);
    }
    bar.reset();
    bar.set_style(style(COUNT_BAR));
    plan.count(&mut answer, arguments.count.wish(), &options).map_err(|fault| asked.cannot_search(&fault))?;
    bar.finish_and_clear();
    write_lines([String::new(), format!("Counted: {}.", how_many_serve(&answer))])?;
    eprint_notes(memory_reached(&answer).map(str::to_owned));
    Ok(exit)
}

/// Where nothing serves, the near misses, searched for to the end.
fn tell_nearest(
    asked: &Asked,
    plan: &TeethPlan<'_>,
    mut answer: TeethAnswer,
    options: &Options<'_>,
    form: AnswerForm,
) -> Result<(), Trouble> {
    at_work(|| plan.count(&mut answer, CountWish::Exact, options)).map_err(|fault| asked.cannot_search(&fault))?;
    if answer.is_near_open() {
        eprint_notes(["broken off: the near misses above are what was found".to_owned()]);
        return Ok(());
    }
    write_lines([String::new(), "With near misses searched for to the end:".to_owned(), String::new()])?;
    output::answer(&asked.set, &answer, form)?;
    Ok(())
}

/// How results are told one by one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum EachForm {
    Csv,
    JsonLines,
}

impl EachForm {
    fn of(arguments: &SearchArguments) -> Option<Self> {
        let is_csv = arguments.form.format == Format::Csv && arguments.write.is_none();
        match (arguments.all, arguments.lines) {
            (true, true) => Some(Self::JsonLines),
            (true, false) if is_csv => Some(Self::Csv),
            _ => None,
        }
    }
}

/// Results that were told one by one.
struct ToldOneByOne {
    answer: TeethAnswer,
    /// How many were told.
    number: usize,
    /// Whether a signal ended it among them, so that no account stands behind.
    is_cut_off: bool,
}

impl ToldOneByOne {
    fn cut_off(&self) -> Option<String> {
        let Self { answer, number, is_cut_off } = self;
        is_cut_off
            .then(|| format!("broken off: {number} of {} results are told, and no account behind them", answer.count))
    }
}

/// Tells all results, each as it is made, until nobody reads on. A signal ends the search with what it has, and that is told;
/// one that comes while it is told ends that.
fn told_each(
    asked: &Asked,
    plan: &TeethPlan<'_>,
    origin: &SearchOrigin,
    options: &Options<'_>,
    form: EachForm,
) -> Result<ToldOneByOne, Trouble> {
    let set = &asked.set;
    let (mut number, mut trouble, mut is_cut_off) = (0, None, false);
    let was_asked_to_end = || options.is_stop_requested();
    let mut ended_the_search = None;
    let tell = |found: TeethFound| {
        is_cut_off = !*ended_the_search.get_or_insert_with(was_asked_to_end) && was_asked_to_end();
        if is_cut_off {
            return ControlFlow::Break(());
        }
        number += 1;
        let told = match form {
            EachForm::Csv => result_records(set, number, &found),
            EachForm::JsonLines => result_line(set, number, &found),
        };
        match show(&told) {
            Ok(true) => ControlFlow::Continue(()),
            Ok(false) => ControlFlow::Break(()),
            Err(error) => {
                trouble = Some(error);
                ControlFlow::Break(())
            }
        }
    };
    let answer = plan.answer_each(origin, options, tell).map_err(|fault| asked.cannot_search(&fault))?;
    if let Some(trouble) = trouble {
        return Err(trouble);
    }
    match form {
        _ if is_cut_off => {}
        EachForm::JsonLines => write(&account_line(set, &answer))?,
        EachForm::Csv if number == 0 => write(&csv(&answer.records(set)))?,
        EachForm::Csv => {}
    }
    Ok(ToldOneByOne { answer, number, is_cut_off })
}

/// Whether the answer ends with a comparison.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ClosingComparison {
    /// It does not.
    Nothing,
    /// The best of the results beside the gearset as it is.
    TheBest,
}

fn beside(arguments: &SearchArguments) -> Result<ClosingComparison, Trouble> {
    if !arguments.compare {
        return Ok(ClosingComparison::Nothing);
    }
    if arguments.form.format.is_for_people() {
        return Ok(ClosingComparison::TheBest);
    }
    Err(Refusal::new(
        "a comparison is for people, and this format is for other programs",
        "write the results with --write DIR and compare the files: toothmark compare --format json FILE ...",
    )
    .into())
}

/// Prints the answer, then writes the results; what was found is printed also where it cannot be written.
pub(super) fn print_and_write(
    set: &Gearset,
    answer: &TeethAnswer,
    beside: ClosingComparison,
    form: AnswerForm,
    folder: Option<ResultFolder>,
) -> Result<Exit, Trouble> {
    let further = match beside {
        ClosingComparison::Nothing => Vec::new(),
        ClosingComparison::TheBest => comparison(set, answer, form.extent()),
    };
    let printed = answer_with(set, answer, further, form);
    if let Some(folder) = folder {
        let left = folder.write(answer.results.iter().map(|found| found.titled_draft(set)))?;
        eprint_notes(left.iter().map(|path| format!("{} was left by an earlier search", path.display())));
    }
    printed
}

/// As many results as stand beside the gearset as it is.
const BEST_FEW: usize = 3;

/// The gearset as it is beside the first results.
fn comparison(set: &Gearset, answer: &TeethAnswer, extent: Extent) -> Vec<Block> {
    if answer.results.is_empty() {
        return Vec::new();
    }
    let found = answer.results.iter().take(BEST_FEW).enumerate();
    let results = found.map(|(place, found)| Candidate { source: format!("result {}", place + 1), set: &found.set });
    let sets: Vec<Candidate<'_>> =
        std::iter::once(Candidate { source: "as it is".into(), set }).chain(results).collect();
    let heading = Block::Heading("Beside the gearset as it is".into());
    [vec![heading], compare(&sets).document(set, extent).blocks].concat()
}

const THOUSAND: u64 = 1000;

/// What the bar shows while the best are searched for.
const SEARCH_BAR: &str = "{bar:40} {percent} % decided, {elapsed} gone, about {eta} to go";

/// What it shows while the rest is counted.
const COUNT_BAR: &str = "{bar:40} {percent} % counted, {elapsed} gone; the answer above stands, Ctrl-C ends the count";

/// A bar on standard error, which shows itself only on a terminal, and only where there is time to see it.
fn bar() -> ProgressBar {
    ProgressBar::new(THOUSAND).with_style(style(SEARCH_BAR))
}

fn style(template: &str) -> ProgressStyle {
    ProgressStyle::with_template(template).expect("the template is sound")
}

/// A share in thousandths, for the bar.
fn thousandths(share: f64) -> u64 {
    (0..THOUSAND).rev().find(|&part| share * 1000.0 >= f64::from(u32::try_from(part).unwrap_or(0))).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn memory_has_a_unit() {
        let read = |text: &str| memory(text).ok();
        assert_eq!(["500MB", "2 gb", "7kB"].map(read), [Some(500_000_000), Some(2_000_000_000), Some(7000)]);
        assert_eq!(["2", "2 G", "0MB", "-1GB", "", "99999999999999GB", "1.5GB"].map(read), [None; 7]);
    }

    #[test]
    fn a_share_is_told_in_thousandths() {
        assert_eq!([0.0, 0.5, 0.9999, 1.0].map(thousandths), [0, 500, 999, 999]);
    }
}
