//! `toothmark merge`: the parts of a search put together.
//!
//! Each file is the JSON of `toothmark search --part K/N --format json`; it carries its request and its
//! gearset, and parts of different searches are refused.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;

use clap::Args;
use serde::Deserialize;
use serde_json::{Number, Value};
use toothmark::description;
use toothmark::exact::{Fraction, parse};
use toothmark::report::SearchOrigin;
use toothmark::search::teeth::{PartFound, RequestText, Tally, TeethPlan};
use toothmark::search::{Excluded, Outcome};

use super::arguments::Format;
use super::exit::Exit;
use super::input::{Trouble, WrongReading};
use super::search::{Asked, Shown, show_answer, wanted};

#[derive(Debug, Args)]
pub(super) struct MergeArguments {
    /// The JSON of every part, in any order
    #[arg(required = true)]
    pub(super) parts: Vec<PathBuf>,
    /// Write each result as a description into this folder; it is made where there is none
    #[arg(long, value_name = "DIR")]
    pub(super) write: Option<PathBuf>,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: Format,
}

/// What a part says.
#[derive(Debug, Deserialize)]
struct PartJson {
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
}

#[derive(Debug, Deserialize)]
struct ExcludedJson {
    requirement: String,
    combinations: Number,
}

pub(super) fn merge(arguments: &MergeArguments) -> Result<Exit, Trouble> {
    let parts = arguments.parts.iter().map(read).collect::<Result<Vec<_>, _>>()?;
    let names: Vec<String> = arguments.parts.iter().map(|path| path.display().to_string()).collect();
    let missing = check(&names, &parts)?;
    let origin = &parts[0].origin;
    let damaged = || wrong("the parts do not hold a sound request", "take the files as search has written them");
    let set = description::read(&origin.description).map_err(|_| damaged())?;
    let text = RequestText::read(&origin.request).map_err(|_| damaged())?;
    let asked = Asked::new(set, text)?;
    let plan = asked.plan()?;
    let outcomes = parts.iter().map(|part| outcome(&plan, part).ok_or_else(damaged)).collect::<Result<Vec<_>, _>>()?;
    let mut whole = outcomes.into_iter().reduce(Outcome::merge).ok_or_else(damaged)?;
    whole.complete &= missing.is_empty();
    let serving = parts.iter().map(|part| number(&part.count)).sum::<Option<u128>>().ok_or_else(damaged)?;
    let answer = plan.answer(whole, serving);
    let stop = AtomicBool::new(false);
    let shown =
        Shown { asked: &asked, plan: &plan, answer: &answer, results: origin.results_asked, part: None, stop: &stop };
    let exit = show_answer(&shown, arguments.format, arguments.write.as_deref())?;
    if !missing.is_empty() {
        let missing: Vec<String> = missing.iter().map(ToString::to_string).collect();
        eprint_note(&format!("parts {} are missing, so that nothing is proven", missing.join(", ")));
    }
    Ok(exit)
}

#[expect(clippy::print_stderr, reason = "a remark that is no part of the answer")]
fn eprint_note(note: &str) {
    eprintln!("note: {note}");
}

fn wrong(sentence: impl Into<String>, hint: &str) -> Trouble {
    Trouble::WrongReadings(vec![WrongReading::new(sentence, hint)])
}

fn read(path: &PathBuf) -> Result<PartJson, Trouble> {
    let name = path.display().to_string();
    let text = fs::read_to_string(path).map_err(|error| Trouble::CannotRead {
        path: name.clone(),
        reason: error.to_string().split(" (os error").next().unwrap_or_default().to_lowercase(),
    })?;
    serde_json::from_str(&text).map_err(|_| {
        wrong(
            format!("{name:?} is not the JSON of a search"),
            "write it with toothmark search --part K/N --format json",
        )
    })
}

/// Whether the parts are of one search, each once; the parts that are missing.
fn check(names: &[String], parts: &[PartJson]) -> Result<Vec<usize>, Trouble> {
    let of = |part: &PartJson| part.part.map_or(1, |[_, of]| of);
    let mut seen: BTreeMap<usize, &String> = BTreeMap::new();
    for (name, part) in names.iter().zip(parts) {
        if part.origin != parts[0].origin || of(part) != of(&parts[0]) {
            let sentence = format!("{name:?} is a part of another search than {:?}", names[0]);
            return Err(wrong(sentence, "merge the parts of one request, cut into the same number of parts"));
        }
        let index = part.part.map_or(1, |[index, _]| index);
        if let Some(other) = seen.insert(index, name) {
            return Err(wrong(format!("{name:?} and {other:?} are the same part"), "name every part once"));
        }
    }
    Ok((1..=of(&parts[0])).filter(|index| !seen.contains_key(index)).collect())
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
    Some(PartFound { teeth: teeth.collect::<Option<_>>()?, pins: pins.collect::<Option<_>>()?, measures })
}
