//! How each planet is set, as a list: on the gear that reads best, or on every gear.

use super::{is_bevel, teeth_with_side};
use crate::exact::{Fraction, fraction, part_of_turn};
use crate::gearset::{Gearset, Side};
use crate::report::render::document::{Block, Table};
use crate::report::words::{self, degrees};
use crate::timing::{GearTurn, GroupTiming, MarkingConvention, PinTiming, PlanetSetting};
use num_traits::{Signed, Zero};

/// The most settings that are listed on a screen.
const MOST_SETTINGS: usize = 18;

/// A row a pin and planet, counted on the gear that reads best; nothing where all marks are set alike.
pub(super) fn to_count(set: &Gearset, group: &GroupTiming) -> Option<Block> {
    if group.convention != MarkingConvention::Individual {
        return None;
    }
    let (caption, headings): (_, &[&str]) = if is_bevel(set, group) {
        ("Teeth round to the mark, seen from the outer end of each pin", &["pin", "count on", "mark"])
    } else {
        (
            "Seen from the input and the output side: pins at degrees ccw, marks at teeth",
            &["pin", "count on", "at, input", "mark, input", "at, output", "mark, output"],
        )
    };
    let rows = group.settings.iter().map(|setting| row(set, group, setting)).collect();
    Some(Block::Table(Table::new(caption, headings, rows).beginning(MOST_SETTINGS)))
}

/// How one planet is set, from the sides that its senses depend on.
fn row(set: &Gearset, group: &GroupTiming, setting: &PlanetSetting) -> Vec<String> {
    let counted_on = match &setting.counted {
        Some(counted) => words::gear(set, counted.gear),
        None if group.planets.len() == 1 => "no gear".into(),
        None => format!("{}: no gear", words::member(set, setting.planet)),
    };
    let start = vec![setting.pin.to_string(), counted_on];
    if is_bevel(set, group) {
        return [start, vec![mark(set, setting, Side::Input)]].concat();
    }
    let place = &group.pins[setting.pin - 1].place;
    let in_view = |view: Side| vec![degrees(&part_of_turn(&view.seen(place))), mark(set, setting, view)];
    [start, in_view(Side::Input), in_view(Side::Output)].concat()
}

/// Where the mark stands: so many whole teeth from the line, or an angle.
fn mark(set: &Gearset, setting: &PlanetSetting, view: Side) -> String {
    let seen = |turn: &Fraction| set.turn_seen(view, setting.planet, turn);
    match &setting.counted {
        _ if setting.turn.is_zero() && set.is_bevel(setting.planet) => "input side".into(),
        _ if setting.turn.is_zero() => "centre".into(),
        Some(counted) => teeth_with_side(&seen(&fraction(counted.teeth, 1))),
        None => angle(&seen(&setting.turn)),
    }
}

/// An angle with its side.
fn angle(turn: &Fraction) -> String {
    let size = format!("{} degrees", degrees(&turn.abs()));
    // Half a turn is the same either way round.
    if turn.abs() == fraction(1, 2) { size } else { super::sided(&size, turn) }
}

/// Every gear on every pin, seen from both sides; nothing where all marks point to the centre.
pub(super) fn every_gear(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
    if group.radial_marks {
        return Vec::new();
    }
    let how = match (group.convention, is_bevel(set, group)) {
        (MarkingConvention::AnyTooth, _) => NO_LIST_NEEDED,
        (_, true) => HOW_TO_SET_BEVEL_PLANETS,
        (_, false) => HOW_TO_SET,
    };
    let tables = [Side::Input, Side::Output].map(|view| Block::Table(seen_from(set, group, view)));
    [Block::Paragraph(how.into())].into_iter().chain(tables).collect()
}

/// What the list is where none is needed.
const NO_LIST_NEEDED: &str = "No list is needed. Of all seatings that are alike this is the one whose mark stands nearest to \
     the line to the centre";

/// What to do with the list of every gear.
const HOW_TO_SET: &str = "Mark every planet alike. On pin 1 the mark points straight to the centre. On each other pin it \
     stands to the side of the line from the pin to the centre, by so many teeth of whichever gear you count on. With the \
     nearest whole tooth set there, a gear meshes only where it should; where it stands between two, count on another";

/// What to do with the list of bevel planets, whose pins stand across the main axis.
const HOW_TO_SET_BEVEL_PLANETS: &str = "Mark every planet alike. On pin 1 the mark points along the main axis, to the \
     input side. On each other pin it stands so many teeth round from that direction, looking from the outer end of the \
     pin inward; turning the set over changes nothing in that. With the nearest whole tooth set there, a gear meshes only \
     where it should; where it stands between two, count on another";

/// How each planet is turned, seen from one side.
fn seen_from(set: &Gearset, group: &GroupTiming, view: Side) -> Table {
    let marks = if is_bevel(set, group) {
        "marks from the input side's direction, seen from the outer end of each pin"
    } else {
        "from the line to the centre to the mark"
    };
    let caption = format!("Seen from {}: {marks}, counter-clockwise (ccw) positive", view.name());
    let headings = ["pin", "pin at, degrees", "gear", "part of a turn", "degrees", "teeth", "nearest tooth"];
    Table::new(caption, &headings, group.pins.iter().flat_map(|pin| pin_rows(set, pin, view)).collect())
}

fn pin_rows(set: &Gearset, pin: &PinTiming, view: Side) -> Vec<Vec<String>> {
    let Some(turns) = &pin.turns else { return Vec::new() };
    let row = |turned: &GearTurn| {
        let [turn, teeth] =
            [&turns[&turned.planet], &turned.teeth].map(|value| set.turn_seen(view, turned.planet, value));
        vec![
            pin.pin.to_string(),
            degrees(&part_of_turn(&view.seen(&pin.place))),
            words::gear(set, turned.gear),
            turn.to_string(),
            degrees(&turn),
            teeth_with_side(&teeth),
            nearest_tooth(&teeth),
        ]
    };
    pin.gears.iter().map(row).collect()
}

/// The nearest whole tooth, which is told only where it is the one.
pub(in crate::report) fn nearest_tooth(teeth: &Fraction) -> String {
    let size = teeth.abs();
    if size.fract() == fraction(1, 2) {
        return format!("between {} and {}", size.floor(), size.ceil());
    }
    let nearest = size.round();
    if nearest.is_zero() { "0".into() } else { super::sided(&nearest.to_string(), teeth) }
}
