//! `toothmark draw`: pictures into a folder.
//!
//! Every name is looked at before the first picture is written: what is there already is only
//! written over with `--force`, and never a folder, nor a file that a link points to. What was
//! written is listed, one path a line, also where writing fails midway; so is what could not be
//! drawn, and what an earlier run left that is none of these pictures.

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Write as _};
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
    look_at_folder(folder)?;
    for picture in &drawings.pictures {
        let if_there = if arguments.force { IfThere::Replaced } else { IfThere::Kept };
        look_at(&folder.join(&picture.file_name), if_there)?;
    }
    let (written, trouble) = write_all(folder, &drawings.pictures);
    let paths =
        drawings.pictures[..written].iter().map(|picture| folder.join(&picture.file_name).display().to_string());
    let mut lines: Vec<String> = paths.collect();
    if let Some(trouble) = trouble {
        write_lines(&lines)?;
        return Err(trouble);
    }
    lines.extend(drawings.remarks.iter().map(|remark| format!("note: {remark}")));
    lines.extend(left_over(folder, &drawings.pictures).into_iter().map(|name| {
        let path = folder.join(name).display().to_string();
        format!("note: {path} was left by an earlier run and is none of these pictures")
    }));
    write_lines(&lines)?;
    Ok(if drawings.remarks.is_empty() { Exit::Done } else { Exit::AnswerIsNo })
}

fn write_lines(lines: &[String]) -> Result<(), Trouble> {
    write(&lines.iter().map(|line| visible(line) + "\n").collect::<String>())
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

/// Whether the folder is one, or can become one.
fn look_at_folder(folder: &Path) -> Result<(), Trouble> {
    match fs::metadata(folder) {
        Ok(there) if !there.is_dir() => Err(cannot_write(folder, "there is a file of that name")),
        _ => Ok(()),
    }
}

/// What becomes of a file that is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum IfThere {
    Kept,
    Replaced,
}

/// Whether a file can be written at this path, as far as what is there already goes.
pub(super) fn look_at(path: &Path, if_there: IfThere) -> Result<(), Trouble> {
    let there = match fs::symlink_metadata(path) {
        Ok(there) => there.file_type(),
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(cannot_write(path, &reason(&error))),
    };
    if there.is_dir() {
        return Err(cannot_write(path, "there is a folder of that name"));
    }
    if if_there == IfThere::Kept {
        return Err(Trouble::IsThere { path: path.display().to_string() });
    }
    if there.is_symlink() {
        return Ok(());
    }
    if !there.is_file() {
        return Err(cannot_write(path, "what is there is no plain file"));
    }
    fs::OpenOptions::new().write(true).open(path).map(drop).map_err(|error| cannot_write(path, &reason(&error)))
}

/// Writes the pictures in order; how many were written, and what kept the next from it.
fn write_all(folder: &Path, pictures: &[Picture]) -> (usize, Option<Trouble>) {
    if pictures.is_empty() {
        return (0, None);
    }
    if let Err(error) = fs::create_dir_all(folder) {
        return (0, Some(cannot_write(folder, &reason(&error))));
    }
    for (written, picture) in pictures.iter().enumerate() {
        let path = folder.join(&picture.file_name);
        if let Err(error) = write_picture(&path, &picture.svg) {
            let done = match written {
                0 => "nothing was written".to_owned(),
                _ => format!("the {written} of {} pictures listed were written before it", pictures.len()),
            };
            return (written, Some(cannot_write(&path, &format!("{}; {done}", reason(&error)))));
        }
    }
    (pictures.len(), None)
}

/// Writes a file as a picture is written.
pub(super) fn write_file(path: &Path, text: &str) -> Result<(), Trouble> {
    write_picture(path, text).map_err(|error| cannot_write(path, &reason(&error)))
}

/// Writes a picture; a link of its name is replaced, and what it points to is left alone. Half a
/// picture is not left behind.
fn write_picture(path: &Path, svg: &str) -> io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true);
    match fs::symlink_metadata(path) {
        Ok(there) if there.is_file() => {
            options.truncate(true);
        }
        Ok(_) => {
            fs::remove_file(path)?;
            options.create_new(true);
        }
        Err(_) => {
            options.create_new(true);
        }
    }
    options.open(path)?.write_all(svg.as_bytes()).inspect_err(|_| {
        // That it could not be written is told; that it could not be taken away is less.
        let _ = fs::remove_file(path);
    })
}

/// The names of pictures of the same kind and group in the folder that are none of these, sorted.
fn left_over(folder: &Path, pictures: &[Picture]) -> BTreeSet<String> {
    let names: BTreeSet<&str> = pictures.iter().map(|picture| picture.file_name.as_str()).collect();
    let stems: BTreeSet<&str> = names.iter().filter_map(|name| stem(name)).collect();
    let there = fs::read_dir(folder).into_iter().flatten().flatten();
    let there = there.filter_map(|entry| entry.file_name().into_string().ok());
    there.filter(|name| !names.contains(name.as_str()) && stem(name).is_some_and(|stem| stems.contains(stem))).collect()
}

/// What the pictures of one kind and group have in common: `page-cluster`.
fn stem(name: &str) -> Option<&str> {
    let name = name.strip_suffix(".svg")?;
    let end = ["-plane-", "-planet-", "-all-planes"].iter().filter_map(|part| name.rfind(part)).max()?;
    Some(&name[..end])
}

fn cannot_write(path: &Path, reason: &str) -> Trouble {
    Trouble::CannotWriteFile { path: path.display().to_string(), reason: reason.into() }
}

pub(super) fn reason(error: &io::Error) -> String {
    let kind = error.kind();
    if kind == io::ErrorKind::PermissionDenied {
        return "you have no permission to write there".into();
    }
    if kind == io::ErrorKind::AlreadyExists || kind == io::ErrorKind::NotADirectory {
        return "there is a file of that name".into();
    }
    if kind == io::ErrorKind::StorageFull {
        return "the disk is full".into();
    }
    let words = error.to_string();
    words.split(" (os error").next().unwrap_or_default().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pictures_of_one_kind_and_group_have_one_stem() {
        assert_eq!(stem("page-cluster-plane-1-row-1-column-2.svg"), Some("page-cluster"));
        assert_eq!(stem("face-cluster-all-planes.svg"), Some("face-cluster"));
        assert_eq!(stem("disc-a-plane-b-planet-1-pin-2-input-row-1-column-1.svg"), Some("disc-a-plane-b"));
        assert_eq!([stem("notes.txt"), stem("drawing.svg"), stem("face-cluster-plane-1.png")], [None; 3]);
    }

    #[test]
    fn reasons_are_words_without_the_number_of_the_system() {
        assert_eq!(reason(&io::Error::from_raw_os_error(28)), "the disk is full");
        assert!(!reason(&io::Error::from_raw_os_error(36)).contains("os error"));
    }
}
