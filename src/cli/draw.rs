//! `toothmark draw`: pictures into a folder.
//!
//! Nothing is written unless everything can be: files that are there already are only written over
//! with `--force`. What was written is listed, one path a line, and so is what could not be drawn.

use std::fs;
use std::io;
use std::path::Path;

use toothmark::drawing::{Paper, Picture, Pictures, Request, draw as pictures};
use toothmark::report::visible;

use super::arguments::{DrawArguments, PaperArgument, PicturesArgument};
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::write;

pub(super) fn draw(arguments: &DrawArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    let drawings = pictures(&set, request(arguments));
    let folder = &arguments.output;
    if !arguments.force {
        let there = drawings.pictures.iter().map(|picture| folder.join(&picture.file_name)).find(|path| path.exists());
        if let Some(path) = there {
            return Err(Trouble::IsThere { path: path.display().to_string() });
        }
    }
    write_all(folder, &drawings.pictures)?;
    let written = drawings.pictures.iter().map(|picture| folder.join(&picture.file_name).display().to_string());
    let lines = written.chain(drawings.remarks.iter().map(|remark| format!("note: {remark}")));
    write(&lines.map(|line| visible(&line) + "\n").collect::<String>())?;
    Ok(if drawings.remarks.is_empty() { Exit::Done } else { Exit::AnswerIsNo })
}

fn request(arguments: &DrawArguments) -> Request {
    Request {
        paper: match arguments.paper {
            PaperArgument::A4 => Paper::A4,
            PaperArgument::Letter => Paper::Letter,
        },
        only: arguments.only.map(|only| match only {
            PicturesArgument::Faces => Pictures::Faces,
            PicturesArgument::Pages => Pictures::Pages,
            PicturesArgument::Discs => Pictures::Discs,
        }),
    }
}

fn write_all(folder: &Path, pictures: &[Picture]) -> Result<(), Trouble> {
    let trouble = |path: &Path, error: &io::Error| Trouble::CannotWriteFile {
        path: path.display().to_string(),
        reason: reason(error),
    };
    if !pictures.is_empty() {
        fs::create_dir_all(folder).map_err(|error| trouble(folder, &error))?;
    }
    for picture in pictures {
        let path = folder.join(&picture.file_name);
        fs::write(&path, &picture.svg).map_err(|error| trouble(&path, &error))?;
    }
    Ok(())
}

fn reason(error: &io::Error) -> String {
    let kind = error.kind();
    if kind == io::ErrorKind::PermissionDenied {
        return "you have no permission to write there".into();
    }
    if kind == io::ErrorKind::AlreadyExists || kind == io::ErrorKind::NotADirectory {
        return "there is a file of that name".into();
    }
    error.to_string()
}
