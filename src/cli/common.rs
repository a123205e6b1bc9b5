//! Arguments that many subcommands have: the description, the state, the form of the answer.
//!
//! The words of the help are those of the comments here.

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, ValueEnum};
use toothmark::gearset::Gearset;
use toothmark::report::Extent;

use super::lookups::state;
use super::trouble::Refusal;

#[derive(Debug, Args)]
pub(super) struct SourceArgument {
    /// A description (RON), or a built-in gearset by its name; "-" reads standard input
    pub(super) file: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct StateArgument {
    /// Only this state
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    state: Option<String>,
}

impl StateArgument {
    /// The place of the state in the list of states, where one is named.
    pub(super) fn place(&self, set: &Gearset) -> Result<Option<usize>, Refusal> {
        self.state.as_deref().map(|name| state(set, name)).transpose()
    }
}

/// The form of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// Text for a terminal
    Text,
    /// Markdown
    Markdown,
    /// One record a line
    Csv,
    /// JSON with stable keys
    Json,
    /// One page for a browser, made to be printed
    Html,
}

/// The forms of most answers.
const ANSWER: &[Format] = &[Format::Text, Format::Markdown, Format::Csv, Format::Json];

/// The forms of what is a document and nothing else.
pub(super) const DOCUMENT: &[Format] = &[Format::Text, Format::Markdown, Format::Html];

/// The form of an answer and how much of it is shown.
#[derive(Debug, Clone, Copy, Args)]
pub(super) struct AnswerForm {
    /// The form of the answer
    #[arg(long, value_parser = formats(ANSWER), default_value = "text")]
    pub(super) format: Format,
    /// Everything that the answer rests on; csv and json always have it
    #[arg(long)]
    full: bool,
}

impl AnswerForm {
    /// How much is shown.
    pub(super) fn extent(self) -> Extent {
        if self.full { Extent::Full } else { Extent::Screen }
    }
}

/// Reads the form of an answer that can have these.
pub(super) fn formats(offered: &'static [Format]) -> impl TypedValueParser<Value = Format> {
    PossibleValuesParser::new(offered.iter().filter_map(Format::to_possible_value))
        .map(|name| Format::from_str(&name, false).expect("the names are those of the forms"))
}
