//! `toothmark manual`: the manual, chapter by chapter.

use clap::Args;
use toothmark::manual::{chapter, nearest_chapter};
use toothmark::report::{chapter_document, manual_contents};

use super::common::{DocumentFormat, document_formats};
use super::exit::Exit;
use super::output::{write, write_document};
use super::trouble::Trouble;

/// The forms of a chapter.
const CHAPTER: &[DocumentFormat] = &[DocumentFormat::Text, DocumentFormat::Markdown];

#[derive(Debug, Args)]
pub(super) struct ManualArguments {
    /// Show this chapter; without a name all are listed
    chapter: Option<String>,
    /// The form of the chapter
    #[arg(long, value_parser = document_formats(CHAPTER), default_value = "text")]
    format: DocumentFormat,
}

pub(super) fn manual(arguments: &ManualArguments) -> Result<Exit, Trouble> {
    let Some(name) = &arguments.chapter else {
        write_document(&manual_contents(), arguments.format)?;
        return Ok(Exit::Done);
    };
    let chapter = chapter(name).ok_or_else(|| no_such_chapter(name))?;
    match arguments.format {
        // A chapter is written in Markdown.
        DocumentFormat::Markdown => write(chapter.text)?,
        format @ (DocumentFormat::Text | DocumentFormat::Html) => write_document(&chapter_document(chapter), format)?,
    }
    Ok(Exit::Done)
}

fn no_such_chapter(name: &str) -> Trouble {
    let hint = match nearest_chapter(name) {
        Some(nearest) => format!("the nearest name is {nearest:?}"),
        None => "toothmark manual lists the chapters".to_owned(),
    };
    Trouble::new(format!("there is no chapter {name:?}"), hint)
}
