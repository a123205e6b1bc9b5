//! `toothmark timing`: whether and how the planets go together.

use clap::Args;
use toothmark::timing;

use super::common::{AnswerForm, SourceArgument};
use super::exit::Exit;
use super::input::gearset;
use super::output::answer;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct TimingArguments {
    #[command(flatten)]
    source: SourceArgument,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn timing(arguments: &TimingArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    answer(&set, &timing::timing(&set), arguments.form)
}
