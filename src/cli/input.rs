//! Where a description comes from: a file, standard input, or a built-in gearset; of the same name the file is taken.
//!
//! No more is read than shows that a file is too large. What keeps a request from being
//! answered is a [`Trouble`].

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use toothmark::description::{self, DEFAULT_EXAMPLE, LARGEST_FILE, examples};
use toothmark::gearset::nearest_name;

use super::trouble::{Source, Trouble};

/// What a file is read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ReadAs {
    /// A description, which may be a built-in one.
    Description,
    /// The record of a job.
    Job,
}

impl ReadAs {
    fn what(self) -> &'static str {
        match self {
            Self::Description => "a description",
            Self::Job => "a job",
        }
    }

    /// What to name, and how there comes to be one.
    fn hint(self) -> &'static str {
        match self {
            Self::Description => {
                "name a file, a built-in gearset (toothmark examples lists them), or - for standard input"
            }
            Self::Job => "name the file of a job, or begin one: toothmark job new mine.ron -o job.ron",
        }
    }
}

/// The text of the description that the arguments name.
pub(super) fn source(file: Option<&Path>) -> Result<Source, Trouble> {
    let Some(path) = file else {
        let text = description::example(DEFAULT_EXAMPLE).unwrap_or_default();
        return Ok(Source { name: format!("built-in {DEFAULT_EXAMPLE}"), bytes: text.into() });
    };
    source_of(path, ReadAs::Description)
}

/// The text of a file, of standard input or of a built-in gearset.
pub(super) fn source_of(path: &Path, read_as: ReadAs) -> Result<Source, Trouble> {
    let name = path.display().to_string();
    let trouble = |error: io::Error| cannot_read(&name, &error, read_as);
    if path == Path::new("-") {
        let bytes = limited(io::stdin().lock()).map_err(trouble)?;
        return Ok(Source { name: "standard input".into(), bytes });
    }
    if path.is_dir() {
        return Err(Trouble::new(format!("{name:?} is a folder, not {}", read_as.what()), read_as.hint()));
    }
    if let Some(text) = description::example(&name).filter(|_| !path.exists()) {
        return Ok(Source { name: format!("built-in {name}"), bytes: text.into() });
    }
    let bytes = File::open(path).and_then(limited).map_err(trouble)?;
    Ok(Source { name, bytes })
}

/// A file that is no description; one byte more than the most is read where there are more.
pub(super) fn other_file(path: &Path, most: usize) -> Result<Vec<u8>, Trouble> {
    let name = path.display().to_string();
    if path.is_dir() {
        return Err(Trouble::new(format!("{name:?} is a folder, not a description"), ReadAs::Description.hint()));
    }
    File::open(path)
        .and_then(|file| at_most(file, most))
        .map_err(|error| cannot_read(&name, &error, ReadAs::Description))
}

/// Reads no more than shows that the file is too large.
fn limited(reader: impl Read) -> io::Result<Vec<u8>> {
    at_most(reader, LARGEST_FILE)
}

/// Reads the most that may be there and one byte more.
fn at_most(reader: impl Read, most: usize) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    reader.take(u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1)).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn cannot_read(name: &str, error: &io::Error, read_as: ReadAs) -> Trouble {
    let sentence = format!("cannot read {name:?}: {}", reason(error));
    match read_as {
        ReadAs::Job => Trouble::new(sentence, read_as.hint()),
        ReadAs::Description if name.starts_with(|letter: char| letter.is_ascii_digit()) => {
            let hint =
                "type the gears on a pin with colons, the sun before and the ring behind: 26:31 20:37, or 30:24:78";
            Trouble::new(sentence, hint)
        }
        ReadAs::Description => {
            let nearest = nearest_name(examples().iter().map(|example| example.name), name);
            let nearest = nearest.map(|nearest| format!("did you mean {nearest:?}, which is built in?"));
            Trouble::new(sentence, nearest.unwrap_or_else(|| read_as.hint().to_owned()))
        }
    }
}

fn reason(error: &io::Error) -> String {
    if error.kind() == io::ErrorKind::NotFound {
        return "there is no such file".into();
    }
    if error.kind() == io::ErrorKind::PermissionDenied {
        return "you have no permission to read it".into();
    }
    error.to_string()
}
