//! Is a size within what is wanted of it, by what its readings are good to?

use num_traits::{Signed, Zero};

use super::{FindingWeight, JobFinding};
use crate::exact::{Fraction, decimal, fraction};
use crate::job::draft::{DraftJobReading, ReadingColumn};
use crate::job::last_read::LastRead;
use crate::job::subject::ReadingSubject;
use crate::job::value::{ValueKind, side_by_side};

/// From the least to the most that is wanted.
struct WantedRange {
    least: Fraction,
    most: Fraction,
}

impl WantedRange {
    /// What is wanted of a reading, where that is a size.
    fn of(reading: &DraftJobReading) -> Option<Self> {
        let least = reading.wanted.first()?.size()?;
        let most = reading.wanted.last()?.size()?;
        Some(Self { least, most })
    }

    /// How a size stands to it when it may be off by so much.
    fn holds(&self, size: &Fraction, within: &Fraction) -> Standing {
        // How far outside; below zero where it is inside.
        let outside = (&self.least - size).max(size - &self.most);
        match () {
            () if !outside.is_positive() => Standing::Inside,
            () if outside > *within => Standing::Outside,
            // One value alone is met as nearly as can be read.
            () if self.least == self.most => Standing::Inside,
            () => Standing::Undecided,
        }
    }
}

/// How a reading stands to what is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Standing {
    Inside,
    /// Outside by no more than the reading is good to.
    Undecided,
    Outside,
}

/// How sizes stand to what is wanted: as the worst of them does.
fn standing(wanted: &WantedRange, sizes: &[Fraction], within: &Fraction) -> Standing {
    sizes.iter().map(|size| wanted.holds(size, within)).max().unwrap_or(Standing::Inside)
}

/// What the readings are good to; of lengths where nothing is told as much as with a micrometer, 0.01 mm.
fn good_to(reading: &DraftJobReading) -> Fraction {
    let is_length = reading.wanted.iter().any(|value| value.kind() == ValueKind::Length);
    let usual = if is_length { fraction(1, 100) } else { Fraction::zero() };
    reading.within.as_ref().map_or(usual, |within| within.exact_millimetres())
}

/// What is said of a size that was read.
pub(super) fn finding(
    subject: ReadingSubject,
    path: String,
    reading: &DraftJobReading,
    last: &LastRead<'_>,
) -> JobFinding {
    let sizes = last.sizes();
    let shown = last.shown();
    if subject == ReadingSubject::Backlash && sizes.iter().any(|size| !size.is_positive()) {
        return JobFinding::new(
            FindingWeight::DoNotClose,
            path,
            format!("{shown}: it binds"),
            "without backlash gears run hot and break",
        );
    }
    let Some(wanted) = WantedRange::of(reading) else { return JobFinding::not_judged(path, &shown) };
    let standing = standing(&wanted, &sizes, &good_to(reading));
    let because = because(reading, standing);
    match standing {
        Standing::Outside => {
            JobFinding::new(FindingWeight::DoNotClose, path, format!("{shown} {}", last.when()), because)
        }
        Standing::Undecided => {
            let says = format!("{shown}: measure more exactly, or again");
            JobFinding::new(FindingWeight::Missing, path, says, because)
        }
        Standing::Inside if last.only_as_found => {
            let says = format!("{shown} as found, not read again");
            JobFinding::not_read_again(path.clone(), says, because, vec![path])
        }
        Standing::Inside => JobFinding::new(FindingWeight::Good, path, shown, because),
    }
}

/// What is wanted, and how good the readings are, where something else than a size decides.
pub(super) fn because_of_wanted(reading: &DraftJobReading) -> String {
    because(reading, Standing::Inside)
}

/// What is wanted, and how good the readings are; what is taken for that where nobody says it, where it decides.
fn because(reading: &DraftJobReading, standing: Standing) -> String {
    let wanted = side_by_side(reading.wanted.iter().map(|value| &**value), " to ");
    let with = reading.with.as_ref().map(|with| format!(", read with {}", **with)).unwrap_or_default();
    let is_length = reading.wanted.iter().any(|value| value.kind() == ValueKind::Length);
    let within = match &reading.within {
        Some(within) => format!(", ±{} mm", decimal(&within.exact_millimetres(), 6)),
        None if is_length && standing == Standing::Undecided => ", ±0.01 mm assumed".to_owned(),
        None => String::new(),
    };
    let why = reading.because.as_ref().map(|because| format!("; {}", **because)).unwrap_or_default();
    format!("wanted {wanted}{with}{within}{}{why}", wanted_before(reading))
}

/// What was wanted before: who moves the goal says so.
pub(super) fn wanted_before(reading: &DraftJobReading) -> String {
    let before = reading.earlier.iter().rev().find(|earlier| earlier.column == ReadingColumn::Wanted);
    let values = before.map(|before| side_by_side(before.values.iter().map(|value| &**value), " to "));
    values.map(|values| format!(" (before: {values})")).unwrap_or_default()
}
