//! `toothmark bench`: what is measured, fitted and balanced on the bench; each question is a command of its own below
//! this one.

mod balance;
mod bands;
mod bushes;
mod clutch;
mod float;
mod neutral;
mod weighed;

use std::path::Path;

use clap::{Args, Subcommand};
use toothmark::description;
use toothmark::gearset::Gearset;
use toothmark::job::{self, Job};

use super::exit::Exit;
use super::input::source;
use super::output::write;
use super::source::titled;
use super::trouble::Trouble;
use balance::BalanceArguments;
use bands::BandsArguments;
use bushes::BushesArguments;
use clutch::ClutchArguments;
use float::FloatArguments;
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
    /// How far bands travel, their linings, what rubs or slips
    Bands(Box<BandsArguments>),
    /// Which bushes are good, and what to bore the others to
    Bushes(Box<BushesArguments>),
    /// Turns of finger screws, spring, pack, what plates hold
    Clutch(Box<ClutchArguments>),
    /// Which washers give the end float that is wanted
    Float(Box<FloatArguments>),
    /// The output turns in neutral: its speed says what drags
    Neutral(Box<NeutralArguments>),
}

/// Answers what is asked on the bench; where nothing is, tells what can be.
pub(super) fn bench(arguments: &BenchArguments, mut program: clap::Command) -> Result<Exit, Trouble> {
    match &arguments.command {
        Some(BenchCommand::Balance(arguments)) => balance::balance(arguments),
        Some(BenchCommand::Bands(arguments)) => bands::bands(arguments),
        Some(BenchCommand::Bushes(arguments)) => bushes::bushes(arguments),
        Some(BenchCommand::Clutch(arguments)) => clutch::clutch(arguments),
        Some(BenchCommand::Float(arguments)) => float::float(arguments),
        Some(BenchCommand::Neutral(arguments)) => neutral::neutral(arguments),
        None => {
            let own = program.find_subcommand_mut("bench").expect("it is this very command");
            write(&own.render_help().ansi().to_string())?;
            Ok(Exit::Done)
        }
    }
}

/// What a question of the bench is asked about.
struct BenchSource {
    set: Gearset,
    /// The job whose record it is, where the file is one.
    job: Option<Job>,
}

/// The description or the job of a file.
fn described(file: &Path) -> Result<BenchSource, Trouble> {
    let text = source(Some(file))?;
    let read = description::text_of(&text.bytes).and_then(|written| {
        if !job::is_job(written) {
            return description::read(written).map(|set| BenchSource { set, job: None });
        }
        job::read(written).map(|job| BenchSource { set: job.gearset().clone(), job: Some(job) })
    });
    read.map_err(|faults| Trouble::Faults { text, faults })
}
