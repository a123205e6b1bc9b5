//! `toothmark job diff`: what changed between two jobs of one unit.

use std::path::PathBuf;

use clap::Args;
use toothmark::job;

use crate::cli::common::AnswerForm;
use crate::cli::exit::Exit;
use crate::cli::output::answer;
use crate::cli::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct JobDifferenceArguments {
    /// The earlier job
    first: PathBuf,
    /// The later one
    second: PathBuf,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn compare(arguments: &JobDifferenceArguments) -> Result<Exit, Trouble> {
    let (_, first) = super::read(&arguments.first)?;
    let (_, second) = super::read(&arguments.second)?;
    answer(second.gearset(), &job::difference(&first, &second), arguments.form)
}
