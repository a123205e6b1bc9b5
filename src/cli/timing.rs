//! `toothmark timing`: whether and how the planets go together.

use clap::Args;
use toothmark::timing;

use super::common::{ANSWER, Format, SourceArgument, formats};
use super::exit::Exit;
use super::input::gearset;
use super::output::answer;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct TimingArguments {
    #[command(flatten)]
    source: SourceArgument,
    /// The form of the answer
    #[arg(long, value_parser = formats(ANSWER), default_value = "text")]
    format: Format,
}

pub(super) fn timing(arguments: &TimingArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    answer(&set, &timing::timing(&set), arguments.format)
}
