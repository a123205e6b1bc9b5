//! Are the fingers of a clutch set, and does its pack alternate?
//!
//! The questions of `bench clutch`, asked of a finger by itself and of a pack.

use super::{FindingWeight, JobFinding, sizes};
use crate::bench::{CannotSetClutch, ClutchQuestion, FingersQuestion, PackOrder, clutch};
use crate::job::draft::DraftJobReading;
use crate::job::last_read::LastRead;
use crate::job::read::Job;
use crate::job::subject::ReadingSubject;

/// What is said of the gap at a finger.
pub(super) fn of_finger(
    job: &Job,
    of: &str,
    path: String,
    reading: &DraftJobReading,
    last: &LastRead<'_>,
) -> Option<JobFinding> {
    let question = job.finger_question(of)?;
    if question.wanted_mm.is_none() {
        return Some(JobFinding::not_judged(path, &last.shown()));
    }
    let is_range = reading.wanted.len() > 1;
    let because = because(reading, &question);
    Some(match clutch(None, &ClutchQuestion { fingers: Some(question), ..ClutchQuestion::default() }) {
        Err(reasons) => cannot(path, &reasons),
        Ok(setting) if setting.good => {
            let shown = last.shown();
            if last.only_as_found {
                let says = format!("{shown} as found, not read again");
                JobFinding::not_read_again(path.clone(), says, because, vec![path])
            } else {
                JobFinding::new(FindingWeight::Good, path, shown, because)
            }
        }
        // Out of a range by less than the reading is good to is not decided.
        Ok(_) if is_range => sizes::finding(ReadingSubject::Finger, path, reading, last),
        Ok(_) => {
            let says = format!("{} {}", last.shown(), last.when());
            let because = format!("{because}; toothmark bench clutch FILE tells what to turn");
            JobFinding::new(FindingWeight::DoNotClose, path, says, because)
        }
    })
}

/// What is wanted of a finger, and how far off it may be.
fn because(reading: &DraftJobReading, question: &FingersQuestion) -> String {
    if reading.wanted.len() > 1 {
        return sizes::because_of_wanted(reading);
    }
    let within = question.within_mm.unwrap_or(FingersQuestion::USUAL_WITHIN_MM);
    let wanted = question.wanted_mm.unwrap_or_default();
    format!("wanted {wanted} mm, {within} mm off at most")
}

/// What is said of the order of a pack.
pub(super) fn of_pack(job: &Job, of: &str, path: String, last: &LastRead<'_>) -> Option<JobFinding> {
    let question = ClutchQuestion { pack: job.pack_question(Some(of)), ..ClutchQuestion::default() };
    Some(match clutch(None, &question) {
        Err(reasons) => cannot(path, &reasons),
        Ok(setting) => {
            let PackOrder { discs, faces, alternates, .. } = setting.pack?;
            let says = format!("{discs} discs, {faces} pairs of faces");
            let shown = last.shown();
            match (alternates, last.only_as_found) {
                (true, false) => {
                    JobFinding::new(FindingWeight::Good, path, says, format!("the kinds take turns in {shown}"))
                }
                (true, true) => JobFinding::not_read_again(
                    path.clone(),
                    format!("{says} as found, not read again"),
                    format!("the kinds take turns in {shown}"),
                    vec![path],
                ),
                (false, _) => JobFinding::new(
                    FindingWeight::DoNotClose,
                    path,
                    format!("two of a kind lie on one another: {says} {}", last.when()),
                    format!("in {shown}; toothmark bench clutch FILE tells where"),
                ),
            }
        }
    })
}

fn cannot(path: String, reasons: &[CannotSetClutch]) -> JobFinding {
    let told: Vec<String> = reasons.iter().map(|reason| format!("{reason}: {}", reason.hint())).collect();
    JobFinding::new(FindingWeight::Missing, path, "the clutch cannot be told", told.join("; "))
}
