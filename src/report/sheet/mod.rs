//! The job sheet: what lies beside the gearset on the bench, and what is filed when the job is done.
//!
//! What the record says stands first where anything was read; then the conventions, since a list read from the wrong side
//! is a wrong list; the parts to count, how every planet is set in both views, and every reading as wanted, found and
//! left, blank where nothing was read. What to beware of stands where it is met.

mod marks;
mod readings;

use crate::gearset::{Gearset, Place, PlanetGroup};
use crate::job::{DraftJobReading, Job, ReadingSubject, judge};
use crate::kinematics::Ratios;
use crate::report::job::on_paper;
use crate::report::ratios::overview;
use crate::report::render::document::{Block, CaptionedPicture, Document, Fact, Table};
use crate::report::timing::{self, spacings};
use crate::timing::{GroupTiming, MarkingConvention, Timing};
use marks::settings;
use readings::{last_shown, readings, remarks};

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
        blocks.push(readings(self.job, self.timing));
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
    let heading = Block::Heading("What the record says".into());
    [heading].into_iter().chain(on_paper(&judge(job))).collect()
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
        vec![
            set.member(body).name().to_owned(),
            gear.name().to_owned(),
            count,
            gear.tooth_count().get().to_string(),
            counted,
            reading.map(remarks).unwrap_or_default(),
        ]
    });
    table("", &["part", "gear", "how many", "teeth", "counted", "state and marks"], rows.collect())
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
