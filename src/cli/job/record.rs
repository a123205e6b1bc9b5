//! `toothmark job FILE`: what the record of a job says, and the sheet to print and file.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use toothmark::job;
use toothmark::report::{Answer, html};

use crate::cli::common::{AnswerForm, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{rendered, write, write_lines};
use crate::cli::place::{ForceArgument, OutputPlaces};
use crate::cli::sheet::job_sheet;
use crate::cli::trouble::{Refusal, Trouble};

#[derive(Debug, Args)]
pub(super) struct RecordArguments {
    /// The file of the job, or "-" for standard input
    file: Option<PathBuf>,
    /// The form; without it text, and html where -o is given
    #[arg(long, value_enum)]
    format: Option<RecordFormat>,
    /// Everything that is good and noted as well; html, csv and json always have it
    #[arg(long)]
    full: bool,
    /// The file for the answer or sheet; without it it goes to standard output
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    #[command(flatten)]
    force: ForceArgument,
}

/// The form of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum RecordFormat {
    /// Text for a terminal
    Text,
    /// Markdown
    Markdown,
    /// The sheet of the job for a browser, made to be printed and filed
    Html,
    /// One record a finding
    Csv,
    /// JSON with stable keys
    Json,
}

pub(super) fn record(arguments: &RecordArguments) -> Result<Exit, Trouble> {
    let file = arguments.file.as_deref().ok_or_else(|| {
        Refusal::new(
            "it is not said which job is asked about",
            "name its file, or begin one: toothmark job new mine.ron -o job.ron",
        )
    })?;
    let mut places = OutputPlaces::new(arguments.force, Some(file));
    arguments.output.as_deref().map(|path| places.check_file(path)).transpose()?;
    let (_, job) = super::read(file)?;
    let verdict = job::judge(&job);
    let usual = if arguments.output.is_some() { RecordFormat::Html } else { RecordFormat::Text };
    let form = |format: Format| AnswerForm { format, full: arguments.full };
    let in_form = |format: Format| rendered(job.gearset(), &verdict, Vec::new(), form(format));
    let text = match arguments.format.unwrap_or(usual) {
        RecordFormat::Html => html(&job_sheet(&job).0),
        RecordFormat::Text => in_form(Format::Text),
        RecordFormat::Markdown => in_form(Format::Markdown),
        RecordFormat::Csv => in_form(Format::Csv),
        RecordFormat::Json => in_form(Format::Json),
    };
    match &arguments.output {
        None => write(&text)?,
        Some(path) => {
            places.write(path, &text)?;
            write_lines([path.display().to_string()])?;
        }
    }
    Ok(verdict.outcome().into())
}
