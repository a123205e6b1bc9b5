//! `toothmark timing`: whether and how the planets go together.

use clap::Args;
use toothmark::report::Timing;
use toothmark::timing::{GroupTiming, Method, timing as time};

use super::common::{ANSWER, Format, SourceArgument, formats};
use super::exit::Exit;
use super::input::gearset;
use super::output::show;
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
    let groups = time(&set, Method::Quickest);
    let answer = Timing { set: &set, groups: &groups };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    Ok(exit(&groups))
}

/// Whether every group of planets goes together, as an exit code.
pub(super) fn exit(groups: &[GroupTiming]) -> Exit {
    if groups.iter().all(GroupTiming::goes_together) { Exit::Done } else { Exit::AnswerIsNo }
}
