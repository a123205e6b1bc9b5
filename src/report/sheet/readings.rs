//! Every reading as wanted, found and left, blank where nothing was read, with what stood there before.

use super::{table, to_fill_in};
use crate::gearset::{Gearset, Spanned};
use crate::job::{
    DraftEarlier, DraftJobReading, Job, JobValue, ReadingColumn, ReadingSubject, SubjectOf, pin_name, side_by_side,
};
use crate::report::render::document::Block;
use crate::report::words;
use crate::timing::Timing;

/// Everything that is read beside counts and marks, and an empty row for what the job does not ask for.
pub(super) fn readings(job: &Job, timing: &Timing) -> Block {
    let others = job.readings().filter(|(subject, of, reading)| {
        let is_among_settings = || has_setting(job, timing, of) && remarks(reading).is_empty();
        *subject != ReadingSubject::Count && !(*subject == ReadingSubject::Mark && is_among_settings())
    });
    let rows = others.map(|(subject, of, reading)| reading_row(job.gearset(), subject, of, reading));
    let is_asked = |subject: &ReadingSubject| job.readings().any(|(own, _, _)| own == *subject);
    let has_pins = !job.gearset().planet_groups().is_empty();
    let can_be = |subject: &ReadingSubject| {
        !matches!(subject, ReadingSubject::Count | ReadingSubject::Mark) && (has_pins || subject.of() != SubjectOf::Pin)
    };
    let not_asked = ReadingSubject::ALL.into_iter().filter(|subject| can_be(subject) && !is_asked(subject));
    let empty = not_asked.map(|subject| to_fill_in([subject.phrase().to_owned()], 5));
    table("", &["reading", "wanted", "as found", "as left", "read with, why"], rows.chain(empty).collect())
}

/// Whether the settings of the planets have a row for this pin.
fn has_setting(job: &Job, timing: &Timing, pin: &str) -> bool {
    let set = job.gearset();
    let assembled = timing.groups.iter().filter(|group| group.pins_assemble());
    let mut named = assembled.flat_map(|group| {
        let pins = group.pins.iter();
        pins.flat_map(move |own| group.planets.iter().map(move |&planet| pin_name(set, planet, own.pin)))
    });
    named.any(|name| name == pin)
}

fn reading_row(set: &Gearset, subject: ReadingSubject, of: &str, reading: &DraftJobReading) -> Vec<String> {
    let told = range(&reading.wanted);
    // What is described is not what is wanted, and worth knowing beside it.
    let is_described = subject == ReadingSubject::Backlash && told.is_empty();
    let wanted = if is_described { described_backlash(set, of) } else { told };
    vec![format!("{}, {of}", subject.phrase()), wanted, shown(&reading.found), shown(&reading.left), remarks(reading)]
}

/// What a reading was taken with, what it is good to, why it is so, and what stood there before.
pub(super) fn remarks(reading: &DraftJobReading) -> String {
    let with = reading.with.as_ref().map(|with| (**with).clone());
    let within = reading.within.as_ref().map(|within| format!("good to {}", words::length(within.millimetres())));
    let because = reading.because.as_ref().map(|because| (**because).clone());
    let told = [with, within, because].into_iter().flatten();
    told.chain(reading.earlier.iter().map(before)).collect::<Vec<_>>().join("; ")
}

/// What a later value stands in place of.
fn before(earlier: &DraftEarlier) -> String {
    let shown = shown(&earlier.values);
    let date = |word: &str| earlier.on.as_ref().map(|on| format!(" {word} {}", **on)).unwrap_or_default();
    match earlier.column {
        ReadingColumn::Found => format!("before: {shown} as found{}", date("on")),
        ReadingColumn::Left => format!("before: {shown} as left{}", date("on")),
        ReadingColumn::Wanted => {
            format!("before: {} wanted{}", range(&earlier.values), date("until"))
        }
        ReadingColumn::With => format!("before: {shown}{}", date("until")),
        ReadingColumn::Within => format!("before: good to {shown}{}", date("until")),
    }
}

fn described_backlash(set: &Gearset, mesh: &str) -> String {
    let described = set.mesh_named(mesh).and_then(|mesh| set.mesh(mesh).backlash());
    described.map(|length| format!("{} described", words::length(length.millimetres()))).unwrap_or_default()
}

pub(super) fn shown(values: &[Spanned<JobValue>]) -> String {
    side_by_side(values.iter().map(|value| &**value), ", ")
}

/// What is wanted: `0.08 to 0.15 mm`.
fn range(values: &[Spanned<JobValue>]) -> String {
    side_by_side(values.iter().map(|value| &**value), " to ")
}

pub(super) fn last_shown(reading: &DraftJobReading) -> String {
    shown(if reading.left.is_empty() { &reading.found } else { &reading.left })
}
