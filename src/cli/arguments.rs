//! The arguments as typed.
//!
//! Each command's own stand beside it; the words of the help are those of
//! the comments here.

use clap::{Parser, Subcommand};

use super::check::CheckArguments;
use super::compare::CompareArguments;
use super::draw::DrawArguments;
use super::examples::ExamplesArguments;
use super::explain::ExplainArguments;
use super::explore::ExploreArguments;
use super::formula::FormulaArguments;
use super::loads::LoadsArguments;
use super::marks::MarksArguments;
use super::matches::MatchArguments;
use super::merge::MergeArguments;
use super::motion::MotionArguments;
use super::page::PageArguments;
use super::problems::ProblemsArguments;
use super::ratios::RatiosArguments;
use super::readings::FoundArguments;
use super::schema::SchemaArguments;
use super::search::SearchArguments;
use super::sheet::SheetArguments;
use super::timing::TimingArguments;
use super::wrong::WrongArguments;

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
