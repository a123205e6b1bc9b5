//! The subcommand `wrong`: every wrong seating.
//!
//! Dial readings are three lists, taken in order: the first reading belongs to the first radius and the first gear.

use clap::Args;
use num_traits::Signed;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Gearset, Length};
use toothmark::timing::{DialReading, SeatingQuestion, wrong_seatings};

use super::common::AnswerForm;
use super::completed_names;
use super::exit::Exit;
use super::lookups::gear;
use super::source::SourceArguments;
use super::trouble::{Refusal, Trouble};
use super::values;

#[derive(Debug, Args)]
pub(super) struct WrongArguments {
    #[command(flatten)]
    source: SourceArguments,
    /// Up to this error, in teeth: above 0, at most 1/2, which lists all
    #[arg(long, value_name = "TEETH", value_parser = within, allow_hyphen_values = true)]
    within: Option<Fraction>,
    /// Backlash read off a dial; needs --radius and --gear, and may be repeated with them
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    reading: Vec<Length>,
    /// How far from the axis of the gear the dial stood
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    radius: Vec<Length>,
    /// The gear that was rocked while its mate was held
    #[arg(add = completed_names::gears(), long, value_name = "NAME", allow_hyphen_values = true)]
    gear: Vec<String>,
    /// How much a hand can force where backlash is short, an estimate; 0.05 mm when left out
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    ease: Option<Length>,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn wrong(arguments: &WrongArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset()?;
        let question = question(arguments, &set)?;
        let seatings = wrong_seatings(&set, &question).map_err(|problem| Trouble::new(&problem, problem.hint()))?;
        Ok((set, seatings))
    })
}

/// An error in teeth.
fn within(text: &str) -> Result<Fraction, Refusal> {
    let what = "an error in teeth above 0 and up to 1/2";
    let hint = "write a part of a tooth such as 1/10 or 0.1; no error is more than half a tooth";
    let within = values::number(text, what, hint, &["t", "tooth", "teeth"])?;
    let is_sound = within.is_positive() && within <= fraction(1, 2);
    is_sound.then_some(within).ok_or_else(|| Refusal::new(format!("{text:?} is not {what}"), hint))
}

fn question(arguments: &WrongArguments, set: &Gearset) -> Result<SeatingQuestion, Refusal> {
    let mut question = SeatingQuestion { dial_readings: readings(arguments, set)?, ..SeatingQuestion::default() };
    if let Some(within) = &arguments.within {
        question.within.clone_from(within);
    }
    if let Some(ease) = &arguments.ease {
        question.ease_by_force = ease.millimetres();
    }
    Ok(question)
}

fn readings(arguments: &WrongArguments, set: &Gearset) -> Result<Vec<DialReading>, Refusal> {
    let WrongArguments { reading, radius, gear: gears, .. } = arguments;
    if reading.len() != radius.len() || reading.len() != gears.len() {
        let [reading, radius, gears] = [reading.len(), radius.len(), gears.len()];
        let sentence =
            format!("{reading} of --reading, {radius} of --radius and {gears} of --gear do not belong together");
        let hint = "give every reading its radius and the gear it was taken on: --reading 0.15 --radius 60 --gear D";
        return Err(Refusal::new(sentence, hint));
    }
    let read = |((reading, radius), name): ((&Length, &Length), &String)| {
        Ok(DialReading { gear: gear(set, name)?, reading: reading.clone(), radius: radius.clone() })
    };
    reading.iter().zip(radius).zip(gears).map(read).collect()
}
