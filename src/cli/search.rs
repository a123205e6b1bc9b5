//! `toothmark search`: what is asked, from a request or from arguments, and how the search is run.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use clap::{Args, ValueEnum};
use indicatif::{ProgressBar, ProgressStyle};
use toothmark::comparison::{Candidate, compare};
use toothmark::description::{self, Faults};
use toothmark::exact::Fraction;
use toothmark::gearset::Gearset;
use toothmark::quick::StackNames;
use toothmark::report::{Answer as _, Block, Extent, how_many_serve};
use toothmark::search::{Options, WorkShare};
use toothmark::tooth_search::{
    CenterDistances, CommonFactors, CountWish, Counted, FitWish, MarksWanted, RequestSource, RequestText, SearchOrigin,
    TeethAnswer, TeethFault, TeethPlan, TeethRequest,
};

use super::common::AnswerForm;
use super::exit::Exit;
use super::input::source;
use super::output::{answer_with, eprint_notes, write_lines};
use super::place::ForceArgument;
use super::results::ResultFolder;
use super::source::{SizeArguments, ToothSizeArguments, gearset, is_one_stack};
use super::trouble::{Refusal, Source, Trouble};
use super::values::{self, name_and_value};

#[derive(Debug, Args)]
#[expect(clippy::struct_excessive_bools, reason = "flags as typed, each by its name")]
pub(super) struct SearchArguments {
    /// A request (RON) that names its gearset; without one the arguments below are the request
    pub(super) request: Option<PathBuf>,
    /// The description whose teeth may change, the railcar if left out; or the gears on a pin: 26:31 20:37 31:26
    #[arg(long, value_name = "FILE|SUN:PLANET:RING", num_args = 1.., conflicts_with = "request")]
    pub(super) gearset: Vec<PathBuf>,
    #[command(flatten)]
    pub(super) teeth_sizes: ToothSizeArguments,
    /// A gear that may change, with the fewest and the most teeth: L=15..30; may be repeated
    #[arg(long, value_name = "GEAR=FROM..TO", conflicts_with = "request", allow_hyphen_values = true)]
    pub(super) teeth: Vec<String>,
    /// Two gears with one count, such as one sun in two sets: l=r; may be repeated
    #[arg(long, value_name = "GEAR=GEAR", conflicts_with = "request")]
    pub(super) tied: Vec<String>,
    /// What is wanted of a ratio: low=2.75 (as near as can be), low=2.5..3, low=largest, low=smallest; a window beside a
    /// target of the same state holds for it
    #[arg(long, value_name = "STATE=WISH", conflicts_with = "request", allow_hyphen_values = true)]
    pub(super) ratio: Vec<String>,
    /// Other numbers of equal pins for a planet: cluster=3,4; a number alone is that of a group typed as gears on a pin
    #[arg(long, value_name = "PLANET=N,...", conflicts_with = "request", allow_hyphen_values = true)]
    pub(super) pins: Vec<String>,
    /// Other modules for a mesh, in millimetres: "D with d=2,2.5"; meshes that share a gear share it
    #[arg(long, value_name = "MESH=MODULE,...", conflicts_with = "request", allow_hyphen_values = true)]
    pub(super) modules: Vec<String>,
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
    /// Sums of teeth of one planet may differ by so many teeth, for profile shift to make up for
    #[arg(long, value_name = "TEETH", conflicts_with_all = ["request", "keep_pin_circle"])]
    pub(super) sums_within: Option<String>,
    /// Keep the pin circle; sums of teeth may be so many teeth off, and shift makes up for it
    #[arg(long, value_name = "TEETH", allow_hyphen_values = true, conflicts_with_all = ["request", "keep_pin_circle", "sums_within"])]
    pub(super) by_shift: Option<String>,
    #[command(flatten)]
    pub(super) fit: FitArguments,
    /// No common factors of teeth that meet
    #[arg(long, conflicts_with = "request")]
    pub(super) hunting: bool,
    /// How many results: the best, and all as good as the last of them
    #[arg(long, value_name = "N", default_value = "10")]
    pub(super) results: NonZeroUsize,
    /// Every result
    #[arg(long, conflicts_with = "results")]
    pub(super) all: bool,
    /// How far to count what serves, once the best are proven: to the end, as far as it goes quickly, or not at all
    #[arg(long, value_enum, default_value_t)]
    pub(super) count: CountArgument,
    /// Only a part of the work, such as 3/64; toothmark merge puts the JSON of all parts together
    #[arg(long, value_name = "K/N", value_parser = values::part, allow_hyphen_values = true)]
    pub(super) part: Option<WorkShare>,
    /// How many threads work; as many as there are cores if left out
    #[arg(long, value_name = "N")]
    pub(super) threads: Option<NonZeroUsize>,
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
    /// The file that it was read from, if it was.
    file: Option<RequestFile>,
}

/// A request that was read from a file.
struct RequestFile {
    name: String,
    bytes: Vec<u8>,
    read: RequestSource,
}

impl RequestFile {
    fn trouble(&self, faults: Faults) -> Trouble {
        Trouble::Faults { text: Source { name: self.name.clone(), bytes: self.bytes.clone() }, faults }
    }
}

impl Asked {
    pub(super) fn new(set: Gearset, text: RequestText) -> Result<Self, Trouble> {
        let request = text.request(&set).map_err(|problems| {
            Trouble::Refused(problems.into_iter().map(|it| Refusal::new(it.sentence, it.hint)).collect())
        })?;
        Ok(Self { set, text, request, file: None })
    }

    /// A request from a file, with every fault at its place in it.
    fn of_file(set: Gearset, file: RequestFile) -> Result<Self, Trouble> {
        let request = file.read.request(&set).map_err(|faults| file.trouble(faults))?;
        Ok(Self { set, text: file.read.text().clone(), request, file: Some(file) })
    }

    pub(super) fn plan(&self) -> Result<TeethPlan<'_>, Trouble> {
        TeethPlan::new(&self.set, &self.request).map_err(|fault| self.cannot_search(&fault))
    }

    fn cannot_search(&self, fault: &TeethFault) -> Trouble {
        match &self.file {
            Some(file) => file.trouble(file.read.cannot_search(fault)),
            None => Trouble::new(fault, fault.hint()),
        }
    }
}

pub(super) fn search(arguments: &SearchArguments) -> Result<Exit, Trouble> {
    let beside = beside(arguments)?;
    let asked = asked(arguments)?;
    let plan = asked.plan()?;
    let read = read(arguments, asked.text.gearset.as_ref().map(|name| name.as_str()));
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
        stop: Some(&stop),
        progress: Some(&progress),
        ..Options::default()
    };
    let results = (!arguments.all).then_some(arguments.results.get());
    let origin = SearchOrigin::new(&asked.set, &asked.text, results);
    let mut answer = plan.answer(&origin, &options).map_err(|fault| asked.cannot_search(&fault))?;
    bar.finish_and_clear();
    // A count to the end may take long, and the answer does not wait for it where a person does.
    let is_told_first = arguments.count == CountArgument::Exact && arguments.form.format.is_for_people();
    if !is_told_first || answer.counted == Counted::All || answer.results.is_empty() {
        plan.count(&mut answer, arguments.count.wish(), &options).map_err(|fault| asked.cannot_search(&fault))?;
        let exit = print_and_write(&asked.set, &answer, beside, arguments.form, folder)?;
        let may_be_counted = answer.proven && answer.part.is_none() && answer.counted == Counted::AtLeast;
        eprint_notes(may_be_counted.then(|| "--count exact counts all that serve".to_owned()));
        return Ok(exit);
    }
    let exit = print_and_write(&asked.set, &answer, beside, arguments.form, folder)?;
    bar.reset();
    bar.set_style(style(COUNT_BAR));
    plan.count(&mut answer, arguments.count.wish(), &options).map_err(|fault| asked.cannot_search(&fault))?;
    bar.finish_and_clear();
    write_lines([String::new(), format!("Counted: {}.", how_many_serve(&answer))])?;
    Ok(exit)
}

/// The files that the search reads.
fn read(arguments: &SearchArguments, named: Option<&str>) -> Vec<PathBuf> {
    let beside = arguments.request.as_deref().zip(named).map(|(request, name)| request.with_file_name(name));
    arguments.request.iter().chain(&arguments.gearset).cloned().chain(beside).collect()
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
        let left = folder.write(answer.results.iter().map(|found| &found.set))?;
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

fn asked(arguments: &SearchArguments) -> Result<Asked, Trouble> {
    let Some(path) = &arguments.request else {
        let set = gearset(&arguments.gearset, &sizes(arguments)?, StackNames::ByCount)?;
        return Asked::new(set, of_arguments(arguments)?);
    };
    if is_one_stack(std::slice::from_ref(path)) {
        let hint = "name the group with --gearset: toothmark search --gearset 26:31 20:37 --pins 3 --teeth P37=33..38";
        return Err(Trouble::new("a request is expected here, not the gears on a pin", hint));
    }
    let file = request(path)?;
    let set = match &file.read.text().gearset {
        None => gearset(&[], &SizeArguments::default(), StackNames::ByCount)?,
        Some(name) => named_gearset(path, name)?,
    };
    Asked::of_file(set, file)
}

/// The request that a file holds; "-" is standard input.
fn request(path: &Path) -> Result<RequestFile, Trouble> {
    let Source { name, bytes } = source(Some(path))?;
    match RequestSource::read_bytes(&bytes) {
        Ok(read) => Ok(RequestFile { name, bytes, read }),
        Err(faults) => Err(Trouble::Faults { text: Source { name, bytes }, faults }),
    }
}

/// A built-in gearset of this name, or the description beside the request.
fn named_gearset(request: &Path, name: &str) -> Result<Gearset, Trouble> {
    let beside = request.with_file_name(name);
    match description::example(name) {
        Some(text) if !beside.exists() => Ok(description::read(text).expect("every built-in gearset is sound")),
        _ => gearset(&[beside], &SizeArguments::default(), StackNames::ByCount),
    }
}

/// The sizes of the gearset as it is; pins without a planet are its own.
fn sizes(arguments: &SearchArguments) -> Result<SizeArguments, Refusal> {
    let own = arguments.pins.iter().filter(|text| is_of_no_planet(text));
    let pins = own.map(|text| values::pins(text)).collect::<Result<_, _>>()?;
    Ok(SizeArguments::new(pins, arguments.teeth_sizes.clone()))
}

/// Whether pins are told without a planet: a number, or places.
fn is_of_no_planet(pins: &str) -> bool {
    pins.trim_start().starts_with(|letter: char| letter.is_ascii_digit()) && !pins.contains('=')
}

fn of_arguments(arguments: &SearchArguments) -> Result<RequestText, Trouble> {
    let mut text = RequestText::default();
    let mut wrong = lists(arguments, &mut text);
    text.margin = number(arguments.margin.as_ref(), "a part of a tooth", &mut wrong).map(Into::into);
    text.room = number(arguments.room.as_ref(), "a number of modules", &mut wrong).map(Into::into);
    let sums_within = number(arguments.sums_within.as_ref(), "a number of teeth", &mut wrong);
    let by_shift = number(arguments.by_shift.as_ref(), "a number of teeth", &mut wrong);
    text.fit = arguments.fit.wish(&mut wrong);
    if !wrong.is_empty() {
        return Err(Trouble::Refused(wrong));
    }
    text.fewest_teeth = arguments.fewest_teeth.map(Into::into);
    text.most_parts = arguments.most_parts.map(|most| i64::from(most).into());
    text.marks = match arguments.marks {
        None | Some(MarksArgument::Any) => MarksWanted::Any,
        Some(MarksArgument::Radial) => MarksWanted::Radial,
        Some(MarksArgument::Parallel) => MarksWanted::Parallel,
    };
    let shared = match (sums_within, by_shift) {
        (Some(teeth), _) => CenterDistances::Within(teeth),
        (None, Some(teeth)) => CenterDistances::KeptByShift(teeth),
        (None, None) if arguments.keep_pin_circle => CenterDistances::Kept,
        (None, None) => CenterDistances::Equal,
    };
    text.center_distances = shared.into();
    if arguments.hunting {
        text.common_factors = CommonFactors::Avoided;
    }
    Ok(text)
}

/// What teeth have to be that are cut anew.
#[derive(Debug, Clone, clap::Args)]
pub(super) struct FitArguments {
    /// The least contact ratio of every mesh with a gear that changes, such as 1.3
    #[arg(long, value_name = "RATIO", allow_hyphen_values = true, conflicts_with = "request")]
    contact_ratio: Option<String>,
    /// The least thickness of a tip, in modules; 0.2 where teeth are looked at and nothing is said
    #[arg(long, value_name = "MODULES", allow_hyphen_values = true, conflicts_with = "request")]
    tip_thickness: Option<String>,
    /// The least clearance from a tip to the root opposite, in modules
    #[arg(long, value_name = "MODULES", allow_hyphen_values = true, conflicts_with = "request")]
    root_clearance: Option<String>,
    /// The least profile shift of a gear, in modules
    #[arg(long, value_name = "X", conflicts_with = "request", allow_hyphen_values = true)]
    least_shift: Option<String>,
    /// The largest profile shift of a gear, in modules, such as 0.6
    #[arg(long, value_name = "X", conflicts_with = "request", allow_hyphen_values = true)]
    largest_shift: Option<String>,
}

impl FitArguments {
    /// The limits, where any is given.
    fn wish(&self, wrong: &mut Vec<Refusal>) -> Option<FitWish> {
        let mut limit = |text: &Option<String>, what: &str| number(text.as_ref(), what, wrong).map(Into::into);
        let wish = FitWish {
            contact_ratio: limit(&self.contact_ratio, "a contact ratio"),
            tip_thickness: limit(&self.tip_thickness, "a number of modules"),
            root_clearance: limit(&self.root_clearance, "a number of modules"),
            least_shift: limit(&self.least_shift, "a profile shift in modules"),
            largest_shift: limit(&self.largest_shift, "a profile shift in modules"),
            ..FitWish::default()
        };
        (wish != FitWish::default()).then_some(wish)
    }
}

/// Adds what may stand several times, and gives what is wrong with it.
fn lists(arguments: &SearchArguments, text: &mut RequestText) -> Vec<Refusal> {
    let mut wrong = Vec::new();
    for teeth in &arguments.teeth {
        match range(teeth) {
            Some((gear, fewest, most)) => text.allow_teeth(gear, fewest, most),
            None => wrong.push(Refusal::new(
                format!("{teeth:?} is not a range of teeth"),
                "write the gear with the fewest and the most teeth, such as --teeth L=15..30",
            )),
        }
    }
    for tied in &arguments.tied {
        match name_and_value(tied) {
            Some((one, other)) => text.tie(one, other.trim()),
            None => wrong.push(Refusal::new(
                format!("{tied:?} is not two gears"),
                "write the gears that have one count, such as --tied l=r",
            )),
        }
    }
    for ratio in &arguments.ratio {
        match name_and_value(ratio) {
            Some((state, wish)) => {
                let read = text.wish_ratio(state, wish);
                wrong.extend(read.err().map(|text| not_a_number(&text, "a ratio")));
            }
            None => wrong.push(Refusal::new(
                format!("{ratio:?} is not a wish for a ratio"),
                "write the state and the wish, such as --ratio low=2.75, low=2.5..3, low=largest",
            )),
        }
    }
    for pins in arguments.pins.iter().filter(|text| !is_of_no_planet(text)) {
        match numbers(pins) {
            Some((planet, counts)) => text.allow_pins(planet, counts),
            None => wrong.push(Refusal::new(
                format!("{pins:?} is not a choice of pins"),
                "write the planet and the numbers to try, such as --pins cluster=3,4",
            )),
        }
    }
    for modules in &arguments.modules {
        match name_and_value(modules) {
            Some((mesh, modules)) => {
                let modules: Vec<String> = modules.split(',').map(ToOwned::to_owned).collect();
                let read = modules.iter().filter_map(|module| number(Some(module), "a module", &mut wrong)).collect();
                text.allow_modules(mesh, read);
            }
            None => wrong.push(Refusal::new(
                format!("{modules:?} is not a choice of modules"),
                "write the mesh and the modules to try, such as --modules \"D with d=2,2.5\"",
            )),
        }
    }
    wrong
}

/// A number as typed; one that is none is told.
fn number(text: Option<&String>, what: &str, wrong: &mut Vec<Refusal>) -> Option<Fraction> {
    let read = text.map(|text| values::number(text, what, NUMBER_HINT, &["mm", "teeth", "tooth", "modules"]))?;
    read.map_err(|reading| wrong.push(reading)).ok()
}

fn not_a_number(text: &str, what: &str) -> Refusal {
    Refusal::new(format!("{text:?} is not {what}"), NUMBER_HINT)
}

const NUMBER_HINT: &str = "write a number such as 2.75, 11/4 or -4";

fn range(text: &str) -> Option<(&str, i64, i64)> {
    let (gear, range) = name_and_value(text)?;
    let (fewest, most) = range.split_once("..")?;
    Some((gear, values::tooth_count(fewest)?, values::tooth_count(most)?))
}

fn numbers(text: &str) -> Option<(&str, Vec<i64>)> {
    let (planet, counts) = name_and_value(text)?;
    Some((planet, counts.split(',').map(|count| count.trim().parse().ok()).collect::<Option<_>>()?))
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
    fn arguments_are_taken_apart_at_the_last_equals_sign() {
        assert_eq!(range("L=15..30"), Some(("L", 15, 30)));
        assert_eq!(range("a=b = 15 .. 30"), Some(("a=b", 15, 30)));
        assert_eq!([range("L"), range("L=15"), range("L=x..3")], [None; 3]);
        assert_eq!(numbers("cluster=3,4"), Some(("cluster", vec![3, 4])));
        assert_eq!([0.0, 0.5, 0.9999, 1.0].map(thousandths), [0, 500, 999, 999]);
    }
}
