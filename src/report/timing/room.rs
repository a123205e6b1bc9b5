//! The room between gears that lie side by side and are not in mesh, in words.
//!
//! Tips are those of the teeth as they fit: as described, or full ones, shortened by what their meshes ask for. Of a gear
//! whose tips nobody described real ones are cut shorter now and then, so an overlap is a warning and no verdict.

use crate::clearance::{Faces, Gap, Tips};
use crate::gearset::{GearId, Gearset};
use crate::report::render::document::Fact;
use crate::report::words::{self, counted, list};
use crate::timing::GroupTiming;

/// How much room the planets of a group leave one another; nothing where it is not known or there is no neighbour.
pub(super) fn room(set: &Gearset, group: &GroupTiming) -> Option<Fact> {
    let least = least(group)?;
    let size = format!("{:.3} modules{}", least.modules, length(least));
    Some(Fact::new("room between neighbours", format!("{size}{}, {}", word(least.tips), pair(set, least))))
}

/// What to beware of where there is little room, or none.
pub(super) fn cautions(set: &Gearset, group: &GroupTiming) -> Vec<String> {
    let foul = overlapping(set, group, Faces::Meet).map(|names| {
        format!(
            "Beware: tips are in one another's way, {names}. With full teeth this cannot be built: take fewer pins or \
             other tooth counts, or count again."
        )
    });
    let behind = overlapping(set, group, Faces::InOnePlane)
        .map(|names| format!("No room in one plane for {names}: they have to stand one behind the other on the axis."));
    let close = least(group)
        .filter(|gap| gap.tips == Tips::Close)
        .map(|gap| format!("Tips pass close, {}: look that nothing touches when the set is turned.", pair(set, gap)));
    foul.into_iter().chain(behind).chain(close).collect()
}

/// Every pair of gears that overlap, where there are several.
pub(super) fn overlaps(set: &Gearset, group: &GroupTiming) -> Option<Fact> {
    let names = [pairs(set, group, Faces::Meet), pairs(set, group, Faces::InOnePlane)].concat();
    (names.len() > 1).then(|| Fact::new("tips that overlap", names.join("; ")))
}

fn pairs(set: &Gearset, group: &GroupTiming, faces: Faces) -> Vec<String> {
    let gaps = group.room.iter().filter(|gap| gap.faces == faces && gap.tips == Tips::Overlap);
    gaps.map(|gap| pair(set, gap)).collect()
}

/// The first pair of gears that overlap, and how many more there are.
fn overlapping(set: &Gearset, group: &GroupTiming, faces: Faces) -> Option<String> {
    match pairs(set, group, faces).as_slice() {
        [] => None,
        [only] => Some(only.clone()),
        [first, others @ ..] => Some(format!("{first}, and {}", counted(others.len(), "other pair"))),
    }
}

/// Of the equal pin counts that assemble those on which neighbours are in one another's way.
pub(super) fn of_equal_pins(group: &GroupTiming) -> String {
    if group.equal_pins_clear.iter().any(Option::is_none) {
        return " (by timing alone: whether they clear one another is not known)".into();
    }
    let counts = group.equal_pin_counts.iter().zip(&group.equal_pins_clear);
    let foul: Vec<String> =
        counts.filter(|(_, clear)| **clear == Some(false)).map(|(count, _)| count.to_string()).collect();
    match foul.as_slice() {
        [] => String::new(),
        foul => format!(" by timing, but on {} there is NO room: tips of neighbours overlap", list(foul)),
    }
}

/// The least room between gears whose faces meet.
fn least(group: &GroupTiming) -> Option<&Gap> {
    let neighbours = group.room.iter().filter(|gap| gap.faces == Faces::Meet);
    neighbours.min_by(|a, b| a.modules.total_cmp(&b.modules))
}

/// ` OVERLAP` or ` close` behind a room.
pub(in crate::report) fn word(tips: Tips) -> &'static str {
    match tips {
        Tips::Overlap => " OVERLAP",
        Tips::Close => " close",
        Tips::Clear => "",
    }
}

fn length(gap: &Gap) -> String {
    gap.millimetres.map(|length| format!(", {}", words::length(length))).unwrap_or_default()
}

/// The two gears and where they are.
pub(in crate::report) fn pair(set: &Gearset, gap: &Gap) -> String {
    let one = |gear: GearId, pin: Option<usize>| {
        let place = pin.map(|pin| format!(" on pin {pin}")).unwrap_or_default();
        format!("{}{place}", words::gear(set, gear))
    };
    format!("{} and {}", one(gap.gears.first, gap.pins.first), one(gap.gears.second, gap.pins.second))
}
