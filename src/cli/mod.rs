//! The program: one function a subcommand.
//!
//! Answers go to standard output, everything else to standard error. What an exit code
//! means is said in [`exit`].

mod arguments;
mod bench;
mod check;
mod common;
mod compare;
mod completed_names;
mod completions;
mod draw;
mod examples;
mod exit;
mod explain;
mod explore;
mod formula;
mod found;
mod input;
mod job;
mod loads;
mod lookups;
mod manual;
mod marks;
mod matches;
mod merge;
mod message;
mod motion;
mod new;
mod output;
mod page;
mod place;
mod problems;
mod ratios;
mod readings;
mod results;
mod schema;
mod search;
mod sheet;
mod sizes;
mod source;
mod teeth;
mod timing;
mod trouble;
mod values;
mod wrong;

use exit::Exit;
use std::error::Error as _;
use trouble::Refusal;

/// Runs the program with the arguments of the process.
pub(crate) fn run() -> Exit {
    // Where a shell asks what completes a line, that is answered and the program ends.
    clap_complete::CompleteEnv::with_factory(arguments::command).complete();
    let arguments = match arguments::parse() {
        Ok(arguments) => arguments,
        Err(error) => return refused(&error),
    };
    let outcome = arguments.run();
    outcome.unwrap_or_else(|trouble| {
        message::show(&trouble);
        Exit::WrongRequest
    })
}

/// Arguments that cannot be taken: a value is refused in the words of its parser, the rest in those of clap.
fn refused(error: &clap::Error) -> Exit {
    let refusal = error.source().and_then(|source| source.downcast_ref::<Refusal>());
    match refusal {
        Some(refusal) => message::show(&refusal.clone().into()),
        None => return exit::of_arguments(error),
    }
    Exit::WrongRequest
}
