//! `toothmark bench`: what is measured, fitted and balanced on the bench; each question is a command of its own below
//! this one.

mod balance;

use clap::{Args, Subcommand};
use toothmark::requests::{BandsOptions, BushesOptions, ClutchOptions, FloatOptions, NeutralOptions};

use super::exit::Exit;
use super::output::write;
use super::source::{Asks, AsksOfFiles};
use super::trouble::Trouble;
use balance::BalanceArguments;

#[derive(Debug, Args)]
pub(super) struct BenchArguments {
    #[command(subcommand)]
    command: Option<BenchCommand>,
}

#[derive(Debug, Subcommand)]
enum BenchCommand {
    /// A rotor: what may be left, where and how deep to drill
    #[command(mut_arg("file", |file| file.help(
        "A description (RON), or a built-in gearset by its name, whose states say how fast the part turns, without it --rpm \
         does; or a job, whose record says what may be left, what was read last and which holes are drilled"
    )))]
    Balance(Box<BalanceArguments>),
    /// How far bands travel, their linings, what rubs or slips
    #[command(mut_arg("file", |file| file.help(
        "A description (RON), a built-in gearset by its name, or the record of a job; all of its bands are told, and sizes \
         that are typed win over its own"
    )))]
    Bands(Box<AsksOfFiles<BandsOptions>>),
    /// Which bushes are good, and what to bore the others to
    #[command(mut_arg("file", |file| file.help(
        "A description (RON) whose bearings have bore and shaft, the record of a job, or \"-\" for standard input; all of \
         their bushes are told, and what is typed wins"
    )))]
    Bushes(Box<AsksOfFiles<BushesOptions>>),
    /// Turns of finger screws, spring, pack, what plates hold
    #[command(mut_arg("file", |file| file.help(
        "A description (RON) whose clutch has plates with their sizes, or a built-in gearset by its name; or a job, whose \
         record has fingers, a spring at two lengths and a pack"
    )))]
    Clutch(Box<AsksOfFiles<ClutchOptions>>),
    /// Which washers give the end float that is wanted
    #[command(mut_arg("file", |file| file.help(
        "The record of a job, whose floats are gaps with what is wanted of them; what is typed wins"
    )))]
    Float(Box<AsksOfFiles<FloatOptions>>),
    /// The output turns in neutral: its speed says what drags
    Neutral(Box<Asks<NeutralOptions>>),
}

/// Answers what is asked on the bench; where nothing is, tells what can be.
pub(super) fn bench(arguments: &BenchArguments, mut program: clap::Command) -> Result<Exit, Trouble> {
    match &arguments.command {
        Some(BenchCommand::Balance(arguments)) => balance::balance(arguments),
        Some(BenchCommand::Bands(asked)) => asked.answer(),
        Some(BenchCommand::Bushes(asked)) => asked.answer(),
        Some(BenchCommand::Clutch(asked)) => asked.answer(),
        Some(BenchCommand::Float(asked)) => asked.answer(),
        Some(BenchCommand::Neutral(asked)) => asked.answer(),
        None => {
            let own = program.find_subcommand_mut("bench").expect("it is this very command");
            write(&own.render_help().ansi().to_string())?;
            Ok(Exit::Done)
        }
    }
}
