//! The file of a job: read, judged, written, read again; then readings are entered that stand below it, one a line.

use toothmark::job::{self, Job, JobEntry};
use toothmark::requests::{AskedAbout, BalanceOptions, BushesOptions, ClutchOptions, FloatOptions, Question};

use super::PARTING;
use super::description::sheet;
use super::forms::show;

/// As many entries as are typed at once.
const MOST_ENTRIES: usize = 8;

/// Whatever can be made of the file of a job.
pub(crate) fn job(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let (file, typed) = text.split_once(PARTING).unwrap_or((&text, ""));
    let typed = typed.lines().take(MOST_ENTRIES).map(JobEntry::typed);
    let entries: Vec<JobEntry> = typed.filter_map(|typed| typed.map_err(|told| told.hint()).ok()).collect();
    let before = match job::read_bytes(file.as_bytes()) {
        Ok(job) => job,
        Err(faults) => {
            assert!(faults.iter().all(|fault| !fault.to_string().is_empty()), "every fault is told");
            // What cannot be read is not entered into.
            let entered = job::enter(file, &entries, None);
            assert!(entries.is_empty() || entered.is_err(), "nothing is entered into what is no job");
            return;
        }
    };
    judge(&before);
    let entered = match job::enter(file, &entries, Some("2026-11-29")) {
        Ok(entered) => entered,
        Err(reason) => {
            assert!(!reason.to_string().is_empty() || !reason.hint().is_empty(), "a reason is told");
            return;
        }
    };
    let after = job::read(&entered).unwrap_or_else(|faults| panic!("what was entered is read: {faults:?}\n{entered}"));
    judge(&after);
    show(after.gearset(), &job::difference(&before, &after));
}

/// What a job says, and the questions that take their readings from it.
fn judge(job: &Job) {
    let text = job::write(job.draft());
    let again = job::read(&text).unwrap_or_else(|faults| panic!("what was written is read: {faults:?}\n{text}"));
    assert_eq!(&again, job, "what was written is the same job:\n{text}");
    show(job.gearset(), &job::judge(job));
    sheet(job);
    ask::<BalanceOptions>(&text);
    ask::<BushesOptions>(&text);
    ask::<ClutchOptions>(&text);
    ask::<FloatOptions>(&text);
}

fn ask<Q: Question>(text: &str) {
    if let Ok((set, answer)) = Q::default().ask(&mut AskedAbout::of_text(text)) {
        show(&set, &answer);
    }
}
