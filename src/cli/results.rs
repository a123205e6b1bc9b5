//! `--write DIR` of `search` and `merge`: every result as a description in a folder.
//!
//! How many there will be is not known before the search, so that a folder which holds results already is refused
//! before it unless `--force` is given; numbers beyond those of the answer are then told to be left.

use std::path::{Path, PathBuf};

use toothmark::description;
use toothmark::gearset::Draft;

use super::draw::names_in;
use super::place::{ForceArgument, NewFile, OutputPlaces, WrongPlace};

/// A folder for the results of a search, looked at before it.
#[derive(Debug)]
pub(super) struct ResultFolder {
    folder: PathBuf,
    places: OutputPlaces,
    /// The results of an earlier search, by their numbers.
    there: Vec<usize>,
}

impl ResultFolder {
    /// Whether results can be written into a folder by a command that reads these files.
    pub(super) fn checked<'a>(
        folder: &Path,
        force: ForceArgument,
        read: impl IntoIterator<Item = &'a Path>,
    ) -> Result<Self, WrongPlace> {
        let mut places = OutputPlaces::new(force, read);
        places.check_folder(folder)?;
        let mut there: Vec<usize> = names_in(folder).filter_map(|name| number(&name)).collect();
        there.sort_unstable();
        for &result in &there {
            places.check_file(&path(folder, result))?;
        }
        Ok(Self { folder: folder.to_owned(), places, there })
    }

    /// Writes the results, and gives the paths of earlier ones that are none of these.
    pub(super) fn write(mut self, results: impl Iterator<Item = Draft>) -> Result<Vec<PathBuf>, WrongPlace> {
        let file = |(place, draft): (usize, Draft)| NewFile {
            path: path(&self.folder, place + 1),
            text: description::write(&draft),
        };
        let files: Vec<NewFile> = results.enumerate().map(file).collect();
        self.places.write_all(&files).1?;
        let left = self.there.iter().filter(|result| **result > files.len());
        Ok(left.map(|&result| path(&self.folder, result)).collect())
    }
}

fn path(folder: &Path, result: usize) -> PathBuf {
    folder.join(format!("result-{result}.ron"))
}

/// The number of a result by its file name.
fn number(name: &str) -> Option<usize> {
    let number = name.strip_prefix("result-")?.strip_suffix(".ron")?;
    number.parse().ok().filter(|result: &usize| result.to_string() == number)
}
