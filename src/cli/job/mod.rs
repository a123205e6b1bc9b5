//! `toothmark job`: the record of a job, judged; begun, added to and compared by commands below this one.

mod begin;
mod compare;
mod enter;
mod record;
mod today;

use std::path::Path;

use clap::{Args, Subcommand};
use toothmark::description::{self, Faults};
use toothmark::job::{self, Job};

use super::exit::Exit;
use super::input::{ReadAs, source_of};
use super::trouble::{Refusal, Source, Trouble};
use begin::NewJobArguments;
use compare::JobDifferenceArguments;
use enter::EnterArguments;
use record::RecordArguments;

#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub(super) struct JobArguments {
    #[command(subcommand)]
    command: Option<JobCommand>,
    #[command(flatten)]
    record: RecordArguments,
}

#[derive(Debug, Subcommand)]
enum JobCommand {
    /// Begins the record of a job: all there is to read, still blank
    New(Box<NewJobArguments>),
    /// Enters readings into the file of a job; older ones stay in it
    Set(EnterArguments),
    /// What changed between two jobs of one unit
    Diff(JobDifferenceArguments),
}

/// Answers what is asked of a job.
pub(super) fn job(arguments: &JobArguments) -> Result<Exit, Trouble> {
    match &arguments.command {
        Some(JobCommand::New(arguments)) => begin::begin(arguments),
        Some(JobCommand::Set(arguments)) => enter::enter(arguments),
        Some(JobCommand::Diff(arguments)) => compare::compare(arguments),
        None => record::record(&arguments.record),
    }
}

/// The job of a file, with its text.
fn read(path: &Path) -> Result<(Source, Job), Trouble> {
    let text = source_of(path, ReadAs::Job)?;
    match job::read_bytes(&text.bytes) {
        Ok(job) => Ok((text, job)),
        Err(_) if description::read_bytes(&text.bytes).is_ok() => {
            let sentence = format!("{:?} describes a gearset and is no job", text.name);
            Err(Trouble::new(sentence, format!("begin a job about it: toothmark job new {} -o job.ron", text.name)))
        }
        Err(faults) => Err(Trouble::Faults { text, faults }),
    }
}

/// Faults of what was typed, which have no place in a file.
fn refused(faults: &Faults) -> Trouble {
    Trouble::Refused(faults.iter().map(|fault| Refusal::new(fault, fault.hint())).collect())
}
