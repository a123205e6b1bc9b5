//! The arguments as typed.
//!
//! What they mean is worked out by [`super::commands`]; the words of the help are those of
//! the comments here.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use super::common::{Format, SourceArgument};
use super::compare::CompareArguments;
use super::explain::ExplainArguments;
use super::explore::ExploreArguments;
use super::formula::FormulaArguments;
use super::loads::LoadsArguments;
use super::merge::MergeArguments;
use super::motion::MotionArguments;
use super::page::PageArguments;
use super::place::ForceArgument;
use super::problems::ProblemsArguments;
use super::schema::SchemaArguments;
use super::search::SearchArguments;

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
    /// Every way to use the train: what could be held, coupled, drive and be driven, with the ratios
    Explore(ExploreArguments),
    /// The ratio of every state, and any speed, as a formula in the tooth counts
    Formula(FormulaArguments),
    /// What rolls, rubs and stands in each state, what a change does, overspeed, what can make a noise
    Motion(MotionArguments),
    /// A state worked out step by step for a class: by the table, by the formula, as a lever
    Explain(ExplainArguments),
    /// A job sheet to print: conventions, parts, settings in both views, columns to fill in
    Sheet(SheetArguments),
    /// Every wrong seating of a planet: how far it is out, the play left, what a hand would feel
    Wrong(WrongArguments),
    /// Which teeth and spaces to mark on a set without marks, and when marks line up again
    Marks(MarksArguments),
    /// Pictures of exact size: face views, pages to print at 1:1, paper discs of each planet
    Draw(DrawArguments),
    /// A page for a browser on which the gears turn, state by state, with exact speeds
    Page(PageArguments),
    /// What the marks show now, as found: in time or not, and which clusters to turn
    Found(FoundArguments),
    /// Whether measured clusters match as a set, who carries first, and whether exchanging them helps
    Match(MatchArguments),
    /// The torque on every member, mesh, band and clutch in every state, and where power goes
    Loads(LoadsArguments),
    /// Gearsets side by side, or one with other tooth counts: what changes, and what has to be made
    Compare(CompareArguments),
    /// Other tooth counts that give wanted ratios and go together: the best of all, proven
    Search(SearchArguments),
    /// The parts of a search put together
    Merge(MergeArguments),
    /// Practice problems whose numbers could be built, and a key with working and wrong answers
    Problems(ProblemsArguments),
    /// What a description says, in words, with every problem and everything worth a second look
    Check(CheckArguments),
    /// The JSON Schema of a command's answer
    Schema(SchemaArguments),
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
pub(super) struct WrongArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// Up to this error, in teeth: above 0, at most 1/2, which lists all
    #[arg(long, value_name = "TEETH", allow_hyphen_values = true)]
    pub(super) within: Option<String>,
    /// Backlash read off a dial; needs --radius and --gear, and may be repeated with them
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) reading: Vec<String>,
    /// How far from the axis of the gear the dial stood
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) radius: Vec<String>,
    /// The gear that was rocked while its mate was held
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub(super) gear: Vec<String>,
    /// How much a hand can force where play is short, an estimate; 0.05 mm when left out
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) ease: Option<String>,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: Format,
}

#[derive(Debug, Args)]
pub(super) struct MarksArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: Format,
}

#[derive(Debug, Args)]
pub(super) struct DrawArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// The folder for the pictures; it is made where there is none
    #[arg(short, long, value_name = "DIR")]
    pub(super) output: PathBuf,
    /// The paper of the pages
    #[arg(long, value_enum, default_value_t)]
    pub(super) paper: PaperArgument,
    /// Only these pictures
    #[arg(long, value_enum)]
    pub(super) only: Option<PicturesArgument>,
    #[command(flatten)]
    pub(super) force: ForceArgument,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum PaperArgument {
    /// 210 x 297 mm
    #[default]
    A4,
    /// US letter, 8.5 x 11 in
    Letter,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PicturesArgument {
    /// Face views, each whole
    Faces,
    /// Face views in pages to print and join
    Pages,
    /// Paper discs of each planet to cut out
    Discs,
}

#[derive(Debug, Args)]
pub(super) struct FoundArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// The side that you look from; needed with --pin
    #[arg(long, value_enum)]
    pub(super) seen: Option<SeenFrom>,
    /// The planet whose marks were read, where there are several
    #[arg(long, value_name = "NAME")]
    pub(super) planet: Option<String>,
    /// The gear of the planet on which teeth are counted; one for each planet that has several
    #[arg(long, value_name = "NAME", conflicts_with = "along")]
    pub(super) gear: Vec<String>,
    /// The central gear along which teeth are counted, from the space that the marked tooth of
    /// each pin lies in to that of the next pin
    #[arg(long, value_name = "NAME")]
    pub(super) along: Option<String>,
    /// What a mark shows: teeth or degrees from the line to the centre, counter-clockwise
    /// positive, such as 1=0, 2=-10, 2="10 1/3" or 3=120deg; long:2=-3 where planets mesh with one
    /// another and those of several are read; takes the place of the readings in the description
    #[arg(long, value_name = "[PLANET:]PIN=READING", requires = "seen", allow_hyphen_values = true)]
    pub(super) pin: Vec<String>,
    /// How many degrees a reading in degrees may be out (0.5 where not given)
    #[arg(long, value_name = "DEGREES", requires = "pin", allow_hyphen_values = true)]
    pub(super) within: Option<String>,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: Format,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum SeenFrom {
    /// The input side
    #[default]
    Input,
    /// The output side
    Output,
}

#[derive(Debug, Args)]
pub(super) struct MatchArguments {
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
    pub(super) format: Format,
}

#[derive(Debug, Args)]
pub(super) struct SheetArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// The form of the sheet
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: SheetFormat,
    /// The file for the sheet; without it the sheet goes to standard output
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,
    #[command(flatten)]
    pub(super) force: ForceArgument,
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
