//! Where a description comes from: a file, standard input, or the built-in default.
//!
//! No more is read than shows that a file is too large. What keeps a request from being
//! answered, here or later, is a [`Trouble`]; it is shown by `message`.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use toothmark::description::{self, DEFAULT_EXAMPLE, Faults, LARGEST_FILE};
use toothmark::gearset::Gearset;
use toothmark::kinematics::CannotExplore;
use toothmark::timing::{MatchRefusal, NoFoundAnswer};

/// The bytes of a description and what to call it in messages.
#[derive(Debug)]
pub(super) struct Source {
    pub(super) name: String,
    pub(super) bytes: Vec<u8>,
}

/// A reading of a mark that cannot be: what is wrong with it, and what to write instead.
#[derive(Debug)]
pub(super) struct WrongReading {
    pub(super) sentence: String,
    pub(super) hint: String,
}

impl WrongReading {
    pub(super) fn new(sentence: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { sentence: sentence.into(), hint: hint.into() }
    }
}

/// What keeps a request from being answered.
#[derive(Debug, thiserror::Error)]
pub(super) enum Trouble {
    #[error("cannot read {path:?}: {reason}")]
    CannotRead { path: String, reason: String },
    #[error("{path:?} is a folder, not a description")]
    IsFolder { path: String },
    #[error("the description has faults")]
    Faults { text: Source, faults: Faults },
    #[error("there is no state {name:?}")]
    NoSuchState { name: String, known: Vec<String> },
    #[error("the description has no states, so that there is none to work out")]
    NoStates,
    #[error("there is no built-in gearset {name:?}")]
    NoSuchExample { name: String, nearest: Option<String> },
    #[error("there is no member {name:?}")]
    NoSuchMember { name: String, known: Vec<String> },
    #[error("{text:?} is not a limit")]
    NotALimit { text: String },
    #[error("a limit is given, but no speed of the input")]
    LimitWithoutSpeed,
    #[error("a noise cannot be heard and not heard in state {state:?}")]
    HeardAndNot { state: String },
    #[error("it is not said where the noise is heard")]
    NothingHeard,
    #[error("{text:?} is not a ratio")]
    NotARatio { text: String },
    #[error("{0}")]
    CannotExplore(CannotExplore),
    #[error("{text:?} is not a speed")]
    NotASpeed { text: String },
    #[error(transparent)]
    Wrong(#[from] super::wrong::WrongRequest),
    #[error(transparent)]
    Comparison(#[from] super::compare::WrongComparison),
    #[error(transparent)]
    Problems(#[from] super::problems::WrongSheet),
    #[error(transparent)]
    Place(#[from] super::place::WrongPlace),
    #[error("the description says nothing of marks as they were found")]
    NothingFound,
    #[error("there is no planet {name:?}")]
    NoSuchPlanet { name: String, known: Vec<String> },
    #[error("it is not said which planet the marks are on")]
    WhichPlanet { known: Vec<String> },
    #[error("readings are wrong")]
    WrongReadings(Vec<WrongReading>),
    #[error("{0}")]
    NotJudged(NoFoundAnswer),
    #[error("{0}")]
    CannotMatch(MatchRefusal),
    #[error(transparent)]
    CannotSearch(toothmark::tooth_search::TeethFault),
    #[error("{text:?} is not a torque")]
    NotATorque { text: String },
    #[error("{text:?} is not the efficiency of a mesh")]
    NotAnEfficiency { text: String },
    #[error("the answer could not be written: {0}")]
    CannotWrite(io::Error),
}

/// Reads and checks the description that the arguments name.
pub(super) fn gearset(file: Option<&Path>) -> Result<Gearset, Trouble> {
    let source = source(file)?;
    description::read_bytes(&source.bytes).map_err(|faults| Trouble::Faults { text: source, faults })
}

pub(super) fn source(file: Option<&Path>) -> Result<Source, Trouble> {
    let Some(path) = file else {
        let text = description::example(DEFAULT_EXAMPLE).unwrap_or_default();
        return Ok(Source { name: format!("built-in {DEFAULT_EXAMPLE}"), bytes: text.into() });
    };
    let name = path.display().to_string();
    let trouble = |error: io::Error| Trouble::CannotRead { path: name.clone(), reason: reason(&error) };
    if path == Path::new("-") {
        let bytes = limited(io::stdin().lock()).map_err(trouble)?;
        return Ok(Source { name: "standard input".into(), bytes });
    }
    if path.is_dir() {
        return Err(Trouble::IsFolder { path: name });
    }
    let bytes = File::open(path).and_then(limited).map_err(trouble)?;
    Ok(Source { name, bytes })
}

/// A file that may be larger than a description.
pub(super) fn whole_file(path: &Path) -> Result<Source, Trouble> {
    let name = path.display().to_string();
    if path.is_dir() {
        return Err(Trouble::IsFolder { path: name });
    }
    match std::fs::read(path) {
        Ok(bytes) => Ok(Source { name, bytes }),
        Err(error) => Err(Trouble::CannotRead { path: name, reason: reason(&error) }),
    }
}

/// Reads no more than shows that the file is too large.
fn limited(reader: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let most = u64::try_from(LARGEST_FILE).unwrap_or(u64::MAX).saturating_add(1);
    reader.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
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
