//! `toothmark ratios`: the ratio of every state and every speed.

use clap::Args;
use toothmark::exact::Fraction;
use toothmark::kinematics::{self, RatiosQuestion};

use super::common::{AnswerForm, StateArgument};
use super::exit::Exit;
use super::source::{ArrangementArguments, PinsKnown, SourceArguments};
use super::trouble::Trouble;
use super::values;

#[derive(Debug, Args)]
pub(super) struct RatiosArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    arrangement: ArrangementArguments,
    #[command(flatten)]
    only: StateArgument,
    /// Speeds in revolutions per minute for this speed of the input, instead of per turn
    #[arg(long, value_name = "N", value_parser = values::speed, allow_hyphen_values = true)]
    rpm: Option<Fraction>,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn ratios(arguments: &RatiosArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset_driven(&arguments.arrangement, PinsKnown::OrNot)?;
        let question = RatiosQuestion { state: arguments.only.place(&set)?, input_rpm: arguments.rpm.clone() };
        let found = kinematics::ratios(&set, &question);
        Ok((set, found))
    })
}
