//! `toothmark job set`: readings from the bench into the file of a job, without an editor.

use std::path::{Path, PathBuf};

use clap::Args;
use toothmark::job::{self, CannotEnter, Job, JobEntry, ReadingSubject};

use super::today::{DateArgument, date};
use crate::cli::exit::Exit;
use crate::cli::output::{eprint_notes, tell_done};
use crate::cli::place::{lock_folder_of, replace};
use crate::cli::trouble::{Refusal, Trouble};

#[derive(Debug, Args)]
pub(super) struct EnterArguments {
    /// The file of the job
    file: PathBuf,
    /// What was read: "bush.pin 2.left=16.02", "backlash.D with d.found=0.12, 0.14, 0.11", "oil.gearbox.left=SAE 30";
    /// the columns are wanted, found, left, with, within and because
    #[arg(required = true, value_name = "READING")]
    readings: Vec<String>,
    #[command(flatten)]
    date: DateArgument,
}

pub(super) fn enter(arguments: &EnterArguments) -> Result<Exit, Trouble> {
    let entries: Vec<JobEntry> =
        arguments.readings.iter().map(|typed| JobEntry::typed(typed)).collect::<Result<_, _>>().map_err(refused)?;
    if arguments.file == Path::new("-") {
        let sentence = "a reading is entered into a file, and \"-\" is standard input";
        return Err(Refusal::new(sentence, "name the file of the job").into());
    }
    let _lock = lock_folder_of(&arguments.file);
    let (source, job) = super::read(&arguments.file)?;
    let text = String::from_utf8_lossy(&source.bytes);
    // The byte order mark that some editors begin a file with stays in it.
    let (mark, text) = text.split_at(text.len() - text.trim_start_matches('\u{feff}').len());
    let entered = job::enter(text, &entries, Some(&date(&arguments.date))).map_err(refused)?;
    let is_turned = job::read(&entered).is_ok_and(|after| after.draft().seen != job.draft().seen);
    replace(&arguments.file, &format!("{mark}{entered}"))?;
    tell_done(arguments.readings.iter().map(|reading| format!("{}: {reading}", arguments.file.display())))?;
    if is_turned && has_marks(&job) {
        eprint_notes(["the marks that were in the file are taken as seen from the side named now".to_owned()]);
    }
    Ok(Exit::Done)
}

/// Whether a mark was read.
fn has_marks(job: &Job) -> bool {
    let mut marks = job.readings().filter(|(subject, _, _)| *subject == ReadingSubject::Mark);
    marks.any(|(_, _, reading)| !(reading.found.is_empty() && reading.left.is_empty()))
}

/// Why a reading is not entered; the file is as it was.
fn refused(reason: CannotEnter) -> Trouble {
    if let CannotEnter::Faults(faults) = &reason {
        return super::refused(faults);
    }
    let hint = reason.hint();
    Trouble::new(reason, hint)
}
