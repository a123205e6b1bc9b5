//! `toothmark found`: what the marks show now.

use toothmark::timing::{self, NoFoundAnswer};

use super::exit::Exit;
use super::readings::{FoundArguments, HOW_TO_READ, with_readings};
use super::trouble::Trouble;

pub(super) fn found(arguments: &FoundArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = with_readings(one.gearset()?, arguments)?;
        let found = timing::found_as_made(&set, arguments.made()).map_err(|reason| not_judged(&reason))?;
        Ok((set, found))
    })
}

fn not_judged(reason: &NoFoundAnswer) -> Trouble {
    let hint = match reason {
        NoFoundAnswer::NothingFound => HOW_TO_READ,
        NoFoundAnswer::TurnsFreely { .. } => "compare the marks with the tooth list of toothmark timing",
        NoFoundAnswer::OtherGroup { .. } => "ask for one of them at a time, each by itself",
        NoFoundAnswer::TooMuchOpen => {
            "read the marks more exactly, in teeth or in degrees that are good to less than a tooth, or fewer of them"
        }
    };
    Trouble::new(reason, hint)
}
