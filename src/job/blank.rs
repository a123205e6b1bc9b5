//! A job in which nothing is written yet: everything that is worth reading on this gearset, with what is wanted of it.

use std::collections::BTreeSet;

use super::draft::{DraftJob, DraftJobReading, JOB_VERSION};
use super::pins::pins;
use super::subject::ReadingSubject;
use super::value::JobValue;
use crate::bench::bearing_names;
use crate::gearset::{Action, Bearing, Gearset, MemberId, Place, Side};
use crate::timing::timing;

/// A job about a gearset that begins.
///
/// # Examples
/// ```
/// use toothmark::{description, job};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let begun = job::Job::new(job::blank(&set)).unwrap();
/// assert!(begun.reading(job::ReadingSubject::Bush, "pin 3").unwrap().left.is_empty());
/// assert_eq!(job::read(&job::write(begun.draft())).unwrap(), begun);
/// ```
pub fn blank(set: &Gearset) -> DraftJob {
    DraftJob {
        version: JOB_VERSION.into(),
        seen: Some(Side::Input),
        readings: asked(set),
        gearset: set.draft().clone(),
        ..DraftJob::default()
    }
}

/// Everything that has to be read on this gearset before it is closed, still blank.
pub(super) fn asked(set: &Gearset) -> Vec<DraftJobReading> {
    let mut asked =
        [counts(set), marks(set), backlashes(set), bushes(set), turning(set), controls(set), oil()].concat();
    // Two bands may share a drum, whose run-out is read once.
    let mut paths = BTreeSet::new();
    asked.retain(|reading| paths.insert(reading.path.to_string()));
    asked
}

fn nothing_read(subject: ReadingSubject, of: &str) -> DraftJobReading {
    DraftJobReading::new(subject.path(of))
}

fn counts(set: &Gearset) -> Vec<DraftJobReading> {
    let count = |gear: &crate::gearset::Gear| {
        let wanted = vec![JobValue::Count(gear.tooth_count().get().into()).into()];
        DraftJobReading { wanted, ..nothing_read(ReadingSubject::Count, gear.name()) }
    };
    set.gears().iter().map(count).collect()
}

/// The marks of planets that go in by marks.
fn marks(set: &Gearset) -> Vec<DraftJobReading> {
    let timed = timing(set);
    let is_marked = |planet: &MemberId| {
        timed.groups.iter().any(|group| group.planets.contains(planet) && group.convention.has_marks())
    };
    let marked = pins(set).into_iter().filter(|pin| is_marked(&pin.planet));
    marked.map(|pin| nothing_read(ReadingSubject::Mark, &pin.name)).collect()
}

fn backlashes(set: &Gearset) -> Vec<DraftJobReading> {
    set.mesh_ids().map(|mesh| nothing_read(ReadingSubject::Backlash, &set.mesh_name(mesh))).collect()
}

/// The bush and the pin or shaft of every bearing.
fn bushes(set: &Gearset) -> Vec<DraftJobReading> {
    let on_pins = pins(set).into_iter().map(|pin| pin.name);
    let is_on_no_pin = |bearing: &Bearing| bearing.members().each().iter().all(|&it| set.carrier_of(it).is_none());
    let described = set.bearings().iter().zip(bearing_names(set)).filter(|(bearing, _)| is_on_no_pin(bearing));
    let described = described.map(|(_, name)| name);
    let of_bearing =
        |name: String| [ReadingSubject::Bush, ReadingSubject::Shaft].map(|subject| nothing_read(subject, &name));
    on_pins.chain(described).flat_map(of_bearing).collect()
}

/// The end float of everything that turns on the main axis.
fn turning(set: &Gearset) -> Vec<DraftJobReading> {
    let members = set.members().iter().filter(|member| *member.place() == Place::MainAxis);
    members.map(|member| nothing_read(ReadingSubject::Float, member.name())).collect()
}

/// Gap and lining of every band, and the run-out of its drum.
fn controls(set: &Gearset) -> Vec<DraftJobReading> {
    let of_band = |control: &crate::gearset::Control| match control.action() {
        Action::Band(drum) => {
            let name = control.name();
            let drum = nothing_read(ReadingSubject::RunOut, set.member(drum).name());
            vec![drum, nothing_read(ReadingSubject::Band, name), nothing_read(ReadingSubject::Lining, name)]
        }
        Action::Clutch(_) | Action::OneWayClutch(..) => Vec::new(),
    };
    set.controls().iter().flat_map(of_band).collect()
}

fn oil() -> Vec<DraftJobReading> {
    vec![nothing_read(ReadingSubject::Oil, "gearbox")]
}
