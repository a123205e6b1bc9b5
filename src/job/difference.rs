//! What changed between two jobs of one unit: what the first left, and what the second found and left.

use serde::Serialize;

use super::draft::DraftJobReading;
use super::read::Job;
use super::subject::ReadingSubject;
use super::value::JobValue;
use crate::exact::Fraction;

/// What changed between two jobs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct JobDifference {
    /// Readings that are not the same, in the order of the second job, then those that only the first has.
    pub changes: Vec<ReadingChange>,
    /// What the first job calls the machine, the unit and its date, where it says so.
    pub first: String,
    /// The same of the second.
    pub second: String,
    /// How many readings are the same in both.
    pub alike: usize,
    /// Whether the two describe one gearset.
    pub one_gearset: bool,
    /// Whether marks and angles were seen from one side in both.
    pub one_side: bool,
}

/// A reading that is not the same in two jobs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ReadingChange {
    /// The path of the reading.
    pub about: String,
    /// What the first job left, or found where it left nothing.
    pub before: Vec<String>,
    /// What the second job found.
    pub found: Vec<String>,
    /// What the second job left.
    pub left: Vec<String>,
    /// How much more the second found than the first left, from the mean of each, in the unit of the reading:
    /// millimetres, gram millimetres, newtons or a count; none where one of them has no size.
    pub grown: Option<Fraction>,
}

/// What changed from the first job to the second.
///
/// # Examples
/// ```
/// use toothmark::{description, job::{self, JobEntry}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let text = job::write(&job::blank(&set));
/// let with = |entry: &str| job::read(&job::enter(&text, &[JobEntry::typed(entry).unwrap()], None).unwrap()).unwrap();
/// let worn = job::difference(&with("bush.pin 2.left=16.02"), &with("bush.pin 2.found=16.05"));
/// assert_eq!(worn.changes[0].grown.as_ref().unwrap().to_string(), "3/100");
/// ```
pub fn difference(first: &Job, second: &Job) -> JobDifference {
    let mut changes = Vec::new();
    let mut alike = 0;
    let is_one_job = first.draft() == second.draft();
    for (subject, of, reading) in second.readings() {
        let before = first.reading(subject, of);
        // Found on the same day as the same, it was copied with the file and not read again.
        let is_copied = before == Some(reading) && (is_one_job || reading.found_on.is_some());
        match (!is_copied).then(|| change(subject, of, before, Some(reading))).flatten() {
            Some(change) => changes.push(change),
            None => alike += usize::from(!last_values(Some(reading)).is_empty()),
        }
    }
    let gone = first.readings().filter(|(subject, of, _)| second.reading(*subject, of).is_none());
    changes.extend(gone.filter_map(|(subject, of, reading)| change(subject, of, Some(reading), None)));
    let one_gearset = first.gearset() == second.gearset();
    let one_side = first.seen_from() == second.seen_from();
    JobDifference { changes, first: heading(first), second: heading(second), alike, one_gearset, one_side }
}

/// What the job is about: `railcar 12, gearbox 31, 2026-11-29`.
fn heading(job: &Job) -> String {
    let draft = job.draft();
    let told = [&draft.machine, &draft.unit, &draft.date].into_iter().flatten();
    let told: Vec<&str> = told.map(|text| text.as_str()).collect();
    if told.is_empty() { job.gearset().title().to_owned() } else { told.join(", ") }
}

fn change(
    subject: ReadingSubject,
    of: &str,
    first: Option<&DraftJobReading>,
    second: Option<&DraftJobReading>,
) -> Option<ReadingChange> {
    let before = last_values(first);
    let (found, left) = second.map_or_else(Default::default, |reading| (values(&reading.found), values(&reading.left)));
    let is_same = |now: &Vec<&JobValue>| now.is_empty() || *now == before;
    if is_same(&found) && is_same(&left) && (second.is_some() || before.is_empty()) {
        return None;
    }
    let shown = |values: &[&JobValue]| values.iter().map(ToString::to_string).collect();
    let later = if found.is_empty() { &left } else { &found };
    Some(ReadingChange {
        about: subject.path(of),
        before: shown(&before),
        grown: mean(later).zip(mean(&before)).map(|(later, before)| later - before),
        found: shown(&found),
        left: shown(&left),
    })
}

fn values(column: &[crate::syntax::Spanned<JobValue>]) -> Vec<&JobValue> {
    column.iter().map(|value| &**value).collect()
}

/// What was read last: as left, or as found where nothing was left.
fn last_values(reading: Option<&DraftJobReading>) -> Vec<&JobValue> {
    let columns = reading.map(|reading| if reading.left.is_empty() { &reading.found } else { &reading.left });
    columns.map_or_else(Vec::new, |column| values(column))
}

fn mean(values: &[&JobValue]) -> Option<Fraction> {
    let sizes: Option<Vec<Fraction>> = values.iter().map(|value| value.size()).collect();
    let sizes = sizes.filter(|sizes| !sizes.is_empty())?;
    let count = Fraction::from_integer(sizes.len().into());
    Some(sizes.into_iter().sum::<Fraction>() / count)
}
