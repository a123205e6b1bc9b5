//! Does what runs in a bush have the clearance that is wanted?
//!
//! The question of `bench bushes`, asked of every bush that was read with its shaft; where the clearance was measured
//! itself, it is judged as any other size.

use super::sizes::wanted_before;
use super::{FindingWeight, JobFinding};
use crate::bench::{BushFit, BushQuestion, BushVerdict, BushesQuestion, bush_fits};
use crate::job::last_read::LastRead;
use crate::job::read::Job;
use crate::job::subject::ReadingSubject;

/// What is said of every bush and shaft that were both read.
pub(super) fn findings(job: &Job) -> Vec<JobFinding> {
    let bushes = job.bushes_question().bushes.into_iter().filter(|bush| !is_measured(job, &bush.name));
    bushes.map(|bush| of_fit(job, bush)).collect()
}

/// Whether the clearance was measured itself, so that nobody need know bore and shaft.
pub(super) fn is_measured(job: &Job, of: &str) -> bool {
    job.reading(ReadingSubject::Clearance, of).and_then(LastRead::of).is_some()
}

/// What runs with a bush or a shaft.
pub(super) fn partner(subject: ReadingSubject) -> Option<ReadingSubject> {
    let pairs = [(ReadingSubject::Bush, ReadingSubject::Shaft), (ReadingSubject::Shaft, ReadingSubject::Bush)];
    pairs.into_iter().find(|(own, _)| *own == subject).map(|(_, partner)| partner)
}

/// The path of what runs with a bush or shaft, where it will not be read for a reason that is told.
pub(super) fn given_up_partner(job: &Job, subject: ReadingSubject, of: &str) -> Option<String> {
    let partner = partner(subject)?;
    let reading = job.reading(partner, of)?;
    let is_given_up = !is_measured(job, of) && LastRead::of(reading).is_none() && reading.because.is_some();
    is_given_up.then(|| partner.path(of))
}

fn of_fit(job: &Job, bush: BushQuestion) -> JobFinding {
    let path = ReadingSubject::Clearance.path(&bush.name);
    let read_again = read_again(job, &bush.name);
    let is_told = bush.within_mm.is_some();
    let wanted_before = job.reading(ReadingSubject::Clearance, &bush.name).map(wanted_before).unwrap_or_default();
    match bush_fits(&BushesQuestion { bushes: vec![bush], ..BushesQuestion::default() }) {
        Err(reasons) => {
            let told: Vec<String> = reasons.iter().map(|reason| format!("{reason}: {}", reason.hint())).collect();
            JobFinding::new(FindingWeight::Missing, path, "the clearance cannot be told", told.join("; "))
        }
        Ok(fits) => fits.bushes.first().map_or_else(
            || JobFinding::gap(ReadingSubject::Clearance, path.clone()),
            |fit| {
                let good_to = if is_told || !fit.is_sure { good_to(fit) } else { String::new() };
                judged(fit, path.clone(), read_again, &format!("{good_to}{wanted_before}"))
            },
        ),
    }
}

/// The paths of bore and shaft, as far as they were read as found and not again.
fn read_again(job: &Job, of: &str) -> Vec<String> {
    let subjects = [ReadingSubject::Bush, ReadingSubject::Shaft].into_iter();
    let as_found = subjects
        .filter(|&subject| job.reading(subject, of).and_then(LastRead::of).is_some_and(|last| last.only_as_found));
    as_found.map(|subject| subject.path(of)).collect()
}

/// What the clearance is good to.
fn good_to(fit: &BushFit) -> String {
    format!(", ±{} mm", micrometres(fit.good_to_mm))
}

/// What is said of a clearance; `besides` stands behind what is wanted.
fn judged(fit: &BushFit, path: String, read_again: Vec<String>, besides: &str) -> JobFinding {
    let [least, most] = fit.clearance_mm.map(micrometres);
    let clear = if least == most { format!("{least} mm clear") } else { format!("{least} to {most} mm clear") };
    if fit.clearance_mm[0] <= 0.0 {
        let because = "no clearance is left somewhere: too tight kills more pins than too loose";
        return JobFinding::new(FindingWeight::DoNotClose, path, format!("{clear}: it binds"), because);
    }
    let Some(([least, most], verdict)) = fit.allowed_mm.zip(fit.verdict) else {
        return JobFinding::not_judged(path, &clear);
    };
    let because = format!("wanted {} to {} mm{besides}", micrometres(least), micrometres(most));
    let stop = |fault: &str| {
        let when = match &read_again[..] {
            [] => " as left".to_owned(),
            [one] => format!(", {one} not read again"),
            _ => " as found".to_owned(),
        };
        JobFinding::new(FindingWeight::DoNotClose, path.clone(), format!("{clear}{when}: {fault}"), because.clone())
    };
    match verdict {
        BushVerdict::Worn | BushVerdict::TooTight if !fit.is_sure => {
            JobFinding::new(FindingWeight::Missing, path, format!("{clear}: measure more exactly, or again"), because)
        }
        BushVerdict::Worn => stop("too loose"),
        BushVerdict::TooTight => stop("too tight"),
        BushVerdict::Good => match &read_again[..] {
            [] => JobFinding::new(FindingWeight::Good, path, clear, because),
            [one] => {
                let says = format!("{clear}, {one} not read again");
                JobFinding::not_read_again(path, says, because, read_again)
            }
            _ => JobFinding::not_read_again(path, format!("{clear} as found, not read again"), because, read_again),
        },
    }
}

/// A length to the micrometre, which no reading is better than.
fn micrometres(mm: f64) -> String {
    let written = format!("{mm:.3}");
    written.trim_end_matches('0').trim_end_matches('.').to_owned()
}
