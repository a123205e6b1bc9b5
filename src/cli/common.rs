//! Arguments that many subcommands have: the form of the answer.
//!
//! The words of the help are those of the comments here.

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, ValueEnum};
use toothmark::report::Extent;

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
}

impl Format {
    /// Whether people read it, and not programs.
    pub(super) fn is_for_people(self) -> bool {
        matches!(self, Self::Text | Self::Markdown)
    }
}

/// The form of an answer of which there is a page to print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PrintFormat {
    /// Text for a terminal
    Text,
    /// Markdown
    Markdown,
    /// One page for a browser, made to be printed and filed
    Html,
    /// One record a line
    Csv,
    /// JSON with stable keys
    Json,
}

impl PrintFormat {
    /// The form of the answer; `None` where it is the page.
    pub(super) fn of_answer(self) -> Option<Format> {
        match self {
            Self::Text => Some(Format::Text),
            Self::Markdown => Some(Format::Markdown),
            Self::Csv => Some(Format::Csv),
            Self::Json => Some(Format::Json),
            Self::Html => None,
        }
    }
}

/// The form of a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum DocumentFormat {
    /// Text for a terminal
    Text,
    /// Markdown
    Markdown,
    /// One page for a browser, made to be printed
    Html,
}

/// The form of an answer and how much of it is shown.
#[derive(Debug, Clone, Copy, Args)]
pub(super) struct AnswerForm {
    /// The form of the answer
    #[arg(long, value_enum, default_value = "text")]
    pub(super) format: Format,
    /// Everything that the answer rests on; csv and json always have it
    #[arg(long)]
    pub(super) full: bool,
}

impl AnswerForm {
    /// How much is shown.
    pub(super) fn extent(self) -> Extent {
        if self.full { Extent::Full } else { Extent::Screen }
    }
}

/// Reads the form of a document that can have these.
pub(super) fn document_formats(offered: &'static [DocumentFormat]) -> impl TypedValueParser<Value = DocumentFormat> {
    PossibleValuesParser::new(offered.iter().filter_map(DocumentFormat::to_possible_value))
        .map(|name| DocumentFormat::from_str(&name, false).expect("the names are those of the forms"))
}
