//! The program: one function a subcommand.
//!
//! Answers go to standard output, everything else to standard error. What an exit code
//! means is said in [`exit`].

mod answer;
mod arguments;
mod asked;
mod bench;
mod common;
mod compare;
mod completed_names;
mod completions;
mod draw;
mod each;
mod examples;
mod exit;
mod explain;
mod input;
mod job;
mod manual;
mod merge;
mod message;
mod new;
mod output;
mod page;
mod place;
mod problems;
mod results;
mod schema;
mod search;
mod sheet;
mod source;
mod teeth;
mod trouble;
mod waiting;
mod wishes;

use clap::error::{ContextKind, ContextValue};
use exit::Exit;
use std::error::Error as _;
use toothmark::requests::{lookups, values};
use trouble::Refusal;

/// Runs the program with the arguments of the process.
pub(crate) fn run() -> Exit {
    // Where a shell asks what completes a line, that is answered and the program ends.
    clap_complete::CompleteEnv::with_factory(arguments::completed_command).complete();
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
        Some(refusal) => message::show(&of_option(error, refusal).into()),
        None => return exit::of_arguments(error),
    }
    Exit::WrongRequest
}

/// A refused value with the option that it was given to, for a line may have a dozen lengths.
fn of_option(error: &clap::Error, refusal: &Refusal) -> Refusal {
    let option = match error.get(ContextKind::InvalidArg) {
        Some(ContextValue::String(option)) => option.split_whitespace().next().filter(|name| name.starts_with("--")),
        _ => None,
    };
    match option {
        Some(option) => Refusal::new(format!("{option}: {}", refusal.sentence), refusal.hint.clone()),
        None => refusal.clone(),
    }
}
