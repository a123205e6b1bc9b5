//! Is no more unbalance left than is wanted?
//!
//! The question of `bench balance`, asked of a member of which the unbalance was read; where holes were drilled since,
//! the reading says nothing any more.

use super::{FindingWeight, JobFinding, sizes};
use crate::bench::{BalanceVerdict, balance};
use crate::exact::decimal;
use crate::job::balance_question::RecordedBalance;
use crate::job::draft::DraftJobReading;
use crate::job::last_read::LastRead;
use crate::job::read::Job;

/// What is said of the unbalance of a member.
pub(super) fn finding(
    job: &Job,
    member: &str,
    path: String,
    reading: &DraftJobReading,
    last: &LastRead<'_>,
) -> Option<JobFinding> {
    let recorded = job.balance(member)?;
    let shown = last.shown();
    let Some(allowed) = reading.wanted.last().and_then(|most| most.size()) else {
        return Some(JobFinding::not_judged(path, &shown));
    };
    let because = sizes::because_of_wanted(reading);
    let told = |weight, says: String, because: String| Some(JobFinding::new(weight, path.clone(), says, because));
    match balance(&recorded.question()).map(|told| told.verdict) {
        Err(reason) => {
            told(FindingWeight::Missing, "the balance cannot be told".into(), format!("{reason}: {}", reason.hint()))
        }
        Ok(BalanceVerdict::WithinAllowed) if recorded.drilled_since => {
            told(FindingWeight::Missing, format!("{shown}, weighed before holes were drilled: weigh again"), because)
        }
        Ok(BalanceVerdict::WithinAllowed) if last.only_as_found => {
            let says = format!("{shown} as found, not read again");
            Some(JobFinding::not_read_again(path.clone(), says, because, vec![path.clone()]))
        }
        Ok(BalanceVerdict::WithinAllowed) => told(FindingWeight::Good, shown, because),
        Ok(_) => {
            let drill = plan_command(&recorded, member);
            let because = format!("no more than {} g mm is wanted; {drill}", decimal(&allowed, 9));
            told(FindingWeight::DoNotClose, format!("{shown} {}", last.when()), because)
        }
    }
}

/// What tells where to drill.
fn plan_command(recorded: &RecordedBalance, member: &str) -> String {
    if recorded.degrees.is_some() {
        format!("toothmark bench balance FILE --part {member:?} tells where to drill")
    } else {
        "weigh again and enter the angle as well, such as 2122 at 100 deg".to_owned()
    }
}
