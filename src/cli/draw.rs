//! `toothmark draw`: pictures into a folder, and what of them is to be printed in one file.
//!
//! Every name is looked at before the first picture is written. What was written is listed, one path a line, also
//! where writing fails midway; so is what could not be drawn, and what an earlier run left that is none of these
//! pictures.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use toothmark::drawing::{self, Paper, Picture, Pictures, Request};
use toothmark::requests::WhatIfOptions;

use super::exit::Exit;
use super::output::{tell_done, write_lines};
use super::place::{NewFile, OutputPlaces};
use super::source::SourceArguments;
use super::trouble::Trouble;
use super::waiting::at_work;

/// The pages and discs to print, in one file.
const PRINT_FILE: &str = "print.html";

#[derive(Debug, Args)]
pub(super) struct DrawArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    what_if: WhatIfOptions,
    /// The folder for the pictures; it is made where there is none
    #[arg(short, long, value_name = "DIR")]
    output: PathBuf,
    /// The paper of the pages
    #[arg(long, value_enum, default_value_t)]
    paper: PaperArgument,
    /// Only these pictures
    #[arg(long, value_enum)]
    only: Option<PicturesArgument>,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum PaperArgument {
    /// 210 x 297 mm
    #[default]
    A4,
    /// US letter, 8.5 x 11 in
    Letter,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PicturesArgument {
    /// Face views, each whole
    Faces,
    /// Face views in pages to print and join
    Pages,
    /// Paper discs of each planet to cut out
    Discs,
}

impl PaperArgument {
    pub(super) fn paper(self) -> Paper {
        match self {
            Self::A4 => Paper::A4,
            Self::Letter => Paper::Letter,
        }
    }
}

pub(super) fn draw(arguments: &DrawArguments) -> Result<Exit, Trouble> {
    let folder = &arguments.output;
    let mut places = OutputPlaces::new(arguments.source.force, arguments.source.file());
    places.check_folder(folder)?;
    let set = arguments.source.alone("a folder of pictures", &arguments.what_if)?;
    let request = request(arguments);
    let (drawings, print) = at_work(|| {
        let drawings = drawing::draw(&set, request);
        let print = drawing::print_page(&set, &drawings, request.paper);
        (drawings, print)
    });
    let file = |picture: Picture| NewFile { path: folder.join(&picture.file_name), text: picture.svg };
    let mut files: Vec<NewFile> = drawings.pictures.into_iter().map(file).collect();
    files.extend(print.map(|text| NewFile { path: folder.join(PRINT_FILE), text }));
    for file in &files {
        places.check_file(&file.path)?;
    }
    let (written, outcome) = places.write_all(&files);
    let mut lines: Vec<String> = files[..written].iter().map(|file| file.path.display().to_string()).collect();
    if let Err(wrong) = outcome {
        // What was written is told as far as it can be; what was not is the trouble.
        let _ = write_lines(lines);
        return Err(wrong.into());
    }
    lines.extend(drawings.remarks.iter().map(|remark| format!("note: {remark}")));
    lines.extend(left_over(folder, &files).iter().map(|name| told_as_left(folder, name)));
    tell_done(lines)?;
    Ok(if drawings.remarks.is_empty() { Exit::Done } else { Exit::AnswerIsNo })
}

fn request(arguments: &DrawArguments) -> Request {
    Request {
        paper: arguments.paper.paper(),
        only: arguments.only.map(|only| match only {
            PicturesArgument::Faces => Pictures::Faces,
            PicturesArgument::Pages => Pictures::Pages,
            PicturesArgument::Discs => Pictures::Discs,
        }),
    }
}

/// What is said of a file that an earlier run left.
fn told_as_left(folder: &Path, name: &str) -> String {
    let path = folder.join(name).display().to_string();
    let what = if name == PRINT_FILE {
        "was left by an earlier run: what it prints is what was drawn then"
    } else {
        "was left by an earlier run and is none of these pictures"
    };
    format!("note: {path} {what}")
}

/// The names of what an earlier run left in the folder, sorted: pictures of the same kind and group that are none of
/// these, and what is to be printed where nothing is this time.
fn left_over(folder: &Path, files: &[NewFile]) -> BTreeSet<String> {
    let names: BTreeSet<&str> = files.iter().filter_map(|file| file.path.file_name()?.to_str()).collect();
    let stems: BTreeSet<&str> = names.iter().filter_map(|name| stem(name)).collect();
    names_in(folder)
        .filter(|name| !names.contains(name.as_str()))
        .filter(|name| name == PRINT_FILE || stem(name).is_some_and(|stem| stems.contains(stem)))
        .collect()
}

/// The names of what is in a folder, as far as they are text.
pub(super) fn names_in(folder: &Path) -> impl Iterator<Item = String> {
    let there = fs::read_dir(folder).into_iter().flatten().flatten();
    there.filter_map(|entry| entry.file_name().into_string().ok())
}

/// What the pictures of one kind and group have in common: `page-cluster`.
fn stem(name: &str) -> Option<&str> {
    let name = name.strip_suffix(".svg")?;
    let end = ["-plane-", "-planet-", "-planets-", "-all-planes"].iter().filter_map(|part| name.rfind(part)).max()?;
    Some(&name[..end])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pictures_of_one_kind_and_group_have_one_stem() {
        assert_eq!(stem("page-cluster-plane-1-row-1-column-2.svg"), Some("page-cluster"));
        assert_eq!(stem("face-cluster-all-planes.svg"), Some("face-cluster"));
        assert_eq!(stem("disc-a-plane-b-planet-1-pin-2-input-row-1-column-1.svg"), Some("disc-a-plane-b"));
        assert_eq!(stem("disc-a-plane-b-planets-input-row-1-column-1.svg"), Some("disc-a-plane-b"));
        assert_eq!([stem("notes.txt"), stem("drawing.svg"), stem("face-cluster-plane-1.png")], [None; 3]);
    }
}
