//! `toothmark teeth`: what the teeth are, and what whoever cuts or sets them needs to know; each question is a command of
//! its own below this one.

mod order;

use clap::{Args, Subcommand};
use toothmark::requests::{BacklashOptions, CloseOptions, IdentifyOptions};

use super::exit::Exit;
use super::output::write;
use super::source::{Asks, AsksOfFiles};
use super::trouble::Trouble;
use order::OrderArguments;

#[derive(Debug, Args)]
pub(super) struct TeethArguments {
    #[command(subcommand)]
    command: Option<TeethCommand>,
}

#[derive(Debug, Subcommand)]
enum TeethCommand {
    /// Which teeth these are, by what was measured, and what next
    #[command(mut_arg("file", |file| file.help(
        "Descriptions (RON) with readings of their gears, a built-in gearset by its name, or \"-\" for standard input; all \
         gears of one are told together"
    )))]
    Identify(Box<AsksOfFiles<IdentifyOptions>>),
    /// Whether all meshes close on their pins, with which shifts
    Close(Box<Asks<CloseOptions>>),
    /// What the cutter needs: a sheet a gear, a sheet a cluster
    Order(Box<OrderArguments>),
    /// The backlash of every mesh, which pin binds or carries first
    Backlash(Box<Asks<BacklashOptions>>),
}

/// Answers what is asked of teeth; where nothing is, tells what can be.
pub(super) fn teeth(arguments: &TeethArguments, mut program: clap::Command) -> Result<Exit, Trouble> {
    match &arguments.command {
        Some(TeethCommand::Identify(asked)) => asked.answer(),
        Some(TeethCommand::Close(asked)) => asked.answer(),
        Some(TeethCommand::Order(arguments)) => order::order(arguments),
        Some(TeethCommand::Backlash(asked)) => asked.answer(),
        None => {
            let own = program.find_subcommand_mut("teeth").expect("it is this very command");
            write(&own.render_help().ansi().to_string())?;
            Ok(Exit::Done)
        }
    }
}
