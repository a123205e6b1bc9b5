//! The subcommand `wrong`: every wrong seating, and what a request for them can have wrong.
//!
//! Dial readings are three lists, taken in order: the first reading belongs to the first
//! radius and the first gear. A length is in millimetres unless "in" is written behind it.

use toothmark::exact::{Fraction, fraction, parse};
use toothmark::gearset::{GearId, Gearset, Length};
use toothmark::report::Wrong;
use toothmark::timing::{
    DialReading, DialReadingProblem, FoundSeatings, SeatingQuestion, with_dial_readings, wrong_seatings,
};

use super::arguments::WrongArguments;
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::show;
use num_traits::{Signed, Zero};

/// What is wrong with a request for wrong seatings.
#[derive(Debug, thiserror::Error)]
pub(super) enum WrongRequest {
    #[error("{0:?} is not an error in teeth above 0 and up to 1/2")]
    Within(String),
    #[error("{0:?} is not a length")]
    Length(String),
    #[error("a length of {digits} digits is given")]
    ManyDigits { digits: usize },
    #[error("{readings} of --reading, {radii} of --radius and {gears} of --gear do not belong together")]
    Uneven { readings: usize, radii: usize, gears: usize },
    #[error("there is no gear {name:?}")]
    NoSuchGear { name: String, known: Vec<String> },
    #[error(transparent)]
    Reading(#[from] DialReadingProblem),
}

impl WrongRequest {
    /// What to write instead.
    pub(super) fn hint(&self) -> String {
        match self {
            Self::Within(_) => "write a part of a tooth such as 1/10 or 0.1; no error is more than half a tooth".into(),
            Self::Length(_) => "write millimetres such as 0.15, or inches such as 0.006in".into(),
            Self::ManyDigits { .. } => "nobody has measured so much: round it, such as to 0.152 or 0.006in".into(),
            Self::Uneven { .. } => {
                "give every reading its radius and the gear it was taken on: --reading 0.15 --radius 60 --gear D".into()
            }
            Self::NoSuchGear { known, .. } => format!("the gears are {}", known.join(", ")),
            Self::Reading(problem) => problem.hint().into(),
        }
    }
}

pub(super) fn wrong(arguments: &WrongArguments) -> Result<Exit, Trouble> {
    let question = question(arguments)?;
    let set = gearset(arguments.source.file.as_deref())?;
    let readings = readings(arguments, &set)?;
    let set = with_dial_readings(&set, &readings).map_err(WrongRequest::from)?;
    let groups = wrong_seatings(&set, &question);
    let answer = Wrong { set: &set, question: &question, readings: &readings, groups: &groups };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    let refused = groups.iter().any(|group| group.found == FoundSeatings::DoesNotGoTogether);
    Ok(if refused { Exit::AnswerIsNo } else { Exit::Done })
}

fn question(arguments: &WrongArguments) -> Result<SeatingQuestion, WrongRequest> {
    let mut question = SeatingQuestion::default();
    if let Some(text) = &arguments.within {
        let sound = |within: &Fraction| within.is_positive() && *within <= fraction(1, 2);
        question.within = parse(text).filter(sound).ok_or_else(|| WrongRequest::Within(text.clone()))?;
    }
    if let Some(text) = &arguments.ease {
        question.ease_by_force = length(text)?.millimetres();
    }
    Ok(question)
}

fn readings(arguments: &WrongArguments, set: &Gearset) -> Result<Vec<DialReading>, WrongRequest> {
    let (readings, radii, gears) = (&arguments.reading, &arguments.radius, &arguments.gear);
    if readings.len() != radii.len() || readings.len() != gears.len() {
        return Err(WrongRequest::Uneven { readings: readings.len(), radii: radii.len(), gears: gears.len() });
    }
    let together = readings.iter().zip(radii).zip(gears);
    let reading = |((reading, radius), name): ((&String, &String), &String)| {
        Ok(DialReading { gear: gear(set, name)?, reading: length(reading)?, radius: length(radius)? })
    };
    together.map(reading).collect()
}

fn gear(set: &Gearset, name: &str) -> Result<GearId, WrongRequest> {
    set.gear_named(name).ok_or_else(|| WrongRequest::NoSuchGear {
        name: name.to_owned(),
        known: set.gears().iter().map(|gear| gear.name().to_owned()).collect(),
    })
}

/// A length as typed, 0 or more: millimetres, or inches where "in" stands behind the number.
fn length(text: &str) -> Result<Length, WrongRequest> {
    let (number, of_unit): (&str, fn(Fraction) -> Length) = match text.trim().strip_suffix("in") {
        Some(number) => (number, Length::Inches),
        None => (text.trim().trim_end_matches("mm"), Length::Millimetres),
    };
    let value = parse(number).filter(|value| *value >= Fraction::zero());
    value.map(of_unit).ok_or_else(|| not_a_length(text))
}

/// Why a text is no length: a number may be refused for its digits alone.
fn not_a_length(text: &str) -> WrongRequest {
    /// So many are read whatever they are.
    const FEW: usize = 70;
    let digits = text.bytes().filter(u8::is_ascii_digit).count();
    if digits > FEW { WrongRequest::ManyDigits { digits } } else { WrongRequest::Length(text.to_owned()) }
}
