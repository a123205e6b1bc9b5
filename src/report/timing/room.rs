//! The room between gears that lie side by side and are not in mesh, in words and for other programs.
//!
//! Tips are taken as full and sharp, addendum one module; real ones are cut shorter now and then, so an overlap is a
//! warning and no verdict. Where the pin circle does not follow from the description nothing is told: so where meshes
//! of one planet ask for different distances and no pitch says which modules they have.

use serde::Serialize;

use super::Timing;
use crate::clearance::{Faces, Gap, PinCircles, gaps, gaps_of_equal_pins};
use crate::gearset::{Gearset, PlanetGroup};
use crate::report::render::document::{Block, Fact};
use crate::report::words::{self, list};
use crate::timing::GroupTiming;

/// Tips nearer than so many modules are commonly thought too near (common practice, no source).
const CLOSE: f64 = 0.5;

impl Timing<'_> {
    /// How much room the planets of a group leave one another; nothing where it is not known or there is no neighbour.
    pub(in crate::report) fn room(&self, group: &GroupTiming) -> Option<Fact> {
        let least = self.least_room(group)?;
        let named = name(self.set, &least);
        Some(Fact::new("room between neighbours", format!("{}{}, {named}", size(&least), word(least.modules))))
    }

    /// What to mind where there is little room, or none.
    pub(in crate::report) fn room_warnings(&self, group: &GroupTiming) -> Vec<Block> {
        let all = self.gaps(group);
        let overlapping = |faces: Faces| {
            let gaps = all.iter().filter(|gap| gap.faces == faces && gap.modules <= 0.0);
            let names: Vec<String> = gaps.map(|gap| name(self.set, gap)).collect();
            (!names.is_empty()).then(|| names.join("; "))
        };
        let foul = overlapping(Faces::Meet).map(|names| {
            Block::Warning(format!(
                "tips are in one another's way: {names}. Whatever the timing says, this cannot be built with full \
                 teeth: take fewer pins or other tooth counts, or count again"
            ))
        });
        let behind = overlapping(Faces::InOnePlane).map(|names| {
            Block::Note(format!(
                "no room in one plane: {names}. They have to stand one behind the other along the axis, and the gear \
                 that meshes with both has to be long enough for that"
            ))
        });
        let close = self.least_room(group).filter(|gap| (0.0..CLOSE).contains(&gap.modules)).map(|gap| {
            let named = name(self.set, &gap);
            Block::Note(format!("tips pass close, {named}: turn the whole set by hand and look that nothing touches"))
        });
        foul.into_iter().chain(behind).chain(close).collect()
    }

    /// Of the equal pin counts that go together those on which neighbours are in one another's way.
    pub(in crate::report) fn room_of_equal_pins(&self, group: &GroupTiming) -> String {
        let clear: Option<Vec<bool>> = self.clear_on_equal_pins(group).into_iter().collect();
        let Some(clear) = clear else {
            return " (by timing alone: whether they clear one another is not known)".into();
        };
        let counts = group.equal_pin_counts.iter().zip(clear);
        let foul: Vec<String> = counts.filter(|(_, clear)| !clear).map(|(count, _)| count.to_string()).collect();
        match foul.as_slice() {
            [] => String::new(),
            foul => format!(" by timing, but on {} there is NO room: tips of neighbours overlap", list(foul)),
        }
    }

    /// For each equal pin count that goes together whether neighbours clear one another, where that is known.
    pub(in crate::report) fn clear_on_equal_pins(&self, group: &GroupTiming) -> Vec<Option<bool>> {
        let clear = |&pins: &u32| {
            let gaps = gaps_of_equal_pins(self.set, placed(self.set, group)?, pins).ok()?;
            Some(gaps.iter().all(|gap| gap.faces == Faces::InOnePlane || gap.modules > 0.0))
        };
        group.equal_pin_counts.iter().map(clear).collect()
    }

    /// The room of a group, for other programs.
    pub(in crate::report) fn room_json(&self, group: &GroupTiming) -> Vec<GapJson> {
        self.gaps(group).iter().map(|gap| GapJson::new(self.set, gap)).collect()
    }

    fn least_room(&self, group: &GroupTiming) -> Option<Gap> {
        let neighbours = self.gaps(group).into_iter().filter(|gap| gap.faces == Faces::Meet);
        neighbours.min_by(|a, b| a.modules.total_cmp(&b.modules))
    }

    fn gaps(&self, group: &GroupTiming) -> Vec<Gap> {
        placed(self.set, group).and_then(|group| gaps(self.set, group).ok()).unwrap_or_default()
    }
}

/// The room between two gears, for other programs.
#[derive(Debug, Serialize)]
pub(in crate::report) struct GapJson {
    gears: [String; 2],
    modules: f64,
    /// Null where no pitch is given.
    millimetres: Option<f64>,
}

impl GapJson {
    pub(in crate::report) fn new(set: &Gearset, gap: &Gap) -> Self {
        Self {
            gears: gap.gears.both().map(|&gear| set.gear(gear).name().to_owned()),
            modules: gap.modules,
            millimetres: gap.millimetres,
        }
    }
}

/// ` OVERLAP` or ` close` behind a room of so many modules.
pub(in crate::report) fn word(modules: f64) -> &'static str {
    match modules {
        room if room <= 0.0 => " OVERLAP",
        room if room < CLOSE => " close",
        _ => "",
    }
}

fn size(gap: &Gap) -> String {
    let length = gap.millimetres.map(|length| format!(", {}", words::length(length))).unwrap_or_default();
    format!("{:.3} modules{length}", gap.modules)
}

/// The two gears and where they are.
fn name(set: &Gearset, gap: &Gap) -> String {
    let one = |gear, pin: Option<usize>| {
        let place = pin.map(|pin| format!(" on pin {pin}")).unwrap_or_default();
        format!("{}{place}", words::gear(set, gear))
    };
    format!("{} and {}", one(gap.gears.first, gap.pins.first), one(gap.gears.second, gap.pins.second))
}

/// The planets of a timing, if it is known where their pins stand.
fn placed<'a>(set: &'a Gearset, group: &GroupTiming) -> Option<&'a PlanetGroup> {
    let is_it = |other: &&PlanetGroup| other.planets() == group.planets;
    let group = set.planet_groups().iter().find(is_it)?;
    let has_pitch = group.meshes().iter().all(|&mesh| set.mesh(mesh).pitch().is_some());
    let circles = PinCircles::new(set, group).ok()?;
    (has_pitch || circles.is_nominal()).then_some(group)
}
