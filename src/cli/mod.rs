//! The program: one function a subcommand.
//!
//! Answers go to standard output, everything else to standard error. What an exit code
//! means is said in [`exit`].

mod arguments;
mod commands;
mod common;
mod compare;
mod draw;
mod exit;
mod explain;
mod explore;
mod formula;
mod input;
mod loads;
mod merge;
mod message;
mod motion;
mod output;
mod page;
mod place;
mod problems;
mod readings;
mod request;
mod results;
mod schema;
mod search;
mod wrong;

use arguments::{Arguments, Command};
use clap::Parser;
use exit::Exit;

/// Runs the program with the arguments of the process.
pub(crate) fn run() -> Exit {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return exit::of_arguments(&error),
    };
    let outcome = match arguments.command {
        Command::Ratios(arguments) => commands::ratios(&arguments),
        Command::Timing(arguments) => commands::timing(&arguments),
        Command::Explore(arguments) => explore::explore(&arguments),
        Command::Formula(arguments) => formula::formula(&arguments),
        Command::Motion(arguments) => motion::motion(&arguments),
        Command::Explain(arguments) => explain::explain(&arguments),
        Command::Sheet(arguments) => commands::sheet(&arguments),
        Command::Wrong(arguments) => wrong::wrong(&arguments),
        Command::Marks(arguments) => commands::marks(&arguments),
        Command::Draw(arguments) => draw::draw(&arguments),
        Command::Page(arguments) => page::page(&arguments),
        Command::Found(arguments) => commands::found(&arguments),
        Command::Match(arguments) => commands::matches(&arguments),
        Command::Loads(arguments) => loads::loads(&arguments),
        Command::Compare(arguments) => compare::compare(&arguments),
        Command::Search(arguments) => search::search(&arguments),
        Command::Merge(arguments) => merge::merge(&arguments),
        Command::Problems(arguments) => problems::problems(&arguments),
        Command::Check(arguments) => commands::check(&arguments),
        Command::Schema(arguments) => schema::schema(&arguments),
        Command::Examples(arguments) => commands::examples(&arguments),
    };
    outcome.unwrap_or_else(|trouble| {
        message::show(&trouble);
        Exit::WrongRequest
    })
}
