//! `toothmark found`: what the marks show now.

use toothmark::gearset::Gearset;
use toothmark::report::{Found, FoundInGroup};
use toothmark::timing::{NoFoundAnswer, found as judge, found_in_group};

use super::common::Format;
use super::exit::Exit;
use super::input::gearset;
use super::output::show;
use super::readings::{FoundArguments, HOW_TO_READ, with_readings};
use super::trouble::Trouble;

pub(super) fn found(arguments: &FoundArguments) -> Result<Exit, Trouble> {
    let set = with_readings(gearset(arguments.source.file.as_deref())?, arguments)?;
    if set.found().is_some_and(|found| {
        set.planet_groups().iter().any(|it| it.planets().len() > 1 && it.planets().contains(&found.planet))
    }) {
        return found_of_group(&set, arguments.format);
    }
    let found = judge(&set).map_err(|reason| not_judged(&reason))?;
    let answer = Found { set: &set, found: &found };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    Ok(if found.is_in_time() { Exit::Done } else { Exit::AnswerIsNo })
}

fn found_of_group(set: &Gearset, format: Format) -> Result<Exit, Trouble> {
    let found = found_in_group(set).map_err(|reason| not_judged(&reason))?;
    let answer = FoundInGroup { set, found: &found };
    show(format, || answer.document(), || answer.records(), || answer.json())?;
    Ok(if found.is_in_time() { Exit::Done } else { Exit::AnswerIsNo })
}

fn not_judged(reason: &NoFoundAnswer) -> Trouble {
    let hint = match reason {
        NoFoundAnswer::NothingFound => HOW_TO_READ,
        NoFoundAnswer::MeshedPlanets { .. } | NoFoundAnswer::TurnsFreely { .. } => {
            "compare the marks with the tooth list of toothmark timing"
        }
        NoFoundAnswer::OtherGroup { .. } => "ask for one of them at a time, each by itself",
        NoFoundAnswer::TooMuchOpen => {
            "read the marks more exactly, in teeth or in degrees that are good to less than a tooth, or fewer of them"
        }
    };
    Trouble::new(reason, hint)
}
