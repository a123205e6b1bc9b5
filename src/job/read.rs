//! From a file to a job that cannot be wrong, or to everything that is wrong with it.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::draft::{DraftEarlier, DraftJob, DraftJobReading, JOB_VERSION};
use super::pins::pins;
use super::subject::{ReadingSubject, SubjectOf};
use super::value::{JobValue, ValueKind};
use crate::description::{Fault, FaultKind, Faults, read_shape, text_in};
use crate::exact::Fraction;
use crate::gearset::{Gearset, Side, nearest_name};
use crate::syntax::{self, Form, Reference, Root, Spanned};
use num_traits::Signed;

/// A whole job.
pub(super) const ROOT: Root = Root { what: "a job", the: "the job", thing: DraftJob::THING };

/// A job whose gearset and readings have passed every rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    draft: DraftJob,
    gearset: Gearset,
    /// Where in the list each reading stands, by its path.
    places: BTreeMap<String, usize>,
}

impl Job {
    /// Checks a job that was built in code.
    ///
    /// # Errors
    /// Every fault, at the beginning of an empty source.
    pub fn new(draft: DraftJob) -> Result<Self, Faults> {
        checked("", draft, Vec::new())
    }

    fn checked(draft: DraftJob, gearset: Gearset) -> Self {
        let path = |reading: &DraftJobReading| {
            let (subject, of) = ReadingSubject::of_path(&reading.path)?;
            Some(subject.path(of))
        };
        let places = draft.readings.iter().enumerate().filter_map(|(at, reading)| Some((path(reading)?, at))).collect();
        Self { draft, gearset, places }
    }

    /// What is written in the job.
    pub fn draft(&self) -> &DraftJob {
        &self.draft
    }

    /// The gearset that the job is about.
    pub fn gearset(&self) -> &Gearset {
        &self.gearset
    }

    /// The side from which marks and angles are seen, the input side where the job does not say.
    pub fn seen_from(&self) -> Side {
        self.draft.seen.unwrap_or(Side::Input)
    }

    /// Every reading, with its subject and what it was taken of, in the order of the file.
    pub fn readings(&self) -> impl Iterator<Item = (ReadingSubject, &str, &DraftJobReading)> {
        self.draft.readings.iter().filter_map(|reading| {
            let (subject, of) = ReadingSubject::of_path(&reading.path)?;
            Some((subject, of, reading))
        })
    }

    /// The reading of a subject.
    pub fn reading(&self, subject: ReadingSubject, of: &str) -> Option<&DraftJobReading> {
        self.draft.readings.get(*self.places.get(&subject.path(of))?)
    }
}

/// Reads a job.
///
/// # Errors
/// Every fault, in the order of the source: of its shape, of its gearset, of its readings.
///
/// # Examples
/// ```
/// use toothmark::job;
/// let faults = job::read("Job(version: 1, readings: {\"bushing.pin 2\": ()}, gearset: Gearset(title: \"?\", members: {}))");
/// assert_eq!(faults.unwrap_err()[0].to_string(), "\"bushing.pin 2\" says nothing that a job records");
/// ```
pub fn read(source: &str) -> Result<Job, Faults> {
    let (draft, unread) = read_shape::<DraftJob>(source, &ROOT)?;
    checked(source, draft, unread)
}

/// Whether a text is meant to be a job, and no description.
///
/// # Examples
/// ```
/// use toothmark::job::is_job;
/// assert!(is_job("// of the railcar\nJob(version: 1)") && !is_job("Gearset(title: \"Job(\")"));
/// ```
pub fn is_job(source: &str) -> bool {
    source.get(syntax::first_token(source)).is_some_and(|word| word == ROOT.thing.word())
}

/// Reads a job from the bytes of a file.
///
/// # Errors
/// As [`read`]; bytes that are not UTF-8 are a fault at the first of them.
pub fn read_bytes(bytes: &[u8]) -> Result<Job, Faults> {
    read(text_in(bytes, &ROOT)?)
}

/// Writes a job: what is written reads in again as the same.
pub fn write(draft: &DraftJob) -> String {
    syntax::write::<DraftJob>(draft)
}

/// Every field and word of a job with what belongs there, for a manual.
pub fn reference() -> Vec<Reference> {
    syntax::references(&ROOT.thing)
}

fn checked(source: &str, mut draft: DraftJob, unread: Vec<Fault>) -> Result<Job, Faults> {
    let mut faults = unread;
    faults.extend(version_fault(&draft));
    syntax::number_in_order(|visit| DraftJob::marks(&mut draft, visit));
    match Gearset::new(draft.gearset.clone()) {
        Err(problems) => {
            faults.extend(Faults::of_problems(source, problems));
            Err(Faults::of(source, faults))
        }
        Ok(gearset) => {
            faults.extend(Rules::of(&gearset).faults(&draft));
            if faults.is_empty() { Ok(Job::checked(draft, gearset)) } else { Err(Faults::of(source, faults)) }
        }
    }
}

/// A file of a later version is not guessed at.
fn version_fault(draft: &DraftJob) -> Option<Fault> {
    let version = *draft.version.get()?;
    let hint = match version {
        1..=JOB_VERSION => return None,
        _ if version > JOB_VERSION => "read it with a newer toothmark",
        _ => "write version: 1",
    };
    Some(fault(draft.version.place(), format!("there is no version {version} of a job that can be read here"), hint))
}

fn fault(place: Option<Range<usize>>, sentence: String, hint: impl Into<String>) -> Fault {
    Fault::new(place.unwrap_or(0..0), FaultKind::Request { sentence, hint: hint.into() })
}

/// The rules of readings, with the names that readings of one gearset can be taken of.
struct Rules {
    gears: Vec<String>,
    meshes: Vec<String>,
    pins: Vec<String>,
    members: Vec<String>,
    controls: Vec<String>,
}

impl Rules {
    fn of(set: &Gearset) -> Self {
        Self {
            gears: set.gears().iter().map(|gear| gear.name().to_owned()).collect(),
            meshes: set.mesh_ids().map(|mesh| set.mesh_name(mesh)).collect(),
            pins: pins(set).into_iter().map(|pin| pin.name).collect(),
            members: set.members().iter().map(|member| member.name().to_owned()).collect(),
            controls: set.controls().iter().map(|control| control.name().to_owned()).collect(),
        }
    }

    /// The names that a reading can be taken of; none where it can be of anything.
    fn known(&self, of: SubjectOf) -> Option<&[String]> {
        match of {
            SubjectOf::Gear => Some(&self.gears),
            SubjectOf::Mesh => Some(&self.meshes),
            SubjectOf::Member => Some(&self.members),
            SubjectOf::Control => Some(&self.controls),
            SubjectOf::Pin => Some(&self.pins),
            SubjectOf::Anything => None,
        }
    }

    fn faults(&self, draft: &DraftJob) -> Vec<Fault> {
        let mut faults: Vec<Fault> = draft.date.iter().filter_map(date_fault).collect();
        let mut seen = BTreeSet::new();
        for reading in &draft.readings {
            let Some(path) = reading.path.get() else { continue };
            let Some((subject, of)) = ReadingSubject::of_path(path) else {
                faults.push(unknown_subject(&reading.path));
                continue;
            };
            if !seen.insert(subject.path(of)) {
                let hint = "keep one of them; an older reading stands in `earlier`";
                faults.push(fault(reading.path.place(), format!("{path:?} is there twice"), hint));
            }
            let hint = self.known(subject.of()).and_then(|known| not_among(known, of));
            let nothing = |hint| fault(reading.path.place(), format!("there is nothing to take {path:?} of"), hint);
            faults.extend(hint.map(nothing));
            faults.extend(reading_faults(subject, reading));
        }
        faults
    }
}

fn not_among(known: &[String], name: &str) -> Option<String> {
    if known.iter().any(|own| own == name) {
        return None;
    }
    Some(match nearest_name(known.iter().map(String::as_str), name) {
        Some(nearest) => format!("write {nearest:?} behind the dot"),
        None => format!("behind the dot stands one of these: {}", known.join(", ")),
    })
}

fn unknown_subject(path: &Spanned<String>) -> Fault {
    let hint = ReadingSubject::instead_of(path, "pin 2");
    fault(path.place(), format!("{:?} says nothing that a job records", **path), hint)
}

fn reading_faults(subject: ReadingSubject, reading: &DraftJobReading) -> Vec<Fault> {
    let values = reading.wanted.iter().chain(&reading.found).chain(&reading.left);
    let of_column = |earlier: &'_ DraftEarlier| {
        let kind = earlier.column.kind(subject.kind());
        earlier.values.iter().filter_map(move |value| value_fault(subject, kind, value)).collect::<Vec<_>>()
    };
    let dates = [&reading.found_on, &reading.left_on].into_iter().flatten();
    let dates = dates.chain(reading.earlier.iter().filter_map(|earlier| earlier.on.as_ref()));
    let mut faults: Vec<Fault> = values.filter_map(|value| value_fault(subject, subject.kind(), value)).collect();
    faults.extend(reading.earlier.iter().flat_map(of_column));
    faults.extend(dates.filter_map(date_fault));
    faults.extend(wanted_fault(reading));
    faults.extend(reading.within.iter().filter_map(|within| {
        let is_none = within.get().is_some_and(|length| !length.value().is_positive());
        is_none.then(|| {
            fault(
                within.place(),
                "a reading is good to nothing less than 0".into(),
                "write what the instrument is good to, such as Millimetres(0.01)",
            )
        })
    }));
    faults
}

fn value_fault(subject: ReadingSubject, kind: ValueKind, value: &Spanned<JobValue>) -> Option<Fault> {
    let read = value.get()?;
    let word = subject.word();
    if read.kind() != kind {
        let hint = format!("write {}", written_example(kind));
        return Some(fault(value.place(), format!("{read} is no reading of a {word}"), hint));
    }
    let is_negative = read.size().is_some_and(|size| size.is_negative());
    let largest = Fraction::from_integer(LARGEST.into());
    let is_absurd = read.size().is_some_and(|size| size > largest);
    (is_negative || is_absurd).then(|| {
        fault(value.place(), format!("{read} is no reading of a {word}"), format!("write a size from 0 to {LARGEST}"))
    })
}

/// No reading of a gearbox is larger, in its unit.
const LARGEST: i64 = 10_000_000;

fn written_example(kind: ValueKind) -> &'static str {
    match kind {
        ValueKind::Length => "a length, such as Millimetres(16.02)",
        ValueKind::Count => "a count, such as Count(26)",
        ValueKind::Mark => "what the mark shows, such as Teeth(\"l\", 3) or Degrees(-120)",
        ValueKind::Unbalance => {
            "an unbalance, such as GramMillimetres(836), or GramMillimetres(2122, 100) at 100 degrees"
        }
        ValueKind::Hole => "a hole, such as Hole(90, 12, 18)",
        ValueKind::Force => "a force, such as Newtons(900)",
        ValueKind::Words => "a text in quotes",
    }
}

fn wanted_fault(reading: &DraftJobReading) -> Option<Fault> {
    let place = || reading.wanted.first().and_then(Spanned::place);
    match &reading.wanted[..] {
        [least, most] if least.size() > most.size() => {
            Some(fault(place(), format!("{} to {} is no range", **least, **most), "write the least first"))
        }
        [] | [_] | [_, _] => None,
        _ => Some(fault(
            place(),
            "three values and more are wanted".into(),
            "write one value, or the least and the most",
        )),
    }
}

/// A date is a year, a month and a day.
fn date_fault(date: &Spanned<String>) -> Option<Fault> {
    let written = date.get()?;
    let parts: Vec<Option<u16>> = written.split('-').map(|part| part.parse().ok()).collect();
    let is_date = written.len() == "2026-11-29".len()
        && matches!(parts[..], [Some(_), Some(month), Some(day)] if (1..=12).contains(&month) && (1..=31).contains(&day));
    (!is_date)
        .then(|| fault(date.place(), format!("{written:?} is no date"), "write year, month and day: \"2026-11-29\""))
}
