//! Does what runs in a bush have the clearance that is wanted?
//!
//! The question of `bench bushes`, asked of every bush that was read with its shaft; where the clearance was measured
//! itself, it is judged as any other size.

use super::{FindingWeight, JobFinding};
use crate::bench::{BushFit, BushQuestion, BushVerdict, BushesQuestion, bush_fits};
use crate::job::last_read::LastRead;
use crate::job::read::Job;
use crate::job::subject::ReadingSubject;

/// What is said of every bush and shaft that were both read.
pub(super) fn findings(job: &Job) -> Vec<JobFinding> {
    let bushes = job.bushes_question().bushes.into_iter().filter(|bush| !is_measured(job, &bush.name));
    bushes.map(|bush| of_fit(job, bush)).chain(without_partner(job)).collect()
}

/// Whether the clearance was measured itself.
fn is_measured(job: &Job, of: &str) -> bool {
    job.reading(ReadingSubject::Clearance, of).and_then(LastRead::of).is_some()
}

/// A bush or a shaft that was read, and the job has no row for what it runs with.
fn without_partner(job: &Job) -> Vec<JobFinding> {
    let alone = job.readings().filter_map(|(subject, of, reading)| {
        LastRead::of(reading)?;
        let partner = [(ReadingSubject::Bush, ReadingSubject::Shaft), (ReadingSubject::Shaft, ReadingSubject::Bush)];
        let (_, partner) = partner.into_iter().find(|(own, _)| *own == subject)?;
        let has_row = job.reading(partner, of).is_some() || is_measured(job, of);
        (!has_row).then(|| JobFinding::gap(partner, partner.path(of)))
    });
    alone.collect()
}

fn of_fit(job: &Job, bush: BushQuestion) -> JobFinding {
    let path = ReadingSubject::Clearance.path(&bush.name);
    let name = bush.name.clone();
    match bush_fits(&BushesQuestion { bushes: vec![bush], ..BushesQuestion::default() }) {
        Err(reasons) => {
            let told: Vec<String> = reasons.iter().map(|reason| format!("{reason}: {}", reason.hint())).collect();
            JobFinding::new(FindingWeight::Missing, path, "the clearance cannot be told", told.join("; "))
        }
        Ok(fits) => fits.bushes.first().map_or_else(
            || JobFinding::gap(ReadingSubject::Clearance, path.clone()),
            |fit| judged(fit, path.clone(), when_read(job, &name)),
        ),
    }
}

/// When bore and shaft were read, as it is said of a clearance that is not good: as that of them which was read earlier.
fn when_read(job: &Job, of: &str) -> &'static str {
    let subjects = [ReadingSubject::Bush, ReadingSubject::Shaft];
    let read = subjects.into_iter().filter_map(|subject| LastRead::of(job.reading(subject, of)?));
    read.max_by_key(|last| last.only_as_found).map_or("", |last| last.when())
}

fn judged(fit: &BushFit, path: String, when: &str) -> JobFinding {
    let [least, most] = fit.clearance_mm.map(micrometres);
    let says = if least == most { format!("{least} mm clear") } else { format!("{least} to {most} mm clear") };
    let good_to = micrometres(fit.good_to_mm);
    if fit.clearance_mm[0] <= 0.0 {
        let because = "no clearance is left somewhere: too tight kills more pins than too loose";
        return JobFinding::new(FindingWeight::DoNotClose, path, format!("{says}: it binds"), because);
    }
    let Some(([least, most], verdict)) = fit.allowed_mm.zip(fit.verdict) else {
        return JobFinding::not_judged(path, &says);
    };
    let because = format!("wanted {} to {} mm, readings good to {good_to} mm", micrometres(least), micrometres(most));
    match verdict {
        BushVerdict::Good => JobFinding::new(FindingWeight::Good, path, says, because),
        BushVerdict::Worn | BushVerdict::TooTight if !fit.is_sure => {
            JobFinding::new(FindingWeight::Missing, path, format!("{says}: measure more exactly, or again"), because)
        }
        BushVerdict::Worn => {
            JobFinding::new(FindingWeight::DoNotClose, path, format!("{says} {when}: too loose"), because)
        }
        BushVerdict::TooTight => {
            JobFinding::new(FindingWeight::DoNotClose, path, format!("{says} {when}: too tight"), because)
        }
    }
}

/// A length to the micrometre, which no reading is better than.
fn micrometres(mm: f64) -> String {
    let written = format!("{mm:.3}");
    written.trim_end_matches('0').trim_end_matches('.').to_owned()
}
