//! The arguments as typed.
//!
//! What they mean is worked out by [`super::commands`]; the words of the help are those of
//! the comments here.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use super::loads::LoadsArguments;

/// Exact ratios and exact timing of planetary gearsets whose planets are clusters.
///
/// Without a file every command takes a built-in gearset, an inspection railcar with two
/// speeds and reverse. Exit code 0: done; 1: the answer is no, such as planets that do
/// not go together; 2: the file or the request is wrong.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 100)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub(super) command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// The ratio of every state and the speed of every member
    Ratios(RatiosArguments),
    /// Whether and how the planets go together, and how easily they could be put together wrong
    Timing(TimingArguments),
    /// A job sheet to print: conventions, parts, settings in both views, columns to fill in
    Sheet(SheetArguments),
    /// The torque on every member, mesh, band and clutch in every state, and where power goes
    Loads(LoadsArguments),
    /// What a description says, in words, with every problem and everything worth a second look
    Check(CheckArguments),
    /// The built-in gearsets: lists them, or prints one to start from
    Examples(ExamplesArguments),
}

#[derive(Debug, Args)]
pub(super) struct RatiosArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// Only this state
    #[arg(long, value_name = "NAME")]
    pub(super) state: Option<String>,
    /// Speeds in revolutions per minute for this speed of the input, instead of per turn
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub(super) rpm: Option<String>,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: Format,
}

#[derive(Debug, Args)]
pub(super) struct TimingArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: Format,
}

#[derive(Debug, Args)]
pub(super) struct CheckArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: ProseFormat,
}

#[derive(Debug, Args)]
pub(super) struct SheetArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// The form of the sheet
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: SheetFormat,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum SheetFormat {
    /// One page for a browser, made to be printed
    #[default]
    Html,
    /// Markdown
    Markdown,
}

#[derive(Debug, Args)]
pub(super) struct ExamplesArguments {
    /// Print this one; without a name all are listed
    pub(super) name: Option<String>,
}

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

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum ProseFormat {
    /// Text for a terminal
    #[default]
    Text,
    /// Markdown
    Markdown,
}
