//! Does what runs in a bush have the clearance that is wanted?
//!
//! The least clearance is between the smallest bore and the largest shaft that were read, the most between the largest
//! and the smallest; where the clearance was measured itself, it is judged as any other size.

use std::collections::BTreeSet;

use num_traits::Signed;

use super::sizes::{Standing, WantedRange, good_to, shown, standing};
use super::{FindingWeight, JobFinding, LastRead};
use crate::exact::{Fraction, decimal};
use crate::job::read::Job;
use crate::job::subject::ReadingSubject;

/// What is said of every bush and shaft that were both read.
pub(super) fn findings(job: &Job) -> Vec<JobFinding> {
    let mut done = BTreeSet::new();
    let of_bearing = job.readings().filter(|(subject, of, _)| {
        matches!(subject, ReadingSubject::Bush | ReadingSubject::Shaft) && done.insert((*of).to_owned())
    });
    of_bearing.filter_map(|(_, of, _)| of_fit(job, of)).collect()
}

fn of_fit(job: &Job, of: &str) -> Option<JobFinding> {
    let read = |subject| job.reading(subject, of).and_then(|reading| Some((reading, LastRead::of(reading)?)));
    let measured = job.reading(ReadingSubject::Clearance, of);
    if measured.and_then(LastRead::of).is_some() {
        return None;
    }
    let (bush, shaft) = (read(ReadingSubject::Bush), read(ReadingSubject::Shaft));
    // What is missing is said of the one that was not read.
    let ((bush, bores), (shaft, shafts)) = bush.zip(shaft)?;
    let least = smallest(&bores)? - largest(&shafts)?;
    let most = largest(&bores)? - smallest(&shafts)?;
    let path = ReadingSubject::Clearance.path(of);
    let says = format!("{} to {} mm", decimal(&least, 6), decimal(&most, 6));
    if !least.is_positive() {
        let because = "the smallest bore is no larger than the largest shaft: too tight kills more pins than too loose";
        return Some(JobFinding::new(FindingWeight::DoNotClose, path, format!("{says}: it binds"), because));
    }
    let Some((wanted, range)) = measured.and_then(|reading| Some((reading, WantedRange::of(reading)?))) else {
        let because = format!("nothing is wanted of {path}: enter what the maker's book says");
        return Some(JobFinding::new(FindingWeight::Noted, path, format!("{says}, not judged"), because));
    };
    let good_to = good_to(bush) + good_to(shaft);
    let because = format!("wanted {}; bore {}, shaft {}", shown(&wanted.wanted), bores.shown(), shafts.shown());
    let as_found = bores.only_as_found || shafts.only_as_found;
    Some(match standing(&range, &[least, most], &good_to) {
        Standing::Outside if as_found => JobFinding::new(
            FindingWeight::DoNotClose,
            path,
            format!("{says} as found, and nothing is entered as left"),
            because,
        ),
        Standing::Outside => JobFinding::new(FindingWeight::DoNotClose, path, format!("{says} as left"), because),
        Standing::Undecided => {
            JobFinding::new(FindingWeight::Missing, path, format!("{says}: measure more exactly, or again"), because)
        }
        Standing::Inside => JobFinding::new(FindingWeight::Good, path, says, because),
    })
}

fn sizes<'a>(read: &'a LastRead<'_>) -> impl Iterator<Item = Fraction> + 'a {
    read.values.iter().filter_map(|value| value.size())
}

fn smallest(read: &LastRead<'_>) -> Option<Fraction> {
    sizes(read).min()
}

fn largest(read: &LastRead<'_>) -> Option<Fraction> {
    sizes(read).max()
}
