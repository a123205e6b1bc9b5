//! The subcommand `motion`: speeds, limits and states that were listened to, as typed and as meant.
//!
//! Several states stand between commas or in several arguments; one whose own name has a comma is
//! taken as it is. What runs, and what can be heard, is the library's.

use clap::Args;
use num_traits::Signed as _;
use toothmark::exact::{Fraction, parse};
use toothmark::gearset::Gearset;
use toothmark::running::{Limits, Listened, RunningQuestion, running};

use super::common::{Format, SourceArgument};
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::answer;
use super::request::{moving_member, speed, state, torque};

#[derive(Debug, Args)]
pub(super) struct MotionArguments {
    #[command(flatten)]
    source: SourceArgument,
    /// Only this state
    #[arg(long, value_name = "NAME")]
    state: Option<String>,
    /// The input's speed in revolutions per minute: gives rubbing speeds and contact rates
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    rpm: Option<String>,
    /// The torque on the input, "30 N m" or "22 lb ft": gives the force of planets on their pins
    #[arg(long, value_name = "TORQUE", allow_hyphen_values = true)]
    torque: Option<String>,
    /// How fast members may turn, in revolutions per minute: 2500 for all, "low drum=1800" for one
    #[arg(long, value_name = "[MEMBER=]N")]
    limit: Vec<String>,
    /// States in which a noise is heard, between commas
    #[arg(long, value_name = "STATES")]
    heard: Vec<String>,
    /// States in which it is not heard
    #[arg(long, value_name = "STATES")]
    not_heard: Vec<String>,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub(super) fn motion(arguments: &MotionArguments) -> Result<Exit, Trouble> {
    let input_rpm = arguments.rpm.as_deref().map(speed).transpose()?;
    let torque = arguments.torque.as_deref().map(torque).transpose()?;
    if input_rpm.is_none() && !arguments.limit.is_empty() {
        return Err(Trouble::LimitWithoutSpeed);
    }
    let set = gearset(arguments.source.file.as_deref())?;
    let state = arguments.state.as_deref().map(|name| state(&set, name)).transpose()?;
    let limits = limits(&set, &arguments.limit)?;
    let listened = listened(&set, arguments)?;
    let question = RunningQuestion { state, input_rpm, torque, limits, listened };
    answer(&set, &running(&set, &question), arguments.format)
}

fn limits(set: &Gearset, texts: &[String]) -> Result<Limits, Trouble> {
    let mut limits = Limits::default();
    for text in texts {
        let limit = |number: &str| -> Result<Fraction, Trouble> {
            let limit = parse(number).filter(|limit| !limit.is_negative());
            limit.ok_or_else(|| Trouble::NotALimit { text: text.clone() })
        };
        match text.rsplit_once('=') {
            None => limits.every = Some(limit(text)?),
            Some((name, number)) => {
                limits.members.insert(moving_member(set, name)?, limit(number)?);
            }
        }
    }
    Ok(limits)
}

fn listened(set: &Gearset, arguments: &MotionArguments) -> Result<Option<Listened>, Trouble> {
    if arguments.heard.is_empty() && arguments.not_heard.is_empty() {
        return Ok(None);
    }
    let listened = Listened { heard: states(set, &arguments.heard)?, not_heard: states(set, &arguments.not_heard)? };
    if let Some(&both) = listened.heard.iter().find(|state| listened.not_heard.contains(state)) {
        return Err(Trouble::HeardAndNot { state: set.states()[both].name.clone() });
    }
    if listened.heard.is_empty() {
        return Err(Trouble::NothingHeard);
    }
    Ok(Some(listened))
}

fn states(set: &Gearset, texts: &[String]) -> Result<Vec<usize>, Trouble> {
    let mut found = Vec::new();
    for text in texts {
        match state(set, text) {
            Ok(place) => found.push(place),
            Err(_) => {
                for name in text.split(',') {
                    found.push(state(set, name.trim())?);
                }
            }
        }
    }
    Ok(found)
}
