//! The subcommand `explore`: what is wanted, as typed and as meant.
//!
//! Members are named as in the description, ratios are numbers as people write them; what is
//! found is the library's.

use clap::Args;
use toothmark::exact::{Fraction, parse};
use toothmark::kinematics::{self, ExplorationQuestion};

use super::common::{Format, SourceArgument};
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::answer;
use super::request::member;

#[derive(Debug, Args)]
pub(super) struct ExploreArguments {
    #[command(flatten)]
    source: SourceArgument,
    /// How many may be held or coupled at once; by default as many as leave one freedom
    #[arg(long, value_name = "N")]
    at_once: Option<usize>,
    /// Only what this member drives
    #[arg(long, value_name = "MEMBER")]
    input: Option<String>,
    /// Only what drives this member
    #[arg(long, value_name = "MEMBER")]
    output: Option<String>,
    /// Only ratios from this one on, such as 2.5, 5/2 or, reversed, -4
    #[arg(long, value_name = "RATIO", allow_hyphen_values = true)]
    from: Option<String>,
    /// Only ratios up to this one
    #[arg(long, value_name = "RATIO", allow_hyphen_values = true)]
    to: Option<String>,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub(super) fn explore(arguments: &ExploreArguments) -> Result<Exit, Trouble> {
    let from = arguments.from.as_deref().map(ratio).transpose()?;
    let to = arguments.to.as_deref().map(ratio).transpose()?;
    let set = gearset(arguments.source.file.as_deref())?;
    let input = arguments.input.as_deref().map(|name| member(&set, name)).transpose()?;
    let output = arguments.output.as_deref().map(|name| member(&set, name)).transpose()?;
    let wanted = ExplorationQuestion { at_once: arguments.at_once, input, output, from, to };
    let found = kinematics::explore(&set, &wanted).map_err(Trouble::CannotExplore)?;
    answer(&set, &found, arguments.format)
}

fn ratio(text: &str) -> Result<Fraction, Trouble> {
    parse(text).ok_or_else(|| Trouble::NotARatio { text: text.to_owned() })
}
