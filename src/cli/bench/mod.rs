//! `toothmark bench`: what is measured, fitted and balanced on the bench; each question is a command of its own below
//! this one.

mod balance;
mod neutral;
mod weighed;

use clap::{Args, Subcommand};

use super::exit::Exit;
use super::output::write;
use super::trouble::Trouble;
use balance::BalanceArguments;
use neutral::NeutralArguments;

#[derive(Debug, Args)]
pub(super) struct BenchArguments {
    #[command(subcommand)]
    command: Option<BenchCommand>,
}

#[derive(Debug, Subcommand)]
enum BenchCommand {
    /// A rotor: what may be left, where and how deep to drill
    Balance(Box<BalanceArguments>),
    /// The output turns in neutral: its speed says what drags
    Neutral(Box<NeutralArguments>),
}

/// Answers what is asked on the bench; where nothing is, tells what can be.
pub(super) fn bench(arguments: &BenchArguments, mut program: clap::Command) -> Result<Exit, Trouble> {
    match &arguments.command {
        Some(BenchCommand::Balance(arguments)) => balance::balance(arguments),
        Some(BenchCommand::Neutral(arguments)) => neutral::neutral(arguments),
        None => {
            let own = program.find_subcommand_mut("bench").expect("it is this very command");
            write(&own.render_help().ansi().to_string())?;
            Ok(Exit::Done)
        }
    }
}
