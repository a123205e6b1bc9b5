//! `toothmark job FILE`: what the record of a job says, and the sheet to print and file.

use std::path::PathBuf;

use clap::Args;
use toothmark::job;

use crate::cli::common::{AnswerForm, PrintFormat};
use crate::cli::each::{DESCRIBED, ListArgument, Subjects};
use crate::cli::exit::Exit;
use crate::cli::output::Said;
use crate::cli::place::{ForceArgument, OutputPlaces};
use crate::cli::sheet::job_sheet;
use crate::cli::trouble::{Refusal, Trouble};

#[derive(Debug, Args)]
pub(super) struct RecordArguments {
    /// The file of the job, or "-" for standard input; several are answered one by one
    #[arg(group = DESCRIBED)]
    file: Vec<PathBuf>,
    #[command(flatten)]
    list: ListArgument,
    /// The form; without it text, and html where -o is given
    #[arg(long, value_enum)]
    format: Option<PrintFormat>,
    /// Everything that is good and noted as well; html, csv and json always have it
    #[arg(long)]
    full: bool,
    /// The file for the answer or sheet; without it it goes to standard output
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    #[command(flatten)]
    force: ForceArgument,
}

pub(super) fn record(arguments: &RecordArguments) -> Result<Exit, Trouble> {
    let mut places = OutputPlaces::new(arguments.force, arguments.file.iter().map(PathBuf::as_path));
    arguments.output.as_deref().map(|path| places.check_file(path)).transpose()?;
    let usual = if arguments.output.is_some() { PrintFormat::Html } else { PrintFormat::Text };
    let format = arguments.format.unwrap_or(usual).of_answer();
    let form = format.map(|format| AnswerForm { format, full: arguments.full });
    let verdict = |words: &[PathBuf], file: Option<&str>| {
        let (_, job) = super::read(words.first().ok_or_else(which_job)?)?;
        Ok(Said::printed(job.gearset(), &job::judge(&job), form, || job_sheet(&job).0, file)?)
    };
    let subjects = Subjects::of_files(&arguments.file, &arguments.list)?;
    match &arguments.output {
        None => subjects.say(verdict),
        Some(path) => verdict(&subjects.alone("a sheet")?, None)?.write_to(places, path),
    }
}

fn which_job() -> Refusal {
    Refusal::new(
        "it is not said which job is asked about",
        "name its file, or begin one: toothmark job new mine.ron -o job.ron",
    )
}
