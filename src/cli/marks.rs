//! `toothmark marks`: what to mark on a set without marks.

use clap::Args;
use toothmark::timing::marking;

use super::common::AnswerForm;
use super::exit::Exit;
use super::source::SourceArguments;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct MarksArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn marks(arguments: &MarksArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset()?;
        let found = marking(&set);
        Ok((set, found))
    })
}
