//! The question `wrong`: every wrong seating.
//!
//! Dial readings are three lists, taken in order: the first reading belongs to the first radius and the first gear.

use num_traits::Signed;

use super::lookups::gear;
use super::options::options;
use super::{AskedAbout, NoAnswer, Question, Refusal, WhatIfOptions, values};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Gearset, Length};
use crate::timing::{DialReading, SeatingQuestion, WrongSeatings, wrong_seatings};

options! {
    /// The options of `wrong`.
    pub struct WrongOptions {
        ..what_if: WhatIfOptions;
        /// Up to this error, in teeth: above 0, at most 1/2, which lists all
        within: Option<Fraction> = within, "TEETH";
        /// Backlash read off a dial; needs --radius and --gear, and may be repeated with them
        reading: Vec<Length> = values::length, "LENGTH";
        /// How far from the axis of the gear the dial stood
        radius: Vec<Length> = values::length, "LENGTH";
        /// The gear that was rocked while its mate was held
        gear: Vec<String> = values::name, "NAME";
        /// How much a hand can force where backlash is short, an estimate; 0.05 mm when left out
        ease: Option<Length> = values::length, "LENGTH";
    }
}

impl Question for WrongOptions {
    type Answer = WrongSeatings;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, WrongSeatings), NoAnswer> {
        let set = about.gearset(&self.what_if)?;
        let question = question(self, &set)?;
        let seatings = wrong_seatings(&set, &question).map_err(|problem| NoAnswer::new(&problem, problem.hint()))?;
        Ok((set, seatings))
    }
}

/// An error in teeth.
fn within(text: &str) -> Result<Fraction, Refusal> {
    let what = "an error in teeth above 0 and up to 1/2";
    let hint = "write a part of a tooth such as 1/10 or 0.1; no error is more than half a tooth";
    let within = values::number(text, what, hint, &["t", "tooth", "teeth"])?;
    let is_sound = within.is_positive() && within <= fraction(1, 2);
    is_sound.then_some(within).ok_or_else(|| Refusal::new(format!("{text:?} is not {what}"), hint))
}

fn question(options: &WrongOptions, set: &Gearset) -> Result<SeatingQuestion, Refusal> {
    let mut question = SeatingQuestion { dial_readings: readings(options, set)?, ..SeatingQuestion::default() };
    if let Some(within) = &options.within {
        question.within.clone_from(within);
    }
    if let Some(ease) = &options.ease {
        question.ease_by_force = ease.millimetres();
    }
    Ok(question)
}

fn readings(options: &WrongOptions, set: &Gearset) -> Result<Vec<DialReading>, Refusal> {
    let WrongOptions { reading, radius, gear: gears, .. } = options;
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
