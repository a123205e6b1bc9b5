//! The subcommand `motion`: speeds, limits and states that were listened to, as typed and as meant.
//!
//! Several states stand between commas or in several arguments; one whose own name has a comma is
//! taken as it is. What runs, and what can be heard, is the library's.

use clap::Args;
use toothmark::exact::Fraction;
use toothmark::gearset::Gearset;
use toothmark::running::{Limits, Listened, RunningQuestion, running};
use toothmark::statics::InputTorque;

use super::common::{AnswerForm, StateArgument};
use super::exit::Exit;
use super::lookups::{moving_member, states};
use super::source::{ArrangementArguments, PinsKnown, SourceArguments};
use super::trouble::{Refusal, Trouble};
use super::values::{self, LimitOf};

#[derive(Debug, Args)]
pub(super) struct MotionArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    arrangement: ArrangementArguments,
    #[command(flatten)]
    only: StateArgument,
    /// The input's speed in revolutions per minute: gives rubbing speeds and contact rates
    #[arg(long, value_name = "N", value_parser = values::speed, allow_hyphen_values = true)]
    rpm: Option<Fraction>,
    /// The torque on the input, "30 N m" or "22 lb ft": gives the force of planets on their pins
    #[arg(long, value_name = "TORQUE", value_parser = values::torque, allow_hyphen_values = true)]
    torque: Option<InputTorque>,
    /// How fast members may turn, in revolutions per minute: 2500 for all, "low drum=1800" for one
    #[arg(long, value_name = "[MEMBER=]N", value_parser = values::limit, allow_hyphen_values = true)]
    limit: Vec<LimitOf>,
    /// States in which a noise is heard, between commas
    #[arg(long, value_name = "STATES", allow_hyphen_values = true)]
    heard: Vec<String>,
    /// States in which it is not heard
    #[arg(long, value_name = "STATES", allow_hyphen_values = true)]
    not_heard: Vec<String>,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn motion(arguments: &MotionArguments) -> Result<Exit, Trouble> {
    if arguments.rpm.is_none() && !arguments.limit.is_empty() {
        let hint = "write --rpm with the fastest speed of the input as well";
        return Err(Trouble::new("a limit is given, but no speed of the input", hint));
    }
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset_driven(&arguments.arrangement, PinsKnown::Needed)?;
        let question = RunningQuestion {
            state: arguments.only.place(&set)?,
            input_rpm: arguments.rpm.clone(),
            torque: arguments.torque.clone(),
            limits: limits(&set, &arguments.limit)?,
            listened: listened(&set, arguments)?,
        };
        let found = running(&set, &question);
        Ok((set, found))
    })
}

fn limits(set: &Gearset, given: &[LimitOf]) -> Result<Limits, Refusal> {
    let mut limits = Limits::default();
    for LimitOf { member, rpm } in given {
        match member {
            None => limits.every = Some(rpm.clone()),
            Some(name) => drop(limits.members.insert(moving_member(set, name)?, rpm.clone())),
        }
    }
    Ok(limits)
}

fn listened(set: &Gearset, arguments: &MotionArguments) -> Result<Option<Listened>, Refusal> {
    if arguments.heard.is_empty() && arguments.not_heard.is_empty() {
        return Ok(None);
    }
    let listened = Listened { heard: states(set, &arguments.heard)?, not_heard: states(set, &arguments.not_heard)? };
    if let Some(&both) = listened.heard.iter().find(|state| listened.not_heard.contains(state)) {
        let sentence = format!("a noise cannot be heard and not heard in state {:?}", set.states()[both].name);
        return Err(Refusal::new(sentence, "name each state once, in --heard or in --not-heard"));
    }
    if listened.heard.is_empty() {
        let hint = "write --heard with the states in which it is heard";
        return Err(Refusal::new("it is not said where the noise is heard", hint));
    }
    Ok(Some(listened))
}
