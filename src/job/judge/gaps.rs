//! What has to be known before a unit is closed, and nobody has read?
//!
//! Rows of the file in which nothing stands, whatever its description makes worth reading and has no row in it any more,
//! and what a bush or shaft that was read runs with.

use std::collections::BTreeSet;

use super::JobFinding;
use super::fits::{is_measured, partner};
use crate::job::blank::asked;
use crate::job::last_read::LastRead;
use crate::job::read::Job;
use crate::job::subject::ReadingSubject;

/// Everything that nobody read and nobody gave a reason for, once each.
pub(super) fn findings(job: &Job) -> Vec<JobFinding> {
    let asked = asked(job.gearset());
    let deleted = asked.iter().filter_map(|reading| ReadingSubject::of_path(&reading.path));
    let deleted = deleted.filter(|(subject, of)| job.reading(*subject, of).is_none());
    let is_measured = |(subject, of): &(ReadingSubject, &str)| partner(*subject).is_some() && is_measured(job, of);
    let gaps = blank_rows(job).chain(deleted).chain(without_row(job)).filter(|gap| !is_measured(gap));
    let mut told = BTreeSet::new();
    let gaps = gaps.filter(|gap| told.insert(*gap));
    gaps.map(|(subject, of)| JobFinding::gap(subject, subject.path(of))).collect()
}

/// Rows in which nothing was entered, not even a reason.
fn blank_rows(job: &Job) -> impl Iterator<Item = (ReadingSubject, &str)> {
    let blank = job.readings().filter(|(subject, _, reading)| {
        subject.is_needed() && LastRead::of(reading).is_none() && reading.because.is_none()
    });
    blank.map(|(subject, of, _)| (subject, of))
}

/// What a bush or shaft that was read runs with, where the job has no row for it.
fn without_row(job: &Job) -> impl Iterator<Item = (ReadingSubject, &str)> {
    job.readings().filter_map(|(subject, of, reading)| {
        LastRead::of(reading)?;
        let partner = partner(subject)?;
        job.reading(partner, of).is_none().then_some((partner, of))
    })
}
