//! `toothmark match`: whether measured clusters match as a set.

use clap::Args;
use toothmark::timing::matching;

use super::common::AnswerForm;
use super::exit::Exit;
use super::source::SourceArguments;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct MatchArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn matches(arguments: &MatchArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset()?;
        let matched = matching(&set).map_err(|refusal| Trouble::new(&refusal, refusal.hint()))?;
        Ok((set, matched))
    })
}
