//! Has a gear as many teeth as the description says?
//!
//! Ratios, marks and sizes are those of the description, so a count is held against it, and so is a count that is wanted.

use super::{FindingWeight, JobFinding};
use crate::exact::{Fraction, fraction};
use crate::gearset::Gearset;
use crate::job::draft::DraftJobReading;
use crate::job::last_read::LastRead;
use crate::job::subject::ReadingSubject;
use crate::job::value::side_by_side;

/// What is said of the count of a gear.
pub(super) fn finding(set: &Gearset, gear: &str, reading: &DraftJobReading, last: &LastRead<'_>) -> JobFinding {
    let path = ReadingSubject::Count.path(gear);
    let shown = last.shown();
    let Some(described) = described(set, gear) else { return JobFinding::not_judged(path, &shown) };
    let why = reading.because.as_ref().map(|because| format!("; {}", **because)).unwrap_or_default();
    let because = format!("{described} described{why}");
    let described = fraction(described, 1);
    if last.sizes().iter().any(|size| *size != described) {
        let says = format!("{shown} teeth counted: count again");
        return JobFinding::new(FindingWeight::DoNotClose, path, says, because);
    }
    if !is_wanted(reading, &described) {
        let wanted = side_by_side(reading.wanted.iter().map(|value| &**value), " to ");
        let says = format!("{shown} teeth counted as described, but {wanted} wanted: which is it?");
        return JobFinding::new(FindingWeight::Missing, path, says, because);
    }
    // Teeth do not change their number, so that as found is as left.
    JobFinding::new(FindingWeight::Good, path, shown, because)
}

/// How many teeth the description says.
fn described(set: &Gearset, gear: &str) -> Option<i64> {
    let gear = set.gears().iter().find(|own| own.name() == gear)?;
    Some(gear.tooth_count().get().into())
}

/// Whether what is wanted, if anything is, is what is described.
fn is_wanted(reading: &DraftJobReading, described: &Fraction) -> bool {
    let wanted: Vec<Fraction> = reading.wanted.iter().filter_map(|value| value.size()).collect();
    wanted.first().is_none_or(|least| least <= described) && wanted.last().is_none_or(|most| most >= described)
}
