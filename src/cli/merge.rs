//! `toothmark merge`: the parts of a search put together.
//!
//! Each file is the JSON of `toothmark search --part K/N --format json`; it carries its request and its
//! gearset, and parts of different searches are refused.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use clap::Args;
use serde::Deserialize;
use serde_json::{Number, Value};
use toothmark::description;
use toothmark::exact::{Fraction, parse};
use toothmark::report::SearchOrigin;
use toothmark::search::{Excluded, Outcome};
use toothmark::tooth_search::{Counted, PartFound, RequestText, Tally, TeethPlan};

use super::common::{ANSWER, Format, formats};
use super::exit::Exit;
use super::input::whole_file;
use super::output::eprint_notes;
use super::place::ForceArgument;
use super::results::ResultFolder;
use super::search::{Asked, Beside, Shown, show_answer, wanted};
use super::trouble::{Refusal, Trouble};

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
    /// The form of the answer
    #[arg(long, value_parser = formats(ANSWER), default_value = "text")]
    pub(super) format: Format,
}

/// What a part says.
#[derive(Debug, Deserialize)]
struct PartJson {
    complete: bool,
    combinations: Number,
    visited: Number,
    count: Number,
    results: Vec<ResultJson>,
    beaten: Number,
    undecided: Number,
    excluded: Vec<ExcludedJson>,
    part: Option<[usize; 2]>,
    origin: SearchOrigin,
}

#[derive(Debug, Deserialize)]
struct ResultJson {
    teeth: BTreeMap<String, i64>,
    pins: Value,
    measures: Vec<String>,
    modules: BTreeMap<String, String>,
}

#[derive(Debug, Deserialize)]
struct ExcludedJson {
    requirement: String,
    combinations: Number,
}

pub(super) fn merge(arguments: &MergeArguments) -> Result<Exit, Trouble> {
    let folder = arguments.write.as_deref();
    let folder = folder
        .map(|folder| ResultFolder::checked(folder, arguments.force, arguments.parts.iter().map(PathBuf::as_path)));
    let folder = folder.transpose()?;
    let parts = arguments.parts.iter().map(|path| read(path)).collect::<Result<Vec<_>, _>>()?;
    let names: Vec<String> = arguments.parts.iter().map(|path| path.display().to_string()).collect();
    let missing = check(&names, &parts)?;
    let origin = &parts[0].origin;
    let damaged = || wrong("the parts do not hold a sound request", "take the files as search has written them");
    let set = description::read(&origin.description).map_err(|_| damaged())?;
    let text = RequestText::read(&origin.request).map_err(|_| damaged())?;
    let asked = Asked::new(set, text)?;
    let plan = asked.plan()?;
    let serving = sum(parts.iter().map(|part| number(&part.count))).ok_or_else(damaged)?;
    let outcomes = outcomes(&plan, &names, &parts)?;
    let combinations = sum(outcomes.iter().map(|outcome| Some(outcome.combinations)));
    let all = plan.problem().space().combinations();
    let in_space = if missing.is_empty() { combinations == all } else { combinations <= all };
    if !in_space || Some(serving) > all {
        return Err(damaged());
    }
    let mut whole = outcomes.into_iter().reduce(Outcome::merge).ok_or_else(damaged)?;
    whole.complete &= missing.is_empty();
    let all_counted = missing.is_empty() && parts.iter().all(|part| part.complete);
    let counted = if all_counted { Counted::All } else { Counted::AtLeast };
    let answer = plan.answer(whole, serving, counted);
    let stop = AtomicBool::new(false);
    let shown = Shown {
        asked: &asked,
        plan: &plan,
        answer: &answer,
        results: origin.results_asked,
        part: None,
        stop: &stop,
        beside: Beside::Nothing,
    };
    let exit = show_answer(&shown, arguments.format, folder)?;
    if !missing.is_empty() {
        eprint_notes([told(&missing)]);
    }
    Ok(exit)
}

/// What the parts have found, each checked: its numbers add up, and what it lists meets the request.
fn outcomes(plan: &TeethPlan<'_>, names: &[String], parts: &[PartJson]) -> Result<Vec<Outcome>, Trouble> {
    let mut found: Vec<Outcome> = Vec::new();
    for (name, part) in names.iter().zip(parts) {
        let restored = outcome(plan, part).filter(|outcome| {
            adds_up(outcome) && plan.confirms(outcome) && found.first().is_none_or(|first| alike(outcome, first))
        });
        found.push(restored.ok_or_else(|| {
            let sentence = format!("{name:?} does not hold what a search of its request finds");
            wrong(sentence, "take the files as search has written them")
        })?);
    }
    let work = sum(found.iter().map(|outcome| Some(outcome.visited)));
    work.map(|_| found)
        .ok_or_else(|| wrong("the work done is too large a number", "take the files as search has written them"))
}

/// Which parts are missing: the first few by their numbers.
fn told(missing: &Missing) -> String {
    let first: Vec<String> = missing.first.iter().map(ToString::to_string).collect();
    let first = first.join(", ");
    match (missing.number, missing.first.len()) {
        (1, _) => format!("part {first} is missing, so that nothing is proven"),
        (number, listed) if number == listed => format!("parts {first} are missing, so that nothing is proven"),
        (number, _) => format!("{number} parts are missing, the first of them {first}, so that nothing is proven"),
    }
}

fn wrong(sentence: impl Display, hint: &str) -> Trouble {
    Refusal::new(sentence, hint).into()
}

fn read(path: &Path) -> Result<PartJson, Trouble> {
    let name = path.display().to_string();
    let text = String::from_utf8_lossy(&whole_file(path)?.bytes).into_owned();
    serde_json::from_str(&text).map_err(|_| {
        wrong(
            format!("{name:?} is not the JSON of a search"),
            "write it with toothmark search --part K/N --format json",
        )
    })
}

/// Parts that nobody has given.
struct Missing {
    number: usize,
    /// The first few.
    first: Vec<usize>,
}

impl Missing {
    fn is_empty(&self) -> bool {
        self.number == 0
    }
}

/// Whether the parts are of one search, each once; the parts that are missing.
fn check(names: &[String], parts: &[PartJson]) -> Result<Missing, Trouble> {
    const LISTED: usize = 20;
    let of = |part: &PartJson| part.part.map_or(1, |[_, of]| of);
    let mut seen: BTreeMap<usize, &String> = BTreeMap::new();
    for (name, part) in names.iter().zip(parts) {
        if part.origin != parts[0].origin || of(part) != of(&parts[0]) {
            let sentence = format!("{name:?} is a part of another search than {:?}", names[0]);
            return Err(wrong(sentence, "merge the parts of one request, cut into the same number of parts"));
        }
        let index = part.part.map_or(1, |[index, _]| index);
        if !(1..=of(part)).contains(&index) {
            let sentence = format!("{name:?} says that it is part {index} of {}", of(part));
            return Err(wrong(sentence, "take the files as search has written them"));
        }
        if let Some(other) = seen.insert(index, name) {
            return Err(wrong(format!("{name:?} and {other:?} are the same part"), "name every part once"));
        }
    }
    let first = (1..=of(&parts[0])).filter(|index| !seen.contains_key(index)).take(LISTED).collect();
    Ok(Missing { number: of(&parts[0]) - seen.len(), first })
}

/// Whether every combination of a part is accounted for.
fn adds_up(outcome: &Outcome) -> bool {
    let excluded = outcome.excluded.iter().map(|one| one.combinations);
    let account = excluded.chain([outcome.count, outcome.beaten, outcome.undecided]);
    sum(account.map(Some)) == Some(outcome.combinations)
}

/// A sum; `None` where a number is none, or the sum too large.
fn sum(mut numbers: impl Iterator<Item = Option<u128>>) -> Option<u128> {
    numbers.try_fold(0, |sum: u128, one| sum.checked_add(one?))
}

/// Whether the requirements of two parts are the same.
fn alike(one: &Outcome, other: &Outcome) -> bool {
    one.excluded.iter().map(|excluded| &excluded.name).eq(other.excluded.iter().map(|excluded| &excluded.name))
}

fn number(number: &Number) -> Option<u128> {
    number.to_string().parse().ok()
}

/// The outcome of a part; `None` where a name or number in it is none.
fn outcome(plan: &TeethPlan<'_>, part: &PartJson) -> Option<Outcome> {
    let excluded =
        |one: &ExcludedJson| Some(Excluded { name: one.requirement.clone(), combinations: number(&one.combinations)? });
    let tally = Tally {
        count: u128::try_from(part.results.len()).ok()?,
        combinations: number(&part.combinations)?,
        visited: number(&part.visited)?,
        excluded: part.excluded.iter().map(excluded).collect::<Option<_>>()?,
        beaten: number(&part.beaten)?,
        undecided: number(&part.undecided)?,
    };
    let found: Vec<PartFound> = part.results.iter().map(|result| found(plan, result)).collect::<Option<_>>()?;
    Some(plan.restored(&wanted(plan, part.origin.results_asked), tally, &found))
}

fn found(plan: &TeethPlan<'_>, result: &ResultJson) -> Option<PartFound> {
    let set = plan.set();
    let teeth = result.teeth.iter().map(|(gear, &teeth)| Some((set.gear_named(gear)?, teeth)));
    let pins = set.planet_groups().iter().map(|group| {
        let planet = group.planets()[0];
        let name = set.member(planet).name();
        let pins = result.pins.as_i64().or_else(|| result.pins.get(name)?.as_i64())?;
        Some((planet, pins))
    });
    let measures = result.measures.iter().map(|measure| parse(measure)).collect::<Option<Vec<Fraction>>>()?;
    let modules = result.modules.iter().map(|(name, module)| Some((set.mesh_named(name)?, parse(module)?)));
    Some(PartFound {
        teeth: teeth.collect::<Option<_>>()?,
        pins: pins.collect::<Option<_>>()?,
        modules: modules.collect::<Option<_>>()?,
        measures,
    })
}
