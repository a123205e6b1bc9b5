//! The job sheet: what lies beside the gearset on the bench, with columns to fill in.
//!
//! The conventions first, since a list read from the wrong side is a wrong list; then the
//! parts to count, how every planet is set in both views, and empty columns for what was found and what was left. What to
//! beware of stands where it is met.

use crate::exact::part_of_turn;
use crate::gearset::{Gearset, Length, MemberId, MeshId, Place, PlanetGroup, Side};
use crate::kinematics::Ratios;
use crate::report::ratios::overview;
use crate::report::render::document::{Block, CaptionedPicture, Document, Fact, Table};
use crate::report::timing::{self, nearest_tooth, spacings, teeth_with_side};
use crate::report::words::{self, degrees, list, member, mesh};
use crate::timing::{GearTurn, GroupTiming, MarkingConvention, PinTiming, Timing};

/// What a job sheet is made of.
#[derive(Debug, Clone)]
pub struct JobSheet<'a> {
    /// How the planets go together.
    pub timing: &'a Timing,
    /// The states and their ratios.
    pub ratios: &'a Ratios,
    /// Pictures of the groups, as drawn.
    pub pictures: &'a [CaptionedPicture],
}

impl JobSheet<'_> {
    /// The sheet for a person with a pencil.
    pub fn document(&self, set: &Gearset) -> Document {
        let mut blocks = vec![
            table("", &["machine", "unit and its number", "date", "by"], vec![to_fill_in([], 4)]),
            Block::Heading("Conventions".into()),
            Block::Facts(conventions(set, self.timing)),
        ];
        blocks.extend(timing::caution_of_views(set));
        blocks.push(Block::Heading("Parts".into()));
        blocks.extend(timing::cautions_of_taking_apart(set));
        blocks.push(parts(set));
        blocks.extend(self.timing.groups.iter().flat_map(|timing| group(set, timing)));
        blocks.extend(self.pictures.iter().cloned().map(Block::Picture));
        if !self.ratios.states.is_empty() {
            blocks.push(Block::Heading("Ratios to turn by hand".into()));
            blocks.push(Block::Table(overview(self.ratios, set)));
        }
        blocks.push(Block::Heading("Readings".into()));
        blocks.push(readings(set));
        blocks.push(timing::caution_of_strength());
        Document { title: format!("Job sheet: {}", set.title()), blocks }
    }
}

/// What is told of a group, and how each planet is set in both views.
fn group(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
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
    blocks.push(settings(set, group));
    if group.pin_count > 1 {
        blocks.push(Block::Table(spacings(set, &group.central_spacings)));
    }
    blocks
}

/// A row for every gear on every pin, with its setting where a mark is needed, and columns to fill in.
fn settings(set: &Gearset, group: &GroupTiming) -> Block {
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
    let rows = group.pins.iter().flat_map(|pin| pin.gears.iter().map(|turned| mark_row(set, group, pin, turned)));
    table(caption, &headings, rows.collect())
}

fn place_row(set: &Gearset, pin: &PinTiming, turned: &GearTurn) -> Vec<String> {
    let places = [Side::Input, Side::Output].map(|view| degrees(&part_of_turn(&view.seen(&pin.place))));
    to_fill_in([pin.pin.to_string(), words::gear(set, turned.gear)].into_iter().chain(places), 6)
}

fn mark_row(set: &Gearset, group: &GroupTiming, pin: &PinTiming, turned: &GearTurn) -> Vec<String> {
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
    to_fill_in([pin.pin.to_string(), gear].into_iter().chain(views), 8)
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
fn parts(set: &Gearset) -> Block {
    let rows = set.gear_ids().map(|id| {
        let gear = set.gear(id);
        let body = gear.member();
        let count = match set.member(body).place() {
            Place::Pin { pins, .. } => pins.len().to_string(),
            Place::Case | Place::MainAxis => "1".into(),
        };
        to_fill_in(
            [set.member(body).name().to_owned(), gear.name().to_owned(), count, gear.tooth_count().get().to_string()],
            6,
        )
    });
    table("", &["part", "gear", "how many", "teeth", "counted", "state and marks"], rows.collect())
}

/// What is measured before and after: backlash of every mesh, the fit of every pin, end float.
fn readings(set: &Gearset) -> Block {
    let backlash = |id: MeshId| {
        let given = set.mesh(id).backlash().map(Length::millimetres).map(words::length);
        to_fill_in([format!("backlash, {}", mesh(set, id)), given.unwrap_or_default()], 4)
    };
    let mut rows: Vec<Vec<String>> = set.mesh_ids().map(backlash).collect();
    for group in set.planet_groups() {
        let planets = list(&group.planets().iter().map(|&planet| member(set, planet)).collect::<Vec<_>>());
        rows.extend((1..=group.places().len()).map(|pin| to_fill_in([format!("bush on pin {pin}, {planets}")], 4)));
    }
    let turning = set.member_ids().filter(|&id| id != MemberId::CASE && *set.member(id).place() == Place::MainAxis);
    rows.extend(turning.map(|id| to_fill_in([format!("end float, {}", member(set, id))], 4)));
    table("", &["reading", "wanted", "as found", "as left"], rows)
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
