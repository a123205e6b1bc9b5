//! The marks of the pins as they were read last, told as a description tells marks that were found.

use super::draft::DraftJobReading;
use super::pins::{PinName, pins};
use super::read::Job;
use super::subject::ReadingSubject;
use super::value::JobValue;
use crate::gearset::{Draft, DraftFound, DraftMark, DraftMarks, Gearset, PlanetGroup};

/// The marks of a group of planets.
pub(super) struct GroupMarks {
    pub(super) marks: DraftFound,
    /// They were read when the unit was taken apart, and not again.
    pub(super) only_as_found: bool,
}

impl GroupMarks {
    /// As left, or as found where no pin has one that was left; none where nothing was read.
    pub(super) fn read_last(job: &Job, group: &PlanetGroup, pins: &[PinName]) -> Option<Self> {
        let as_left = marks_of(job, group, pins, |reading| reading.left.first().map(|value| &**value));
        let only_as_found = as_left.is_none();
        let as_found = || marks_of(job, group, pins, |reading| reading.found.first().map(|value| &**value));
        Some(Self { marks: as_left.or_else(as_found)?, only_as_found })
    }
}

impl Job {
    /// The description in the job, with the marks that were read last as marks that were found, where they are of its
    /// planets: whatever takes a description judges them as the job does.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, gearset::Gearset, job::{self, JobEntry}, timing};
    /// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    /// let marks = ["mark.pin 1.left=0 teeth d", "mark.pin 2.left=-10 teeth d", "mark.pin 3.left=9 teeth d"];
    /// let marks = marks.map(|typed| JobEntry::typed(typed).unwrap());
    /// let job = job::read(&job::enter(&job::write(&job::blank(&set)), &marks, None).unwrap()).unwrap();
    /// let set = Gearset::new(job.description()).unwrap();
    /// assert!(!timing::found(&set).unwrap().in_time);
    /// ```
    pub fn description(&self) -> Draft {
        let pins = pins(self.gearset());
        let mut groups = self.gearset().planet_groups().iter();
        let read = groups.find_map(|group| GroupMarks::read_last(self, group, &pins));
        let described = || self.draft().gearset.clone();
        let with_marks = read.map(|read| Draft { found: Some(read.marks), ..described() });
        with_marks.filter(|draft| Gearset::new(draft.clone()).is_ok()).unwrap_or_else(described)
    }
}

/// The marks of a group as one of the columns has them; none where nothing was read in it.
fn marks_of(
    job: &Job,
    group: &PlanetGroup,
    pins: &[PinName],
    column: impl Fn(&DraftJobReading) -> Option<&JobValue>,
) -> Option<DraftFound> {
    let mark = |pin: &PinName| {
        job.reading(ReadingSubject::Mark, &pin.name).and_then(&column).map_or(DraftMark::Unread, as_mark)
    };
    let of_planet = |&planet: &_| {
        let mut own: Vec<&PinName> = pins.iter().filter(|pin| pin.planet == planet).collect();
        own.sort_by_key(|pin| pin.pin);
        let marks: Vec<DraftMark> = own.into_iter().map(mark).collect();
        let is_read = marks.iter().any(|mark| *mark != DraftMark::Unread);
        is_read.then(|| (job.gearset().member(planet).name().to_owned(), marks))
    };
    let mut read = group.planets().iter().filter_map(of_planet);
    let (planet, marks) = read.next()?;
    let beside = read.map(|(planet, marks)| DraftMarks { planet: planet.into(), marks }).collect();
    let seen = job.seen_from();
    Some(DraftFound { seen, planet: planet.into(), marks, beside, within: None })
}

fn as_mark(value: &JobValue) -> DraftMark {
    match value {
        JobValue::Teeth(gear, teeth) => DraftMark::teeth(gear.as_str(), teeth.clone()),
        JobValue::Degrees(degrees) => DraftMark::degrees(degrees.clone()),
        JobValue::Length(_)
        | JobValue::Count(_)
        | JobValue::GramMillimetres(..)
        | JobValue::Hole(..)
        | JobValue::Newtons(_)
        | JobValue::Words(_) => DraftMark::Unread,
    }
}
