//! What does the record say: what must not be closed yet, what is missing, what is good?
//!
//! Every reading is judged by what is wanted of it and by what it is good to; a bush and its shaft, and the marks of all
//! pins, are judged together. What stays open is told with its reason. Nothing is taken as good that nobody read, and
//! nothing that was read when the unit was taken apart and not again: what is left in it is what counts.

mod clutches;
mod counts;
mod fits;
mod gaps;
mod marks;
mod rotors;
mod sizes;

use serde::Serialize;

use super::draft::DraftJobReading;
use super::last_read::LastRead;
use super::read::Job;
use super::subject::ReadingSubject;
use crate::timing::timing;

/// What a record says, and what is to be done about it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct JobVerdict {
    /// Whether nothing forbids closing the unit and nothing is missing.
    pub ready: bool,
    /// Everything that is said of the job, the weightiest first.
    pub findings: Vec<JobFinding>,
    /// The title of the gearset.
    pub gearset: String,
    /// The machine, where it is told.
    pub machine: Option<String>,
    /// The unit.
    pub unit: Option<String>,
    /// When the job was begun.
    pub date: Option<String>,
    /// Who does it.
    pub by: Option<String>,
}

/// One thing that is said of a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct JobFinding {
    /// How weighty it is.
    pub weight: FindingWeight,
    /// What it is about: the path of a reading, or a group of planets.
    pub about: String,
    /// What is so.
    pub says: String,
    /// Why that is said.
    pub because: String,
    /// Whether nothing was read at all: a gap in the record, and no fault of the unit.
    pub not_read: bool,
    /// Whether it was read and nothing is wanted of it, so that nobody can tell whether it is good.
    pub not_judged: bool,
    /// The paths of what was read as found and is to be read again, or said to be left as found.
    pub read_again: Vec<String>,
}

/// How weighty a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum FindingWeight {
    /// The unit must not be closed like this.
    #[serde(rename = "do not close")]
    DoNotClose,
    /// Something is not known that has to be.
    #[serde(rename = "missing")]
    Missing,
    /// Worth knowing, and in nobody's way.
    #[serde(rename = "noted")]
    Noted,
    /// As it is wanted.
    #[serde(rename = "good")]
    Good,
}

impl JobFinding {
    fn new(
        weight: FindingWeight,
        about: impl Into<String>,
        says: impl Into<String>,
        because: impl Into<String>,
    ) -> Self {
        Self {
            weight,
            about: about.into(),
            says: says.into(),
            because: because.into(),
            not_read: false,
            not_judged: false,
            read_again: Vec::new(),
        }
    }

    /// Something that would be good, and of which these were read as found and not again.
    fn not_read_again(
        path: String,
        says: impl Into<String>,
        because: impl Into<String>,
        read_again: Vec<String>,
    ) -> Self {
        Self { read_again, ..Self::new(FindingWeight::Missing, path, says, because) }
    }

    /// A size of which nobody has said what it should be.
    fn not_judged(path: String, read: &str) -> Self {
        let because = format!("nothing is wanted of {path}: enter what the maker's book says");
        let says = format!("{read}, not judged");
        Self { not_judged: true, ..Self::new(FindingWeight::Noted, path, says, because) }
    }

    /// A reading that nobody took and that nobody gave a reason for.
    fn gap(subject: ReadingSubject, path: String) -> Self {
        let says = format!("{} not read yet", subject.phrase());
        let because = "nobody can tell whether it is good";
        Self { not_read: true, ..Self::new(FindingWeight::Missing, path, says, because) }
    }
}

impl JobVerdict {
    /// How many findings are of a weight.
    pub fn count(&self, weight: FindingWeight) -> usize {
        self.findings.iter().filter(|finding| finding.weight == weight).count()
    }
}

/// What the record of a job says.
///
/// # Examples
/// ```
/// use toothmark::{description, job::{self, JobEntry, FindingWeight}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let text = job::write(&job::blank(&set));
/// let text = job::enter(&text, &[JobEntry::typed("count.L.found=21").unwrap()], None).unwrap();
/// let verdict = job::judge(&job::read(&text).unwrap());
/// assert!(!verdict.ready);
/// let first = &verdict.findings[0];
/// assert_eq!((first.weight, first.about.as_str()), (FindingWeight::DoNotClose, "count.L"));
/// ```
pub fn judge(job: &Job) -> JobVerdict {
    let mut findings = assembly(job);
    findings.extend(marks::findings(job));
    findings.extend(job.readings().filter_map(|(subject, of, reading)| of_reading(job, subject, of, reading)));
    findings.extend(fits::findings(job));
    findings.extend(gaps::findings(job));
    // The order of the file within each weight.
    findings.sort_by_key(|finding| finding.weight);
    let text = |field: &Option<crate::syntax::Spanned<String>>| field.as_ref().map(|text| (**text).clone());
    let draft = job.draft();
    JobVerdict {
        ready: findings.iter().all(|finding| finding.weight >= FindingWeight::Noted),
        findings,
        gearset: job.gearset().title().to_owned(),
        machine: text(&draft.machine),
        unit: text(&draft.unit),
        date: text(&draft.date),
        by: text(&draft.by),
    }
}

/// A set that does not assemble as described is not closed by good readings.
fn assembly(job: &Job) -> Vec<JobFinding> {
    let set = job.gearset();
    let timed = timing(set);
    let stuck = timed.groups.iter().filter(|group| !group.assembles);
    let finding = |planets: &[crate::gearset::MemberId]| {
        let names: Vec<&str> = planets.iter().map(|&planet| set.member(planet).name()).collect();
        JobFinding::new(
            FindingWeight::DoNotClose,
            names.join(" and "),
            "does not assemble as described",
            "the tooth counts and pins of the description do not go together: count again, or ask toothmark timing",
        )
    };
    stuck.map(|group| finding(&group.planets)).collect()
}

/// What is said of one reading by itself; marks, bushes and shafts that were read are judged together, and what the bench
/// asks of a rotor or a clutch is judged by its answers.
fn of_reading(job: &Job, subject: ReadingSubject, of: &str, reading: &DraftJobReading) -> Option<JobFinding> {
    let path = subject.path(of);
    let because = reading.because.as_ref().map(|because| (**because).clone());
    let Some(last) = LastRead::of(reading) else {
        return because.map(|because| JobFinding::new(FindingWeight::Noted, path, "not read", because));
    };
    match subject {
        ReadingSubject::Mark => None,
        ReadingSubject::Balance => rotors::finding(job, of, path, reading, &last),
        ReadingSubject::Finger => clutches::of_finger(job, of, path, reading, &last),
        ReadingSubject::Pack => clutches::of_pack(job, of, path, &last),
        // Without a size of its own that is wanted, it is judged by the clearance alone.
        ReadingSubject::Bush | ReadingSubject::Shaft if reading.wanted.is_empty() => {
            let alone = fits::given_up_partner(job, subject, of);
            alone.map(|partner| JobFinding {
                because: format!("{partner} is not read"),
                ..JobFinding::not_judged(path, &last.shown())
            })
        }
        ReadingSubject::Oil if last.only_as_found => Some(JobFinding::not_read_again(
            path.clone(),
            format!("{} as found, not read again", last.shown()),
            "what is left in the unit is what counts",
            vec![path],
        )),
        ReadingSubject::Oil | ReadingSubject::Exchanged | ReadingSubject::Note | ReadingSubject::Hole => {
            Some(JobFinding::new(
                FindingWeight::Noted,
                path,
                last.shown(),
                because.unwrap_or_else(|| subject.phrase().into()),
            ))
        }
        ReadingSubject::Count => Some(counts::finding(job.gearset(), of, reading, &last)),
        ReadingSubject::Backlash
        | ReadingSubject::Bush
        | ReadingSubject::Shaft
        | ReadingSubject::Clearance
        | ReadingSubject::Float
        | ReadingSubject::PinRadius
        | ReadingSubject::RunOut
        | ReadingSubject::Spring
        | ReadingSubject::SpringForce
        | ReadingSubject::Band
        | ReadingSubject::Lining => Some(sizes::finding(subject, path, reading, &last)),
    }
}
