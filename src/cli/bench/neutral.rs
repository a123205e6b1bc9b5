//! `toothmark bench neutral`: what drags, by how fast the output turns in neutral.

use clap::Args;
use toothmark::bench::{self, NeutralQuestion};
use toothmark::exact::Fraction;

use crate::cli::common::{AnswerForm, StateArgument};
use crate::cli::exit::Exit;
use crate::cli::source::{ArrangementArguments, PinsKnown, SourceArguments};
use crate::cli::trouble::Trouble;
use crate::cli::values;

#[derive(Debug, Args)]
pub(super) struct NeutralArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    arrangement: ArrangementArguments,
    #[command(flatten)]
    only: StateArgument,
    /// Speeds in revolutions per minute for this speed of the input, instead of per turn
    #[arg(long, value_name = "N", value_parser = values::speed_but_zero, allow_hyphen_values = true)]
    rpm: Option<Fraction>,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn neutral(arguments: &NeutralArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset_driven(&arguments.arrangement, PinsKnown::OrNot)?;
        let question = NeutralQuestion { state: arguments.only.place(&set)?, input_rpm: arguments.rpm.clone() };
        let test = bench::neutral(&set, &question).map_err(|reason| Trouble::new(&reason, reason.hint()))?;
        Ok((set, test))
    })
}
