//! `toothmark teeth`: what the teeth are, and what whoever cuts or sets them needs to know; each question is a command of
//! its own below this one.

mod backlash;
mod close;
mod identify;
mod order;
mod pins;
mod reading;
mod shifts;

use clap::{Args, Subcommand};

use super::exit::Exit;
use super::output::write;
use super::trouble::Trouble;
use backlash::BacklashArguments;
use close::CloseArguments;
use identify::IdentifyArguments;
use order::OrderArguments;

#[derive(Debug, Args)]
pub(super) struct TeethArguments {
    #[command(subcommand)]
    command: Option<TeethCommand>,
}

#[derive(Debug, Subcommand)]
enum TeethCommand {
    /// Which teeth these are, by what was measured, and what next
    Identify(IdentifyArguments),
    /// Whether all meshes close on their pins, with which shifts
    Close(CloseArguments),
    /// What the cutter needs: a sheet a gear, a sheet a cluster
    Order(Box<OrderArguments>),
    /// The backlash of every mesh, which pin binds or carries first
    Backlash(BacklashArguments),
}

/// Answers what is asked of teeth; where nothing is, tells what can be.
pub(super) fn teeth(arguments: &TeethArguments, mut program: clap::Command) -> Result<Exit, Trouble> {
    match &arguments.command {
        Some(TeethCommand::Identify(arguments)) => identify::identify(arguments),
        Some(TeethCommand::Close(arguments)) => close::close(arguments),
        Some(TeethCommand::Order(arguments)) => order::order(arguments),
        Some(TeethCommand::Backlash(arguments)) => backlash::backlash(arguments),
        None => {
            let own = program.find_subcommand_mut("teeth").expect("it is this very command");
            write(&own.render_help().ansi().to_string())?;
            Ok(Exit::Done)
        }
    }
}
