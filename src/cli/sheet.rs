//! `toothmark sheet`: a job sheet to print.

use std::path::PathBuf;

use clap::Args;
use toothmark::drawing::overviews;
use toothmark::kinematics::{self, RatiosQuestion};
use toothmark::report::{Answer, CaptionedPicture, JobSheet, html, markdown};
use toothmark::timing;

use super::common::{DocumentFormat, document_formats};
use super::exit::Exit;
use super::output::{write, write_lines};
use super::place::OutputPlaces;
use super::source::SourceArguments;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct SheetArguments {
    #[command(flatten)]
    source: SourceArguments,
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
    let set = arguments.source.gearset()?;
    let timing = timing::timing(&set);
    let ratios = kinematics::ratios(&set, &RatiosQuestion::default());
    let pictures: Vec<CaptionedPicture> = overviews(&set)
        .into_iter()
        .map(|drawn| {
            let caption = format!("{}: as set, from both sides; not to scale on this sheet", drawn.group);
            CaptionedPicture { caption, svg: drawn.svg }
        })
        .collect();
    let document = JobSheet { timing: &timing, ratios: &ratios, pictures: &pictures }.document(&set);
    let sheet = match arguments.format {
        DocumentFormat::Html => html(&document),
        DocumentFormat::Markdown | DocumentFormat::Text => markdown(&document),
    };
    match &arguments.output {
        None => write(&sheet)?,
        Some(path) => {
            places.write(path, &sheet)?;
            write_lines([path.display().to_string()])?;
        }
    }
    Ok(timing.outcome().into())
}
