//! `toothmark check`: what a description says, in words, and everything worth a second look.

use clap::Args;
use toothmark::inspection::remarks;

use super::common::{AnswerForm, SourceArgument};
use super::exit::Exit;
use super::input::gearset;
use super::output::answer;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct CheckArguments {
    #[command(flatten)]
    source: SourceArgument,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn check(arguments: &CheckArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    answer(&set, &remarks(&set), arguments.form)
}
