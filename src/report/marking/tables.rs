//! The teeth and spaces to mark: those that are enough, in one table, and those of every gear, a table each.

use num_traits::Zero;

use super::instructions::is_bevel;
use crate::gearset::Gearset;
use crate::report::render::document::{Block, Table};
use crate::report::words::{self, mixed, short_list};
use crate::timing::{GearMarks, GroupMarking, MarkPurpose, MarkingConvention, ToothMark};

/// The marks that are enough: a row a pin for marks of each pin's own, the spaces alone where all teeth are alike.
pub(super) fn enough(set: &Gearset, group: &GroupMarking) -> Option<Block> {
    let used = || group.marks.iter().filter(|marks| marks.purpose == MarkPurpose::Marks);
    match group.convention {
        MarkingConvention::Radial => {
            let row = |marks: &GearMarks| {
                let spaces: Vec<i64> = marks.pins.iter().filter_map(|mark| mark.space).collect();
                let central = words::gear(set, marks.central_gear?);
                Some(vec![central, short_list(&texts(&spaces)), short_list(&texts(&marks.unmarked_between))])
            };
            let headings = ["mark on", "spaces of pins 1, 2, ...", "unmarked between"];
            let caption = "From the space of pin 1, ccw seen from the input side, clockwise from the output";
            Block::table_of_some(caption, &headings, used().filter_map(row).collect())
        }
        MarkingConvention::Individual => Some(for_each_pin(set, group, &used().collect::<Vec<_>>())),
        MarkingConvention::Refused
        | MarkingConvention::OnePin
        | MarkingConvention::AnyTooth
        | MarkingConvention::Parallel => None,
    }
}

/// The most rows of marks on a screen.
const MOST_MARKS: usize = 16;

/// Tooth and space of each pin, one planet after the other.
fn for_each_pin(set: &Gearset, group: &GroupMarking, used: &[&GearMarks]) -> Block {
    let bevel = is_bevel(group);
    let views: &[&str] = if bevel { &["tooth"] } else { &["tooth, from the input", "from the output side"] };
    let row = |marks: &GearMarks, mark: &ToothMark| {
        let mut row = vec![mark.pin.to_string(), words::gear(set, marks.gear)];
        row.extend([mark.tooth, -mark.tooth].map(counted_on).into_iter().take(views.len()));
        let central = marks.central_gear.map(|gear| words::gear(set, gear));
        row.push(central.zip(mark.space).map_or_else(|| "-".into(), |(gear, space)| format!("{space} of {gear}")));
        row
    };
    let rows = used.iter().flat_map(|marks| marks.pins.iter().map(|mark| row(marks, mark))).collect();
    let caption = if bevel {
        "Teeth seen from the outer end of the pin; spaces ccw seen from the input side"
    } else {
        "Teeth from the same tooth; spaces ccw, seen from the output side clockwise"
    };
    Block::Table(
        Table::new(caption, &[&["pin", "on"], views, &["goes into space"]].concat(), rows).beginning(MOST_MARKS),
    )
}

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
    texts(numbers).join(", ")
}

fn texts(numbers: &[impl ToString]) -> Vec<String> {
    numbers.iter().map(ToString::to_string).collect()
}
