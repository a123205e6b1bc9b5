//! The teeth and spaces to mark, a table each, and what the marks do not tell.

use num_traits::Zero;

use super::instructions::is_bevel;
use crate::gearset::Gearset;
use crate::report::render::document::Block;
use crate::report::words::{self, list, mixed};
use crate::timing::{Closure, GearMarks, GroupMarking, ToothMark};

pub(super) fn teeth(set: &Gearset, group: &GroupMarking) -> Block {
    let views = if is_bevel(group) {
        ["tooth, seen from the outer end of the pin"].as_slice()
    } else {
        ["tooth, from the input side", "tooth, from the output side"].as_slice()
    };
    let mut rows = Vec::new();
    for marks in &group.marks {
        rows.extend(marks.pins.iter().map(|mark| tooth_row(set, marks, mark, views.len())));
    }
    let caption = "Teeth to mark, counted on each planet from the tooth that is marked on pin 1 (ccw: counter-clockwise), \
                   and how far off the line of centres they stand there, in teeth";
    Block::table(caption, &[&["pin", "gear", "meets"], views, &["off the line"]].concat(), rows)
}

/// One mark, counted as seen from so many sides.
fn tooth_row(set: &Gearset, marks: &GearMarks, mark: &ToothMark, sides: usize) -> Vec<String> {
    let central = marks.central_gear.map_or_else(|| "-".into(), |central| words::gear(set, central));
    let mut row = vec![mark.pin.to_string(), words::gear(set, marks.gear), central];
    row.extend([mark.tooth, -mark.tooth].map(counted_on).into_iter().take(sides));
    row.push(mixed(&mark.off_line));
    row
}

fn counted_on(teeth: i64) -> String {
    match teeth {
        0 => "the same".into(),
        ccw @ 1.. => format!("{ccw} ccw"),
        clockwise => format!("{} clockwise", -clockwise),
    }
}

pub(super) fn spaces(set: &Gearset, group: &GroupMarking) -> Option<Block> {
    let headings = ["central gear", "takes teeth of", "spaces of pins 1, 2, ...", "unmarked between", "off the line"];
    let caption = "Spaces to mark, counted from that of pin 1: counter-clockwise seen from the input side, clockwise seen \
                   from the output side; and how far off the line of centres they stand, in pitches";
    Block::table_of_some(caption, &headings, group.marks.iter().filter_map(|marks| space_row(set, marks)).collect())
}

fn space_row(set: &Gearset, marks: &GearMarks) -> Option<Vec<String>> {
    let spaces: Vec<i64> = marks.pins.iter().filter_map(|mark| mark.space).collect();
    let off: Vec<String> = marks.pins.iter().map(|mark| mixed(&mark.off_line)).collect();
    let on_line = marks.pins.iter().all(|mark| mark.off_line.is_zero());
    Some(vec![
        words::gear(set, marks.central_gear?),
        words::gear(set, marks.gear),
        joined(&spaces),
        joined(&marks.unmarked_between),
        if on_line { "0 at every pin".into() } else { off.join(", ") },
    ])
}

pub(super) fn joined(numbers: &[impl ToString]) -> String {
    numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

/// What the marks do not tell.
pub(super) fn limits(set: &Gearset, group: &GroupMarking) -> Vec<Block> {
    let mut limits = Vec::new();
    for gears in &group.solid {
        let names: Vec<String> = gears.iter().map(|&gear| words::gear(set, gear)).collect();
        limits.push(Block::Note(format!(
            "{} are solid with one another and cannot be turned apart while fitting: seek first the tooth at which \
             the planet on pin 1 goes in, and count and set everything from there",
            list(&names)
        )));
    }
    if group.loops.iter().any(|closed| closed.closes == Closure::DependsOnIndex) {
        limits.push(Block::Note(
            "other planets share central gears with these; whether the first planets of both kinds go in side by side \
             depends on how the gears of one body stand against each other, which the description does not give. \
             Try it with one planet of each kind before anything is marked"
                .into(),
        ));
    }
    limits
}
