//! Arguments that many subcommands have: the description, and the form of the answer.
//!
//! The words of the help are those of the comments here.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
pub(super) struct SourceArgument {
    /// A description (RON); "-" reads standard input
    pub(super) file: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// Tables for a terminal
    #[default]
    Text,
    /// Markdown
    Markdown,
    /// One record a line
    Csv,
    /// JSON with stable keys
    Json,
}
