//! One reading entered into the text of a job, everything else in it left as it stands.
//!
//! The text is changed at the place of the reading alone, so that order, layout and comments stay. What something new
//! takes the place of goes into `earlier` with its date, be it a reading, what was wanted or how it was measured. What
//! comes out is read again and has to say what was meant, or nothing is changed.

use std::ops::Range;

use super::draft::{DraftJob, DraftJobReading, ReadingColumn};
use super::pins::pins;
use super::read::{Job, ROOT, read};
use super::subject::ReadingSubject;
use super::value::{JobValue, ValueKind};
use crate::description::{Faults, LARGEST_FILE};
use crate::exact::{Mistyped, TypedNumber};
use crate::gearset::{Gear, Gearset, Length, Side};
use crate::syntax::{self, Node, NodeKind, Spanned};

/// A reading to be entered, as it is typed: `bush.pin 2.left=16.02`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobEntry {
    target: EntryTarget,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum EntryTarget {
    /// A field of the job itself: `by=bench 2`.
    Heading { field: HeadingField, text: String },
    /// The side from which marks are seen: `seen=output`.
    Seen(Side),
    /// A column of a reading.
    Reading { path: String, column: EntryColumn },
}

/// A field at the head of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum HeadingField {
    Machine,
    Unit,
    Date,
    By,
}

/// What is entered into a column.
#[derive(Debug, Clone, PartialEq, Eq)]
enum EntryColumn {
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

    fn word(self) -> &'static str {
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

    fn of(self, draft: &mut DraftJob) -> &mut Option<Spanned<String>> {
        match self {
            Self::Machine => &mut draft.machine,
            Self::Unit => &mut draft.unit,
            Self::Date => &mut draft.date,
            Self::By => &mut draft.by,
        }
    }
}

/// The field of a job that says from which side marks are seen.
const SEEN: &str = "seen";

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

/// The text of a job with readings entered; `on` is the date of them, where it is known.
///
/// # Errors
/// [`CannotEnter`]: the text is as it was then.
///
/// # Examples
/// ```
/// use toothmark::{description, job::{self, JobEntry, ReadingSubject}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let text = job::write(&job::blank(&set));
/// let entries = [JobEntry::typed("bush.pin 2.left=16.05").unwrap(), JobEntry::typed("bush.pin 2.left=16.02").unwrap()];
/// let text = job::enter(&text, &entries, Some("2026-11-29")).unwrap();
/// let job = job::read(&text).unwrap();
/// let bush = job.reading(ReadingSubject::Bush, "pin 2").unwrap();
/// assert_eq!((bush.left[0].to_string(), bush.earlier[0].values[0].to_string()), ("16.02 mm".into(), "16.05 mm".into()));
/// ```
pub fn enter(source: &str, entries: &[JobEntry], on: Option<&str>) -> Result<String, CannotEnter> {
    let mut text = source.to_owned();
    for entry in entries {
        text = entered_into(&text, entry, on)?;
    }
    Ok(text)
}

fn entered_into(source: &str, entry: &JobEntry, on: Option<&str>) -> Result<String, CannotEnter> {
    let job = read(source).map_err(CannotEnter::Faults)?;
    let mut draft = job.draft().clone();
    let (text, path) = match &entry.target {
        EntryTarget::Heading { field, text } => {
            *field.of(&mut draft) = Some(text.as_str().into());
            (with_heading(source, field.word(), &syntax::write_in_line::<String>(text)), field.word())
        }
        EntryTarget::Seen(side) => {
            draft.seen = Some(*side);
            (with_heading(source, SEEN, &syntax::write_in_line::<Side>(side)), SEEN)
        }
        EntryTarget::Reading { path, column } => {
            check_gears(job.gearset(), path, column)?;
            let reading = reading_of(&mut draft, path);
            enter_column(reading, path, column, on)?;
            (with_reading(source, reading)?, path.as_str())
        }
    };
    let text = text.and_then(|text| with_version(text, &mut draft));
    // What was entered may break a rule: that is told in the words of the rule.
    let meant = Job::new(draft).map_err(CannotEnter::Faults)?;
    if text.as_ref().is_some_and(|text| text.len() > LARGEST_FILE) {
        return Err(CannotEnter::TooLarge { path: path.to_owned() });
    }
    let is_meant = text.as_deref().and_then(|text| read(text).ok()).is_some_and(|read| read == meant);
    text.filter(|_| is_meant).ok_or_else(|| CannotEnter::NotAlone { path: path.to_owned() })
}

/// Refuses a mark on a gear that its planet has not: nobody could judge it.
fn check_gears(set: &Gearset, path: &str, column: &EntryColumn) -> Result<(), CannotEnter> {
    let EntryColumn::Values(_, values) = column else { return Ok(()) };
    let pin = ReadingSubject::of_path(path).and_then(|(_, of)| pins(set).into_iter().find(|pin| pin.name == of));
    let Some(pin) = pin else { return Ok(()) };
    let gears = || set.gears().iter().filter(|gear| gear.member() == pin.planet).map(Gear::name);
    let unknown = values.iter().filter_map(JobValue::counted_on).find(|name| gears().all(|gear| gear != *name));
    let known = || gears().map(str::to_owned).collect();
    let refused = |gear: &str| CannotEnter::NoSuchGear { path: path.to_owned(), gear: gear.to_owned(), known: known() };
    unknown.map_or(Ok(()), |gear| Err(refused(gear)))
}

/// The reading of a path, a new one where there is none.
fn reading_of<'a>(draft: &'a mut DraftJob, path: &str) -> &'a mut DraftJobReading {
    let is_it = |own: &str| ReadingSubject::of_path(own) == ReadingSubject::of_path(path);
    let at = draft.readings.iter().position(|reading| is_it(&reading.path)).unwrap_or_else(|| {
        draft.readings.push(DraftJobReading::new(path));
        draft.readings.len() - 1
    });
    &mut draft.readings[at]
}

fn enter_column(
    reading: &mut DraftJobReading,
    path: &str,
    column: &EntryColumn,
    on: Option<&str>,
) -> Result<(), CannotEnter> {
    match column {
        EntryColumn::Values(column, values) => {
            reading.put(*column, values.iter().cloned().map(Spanned::from).collect(), on);
        }
        EntryColumn::LeftAsFound if reading.found.is_empty() => {
            return Err(CannotEnter::NothingFound { path: path.to_owned() });
        }
        EntryColumn::LeftAsFound => reading.put(ReadingColumn::Left, reading.found.clone(), on),
        EntryColumn::Because(text) => {
            // A reason that was given is not lost to the next one.
            let before = reading.because.as_ref().map(|before| format!("{}; ", **before)).unwrap_or_default();
            reading.because = Some(format!("{before}{text}").into());
        }
    }
    Ok(())
}

/// The text with the version that can say what the job says, where that of its file cannot.
fn with_version(source: String, draft: &mut DraftJob) -> Option<String> {
    let least = draft.least_version();
    if *draft.version >= least {
        return Some(source);
    }
    draft.version = least.into();
    let (root, _) = syntax::parse(&source, &ROOT);
    let version = named(&source, items(&root)?, "version")?.place.clone();
    Some(replaced(&source, version, &least.to_string()))
}

/// The text with a field at its head, in place of the one that is there.
fn with_heading(source: &str, word: &str, written: &str) -> Option<String> {
    let (root, _) = syntax::parse(source, &ROOT);
    let items = items(&root)?;
    if let Some(node) = named(source, items, word) {
        return Some(replaced(source, node.place.clone(), written.trim_end()));
    }
    let first = items.first()?.place.end;
    Some(replaced(source, first..first, &format!(",\n    {word}: {}", written.trim_end())))
}

/// The text with a reading, in place of the one that is there.
fn with_reading(source: &str, reading: &DraftJobReading) -> Result<Option<String>, CannotEnter> {
    let (root, _) = syntax::parse(source, &ROOT);
    let written = syntax::write_in_line::<DraftJobReading>(reading);
    let written = written.trim_end();
    let Some(fields) = items(&root) else { return Ok(None) };
    let Some(readings) = named(source, fields, "readings") else {
        let last = fields.last().map(|field| field.place.end);
        let list = format!(",\n    readings: {{\n        {written},\n    }}");
        return Ok(last.map(|last| replaced(source, last..last, &list)));
    };
    let of_list = items(readings).unwrap_or_default();
    let key = |node: &Node| node.key.as_ref().map(|key| key.place.clone());
    let is_it = |node: &&Node| key(node).is_some_and(|place| is_text(&source[place], &reading.path));
    if let Some((node, start)) = of_list.iter().find(is_it).and_then(|node| Some((node, key(node)?.start))) {
        let place = start..node.place.end;
        if syntax::has_comment(&source[place.clone()]) {
            return Err(CannotEnter::CommentInside { path: (*reading.path).clone() });
        }
        return Ok(Some(replaced(source, place, written)));
    }
    Ok(Some(with_last(source, readings, of_list.last(), written)))
}

/// The text with a reading behind the last one of a list; the comments behind that one stay with it.
fn with_last(source: &str, list: &Node, last: Option<&Node>, written: &str) -> String {
    let (start, end) = (last.map_or(list.place.start + 1, |last| last.place.end), list.place.end - 1);
    let behind = &source[start..end];
    let has_comma = behind.get(syntax::first_token(behind)) == Some(",");
    let comma = if last.is_some() && !has_comma { "," } else { "" };
    let kept = behind.trim_end();
    let blank = &behind[kept.len()..];
    let blank = if blank.contains('\n') { blank } else { "\n    " };
    let blank = blank.replace("\r\n", "\n");
    replaced(source, start..end, &format!("{comma}{}\n        {written},{blank}", kept.replace("\r\n", "\n")))
}

fn items(node: &Node) -> Option<&[Node]> {
    match &node.kind {
        NodeKind::Group(group) => Some(&group.items),
        NodeKind::Word | NodeKind::Text | NodeKind::Nothing | NodeKind::Told => None,
    }
}

/// The value of the field of this name.
fn named<'a>(source: &str, items: &'a [Node], name: &str) -> Option<&'a Node> {
    items.iter().find(|item| item.key.as_ref().is_some_and(|key| &source[key.place.clone()] == name))
}

/// Whether a text in quotes is this one.
fn is_text(written: &str, text: &str) -> bool {
    ron::from_str::<String>(written).is_ok_and(|read| read == text)
}

/// The source with a text in place of a part of it; lines end as they do in the source.
fn replaced(source: &str, place: Range<usize>, text: &str) -> String {
    let line_end = if source.contains("\r\n") { "\r\n" } else { "\n" };
    [&source[..place.start], &text.replace('\n', line_end), &source[place.end..]].concat()
}
