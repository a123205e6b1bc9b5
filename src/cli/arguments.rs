//! The arguments as typed.
//!
//! Each command's own stand beside it; the words of the help are those of the comments here. What people want to do
//! groups the commands, in the help and wherever else they are listed.

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};

use super::check::CheckArguments;
use super::compare::CompareArguments;
use super::draw::DrawArguments;
use super::examples::ExamplesArguments;
use super::explain::ExplainArguments;
use super::explore::ExploreArguments;
use super::formula::FormulaArguments;
use super::loads::LoadsArguments;
use super::manual::ManualArguments;
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

/// Exact ratios and exact timing of planetary gearsets whose planets are clusters
///
/// Where a file is taken, a built-in gearset can be named instead, as in "toothmark timing hill-tramway-car", and "-"
/// reads standard input; without either it is an inspection railcar with two speeds and reverse. Exit code 0: done;
/// 1: the answer is no, such as planets that do not assemble; 2: the file or the request is wrong.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 100)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub(super) command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Whether the planets assemble, how each is set, what to beware of
    Timing(TimingArguments),
    /// Which teeth and spaces to mark on a set without marks
    Marks(MarksArguments),
    /// What the marks show as found: in time or not, which planet to turn
    Found(FoundArguments),
    /// Every wrong seating: how far out, and whether a hand would notice
    Wrong(WrongArguments),
    /// Whether measured clusters match, who carries first, what to exchange
    Match(MatchArguments),
    /// A job sheet: parts, settings from both sides, columns to fill in
    Sheet(SheetArguments),
    /// Pictures of exact size: face views, pages at 1:1, paper discs
    Draw(DrawArguments),
    /// A page for a browser on which the gears turn, with exact speeds
    Page(PageArguments),
    /// The ratio of every state; with --full the speed of every member
    Ratios(RatiosArguments),
    /// The same as a formula in the tooth counts, and any speed
    Formula(FormulaArguments),
    /// Every use of the train: what to hold, couple, drive and be driven
    Explore(ExploreArguments),
    /// Torque on every member, mesh, band and clutch, power and losses
    Loads(LoadsArguments),
    /// What rolls, rubs and stands, what a control meets, overspeed, noise
    Motion(MotionArguments),
    /// Gearsets side by side, or one with other tooth counts
    Compare(CompareArguments),
    /// Other tooth counts that give a ratio and assemble, the best proven
    Search(SearchArguments),
    /// The parts of a search put together
    Merge(MergeArguments),
    /// A state worked out step by step for a class
    Explain(ExplainArguments),
    /// Practice problems that could be built, with a key and wrong answers
    Problems(ProblemsArguments),
    /// What a description says, in words, and every problem with it
    Check(CheckArguments),
    /// The built-in gearsets: lists them, or prints one to start from
    Examples(ExamplesArguments),
    /// The manual, chapter by chapter
    Manual(ManualArguments),
    /// The JSON Schema of a command's answer
    Schema(SchemaArguments),
}

/// Commands that serve one purpose.
struct Purpose {
    heading: &'static str,
    commands: &'static [&'static str],
}

/// Every command once, by what people want to do with it.
const PURPOSES: &[Purpose] = &[
    Purpose { heading: "Describe a gearset", commands: &["examples", "check"] },
    Purpose { heading: "Assemble it", commands: &["timing", "marks", "found", "wrong", "match"] },
    Purpose { heading: "Put it on paper or on a screen", commands: &["sheet", "draw", "page"] },
    Purpose { heading: "Know its ratios and loads", commands: &["ratios", "formula", "explore", "loads", "motion"] },
    Purpose { heading: "Change its tooth counts", commands: &["compare", "search", "merge"] },
    Purpose { heading: "Teach", commands: &["explain", "problems"] },
    Purpose { heading: "Look something up", commands: &["manual", "schema", "help"] },
];

/// Reads the arguments of the process.
pub(super) fn parse() -> Result<Arguments, clap::Error> {
    let mut command = command();
    let matches = command.try_get_matches_from_mut(std::env::args_os())?;
    Arguments::from_arg_matches(&matches).map_err(|error| error.format(&mut command))
}

/// The program as its argument reader knows it, the commands of its help grouped by purpose.
fn command() -> clap::Command {
    let mut command = Arguments::command();
    command.build();
    let groups: Vec<String> = PURPOSES.iter().map(|purpose| group(&command, purpose)).collect();
    command.help_template(format!(
        "{{about-with-newline}}\n{{usage-heading}} {{usage}}\n\n{}\nOptions:\n{{options}}{{after-help}}",
        groups.join("\n")
    ))
}

/// The commands of a purpose under its heading, a line each.
fn group(command: &clap::Command, purpose: &Purpose) -> String {
    let line = |name: &&str| {
        let about = command.find_subcommand(name).and_then(clap::Command::get_about);
        format!("  {name:<8}  {}\n", about.map(ToString::to_string).unwrap_or_default())
    };
    format!("{}:\n{}", purpose.heading, purpose.commands.iter().map(line).collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_one_purpose_and_fits_on_a_line() {
        let command = command();
        let mut listed: Vec<&str> = PURPOSES.iter().flat_map(|purpose| purpose.commands).copied().collect();
        let mut known: Vec<&str> = command.get_subcommands().map(clap::Command::get_name).collect();
        listed.sort_unstable();
        known.sort_unstable();
        assert_eq!(listed, known);
        for line in
            PURPOSES.iter().flat_map(|purpose| group(&command, purpose).lines().map(str::to_owned).collect::<Vec<_>>())
        {
            assert!(line.len() <= 80, "{line}");
        }
    }
}
