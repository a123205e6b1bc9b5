//! What is entered where, as it is typed: `bush.pin 2.left=16.02`.
//!
//! A subject and what it is of, a column and its values; or a field at the head of the job. The names of parts may have dots
//! and equals signs in them, so that the place is the first that can be one.

use super::draft::{DraftJob, ReadingColumn};
use super::subject::ReadingSubject;
use super::value::{JobValue, ValueKind};
use crate::description::{Faults, LARGEST_FILE};
use crate::exact::{Mistyped, TypedNumber};
use crate::gearset::{Length, Side};
use crate::syntax::Spanned;

/// A reading to be entered, as it is typed: `bush.pin 2.left=16.02`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobEntry {
    pub(super) target: EntryTarget,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum EntryTarget {
    /// A field of the job itself: `by=bench 2`.
    Heading { field: HeadingField, text: String },
    /// The side from which marks are seen: `seen=output`.
    Seen(Side),
    /// A column of a reading.
    Reading { path: String, column: EntryColumn },
}

/// A field at the head of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum HeadingField {
    Machine,
    Unit,
    Date,
    By,
}

/// What is entered into a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum EntryColumn {
    /// Values in place of those that stand in it.
    Values(ReadingColumn, Vec<JobValue>),
    /// It is left as it was found.
    LeftAsFound,
    Because(String),
}

/// Why a reading cannot be entered.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CannotEnter {
    /// What was typed has not the form of an entry.
    #[error("{typed:?} does not say what is entered where")]
    NoEntry {
        /// What was typed.
        typed: String,
    },
    /// The subject is none.
    #[error("{typed:?} says nothing that a job records")]
    UnknownSubject {
        /// What was typed before the equals sign.
        typed: String,
        /// The nearest that there is, or all of them.
        hint: String,
    },
    /// The column is none.
    #[error("a reading has no column {column:?}")]
    UnknownColumn {
        /// What was typed for it.
        column: String,
    },
    /// The value is none of this subject.
    #[error("{typed:?} is no reading of a {word}")]
    WrongValue {
        /// What was typed.
        typed: String,
        /// The subject.
        word: &'static str,
        /// How it is typed.
        hint: String,
    },
    /// A mark is counted on a gear that its planet has not.
    #[error("the planet of {path:?} has no gear {gear:?}")]
    NoSuchGear {
        /// The path of the reading.
        path: String,
        /// What was typed for the gear.
        gear: String,
        /// The gears that the planet has.
        known: Vec<String>,
    },
    /// It is said that something is left as found, and nothing was found.
    #[error("nothing is entered as found of {path:?}, so that nobody knows how it is left")]
    NothingFound {
        /// The path of the reading.
        path: String,
    },
    /// There is no such side.
    #[error("{typed:?} is no side to look from")]
    UnknownSide {
        /// What was typed.
        typed: String,
    },
    /// The file would become too large to be read again.
    #[error("with {path:?} the file would be larger than {LARGEST_FILE} bytes, and could not be read any more")]
    TooLarge {
        /// What was to be entered.
        path: String,
    },
    /// The job has faults, or would have with this entry.
    #[error("{0}")]
    Faults(Faults),
    /// A comment stands inside the reading, and would be lost.
    #[error("a comment stands inside the reading {path:?}")]
    CommentInside {
        /// The path of the reading.
        path: String,
    },
    /// The text could not be changed at this place alone.
    #[error("{path:?} cannot be entered into this file without changing more of it")]
    NotAlone {
        /// What was to be entered.
        path: String,
    },
}

impl CannotEnter {
    /// What to do about it.
    pub fn hint(&self) -> String {
        match self {
            Self::NoEntry { .. } => "write what, of what, in which column and the reading: \"bush.pin 2.left=16.02\"; \
                                     machine, unit, date, by and seen stand alone: \"seen=output\""
                .into(),
            Self::UnknownSubject { hint, .. } | Self::WrongValue { hint, .. } => hint.clone(),
            Self::UnknownColumn { .. } => format!("the columns are {}", COLUMNS.join(", ")),
            Self::NoSuchGear { known, .. } => format!("count on {}", known.join(" or ")),
            Self::NothingFound { path } => format!("enter what it shows: \"{path}.left=...\""),
            Self::UnknownSide { .. } => {
                "write seen=input or seen=output: the side that you look from when you read a mark".into()
            }
            Self::TooLarge { .. } => {
                "begin another job about this unit, or take out of `earlier` what nobody needs any more".into()
            }
            Self::Faults(faults) => faults.first().map(|fault| fault.hint().into_owned()).unwrap_or_default(),
            Self::CommentInside { .. } => "put the comment into `because`, or above the reading".into(),
            Self::NotAlone { .. } => "enter it with an editor".into(),
        }
    }
}

/// The columns of a reading, as they are typed.
const COLUMNS: [&str; 6] = ["wanted", "found", "left", "with", "within", "because"];

impl JobEntry {
    /// Reads an entry as it is typed.
    ///
    /// # Errors
    /// [`CannotEnter`] where what is typed has not the form of an entry.
    ///
    /// # Examples
    /// ```
    /// use toothmark::job::JobEntry;
    /// assert!(JobEntry::typed("bush.pin 2.left=16.02, 16.03, 16.02").is_ok());
    /// assert!(JobEntry::typed("backlash.D with d.wanted=0.08..0.15 mm").is_ok());
    /// assert!(JobEntry::typed("bush.pin 1.left=as found").is_ok() && JobEntry::typed("seen=output").is_ok());
    /// let told = JobEntry::typed("bushing.pin 2.left=16.02").unwrap_err();
    /// assert_eq!(told.hint(), "write \"bush.pin 2.left\"");
    /// ```
    pub fn typed(text: &str) -> Result<Self, CannotEnter> {
        let (place, value) = parted(text).ok_or_else(|| CannotEnter::NoEntry { typed: text.to_owned() })?;
        let (place, value) = (place.trim(), value.trim());
        if let Some(field) = HeadingField::of_word(place) {
            return Ok(Self { target: EntryTarget::Heading { field, text: value.to_owned() } });
        }
        if place == SEEN {
            let side = side(value).ok_or_else(|| CannotEnter::UnknownSide { typed: value.to_owned() })?;
            return Ok(Self { target: EntryTarget::Seen(side) });
        }
        let (path, column) = place.rsplit_once('.').ok_or_else(|| CannotEnter::NoEntry { typed: text.to_owned() })?;
        let (subject, of) = ReadingSubject::of_path(path).ok_or_else(|| unknown_subject(place))?;
        let column = entered(subject, column.trim(), value)?;
        Ok(Self { target: EntryTarget::Reading { path: subject.path(of), column } })
    }
}

impl HeadingField {
    const ALL: [Self; 4] = [Self::Machine, Self::Unit, Self::Date, Self::By];

    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Machine => "machine",
            Self::Unit => "unit",
            Self::Date => "date",
            Self::By => "by",
        }
    }

    fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|field| field.word() == word)
    }

    pub(super) fn of(self, draft: &mut DraftJob) -> &mut Option<Spanned<String>> {
        match self {
            Self::Machine => &mut draft.machine,
            Self::Unit => &mut draft.unit,
            Self::Date => &mut draft.date,
            Self::By => &mut draft.by,
        }
    }
}

/// The field of a job that says from which side marks are seen.
pub(super) const SEEN: &str = "seen";

/// `input`, `the output side`.
fn side(typed: &str) -> Option<Side> {
    [Side::Input, Side::Output].into_iter().find(|side| {
        let word = side.name().trim_start_matches("the ").trim_end_matches(" side");
        typed.to_lowercase().trim_start_matches("the ").trim_end_matches("side").trim_end() == word
    })
}

/// What is entered where, at the first equals sign with a place before it: names may have equals signs in them.
fn parted(text: &str) -> Option<(&str, &str)> {
    let is_place = |place: &str| {
        let of_reading = place.rsplit_once('.').filter(|(_, column)| COLUMNS.contains(&column.trim()));
        HeadingField::of_word(place.trim()).is_some()
            || place.trim() == SEEN
            || of_reading.is_some_and(|(path, _)| ReadingSubject::of_path(path).is_some())
    };
    let mut parts = text.match_indices('=').map(|(at, sign)| (&text[..at], &text[at + sign.len()..]));
    parts.find(|(place, _)| is_place(place)).or_else(|| text.split_once('='))
}

fn unknown_subject(typed: &str) -> CannotEnter {
    CannotEnter::UnknownSubject { typed: typed.to_owned(), hint: ReadingSubject::instead_of(typed, "pin 2.left") }
}

fn entered(subject: ReadingSubject, column: &str, value: &str) -> Result<EntryColumn, CannotEnter> {
    let wrong = |fault: Mistyped| CannotEnter::WrongValue {
        typed: value.to_owned(),
        word: subject.word(),
        hint: if fault == Mistyped::SignAndSense {
            fault.hint().unwrap_or_default()
        } else {
            format!("write {}", subject.kind().example())
        },
    };
    let read = |column, values: Result<Vec<JobValue>, Mistyped>| {
        values.map(|values| EntryColumn::Values(column, values)).map_err(wrong)
    };
    match column {
        "wanted" => read(ReadingColumn::Wanted, wanted(subject, value)),
        "found" => read(ReadingColumn::Found, values(subject, value)),
        "left" if value.eq_ignore_ascii_case(AS_FOUND) => Ok(EntryColumn::LeftAsFound),
        "left" => read(ReadingColumn::Left, values(subject, value)),
        "with" => read(ReadingColumn::With, Ok(vec![JobValue::Words(value.to_owned())])),
        "within" => read(ReadingColumn::Within, Length::typed(value).map(|(length, _)| vec![JobValue::Length(length)])),
        "because" => Ok(EntryColumn::Because(value.to_owned())),
        _ => Err(CannotEnter::UnknownColumn { column: column.to_owned() }),
    }
}

/// What is typed of something that was not touched: it is left as it was found.
const AS_FOUND: &str = "as found";

/// `0.08..0.15 mm`, or one value.
fn wanted(subject: ReadingSubject, text: &str) -> Result<Vec<JobValue>, Mistyped> {
    let kind = subject.kind();
    match TypedNumber::range(text).filter(|_| kind != ValueKind::Words) {
        Some(ends) => ends.iter().map(|end| kind.typed(end)).collect(),
        None => Ok(vec![kind.typed(text)?]),
    }
}

/// One value, or several with commas or semicolons between them; words are one, whatever is in them.
fn values(subject: ReadingSubject, text: &str) -> Result<Vec<JobValue>, Mistyped> {
    match subject.kind().typed(text) {
        Ok(value) => Ok(vec![value]),
        Err(fault @ Mistyped::CommaOfTwoMeanings { .. }) => Err(fault),
        Err(_) => text.split([';', ',']).map(|part| subject.kind().typed(part)).collect(),
    }
}
