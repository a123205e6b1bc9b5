//! Is the set in time by the marks that were read?
//!
//! The marks of all pins are one question, which the timing of marks as found answers; those as left come first.

use super::{FindingWeight, JobFinding};
use crate::gearset::{Gearset, PlanetGroup};
use crate::job::group_marks::GroupMarks;
use crate::job::last_read::LastRead;
use crate::job::pins::{PinName, pins};
use crate::job::read::Job;
use crate::job::subject::ReadingSubject;
use crate::timing::{NoFoundAnswer, found};

/// What is said of the marks of every group of planets that were read.
pub(super) fn findings(job: &Job) -> Vec<JobFinding> {
    let pins = pins(job.gearset());
    job.gearset().planet_groups().iter().filter_map(|group| of_group(job, group, &pins)).collect()
}

fn of_group(job: &Job, group: &PlanetGroup, pins: &[PinName]) -> Option<JobFinding> {
    let GroupMarks { marks, only_as_found } = GroupMarks::read_last(job, group, pins)?;
    let about = format!("{}.{}", ReadingSubject::Mark.word(), *marks.planet);
    let again = read_again(job, group, pins);
    let when = if only_as_found { "as found" } else { "as left" };
    let mut draft = job.gearset().draft().clone();
    draft.found = Some(marks);
    let told =
        Gearset::new(draft).map_err(|problems| problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "));
    let answer = told.and_then(|set| found(&set).map_err(|reason: NoFoundAnswer| reason.to_string()));
    Some(match answer {
        Err(reason) => {
            JobFinding::new(FindingWeight::Missing, about, format!("the marks {when} cannot be judged"), reason)
        }
        Ok(answer) if answer.in_time && again.is_empty() => {
            JobFinding::new(FindingWeight::Good, about, "in time by the marks as left", "the marks of all pins agree")
        }
        Ok(answer) if answer.in_time => {
            let says = if only_as_found {
                "in time by the marks as found, not read again".to_owned()
            } else {
                format!("in time by the marks as left, but not read again: {}", again.join(", "))
            };
            let because = "if a planet was out since, read its mark before the case is closed";
            JobFinding::not_read_again(about, says, because, again)
        }
        Ok(answer) => {
            let out: Vec<String> = answer.explanations.first().map_or_else(Vec::new, |explanation| {
                explanation.out().map(|(pin, _)| format!("pin {}", pin.pin)).collect()
            });
            let who = if out.is_empty() { "the set".to_owned() } else { out.join(" and ") };
            JobFinding::new(
                FindingWeight::DoNotClose,
                about,
                format!("{who} out of time by the marks {when}"),
                "ask toothmark found how to turn it",
            )
        }
    })
}

/// The paths of the marks of a group that were read as found and not again.
fn read_again(job: &Job, group: &PlanetGroup, pins: &[PinName]) -> Vec<String> {
    let own = pins.iter().filter(|pin| group.planets().contains(&pin.planet));
    let is_as_found = |pin: &&PinName| {
        let last = job.reading(ReadingSubject::Mark, &pin.name).and_then(LastRead::of);
        last.is_some_and(|last| last.only_as_found)
    };
    own.filter(is_as_found).map(|pin| ReadingSubject::Mark.path(&pin.name)).collect()
}
