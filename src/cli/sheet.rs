//! `toothmark sheet`: a job sheet to print.

use std::path::PathBuf;

use clap::Args;
use toothmark::drawing::{GroupPicture, overviews};
use toothmark::job::{self, Job};
use toothmark::kinematics::{self, RatiosQuestion};
use toothmark::report::{Answer, CaptionedPicture, Document, JobSheet, Outcome, html, markdown};
use toothmark::requests::WhatIfOptions;
use toothmark::timing;

use super::common::{DocumentFormat, document_formats};
use super::exit::Exit;
use super::output::{tell_done, write};
use super::place::OutputPlaces;
use super::source::SourceArguments;
use super::trouble::Trouble;
use super::waiting::at_work;

#[derive(Debug, Args)]
pub(super) struct SheetArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    what_if: WhatIfOptions,
    /// The form of the sheet
    #[arg(long, value_parser = document_formats(&[DocumentFormat::Html, DocumentFormat::Markdown]), default_value = "html")]
    format: DocumentFormat,
    /// The file for the sheet; without it the sheet goes to standard output
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(super) fn sheet(arguments: &SheetArguments) -> Result<Exit, Trouble> {
    let mut places = OutputPlaces::new(arguments.source.force, arguments.source.file());
    arguments.output.as_deref().map(|path| places.check_file(path)).transpose()?;
    let set = arguments.source.alone("a job sheet", &arguments.what_if)?;
    let job = Job::new(job::blank(&set)).expect("what begins a job of a checked gearset breaks no rule");
    let (document, assembles) = at_work(|| job_sheet(&job));
    let sheet = match arguments.format {
        DocumentFormat::Html => html(&document),
        DocumentFormat::Markdown | DocumentFormat::Text => markdown(&document),
    };
    match &arguments.output {
        None => write(&sheet)?,
        Some(path) => {
            places.write(path, &sheet)?;
            tell_done([path.display().to_string()])?;
        }
    }
    Ok(assembles.into())
}

/// The sheet of a job, and whether its gearset assembles.
pub(super) fn job_sheet(job: &Job) -> (Document, Outcome) {
    let set = job.gearset();
    let timing = timing::timing(set);
    let ratios = kinematics::ratios(set, &RatiosQuestion::default());
    let drawn = |drawn: GroupPicture| {
        let caption = format!("{}: as set, from both sides; not to scale on this sheet", drawn.group);
        CaptionedPicture { caption, svg: drawn.svg }
    };
    let pictures: Vec<CaptionedPicture> = overviews(set).into_iter().map(drawn).collect();
    let document = JobSheet { job, timing: &timing, ratios: &ratios, pictures: &pictures }.document();
    (document, timing.outcome())
}
