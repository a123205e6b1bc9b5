//! `toothmark check`: what a description says, in words, and everything worth a second look.

use clap::Args;
use toothmark::inspection::remarks;

use super::common::AnswerForm;
use super::exit::Exit;
use super::source::{SourceArguments, TurnedArgument};
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct CheckArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    turned: TurnedArgument,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn check(arguments: &CheckArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset_turned(&arguments.turned)?;
        let found = remarks(&set);
        Ok((set, found))
    })
}
