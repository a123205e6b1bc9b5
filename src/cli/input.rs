//! Where a description comes from: a file, standard input, or a built-in gearset; of the same name the file is taken.
//!
//! No more is read than shows that a file is too large. What keeps a request from being
//! answered is a [`Trouble`].

use std::io::{self, Read};
use std::path::{Path, PathBuf};

use toothmark::description::{self, DEFAULT_EXAMPLE, LARGEST_FILE, examples};
use toothmark::gearset::nearest_name;

use super::place::open_to_read;
use super::trouble::{Refusal, Source, Trouble};

/// What standard input is called.
const STANDARD_INPUT: &str = "standard input";

/// What a file is read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ReadAs {
    /// A description, which may be a built-in one.
    Description,
    /// The record of a job.
    Job,
    /// A list of files.
    List,
}

impl ReadAs {
    fn what(self) -> &'static str {
        match self {
            Self::Description => "a description",
            Self::Job => "a job",
            Self::List => "a list of files",
        }
    }

    /// What to name, and how there comes to be one.
    fn hint(self) -> &'static str {
        match self {
            Self::Description => {
                "name a file, a built-in gearset (toothmark examples lists them), or - for standard input"
            }
            Self::Job => "name the file of a job, or begin one: toothmark job new mine.ron -o job.ron",
            Self::List => {
                "name a file with a path a line, or - for standard input, as in: ls *.ron | toothmark ... --files-from -"
            }
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
        return Ok(Source { name: STANDARD_INPUT.into(), bytes });
    }
    if path.is_dir() {
        return Err(Trouble::new(format!("{name:?} is a folder, not {}", read_as.what()), read_as.hint()));
    }
    if let Some(text) = description::example(&name).filter(|_| !path.exists()) {
        return Ok(Source { name: format!("built-in {name}"), bytes: text.into() });
    }
    let bytes = open_to_read(path).and_then(limited).map_err(trouble)?;
    Ok(Source { name, bytes })
}

/// A file that is asked about beside others.
#[derive(Debug)]
pub(super) struct ListedFile {
    pub(super) path: PathBuf,
    /// Where it stands in a list: `names.txt:3`.
    place: Option<String>,
    /// Standard input that is read already.
    is_read: bool,
}

impl ListedFile {
    /// Files of the command line.
    pub(super) fn typed(files: &[PathBuf]) -> Vec<Self> {
        let mut typed: Vec<Self> =
            files.iter().map(|path| Self { path: path.clone(), place: None, is_read: false }).collect();
        limit_reads(&mut typed, 1);
        typed
    }

    /// What it is called in its answer.
    pub(super) fn name(&self) -> String {
        if self.path == Path::new("-") { STANDARD_INPUT.into() } else { self.path.display().to_string() }
    }

    /// Whether it can be read at all.
    pub(super) fn check(&self) -> Result<(), Refusal> {
        if self.is_read {
            return Err(Refusal::new("standard input is read already", "write - once, or name files"));
        }
        Ok(())
    }

    /// A trouble with this file, told with its name and its place in a list.
    pub(super) fn told(&self, trouble: Trouble) -> Trouble {
        let Trouble::Refused(mut refusals) = trouble else { return trouble };
        let name = self.name();
        for refusal in &mut refusals {
            let is_named =
                refusal.sentence.contains(&format!("{name:?}")) || refusal.sentence.starts_with(STANDARD_INPUT);
            let before = [self.place.as_ref(), Some(&name).filter(|_| !is_named)].into_iter().flatten();
            refusal.sentence = before.chain([&refusal.sentence]).map(String::as_str).collect::<Vec<_>>().join(": ");
        }
        Trouble::Refused(refusals)
    }
}

/// Lets standard input be read by so many of those that name it.
fn limit_reads(files: &mut [ListedFile], reads: usize) {
    for file in files.iter_mut().filter(|file| file.path == Path::new("-")).skip(reads) {
        file.is_read = true;
    }
}

/// The most bytes of a list of files.
const LONGEST_LIST: usize = 1 << 26;

/// The files of a list, a path a line, of which blank ones are passed over.
pub(super) fn listed_files(list: &Path) -> Result<Vec<ListedFile>, Trouble> {
    let is_standard_input = list == Path::new("-");
    let (name, bytes) = if is_standard_input {
        let bytes = at_most(io::stdin().lock(), LONGEST_LIST);
        (STANDARD_INPUT.to_owned(), bytes.map_err(|error| cannot_read("-", &error, ReadAs::List))?)
    } else {
        (list.display().to_string(), other_file(list, LONGEST_LIST, ReadAs::List)?)
    };
    let wrong = |told: String| Trouble::new(told, ReadAs::List.hint());
    if bytes.len() > LONGEST_LIST {
        return Err(wrong(format!("{name} is longer than {LONGEST_LIST} bytes")));
    }
    let mut files = Vec::new();
    let text = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(&bytes);
    for (number, line) in (1..).zip(text.split(|&byte| byte == b'\n')) {
        let line = line.strip_suffix(b"\r").unwrap_or(line);
        let path = std::str::from_utf8(line).ok().filter(|line| !line.contains('\0'));
        let path = path.ok_or_else(|| wrong(format!("{name}:{number}: the line is no text")))?;
        if !path.trim().is_empty() {
            files.push(ListedFile { path: path.into(), place: Some(format!("{name}:{number}")), is_read: false });
        }
    }
    if files.is_empty() {
        return Err(wrong(format!("{name} names no file")));
    }
    limit_reads(&mut files, usize::from(!is_standard_input));
    Ok(files)
}

/// A file that is no description; one byte more than the most is read where there are more.
pub(super) fn other_file(path: &Path, most: usize, read_as: ReadAs) -> Result<Vec<u8>, Trouble> {
    let name = path.display().to_string();
    if path.is_dir() {
        return Err(Trouble::new(format!("{name:?} is a folder, not {}", read_as.what()), read_as.hint()));
    }
    open_to_read(path).and_then(|file| at_most(file, most)).map_err(|error| cannot_read(&name, &error, read_as))
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
        ReadAs::Job | ReadAs::List => Trouble::new(sentence, read_as.hint()),
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
