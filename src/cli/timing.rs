//! `toothmark timing`: whether and how the planets go together.

use clap::Args;
use toothmark::timing;

use super::common::AnswerForm;
use super::exit::Exit;
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
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset_turned(&arguments.turned)?;
        let found = timing::timing(&set);
        Ok((set, found))
    })
}
