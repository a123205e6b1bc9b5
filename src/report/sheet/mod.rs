//! The job sheet: what lies beside the gearset on the bench, and what is filed when the job is done.
//!
//! What the record says stands first where anything was read; then the conventions, since a list read from the wrong side
//! is a wrong list; the parts to count, how every planet is set in both views, and every reading as wanted, found and
//! left, blank where nothing was read. What to beware of stands where it is met.

use crate::exact::part_of_turn;
use crate::gearset::{Gearset, MemberId, Place, PlanetGroup, Side, Spanned};
use crate::job::{DraftJobReading, Job, JobValue, ReadingSubject, SubjectOf, judge, pin_name};
use crate::kinematics::Ratios;
use crate::report::answer::Answer;
use crate::report::ratios::overview;
use crate::report::render::document::{Block, CaptionedPicture, Document, Fact, Table};
use crate::report::timing::{self, nearest_tooth, spacings, teeth_with_side};
use crate::report::words::{self, degrees};
use crate::timing::{GearTurn, GroupTiming, MarkingConvention, PinTiming, Timing};

/// What a job sheet is made of.
#[derive(Debug, Clone)]
pub struct JobSheet<'a> {
    /// The job; one in which nothing is written gives a blank sheet.
    pub job: &'a Job,
    /// How the planets go together.
    pub timing: &'a Timing,
    /// The states and their ratios.
    pub ratios: &'a Ratios,
    /// Pictures of the groups, as drawn.
    pub pictures: &'a [CaptionedPicture],
}

impl JobSheet<'_> {
    /// The sheet for a person with a pencil, or for the file.
    pub fn document(&self) -> Document {
        let set = self.job.gearset();
        let mut blocks = vec![heading(self.job)];
        blocks.extend(verdict(self.job));
        blocks.push(Block::Heading("Conventions".into()));
        blocks.push(Block::Facts(conventions(set, self.timing)));
        blocks.extend(timing::caution_of_views(set));
        blocks.push(Block::Heading("Parts".into()));
        blocks.extend(timing::cautions_of_taking_apart(set));
        blocks.push(parts(self.job));
        blocks.extend(self.timing.groups.iter().flat_map(|timing| group(self.job, timing)));
        blocks.extend(self.pictures.iter().cloned().map(Block::Picture));
        if !self.ratios.states.is_empty() {
            blocks.push(Block::Heading("Ratios to turn by hand".into()));
            blocks.push(Block::Table(overview(self.ratios, set)));
        }
        blocks.push(Block::Heading("Readings".into()));
        blocks.push(readings(self.job));
        blocks.push(timing::caution_of_strength());
        Document { title: format!("Job sheet: {}", set.title()), blocks }
    }
}

/// Machine, unit, date and name, as far as they are told.
fn heading(job: &Job) -> Block {
    let draft = job.draft();
    let told = [&draft.machine, &draft.unit, &draft.date, &draft.by];
    let row = told.map(|text| text.as_ref().map(|text| (**text).clone()).unwrap_or_default());
    table("", &["machine", "unit and its number", "date", "by"], vec![row.to_vec()])
}

/// What the record says, where anything was read.
fn verdict(job: &Job) -> Vec<Block> {
    let is_read = |reading: &DraftJobReading| !reading.found.is_empty() || !reading.left.is_empty();
    if !job.readings().any(|(_, _, reading)| is_read(reading)) {
        return Vec::new();
    }
    let verdict = judge(job);
    let heading = Block::Heading("What the record says".into());
    [heading].into_iter().chain(verdict.summary(job.gearset())).chain(verdict.details(job.gearset())).collect()
}

/// What is told of a group, and how each planet is set in both views.
fn group(job: &Job, group: &GroupTiming) -> Vec<Block> {
    let set = job.gearset();
    let mut told = timing::of_group(set, group);
    if group.pin_count > 1 && group.convention != MarkingConvention::Individual {
        told.push(timing::pin_order(group.pin_order));
    }
    let mut blocks = vec![Block::Heading(timing::heading(set, group)), Block::Statements(told)];
    blocks.extend(timing::facts(set, group));
    if !group.pins_assemble() {
        blocks.extend(timing::needed(set, group));
        return blocks;
    }
    blocks.extend(timing::caution_of_planets(set));
    blocks.push(settings(job, group));
    if group.pin_count > 1 {
        blocks.push(Block::Table(spacings(set, &group.central_spacings)));
    }
    blocks
}

/// A row for every gear on every pin, with its setting where a mark is needed, and columns to fill in.
fn settings(job: &Job, group: &GroupTiming) -> Block {
    let set = job.gearset();
    if !group.convention.has_marks() {
        let headings = ["pin", "gear", "at, input side", "at, output side", "as found", "as left"];
        let rows = group.pins.iter().flat_map(|pin| pin.gears.iter().map(|turned| place_row(set, pin, turned)));
        return table("Places of the pins in degrees, counter-clockwise in each view", &headings, rows.collect());
    }
    let headings = [
        "pin",
        "gear",
        "at, input side",
        "mark, input side",
        "at, output side",
        "mark, output side",
        "as found",
        "as left",
    ];
    let caption =
        "Places of the pins in degrees, counter-clockwise in each view; marks in whole teeth, in brackets exactly";
    let rows = group.pins.iter().flat_map(|pin| pin.gears.iter().map(|turned| mark_row(job, group, pin, turned)));
    table(caption, &headings, rows.collect())
}

fn place_row(set: &Gearset, pin: &PinTiming, turned: &GearTurn) -> Vec<String> {
    let places = [Side::Input, Side::Output].map(|view| degrees(&part_of_turn(&view.seen(&pin.place))));
    to_fill_in([pin.pin.to_string(), words::gear(set, turned.gear)].into_iter().chain(places), 6)
}

fn mark_row(job: &Job, group: &GroupTiming, pin: &PinTiming, turned: &GearTurn) -> Vec<String> {
    let set = job.gearset();
    let in_view = |view: Side| {
        let teeth = set.turn_seen(view, turned.planet, &turned.teeth);
        let exactly = if teeth.is_integer() { String::new() } else { format!(" ({})", teeth_with_side(&teeth)) };
        [degrees(&part_of_turn(&view.seen(&pin.place))), format!("{}{exactly}", nearest_tooth(&teeth))]
    };
    let reads_best = group.settings.iter().any(|setting| {
        setting.pin == pin.pin && setting.counted.as_ref().is_some_and(|counted| counted.gear == turned.gear)
    });
    let gear = format!("{}{}", words::gear(set, turned.gear), if reads_best { ", reads best" } else { "" });
    let views = [Side::Input, Side::Output].into_iter().flat_map(in_view);
    let read = if reads_best { mark_read(job, turned.planet, pin.pin) } else { Vec::new() };
    to_fill_in([pin.pin.to_string(), gear].into_iter().chain(views).chain(read), 8)
}

fn conventions(set: &Gearset, timing: &Timing) -> Vec<Fact> {
    let mut facts = vec![
        Fact::new("input side", "you look at the side where the input comes in"),
        Fact::new("output side", "you look from the other side: every sense is turned over"),
        Fact::new("ccw", "counter-clockwise, in the view that the column names"),
    ];
    if !set.planet_groups().is_empty() {
        facts.push(Fact::new("pins", "numbered in the order of the description; write the number beside each pin"));
    }
    if timing.groups.iter().any(|group| group.convention.has_marks()) {
        let bevel = set.planet_groups().iter().flat_map(PlanetGroup::planets).any(|&planet| set.is_bevel(planet));
        let of_bevels = if bevel { ", of bevel planets along the main axis to the input side" } else { "" };
        let mark = format!("the same tooth on every planet; in the lists it points to the centre on pin 1{of_bevels}");
        facts.extend([
            Fact::new("mark", mark),
            Fact::new(
                "counting",
                "from the tooth nearest to the line to the centre round to the mark, in the view named",
            ),
        ]);
    }
    facts
}

/// What the mark on a pin showed as found and as left.
fn mark_read(job: &Job, planet: MemberId, pin: usize) -> Vec<String> {
    let name = pin_name(job.gearset(), planet, pin);
    job.reading(ReadingSubject::Mark, &name)
        .map(|reading| [&reading.found, &reading.left].map(|column| shown(column)).into())
        .unwrap_or_default()
}

/// Every gear with its count, to be counted again.
fn parts(job: &Job) -> Block {
    let set = job.gearset();
    let rows = set.gear_ids().map(|id| {
        let gear = set.gear(id);
        let body = gear.member();
        let count = match set.member(body).place() {
            Place::Pin { pins, .. } => pins.len().to_string(),
            Place::Case | Place::MainAxis => "1".into(),
        };
        let reading = job.reading(ReadingSubject::Count, gear.name());
        let counted = reading.map(last_shown).unwrap_or_default();
        let because = reading.and_then(|reading| reading.because.as_ref()).map(|because| (**because).clone());
        vec![
            set.member(body).name().to_owned(),
            gear.name().to_owned(),
            count,
            gear.tooth_count().get().to_string(),
            counted,
            because.unwrap_or_default(),
        ]
    });
    table("", &["part", "gear", "how many", "teeth", "counted", "state and marks"], rows.collect())
}

/// Everything that is read beside counts and marks, and an empty row for what the job does not ask for.
fn readings(job: &Job) -> Block {
    let others = job.readings().filter(|(subject, _, _)| !has_own_table(*subject));
    let rows = others.map(|(subject, of, reading)| reading_row(job.gearset(), subject, of, reading));
    let is_asked = |subject: &ReadingSubject| job.readings().any(|(own, _, _)| own == *subject);
    let has_pins = !job.gearset().planet_groups().is_empty();
    let can_be = |subject: &ReadingSubject| !has_own_table(*subject) && (has_pins || subject.of() != SubjectOf::Pin);
    let not_asked = ReadingSubject::ALL.into_iter().filter(|subject| can_be(subject) && !is_asked(subject));
    let empty = not_asked.map(|subject| to_fill_in([subject.phrase().to_owned()], 5));
    table("", &["reading", "wanted", "as found", "as left", "read with, why"], rows.chain(empty).collect())
}

/// Whether a subject has its columns in another table of the sheet.
fn has_own_table(subject: ReadingSubject) -> bool {
    matches!(subject, ReadingSubject::Count | ReadingSubject::Mark)
}

fn reading_row(set: &Gearset, subject: ReadingSubject, of: &str, reading: &DraftJobReading) -> Vec<String> {
    let told = reading.wanted.iter().map(ToString::to_string).collect::<Vec<_>>().join(" to ");
    // What is described is not what is wanted, and worth knowing beside it.
    let is_described = subject == ReadingSubject::Backlash && told.is_empty();
    let wanted = if is_described { described_backlash(set, of) } else { told };
    let with = reading.with.as_ref().map(|with| (**with).clone());
    let within = reading.within.as_ref().map(|within| format!("good to {}", words::length(within.millimetres())));
    let because = reading.because.as_ref().map(|because| (**because).clone());
    let remarks: Vec<String> = [with, within, because].into_iter().flatten().collect();
    vec![format!("{}, {of}", subject.phrase()), wanted, shown(&reading.found), shown(&reading.left), remarks.join("; ")]
}

fn described_backlash(set: &Gearset, mesh: &str) -> String {
    let described = set.mesh_named(mesh).and_then(|mesh| set.mesh(mesh).backlash());
    described.map(|length| format!("{} described", words::length(length.millimetres()))).unwrap_or_default()
}

fn shown(values: &[Spanned<JobValue>]) -> String {
    values.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

fn last_shown(reading: &DraftJobReading) -> String {
    shown(if reading.left.is_empty() { &reading.found } else { &reading.left })
}

/// A table from its headings and rows.
fn table(caption: &str, headings: &[&str], rows: Vec<Vec<String>>) -> Block {
    let headings = headings.iter().map(|&heading| heading.to_owned()).collect();
    Block::Table(Table { caption: caption.to_owned(), headings, rows })
}

/// A row that begins with these cells and is empty up to the width of its table.
fn to_fill_in(cells: impl IntoIterator<Item = String>, width: usize) -> Vec<String> {
    let mut row: Vec<String> = cells.into_iter().collect();
    row.resize(width, String::new());
    row
}
