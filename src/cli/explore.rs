//! The subcommand `explore`: what is wanted, as typed and as meant.
//!
//! Members are named as in the description, ratios are numbers as people write them; what is
//! found is the library's.

use clap::Args;
use toothmark::exact::Fraction;
use toothmark::kinematics::{self, CannotExplore, ExplorationQuestion};

use super::common::AnswerForm;
use super::completed_names;
use super::exit::Exit;
use super::lookups::member;
use super::source::SourceArguments;
use super::trouble::Trouble;
use super::values;

#[derive(Debug, Args)]
pub(super) struct ExploreArguments {
    #[command(flatten)]
    source: SourceArguments,
    /// How many may be held or coupled at once; by default as many as leave one freedom
    #[arg(long, value_name = "N")]
    at_once: Option<usize>,
    /// Only what this member drives
    #[arg(add = completed_names::members(), long, value_name = "MEMBER", allow_hyphen_values = true)]
    input: Option<String>,
    /// Only what drives this member
    #[arg(add = completed_names::members(), long, value_name = "MEMBER", allow_hyphen_values = true)]
    output: Option<String>,
    /// Only ratios from this one on, such as 2.5, 5/2 or, reversed, -4
    #[arg(long, value_name = "RATIO", value_parser = values::ratio, allow_hyphen_values = true)]
    from: Option<Fraction>,
    /// Only ratios up to this one
    #[arg(long, value_name = "RATIO", value_parser = values::ratio, allow_hyphen_values = true)]
    to: Option<Fraction>,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn explore(arguments: &ExploreArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset_of_speeds()?;
        let ends = [&arguments.input, &arguments.output];
        let [input, output] = ends.map(|name| name.as_deref().map(|name| member(&set, name)).transpose());
        let (from, to) = (arguments.from.clone(), arguments.to.clone());
        let question = ExplorationQuestion { at_once: arguments.at_once, input: input?, output: output?, from, to };
        let found = kinematics::explore(&set, &question).map_err(|reason| Trouble::new(&reason, hint(&reason)))?;
        Ok((set, found))
    })
}

fn hint(reason: &CannotExplore) -> String {
    match reason {
        CannotExplore::TooMany { largest: Some(largest), .. } => format!("write --at-once {largest} or less"),
        CannotExplore::TooLarge { .. } | CannotExplore::TooMany { largest: None, .. } => {
            "join what never turns against one another in the description, or explore a part of the train".into()
        }
        CannotExplore::NotUsable { .. } => "name a member of the main axis that turns".into(),
        CannotExplore::OneBody { .. } => "name two members that can turn apart".into(),
    }
}
