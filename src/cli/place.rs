//! Where files go: one policy for every command that writes any.
//!
//! A place is looked at before the work: whether it can be written, whether a file is there, whether the command
//! reads that file. What is there is kept unless `--force` is given, and what is read is kept in any case; files are
//! compared, not their paths. A file is written beside its place and renamed into it, so that half of one is never
//! seen, and a link is replaced while what it points to is left alone.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::hash::{BuildHasher, RandomState};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use clap::Args;

use super::trouble::Trouble;

/// Whether files that are there are written over.
#[derive(Debug, Clone, Copy, Default, Args)]
pub(super) struct ForceArgument {
    /// Write over files that are there
    #[arg(long)]
    force: bool,
}

/// Why nothing can be written at a place.
#[derive(Debug, thiserror::Error)]
pub(super) enum WrongPlace {
    #[error("{path:?} is there already")]
    IsThere { path: String },
    #[error("{path:?} is a file that is read here")]
    IsRead { path: String },
    #[error("{path:?} was written just now, by the same command")]
    IsWritten { path: String },
    #[error("{first:?} and {second:?} are one and the same file")]
    TwoInOne { first: String, second: String },
    #[error("cannot write {path:?}: {reason}")]
    CannotWrite { path: String, reason: String },
}

impl WrongPlace {
    /// Where to write instead.
    pub(super) fn hint(&self) -> &'static str {
        match self {
            Self::IsThere { .. } => "name another folder or file, or write over what is there with --force",
            Self::IsRead { .. } => "name another folder or file; what is read is not written over, with --force either",
            Self::TwoInOne { .. } | Self::IsWritten { .. } => "name two files, or a folder",
            Self::CannotWrite { .. } => "name a place that you may write to",
        }
    }

    /// The same, told with what was written before it.
    fn after(mut self, written: usize, of: usize) -> Self {
        if let Self::CannotWrite { reason, .. } = &mut self
            && of > 1
        {
            let before = if written == 0 { "nothing was".to_owned() } else { format!("{written} of {of} files were") };
            *reason = format!("{reason}; {before} written before it");
        }
        self
    }

    fn because(path: &Path, reason: impl Into<String>) -> Self {
        Self::CannotWrite { path: shown(path), reason: reason.into() }
    }
}

impl From<WrongPlace> for Trouble {
    fn from(wrong: WrongPlace) -> Self {
        Self::new(&wrong, wrong.hint())
    }
}

/// A file to be written.
#[derive(Debug)]
pub(super) struct NewFile {
    pub(super) path: PathBuf,
    pub(super) text: String,
}

/// The places that a command writes to, with what it must not touch.
#[derive(Debug)]
pub(super) struct OutputPlaces {
    force: ForceArgument,
    /// Files that are going to be read.
    untouchable: Vec<FileIdentity>,
    /// Where files are going to be, as typed and as they are.
    reserved: Vec<[PathBuf; 2]>,
    /// Folders that are made where there are none.
    made: Vec<PathBuf>,
}

impl OutputPlaces {
    /// The places of a command that reads these files; "-" is standard input.
    pub(super) fn new<'a>(force: ForceArgument, read: impl IntoIterator<Item = &'a Path>) -> Self {
        let standard_input = Path::new("/dev/stdin");
        let read = read.into_iter().map(|path| if path == Path::new("-") { standard_input } else { path });
        Self { force, untouchable: read.filter_map(identity).collect(), reserved: Vec::new(), made: Vec::new() }
    }

    /// Whether a folder is there or can be made, and files can be written into it.
    pub(super) fn check_folder(&mut self, folder: &Path) -> Result<(), WrongPlace> {
        let nearest = folder.ancestors().map(or_here).find(|it| fs::symlink_metadata(it).is_ok());
        let nearest = nearest.unwrap_or(Path::new("."));
        if !nearest.is_dir() {
            return Err(WrongPlace::because(folder, "there is a file of that name"));
        }
        try_out(nearest).map_err(|error| WrongPlace::because(folder, reason(&error)))?;
        self.made.push(or_here(folder).to_owned());
        Ok(())
    }

    /// Whether a file can be written here; its folder has to be there, or to be checked already.
    pub(super) fn check_file(&mut self, path: &Path) -> Result<(), WrongPlace> {
        self.check_what_is_there(path)?;
        if !self.is_made(folder_of(path)) {
            try_out(folder_of(path)).map_err(|error| WrongPlace::because(path, reason(&error)))?;
        }
        let place = resolved(path);
        if let Some([other, _]) = self.reserved.iter().find(|[_, other]| *other == place) {
            return Err(WrongPlace::TwoInOne { first: shown(other), second: shown(path) });
        }
        self.reserved.push([path.to_owned(), place]);
        Ok(())
    }

    fn check_what_is_there(&self, path: &Path) -> Result<(), WrongPlace> {
        let there = match fs::symlink_metadata(path) {
            Ok(there) => there.file_type(),
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
            Err(error) => return Err(WrongPlace::because(path, reason(&error))),
        };
        if there.is_dir() {
            return Err(WrongPlace::because(path, "there is a folder of that name"));
        }
        self.check_untouchable(path)?;
        if !self.force.force {
            return Err(WrongPlace::IsThere { path: shown(path) });
        }
        if there.is_symlink() {
            return Ok(());
        }
        if !there.is_file() {
            return Err(WrongPlace::because(path, "what is there is no plain file"));
        }
        // A file that is protected against writing stays as it is, though it could be replaced.
        let opened = File::options().write(true).open(path);
        opened.map(drop).map_err(|error| WrongPlace::because(path, reason(&error)))
    }

    fn check_untouchable(&self, path: &Path) -> Result<(), WrongPlace> {
        let Some(file) = identity(path) else { return Ok(()) };
        let touched = TOUCHED.lock().unwrap_or_else(PoisonError::into_inner).get(&file).copied();
        let path = || shown(path);
        match touched {
            Some(Touched::Written) => Err(WrongPlace::IsWritten { path: path() }),
            Some(Touched::Read) => Err(WrongPlace::IsRead { path: path() }),
            None if self.untouchable.contains(&file) => Err(WrongPlace::IsRead { path: path() }),
            None => Ok(()),
        }
    }

    fn is_made(&self, folder: &Path) -> bool {
        self.made.iter().any(|made| made == folder)
    }

    /// Writes files at places that were checked, in order; which were written, and what kept the next from it.
    pub(super) fn write_all(&mut self, files: &[NewFile]) -> (usize, Result<(), WrongPlace>) {
        for (written, file) in files.iter().enumerate() {
            if let Err(wrong) = self.write(&file.path, &file.text) {
                return (written, Err(wrong.after(written, files.len())));
            }
        }
        (files.len(), Ok(()))
    }

    /// Writes a file at a place that was checked.
    pub(super) fn write(&mut self, path: &Path, text: &str) -> Result<(), WrongPlace> {
        self.check_untouchable(path)?;
        self.write_beside(path, text).map_err(|error| WrongPlace::because(path, reason(&error)))?;
        touch(path, Touched::Written);
        Ok(())
    }

    fn write_beside(&self, path: &Path, text: &str) -> io::Result<()> {
        if self.is_made(folder_of(path)) {
            fs::create_dir_all(folder_of(path))?;
        }
        if !self.force.force {
            return beside(path, text, |_, beside| place_anew(beside, path));
        }
        beside(path, text, |file, beside| {
            if let Ok(there) = fs::symlink_metadata(path)
                && there.is_file()
            {
                file.sync_all()?;
                fs::set_permissions(beside, there.permissions())?;
            }
            fs::rename(beside, path)
        })
    }
}

/// Writes a text to a new file beside a path, whole, and has it brought to its place; where that fails, what was there is as
/// it was and nothing is left beside it. Whoever replaces a file has it on the disk first.
fn beside(path: &Path, text: &str, place: impl FnOnce(&File, &Path) -> io::Result<()>) -> io::Result<()> {
    let beside = new_name(folder_of(path));
    let mut file = File::create_new(&beside)?;
    let written = file.write_all(text.as_bytes()).and_then(|()| place(&file, &beside));
    written.inspect_err(|_| {
        // That it could not be written is told; that it could not be taken away is less.
        let _ = fs::remove_file(&beside);
    })
}

/// Brings a file that is written to a place where none is. What came there meanwhile is kept: a second name of a file takes
/// the place of none; where files have one name, an empty one takes the place, and only that is written over.
fn place_anew(beside: &Path, path: &Path) -> io::Result<()> {
    match fs::hard_link(beside, path) {
        Ok(()) => return fs::remove_file(beside),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => return Err(error),
        Err(_) => {}
    }
    File::create_new(path)?;
    fs::rename(beside, path).inspect_err(|_| {
        let _ = fs::remove_file(path);
    })
}

/// Puts a text in place of that of a file that was read: beside it first, on the disk, then in its place, so that the file
/// is whole whatever happens. Where the path is a link, what it points to is replaced.
pub(super) fn replace(path: &Path, text: &str) -> Result<(), WrongPlace> {
    let wrong = |error: io::Error| WrongPlace::because(path, reason(&error));
    let place = path.canonicalize().map_err(wrong)?;
    let permissions = fs::metadata(&place).map_err(wrong)?.permissions();
    if permissions.readonly() {
        return Err(WrongPlace::because(path, "it is protected against writing"));
    }
    let written = beside(&place, text, |file, beside| {
        file.sync_all()?;
        fs::set_permissions(beside, permissions)?;
        fs::rename(beside, &place)
    });
    written.map_err(wrong)
}

/// Keeps other runs from changing files of the folder of this file until the lock is dropped, so that of two readings that
/// are entered at one time neither is lost; none where the system locks no folders.
pub(super) fn lock_folder_of(path: &Path) -> Option<File> {
    let folder = File::open(folder_of(&path.canonicalize().ok()?)).ok()?;
    folder.lock().ok()?;
    Some(folder)
}

/// Whether files can be made in a folder: one is, and taken away.
fn try_out(folder: &Path) -> io::Result<()> {
    let name = new_name(folder);
    File::create_new(&name)?;
    fs::remove_file(&name)
}

/// The name of a file that is nobody's.
fn new_name(folder: &Path) -> PathBuf {
    folder.join(format!(".toothmark-{:016x}", RandomState::new().hash_one(0)))
}

fn folder_of(path: &Path) -> &Path {
    or_here(path.parent().unwrap_or(path))
}

/// A folder; the one that the program runs in is written with a point.
fn or_here(folder: &Path) -> &Path {
    if folder.as_os_str().is_empty() { Path::new(".") } else { folder }
}

/// A path without links and points, as far as its folders are there.
fn resolved(path: &Path) -> PathBuf {
    let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let folders = path.ancestors().skip(1).find_map(|folder| Some((folder, folder.canonicalize().ok()?)));
    match folders.and_then(|(folder, known)| Some(known.join(path.strip_prefix(folder).ok()?))) {
        Some(resolved) => resolved,
        None => path,
    }
}

/// Every file that this run has read or written, however it came to be named: in a list, in a request, by two options.
static TOUCHED: Mutex<BTreeMap<FileIdentity, Touched>> = Mutex::new(BTreeMap::new());

/// What was done with a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Touched {
    Read,
    Written,
}

fn touch(path: &Path, how: Touched) {
    let file = identity(path).map(|file| (file, how));
    TOUCHED.lock().unwrap_or_else(PoisonError::into_inner).extend(file);
}

/// Opens a file that is read, which no output takes the place of from now on.
pub(super) fn open_to_read(path: &Path) -> io::Result<File> {
    let file = File::open(path)?;
    touch(path, Touched::Read);
    Ok(file)
}

/// What makes a file the same by whatever path, links followed.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct FileIdentity {
    /// The number of the device and of the file on it.
    #[cfg(unix)]
    numbers: [u64; 2],
    #[cfg(not(unix))]
    path: PathBuf,
}

#[cfg(unix)]
fn identity(path: &Path) -> Option<FileIdentity> {
    use std::os::unix::fs::MetadataExt;
    fs::metadata(path).ok().map(|file| FileIdentity { numbers: [file.dev(), file.ino()] })
}

#[cfg(not(unix))]
fn identity(path: &Path) -> Option<FileIdentity> {
    path.canonicalize().ok().map(|path| FileIdentity { path })
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

/// Why the system does not let a file be written.
pub(super) fn reason(error: &io::Error) -> String {
    let known = [
        (io::ErrorKind::PermissionDenied, "you have no permission to write there"),
        (io::ErrorKind::AlreadyExists, "there is a file of that name"),
        (io::ErrorKind::NotADirectory, "there is a file of that name"),
        (io::ErrorKind::NotFound, "there is no such folder"),
        (io::ErrorKind::StorageFull, "the disk is full"),
    ];
    let told = known.iter().find(|(kind, _)| *kind == error.kind()).map(|(_, words)| (*words).to_owned());
    told.unwrap_or_else(|| error.to_string().split(" (os error").next().unwrap_or_default().to_lowercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reasons_are_words_without_the_number_of_the_system() {
        assert_eq!(reason(&io::Error::from_raw_os_error(28)), "the disk is full");
        assert!(!reason(&io::Error::from_raw_os_error(36)).contains("os error"));
    }
}
