//! `toothmark timing`: whether and how the planets go together.

use clap::Args;
use toothmark::timing;

use super::common::AnswerForm;
use super::exit::Exit;
use super::output::answer;
use super::source::{SourceArguments, TurnedArgument};
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct TimingArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    turned: TurnedArgument,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn timing(arguments: &TimingArguments) -> Result<Exit, Trouble> {
    let set = arguments.source.gearset_turned(&arguments.turned)?;
    answer(&set, &timing::timing(&set), arguments.form)
}
