//! The question `bench float`: which of the washers at hand give the end float that is wanted.

use crate::bench::{EndFloat, ExactReading, FloatGap, FloatQuestion, MeasuredGap, end_float};
use crate::gearset::{Gearset, Length};
use crate::job::Job;
use crate::requests::options::options;
use crate::requests::sizes::{OfName, told_of, told_twice};
use crate::requests::{AskedAbout, NoAnswer, Question, Refusal, sizes, titled, values};

options! {
    /// The options of `bench float`.
    pub struct FloatOptions {
        /// The space between the faces, of one of several gaps by its name: 41.37, front=41.37
        space: Vec<OfName<ExactReading>> = one, "[GAP=]LENGTH";
        /// What stands in it besides washers: 12.02,25.40,0.85
        parts: Vec<OfName<Vec<ExactReading>>> = several, "[GAP=]LENGTH,...";
        /// The float as measured without the washers that are to be chosen, in place of space and parts
        float: Vec<OfName<ExactReading>> = one, "[GAP=]LENGTH";
        /// The clearance of a gear that is pressed on: told is how much further it has to go
        pressed_now: Vec<OfName<ExactReading>> = one, "[GAP=]LENGTH";
        /// The least and the greatest float: 0.2..0.6, "8..24 thou"
        wanted: Vec<OfName<[Length; 2]>> = band, "[GAP=]LEAST..MOST" [required_unless_present = "described"];
        /// The best float; the middle where it is left out
        best: Vec<OfName<Length>> = best, "[GAP=]LENGTH";
        /// Every washer at hand: 1.25,1.25,1.55
        washers: Vec<Vec<ExactReading>> = sizes::readings, "LENGTH,...";
        /// The most washers in one gap; 3 where it is left out
        most: Option<usize> = values::count, "N";
        /// What readings are good to that do not say it themselves: one length for all, or three for the space (or the
        /// float), each part and each washer; 0.01 mm where it is left out
        within: Option<GoodTo> = within, "LENGTH[,PARTS,WASHERS]";
    }
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

impl Question for FloatOptions {
    type Answer = EndFloat;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, EndFloat), NoAnswer> {
        answer(self, about)
    }
}

fn answer(options: &FloatOptions, about: &AskedAbout<'_>) -> Result<(Gearset, EndFloat), NoAnswer> {
    let source = about.gearset_or_job()?;
    let job = source.as_ref().and_then(|source| source.job.as_ref());
    let question = question(options, job)?;
    if question.gaps.is_empty() && source.is_some() {
        return Err(no_float(job).into());
    }
    let set = source.map_or_else(|| titled("End float"), |source| source.set);
    let found = end_float(&question).map_err(|reasons| {
        NoAnswer::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
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

fn question(options: &FloatOptions, job: Option<&Job>) -> Result<FloatQuestion, NoAnswer> {
    let twice = [told_twice("--wanted", &options.wanted), told_twice("--best", &options.best)];
    let mut wrong: Vec<Refusal> = twice.into_iter().flatten().collect();
    let wanted_of = |name: Option<&str>| told_of(&options.wanted, name).cloned();
    let mut gaps = Vec::new();
    for (name, measured) in measured(options) {
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
    wrong.extend(of_no_gap(options, &gaps));
    if !wrong.is_empty() {
        return Err(NoAnswer::Refused(wrong));
    }
    for gap in &mut gaps {
        gap.best = told_of(&options.best, gap.name.as_deref()).cloned();
    }
    let mut question = FloatQuestion { gaps, washers: options.washers.concat(), most: options.most };
    if let Some(within) = &options.within {
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
fn measured(options: &FloatOptions) -> Vec<(Option<String>, MeasuredGap)> {
    let parts_of = |name: &Option<String>| {
        let own = options.parts.iter().filter(|parts| parts.name == *name);
        own.flat_map(|parts| parts.value.clone()).collect()
    };
    let spaces = options.space.iter().map(|OfName { name, value }| {
        (name.clone(), MeasuredGap::Space { space: value.clone(), parts: parts_of(name) })
    });
    let floats = options.float.iter().map(|it| (it.name.clone(), MeasuredGap::Float(it.value.clone())));
    let pressed = options.pressed_now.iter().map(|it| (it.name.clone(), MeasuredGap::Pressed(it.value.clone())));
    spaces.chain(floats).chain(pressed).collect()
}

/// What names a gap of which nothing was measured.
fn of_no_gap(options: &FloatOptions, gaps: &[FloatGap]) -> Vec<Refusal> {
    let known: Vec<&str> = gaps.iter().filter_map(|gap| gap.name.as_deref()).collect();
    let has_space = |name: &Option<String>| options.space.iter().any(|space| space.name == *name);
    let without_space = options.parts.iter().filter(|parts| !has_space(&parts.name)).map(|parts| {
        let gap = parts.name.as_deref().unwrap_or("the gap without a name");
        Refusal::new(
            format!("there are parts in {gap}, but no space for them"),
            "give the space between the faces as well, such as --space 41.37",
        )
    });
    let wanted = options.wanted.iter().filter_map(|it| it.name.as_deref());
    let best = options.best.iter().filter_map(|it| it.name.as_deref());
    let unknown = wanted.chain(best).filter(|name| !known.contains(name));
    let takes_washers = gaps.iter().any(|gap| !matches!(gap.measured, MeasuredGap::Pressed(_)));
    let idle = (!options.washers.is_empty() && !gaps.is_empty() && !takes_washers).then(|| {
        Refusal::new(
            "there are washers, but no gap that takes them",
            "leave --washers out: a gear is pressed on without",
        )
    });
    without_space.chain(unknown.map(|name| Refusal::unknown("gap", name, &known))).chain(idle).collect()
}
