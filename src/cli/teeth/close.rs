//! `toothmark teeth close`: whether all meshes close on their pins, with which shifts, and what that makes of the teeth.

use clap::Args;

use super::shifts::ShiftArguments;
use crate::cli::common::AnswerForm;
use crate::cli::exit::Exit;
use crate::cli::source::{PinsKnown, SourceArguments};
use crate::cli::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct CloseArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    shifts: ShiftArguments,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn close(arguments: &CloseArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset_with(arguments.shifts.told(), PinsKnown::OrNot)?;
        let question = arguments.shifts.question(&set)?;
        let fit = toothmark::fit::close(&set, &question).map_err(|reason| Trouble::new(&reason, reason.hint()))?;
        Ok((set, fit))
    })
}
