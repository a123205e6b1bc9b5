//! `toothmark marks`: what to mark on a set without marks.

use clap::Args;
use toothmark::timing::marking;

use super::common::{AnswerForm, SourceArgument};
use super::exit::Exit;
use super::input::gearset;
use super::output::answer;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct MarksArguments {
    #[command(flatten)]
    source: SourceArgument,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn marks(arguments: &MarksArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    answer(&set, &marking(&set), arguments.form)
}
