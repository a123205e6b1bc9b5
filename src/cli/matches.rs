//! `toothmark match`: whether measured clusters match as a set.

use clap::Args;
use toothmark::report::Matches;
use toothmark::timing::{Matching, Verdict, matching};

use super::common::{ANSWER, Format, SourceArgument, formats};
use super::exit::Exit;
use super::input::gearset;
use super::output::show;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct MatchArguments {
    #[command(flatten)]
    source: SourceArgument,
    /// The form of the answer
    #[arg(long, value_parser = formats(ANSWER), default_value = "text")]
    format: Format,
}

pub(super) fn matches(arguments: &MatchArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    let matchings = matching(&set).map_err(|refusal| Trouble::new(&refusal, refusal.hint()))?;
    let answer = Matches { set: &set, matchings: &matchings };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    let best = |matching: &Matching| matching.exchanged.clone().or_else(|| matching.as_found.clone());
    let binds = |matching: &Matching| best(matching).is_none_or(|best| best.verdict == Some(Verdict::Beyond));
    Ok(if matchings.iter().any(binds) { Exit::AnswerIsNo } else { Exit::Done })
}
