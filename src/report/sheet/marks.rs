//! How each planet is set on each pin in both views, and what its mark showed as found and as left.
//!
//! A mark that was read stands in the row of the gear that its teeth were counted on; one in degrees in that of the gear
//! that reads best.

use super::readings::shown;
use super::{table, to_fill_in};
use crate::exact::part_of_turn;
use crate::gearset::{GearId, Gearset, Side, Spanned};
use crate::job::{Job, JobValue, ReadingSubject, pin_name};
use crate::report::render::document::Block;
use crate::report::timing::{nearest_tooth, teeth_with_side};
use crate::report::words::{self, degrees};
use crate::timing::{GearTurn, GroupTiming, PinTiming};

/// A row for every gear on every pin, with its setting where a mark is needed, and columns to fill in.
pub(super) fn settings(job: &Job, group: &GroupTiming) -> Block {
    let rows = group.pins.iter().flat_map(|pin| pin.gears.iter().map(|turned| row(job, group, pin, turned)));
    let rows = rows.collect();
    if !group.convention.has_marks() {
        let headings = ["pin", "gear", "at, input side", "at, output side", "as found", "as left"];
        return table("Places of the pins in degrees, counter-clockwise in each view", &headings, rows);
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
    let caption = format!(
        "Places of the pins in degrees, counter-clockwise in each view; marks in whole teeth, in brackets exactly; as found \
         and as left seen from {}",
        job.seen_from().name()
    );
    table(&caption, &headings, rows)
}

fn row(job: &Job, group: &GroupTiming, pin: &PinTiming, turned: &GearTurn) -> Vec<String> {
    let set = job.gearset();
    let has_marks = group.convention.has_marks();
    let in_view = |view: Side| {
        let place = degrees(&part_of_turn(&view.seen(&pin.place)));
        [Some(place), has_marks.then(|| mark_seen(set, view, turned))].into_iter().flatten()
    };
    let best = if has_marks && reads_best(group, pin, turned) { ", reads best" } else { "" };
    let gear = format!("{}{best}", words::gear(set, turned.gear));
    let views = [Side::Input, Side::Output].into_iter().flat_map(in_view);
    let read = marks_read(job, group, pin, turned);
    let cells: Vec<String> = [pin.pin.to_string(), gear].into_iter().chain(views).chain(read).collect();
    let width = cells.len();
    to_fill_in(cells, width)
}

/// A mark in whole teeth as it is seen, in brackets exactly.
fn mark_seen(set: &Gearset, view: Side, turned: &GearTurn) -> String {
    let teeth = set.turn_seen(view, turned.planet, &turned.teeth);
    let exactly = if teeth.is_integer() { String::new() } else { format!(" ({})", teeth_with_side(&teeth)) };
    format!("{}{exactly}", nearest_tooth(&teeth))
}

/// Whether the mark on this pin is best counted on this gear.
fn reads_best(group: &GroupTiming, pin: &PinTiming, turned: &GearTurn) -> bool {
    group.settings.iter().any(|setting| {
        setting.pin == pin.pin && setting.counted.as_ref().is_some_and(|counted| counted.gear == turned.gear)
    })
}

/// What the mark on a pin showed as found and as left, as far as that belongs into the row of this gear.
fn marks_read(job: &Job, group: &GroupTiming, pin: &PinTiming, turned: &GearTurn) -> [String; 2] {
    let name = pin_name(job.gearset(), turned.planet, pin.pin);
    let Some(reading) = job.reading(ReadingSubject::Mark, &name) else { return Default::default() };
    [&reading.found, &reading.left].map(|column| {
        let is_own = row_of_mark(job.gearset(), group, pin, turned, column) == Some(turned.gear);
        if is_own { shown(column) } else { String::new() }
    })
}

/// The gear in whose row a mark of a planet stands.
fn row_of_mark(
    set: &Gearset,
    group: &GroupTiming,
    pin: &PinTiming,
    planet: &GearTurn,
    read: &[Spanned<JobValue>],
) -> Option<GearId> {
    let own = || pin.gears.iter().filter(|turned| turned.planet == planet.planet);
    let named = |name: &str| own().find(|turned| set.gear(turned.gear).name() == name);
    let counted_on = read.iter().filter_map(|value| value.counted_on()).find_map(named);
    let best = || own().find(|turned| reads_best(group, pin, turned));
    counted_on.or_else(best).or_else(|| own().next()).map(|turned| turned.gear)
}
