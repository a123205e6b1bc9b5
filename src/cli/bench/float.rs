//! `toothmark bench float`: which of the washers at hand give the end float that is wanted.

use std::path::{Path, PathBuf};

use clap::Args;
use toothmark::bench::{EndFloat, ExactReading, FloatGap, FloatQuestion, MeasuredGap, end_float};
use toothmark::gearset::{Gearset, Length};
use toothmark::job::Job;

use crate::cli::common::AnswerForm;
use crate::cli::each::{DESCRIBED, ListArgument, Subjects};
use crate::cli::exit::Exit;
use crate::cli::sizes::{self, OfName, told_of, told_twice};
use crate::cli::trouble::{Refusal, Trouble};

#[derive(Debug, Args)]
pub(super) struct FloatArguments {
    /// The record of a job, whose floats are gaps with what is wanted of them; what is typed wins
    #[arg(group = DESCRIBED)]
    file: Vec<PathBuf>,
    #[command(flatten)]
    list: ListArgument,
    /// The space between the faces, of one of several gaps by its name: 41.37, front=41.37
    #[arg(long, value_name = "[GAP=]LENGTH", value_parser = one, allow_hyphen_values = true)]
    space: Vec<OfName<ExactReading>>,
    /// What stands in it besides washers: 12.02,25.40,0.85
    #[arg(long, value_name = "[GAP=]LENGTH,...", value_parser = several, allow_hyphen_values = true)]
    parts: Vec<OfName<Vec<ExactReading>>>,
    /// The float as measured without the washers that are to be chosen, in place of space and parts
    #[arg(long, value_name = "[GAP=]LENGTH", value_parser = one, allow_hyphen_values = true)]
    float: Vec<OfName<ExactReading>>,
    /// The clearance of a gear that is pressed on: told is how much further it has to go
    #[arg(long, value_name = "[GAP=]LENGTH", value_parser = one, allow_hyphen_values = true)]
    pressed_now: Vec<OfName<ExactReading>>,
    /// The least and the greatest float: 0.2..0.6, "8..24 thou"
    #[arg(long, value_name = "[GAP=]LEAST..MOST", value_parser = band, allow_hyphen_values = true, required_unless_present = DESCRIBED)]
    wanted: Vec<OfName<[Length; 2]>>,
    /// The best float; the middle where it is left out
    #[arg(long, value_name = "[GAP=]LENGTH", value_parser = best, allow_hyphen_values = true)]
    best: Vec<OfName<Length>>,
    /// Every washer at hand: 1.25,1.25,1.55
    #[arg(long, value_name = "LENGTH,...", value_parser = sizes::readings, allow_hyphen_values = true)]
    washers: Vec<Vec<ExactReading>>,
    /// The most washers in one gap; 3 where it is left out
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    most: Option<usize>,
    /// What readings are good to that do not say it themselves: one length for all, or three for the space (or the
    /// float), each part and each washer; 0.01 mm where it is left out
    #[arg(long, value_name = "LENGTH[,PARTS,WASHERS]", value_parser = within, allow_hyphen_values = true)]
    within: Option<GoodTo>,
    #[command(flatten)]
    form: AnswerForm,
}

/// What readings are good to.
#[derive(Debug, Clone)]
struct GoodTo {
    space: Length,
    part: Length,
    washer: Length,
}

fn one(text: &str) -> Result<OfName<ExactReading>, Refusal> {
    sizes::named(text, sizes::reading)
}

fn best(text: &str) -> Result<OfName<Length>, Refusal> {
    sizes::named(text, sizes::length_alone)
}

fn several(text: &str) -> Result<OfName<Vec<ExactReading>>, Refusal> {
    sizes::named(text, sizes::readings)
}

fn band(text: &str) -> Result<OfName<[Length; 2]>, Refusal> {
    sizes::named(text, sizes::band)
}

fn within(text: &str) -> Result<GoodTo, Refusal> {
    match &sizes::lengths(text)?[..] {
        [all] => Ok(GoodTo { space: all.clone(), part: all.clone(), washer: all.clone() }),
        [space, part, washer] => Ok(GoodTo { space: space.clone(), part: part.clone(), washer: washer.clone() }),
        _ => Err(Refusal::new(
            format!("{text:?} is neither one length nor three"),
            "write one for all readings, or three: of the space, of each part, of each washer, as in 0.05,0.02,0.01",
        )),
    }
}

pub(super) fn float(arguments: &FloatArguments) -> Result<Exit, Trouble> {
    let subjects = Subjects::of_files(&arguments.file, &arguments.list)?;
    subjects.answer(arguments.form, |words| answer(arguments, words.first().map(PathBuf::as_path)))
}

fn answer(arguments: &FloatArguments, file: Option<&Path>) -> Result<(Gearset, EndFloat), Trouble> {
    let source = file.map(super::described).transpose()?;
    let job = source.as_ref().and_then(|source| source.job.as_ref());
    let question = question(arguments, job)?;
    if question.gaps.is_empty() && source.is_some() {
        return Err(no_float(job).into());
    }
    let set = source.map_or_else(|| super::titled("End float"), |source| source.set);
    let found = end_float(&question).map_err(|reasons| {
        Trouble::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
    })?;
    Ok((set, found))
}

/// That a file knows of no gap.
fn no_float(job: Option<&Job>) -> Refusal {
    if job.is_some() {
        return Refusal::new(
            "no float is read in this job of which it is said what is wanted",
            "enter one with job set FILE \"float.drum.left=0.35\", and say what is wanted: --wanted 0.2..0.6",
        );
    }
    Refusal::new(
        "a description knows of no end float",
        "name the record of a job, or give what was measured: --float 0.60, or --space 41.37 --parts 12.02,25.40,0.85",
    )
}

fn question(arguments: &FloatArguments, job: Option<&Job>) -> Result<FloatQuestion, Trouble> {
    let twice = [told_twice("--wanted", &arguments.wanted), told_twice("--best", &arguments.best)];
    let mut wrong: Vec<Refusal> = twice.into_iter().flatten().collect();
    let wanted_of = |name: Option<&str>| told_of(&arguments.wanted, name).cloned();
    let mut gaps = Vec::new();
    for (name, measured) in measured(arguments) {
        match wanted_of(name.as_deref()) {
            Some(wanted) => gaps.push(FloatGap { name, measured, wanted, best: None }),
            None => wrong.push(Refusal::new(
                format!("it is not said what is wanted of {}", name.as_deref().unwrap_or("the gap without a name")),
                "write the least and the greatest float, such as --wanted front=0.2..0.6",
            )),
        }
    }
    let recorded = job.map_or_else(Vec::new, |job| job.float_gaps(|name| wanted_of(Some(name))));
    let is_typed = |gap: &FloatGap| gaps.iter().any(|typed| typed.name == gap.name);
    let recorded: Vec<FloatGap> = recorded.into_iter().filter(|gap| !is_typed(gap)).collect();
    gaps.extend(recorded);
    wrong.extend(of_no_gap(arguments, &gaps));
    if !wrong.is_empty() {
        return Err(Trouble::Refused(wrong));
    }
    for gap in &mut gaps {
        gap.best = told_of(&arguments.best, gap.name.as_deref()).cloned();
    }
    let mut question = FloatQuestion { gaps, washers: arguments.washers.concat(), most: arguments.most };
    if let Some(within) = &arguments.within {
        tell_errors(&mut question, within);
    }
    Ok(question)
}

/// What the readings are good to that do not say it themselves.
fn tell_errors(question: &mut FloatQuestion, GoodTo { space, part, washer }: &GoodTo) {
    for reading in &mut question.washers {
        say(reading, washer);
    }
    for gap in &mut question.gaps {
        match &mut gap.measured {
            MeasuredGap::Space { space: read, parts } => {
                say(read, space);
                for reading in parts {
                    say(reading, part);
                }
            }
            MeasuredGap::Float(read) | MeasuredGap::Pressed(read) => say(read, space),
        }
    }
}

/// Lets a reading be good to this unless it says so itself.
fn say(reading: &mut ExactReading, within: &Length) {
    reading.within.get_or_insert_with(|| within.clone());
}

/// Every gap with what was measured of it.
fn measured(arguments: &FloatArguments) -> Vec<(Option<String>, MeasuredGap)> {
    let parts_of = |name: &Option<String>| {
        let own = arguments.parts.iter().filter(|parts| parts.name == *name);
        own.flat_map(|parts| parts.value.clone()).collect()
    };
    let spaces = arguments.space.iter().map(|OfName { name, value }| {
        (name.clone(), MeasuredGap::Space { space: value.clone(), parts: parts_of(name) })
    });
    let floats = arguments.float.iter().map(|it| (it.name.clone(), MeasuredGap::Float(it.value.clone())));
    let pressed = arguments.pressed_now.iter().map(|it| (it.name.clone(), MeasuredGap::Pressed(it.value.clone())));
    spaces.chain(floats).chain(pressed).collect()
}

/// What names a gap of which nothing was measured.
fn of_no_gap(arguments: &FloatArguments, gaps: &[FloatGap]) -> Vec<Refusal> {
    let known: Vec<&str> = gaps.iter().filter_map(|gap| gap.name.as_deref()).collect();
    let has_space = |name: &Option<String>| arguments.space.iter().any(|space| space.name == *name);
    let without_space = arguments.parts.iter().filter(|parts| !has_space(&parts.name)).map(|parts| {
        let gap = parts.name.as_deref().unwrap_or("the gap without a name");
        Refusal::new(
            format!("there are parts in {gap}, but no space for them"),
            "give the space between the faces as well, such as --space 41.37",
        )
    });
    let wanted = arguments.wanted.iter().filter_map(|it| it.name.as_deref());
    let best = arguments.best.iter().filter_map(|it| it.name.as_deref());
    let unknown = wanted.chain(best).filter(|name| !known.contains(name));
    let takes_washers = gaps.iter().any(|gap| !matches!(gap.measured, MeasuredGap::Pressed(_)));
    let idle = (!arguments.washers.is_empty() && !gaps.is_empty() && !takes_washers).then(|| {
        Refusal::new(
            "there are washers, but no gap that takes them",
            "leave --washers out: a gear is pressed on without",
        )
    });
    without_space.chain(unknown.map(|name| Refusal::unknown("gap", name, &known))).chain(idle).collect()
}
