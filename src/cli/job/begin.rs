//! `toothmark job new`: the file of a job that begins, for a description or the gears on a pin.

use std::path::PathBuf;

use clap::Args;
use toothmark::gearset::Side;
use toothmark::job::{self, DraftJob, Job};
use toothmark::requests::{WhatIfOptions, words};

use super::today::{DateArgument, date};
use crate::cli::exit::Exit;
use crate::cli::output::{tell_done, write};
use crate::cli::place::OutputPlaces;
use crate::cli::source::SourceArguments;
use crate::cli::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct NewJobArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    what_if: WhatIfOptions,
    /// The machine that the unit belongs to
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    machine: Option<String>,
    /// The unit, with its number
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    unit: Option<String>,
    /// Who does the job
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    by: Option<String>,
    /// The side that you look from when you read marks
    #[arg(long, value_name = "SEEN", value_parser = words::<Side>(), default_value = "input")]
    seen: Side,
    #[command(flatten)]
    date: DateArgument,
    /// The file for the job; without it the job goes to standard output
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(super) fn begin(arguments: &NewJobArguments) -> Result<Exit, Trouble> {
    let mut places = OutputPlaces::new(arguments.source.force, arguments.source.file());
    arguments.output.as_deref().map(|path| places.check_file(path)).transpose()?;
    let set = arguments.source.alone("the record of a job", &arguments.what_if)?;
    let text = |field: &Option<String>| field.as_deref().map(Into::into);
    let draft = DraftJob {
        machine: text(&arguments.machine),
        unit: text(&arguments.unit),
        by: text(&arguments.by),
        date: Some(date(&arguments.date).into()),
        seen: Some(arguments.seen),
        ..job::blank(&set)
    };
    let text = job::write(&draft);
    Job::new(draft).map_err(|faults| super::refused(&faults))?;
    match &arguments.output {
        None => write(&text)?,
        Some(path) => {
            places.write(path, &text)?;
            tell_done([path.display().to_string()])?;
        }
    }
    Ok(Exit::Done)
}
