//! The question of a search: the request of a file with what was typed beside it, or what was typed alone.

use std::ops::Range;
use std::path::{Path, PathBuf};

use clap::Args;
use toothmark::description;
use toothmark::gearset::Gearset;
use toothmark::quick::StackNames;
use toothmark::tooth_search::{
    Contradiction, MarksWanted, ReplacedWish, RequestProblem, RequestSource, RequestText, TeethFault, TeethPlan,
    TeethRequest,
};

use super::input::source;
use super::output::eprint_notes;
use super::source::{SizeArguments, ToothSizeArguments, gearset, is_one_stack};
use super::trouble::{Refusal, Source, Trouble};
use super::values;
use super::wishes::{MarksArgument, WishArguments, is_of_no_planet, option_of};

/// What is asked.
#[derive(Debug, Args)]
pub(super) struct AskedArguments {
    /// A request (RON) that names its gearset; the arguments below are added to it, and without one they are the request
    request: Option<PathBuf>,
    /// The description whose teeth may change, a built-in gearset by its name, the railcar if left out; or the gears on a
    /// pin: 26:31 20:37 31:26
    #[arg(long, value_name = "FILE|SUN:PLANET:RING", num_args = 1..)]
    gearset: Vec<PathBuf>,
    #[command(flatten)]
    teeth_sizes: ToothSizeArguments,
    #[command(flatten)]
    wishes: WishArguments,
}

impl AskedArguments {
    /// The files that are read, with the gearset that a request names.
    pub(super) fn files(&self, named: Option<&str>) -> Vec<PathBuf> {
        let beside = self.request.as_deref().zip(named).map(|(request, name)| request.with_file_name(name));
        self.request.iter().chain(&self.gearset).cloned().chain(beside).collect()
    }
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
    /// Problems at their places; where some are of flags that were added, each by its flag or its line.
    fn trouble_of(&self, problems: Vec<RequestProblem>) -> Trouble {
        let is_of_flag = |problem: &RequestProblem| problem.place.is_none() && problem.field.is_some();
        if !problems.iter().any(is_of_flag) {
            let text = Source { name: self.name.clone(), bytes: self.bytes.clone() };
            return Trouble::Faults { text, faults: self.read.faults(problems) };
        }
        let told = problems.into_iter().map(|problem| match &problem.place {
            Some(place) => {
                let sentence = format!("{}, line {}: {}", self.name, self.line(place), problem.sentence);
                Refusal::new(sentence, problem.hint)
            }
            None => of_option(problem),
        });
        Trouble::Refused(told.collect())
    }

    /// The line of a place, counted from 1.
    fn line(&self, place: &Range<usize>) -> usize {
        let text = String::from_utf8_lossy(&self.bytes);
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        text.bytes().take(place.start).filter(|&byte| byte == b'\n').count() + 1
    }

    /// Adds what was typed beside the file, and says what it took the place of.
    fn add(&mut self, further: RequestText) {
        let replaced = self.read.add(further);
        let told = replaced.into_iter().map(|ReplacedWish { field, name, place, .. }| {
            let what = name.map(|name| format!(" for {name}")).unwrap_or_default();
            let of = match place {
                Some(place) => format!("line {} of {}", self.line(&place), self.name),
                None => format!("what {} says", self.name),
            };
            format!("{}{what} is taken in place of {of}", option_of(field))
        });
        eprint_notes(told.collect::<Vec<_>>());
    }
}

impl Asked {
    pub(super) fn new(set: Gearset, text: RequestText) -> Result<Self, Trouble> {
        let request = text.request(&set).map_err(of_options)?;
        Ok(Self { set, text, request, file: None })
    }

    /// A request from a file, with every fault at its place in it.
    fn of_file(set: Gearset, file: RequestFile) -> Result<Self, Trouble> {
        let request = file.read.understood(&set).map_err(|problems| file.trouble_of(problems))?;
        let told = file.read.text().contradictions(&set).into_iter();
        let line = |place: &Range<usize>| format!("line {} of {}", file.line(place), file.name);
        eprint_notes(told.map(|told| contradiction(told, line)));
        Ok(Self { set, text: file.read.text().clone(), request, file: Some(file) })
    }

    pub(super) fn plan(&self) -> Result<TeethPlan<'_>, Trouble> {
        TeethPlan::new(&self.set, &self.request).map_err(|fault| self.cannot_search(&fault))
    }

    pub(super) fn cannot_search(&self, fault: &TeethFault) -> Trouble {
        match &self.file {
            Some(file) => file.trouble_of(vec![file.read.problem(fault)]),
            None => of_options(vec![self.text.problem(fault)]),
        }
    }
}

/// What the arguments ask: those of a file with the flags added, or the flags alone.
pub(super) fn asked(arguments: &AskedArguments) -> Result<Asked, Trouble> {
    let typed = || arguments.wishes.request().map_err(Trouble::Refused);
    let Some(path) = &arguments.request else {
        let set = gearset(&arguments.gearset, &sizes(arguments)?, StackNames::ByCount)?;
        let asked = Asked::new(set, typed()?)?;
        let told = asked.text.contradictions(&asked.set).into_iter();
        eprint_notes(told.map(|told| contradiction(told, |_| "the request".to_owned())));
        return Ok(asked);
    };
    if is_one_stack(std::slice::from_ref(path)) {
        let hint = "name the group with --gearset: toothmark search --gearset 26:31 20:37 --pins 3 --teeth P37=33..38";
        return Err(Trouble::new("a request is expected here, not the gears on a pin", hint));
    }
    let mut file = request(path)?;
    file.add(typed()?);
    if arguments.wishes.marks == Some(MarksArgument::Any) && file.read.text().marks != MarksWanted::Any {
        file.read.text_mut().marks = MarksWanted::Any;
        eprint_notes([format!("--marks is taken in place of what {} says", file.name)]);
    }
    let set = match &file.read.text().gearset {
        Some(name) if arguments.gearset.is_empty() => named_gearset(path, name, &sizes(arguments)?)?,
        name => {
            let named = name.as_ref().map(|name| format!("--gearset is taken in place of {:?}", name.as_str()));
            eprint_notes(named);
            gearset(&arguments.gearset, &sizes(arguments)?, StackNames::ByCount)?
        }
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
fn named_gearset(request: &Path, name: &str, sizes: &SizeArguments) -> Result<Gearset, Trouble> {
    let beside = request.with_file_name(name);
    let is_built_in = description::example(name).is_some() && !beside.exists();
    gearset(&[if is_built_in { name.into() } else { beside }], sizes, StackNames::ByCount)
}

/// The sizes of the gearset as it is; pins without a planet are its own.
fn sizes(arguments: &AskedArguments) -> Result<SizeArguments, Refusal> {
    let own = arguments.wishes.pins.iter().filter(|text| is_of_no_planet(text));
    let pins = own.map(|text| values::pins(text)).collect::<Result<_, _>>()?;
    Ok(SizeArguments::new(pins, arguments.teeth_sizes.clone()))
}

/// A contradiction with the flag or the line of each side.
fn contradiction(told: Contradiction, line: impl Fn(&Range<usize>) -> String) -> String {
    let Contradiction { fields, places, sentence, .. } = told;
    let sides = fields.iter().zip(&places).map(|(field, place)| match place {
        Some(place) => line(place),
        None => option_of(field).to_owned(),
    });
    let sides: Vec<String> = sides.collect();
    if sides[0] == sides[1] {
        format!("{sentence} ({})", sides[0])
    } else {
        format!("{sentence} ({})", sides.join(", "))
    }
}

/// What is wrong with a request that was typed.
fn of_options(problems: Vec<RequestProblem>) -> Trouble {
    Trouble::Refused(problems.into_iter().map(of_option).collect())
}

/// A problem with the option that it was typed with.
fn of_option(RequestProblem { field, sentence, hint, .. }: RequestProblem) -> Refusal {
    match field {
        Some(field) => Refusal::new(format!("{}: {sentence}", option_of(field)), hint),
        None => Refusal::new(sentence, hint),
    }
}
