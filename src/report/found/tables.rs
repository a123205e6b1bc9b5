//! The tables of one explanation: what has to be turned, and the wrong seatings that fit what was read.

use super::wording::{Wording, shows};
use crate::exact::fraction;
use crate::gearset::{FoundMarks, GearId, Gearset, MarkReading, MemberId};
use crate::report::render::document::{Block, Table};
use crate::report::timing::sided;
use crate::report::words::{self, degrees, length, list, member, mesh, mixed};
use crate::timing::{Explanation, FoundTiming, NearSeating, PinFound, PlanetFound, WayOfMarking};

/// A line a mark: where its pin is, what was read, how its planet stands and where the mark belongs.
pub(super) fn pins(answer: &FoundTiming, set: &Gearset) -> Option<Table> {
    let explanation = answer.likeliest()?;
    let wording = Wording::of(answer, set);
    let found = set.found().map(FoundMarks::planets).unwrap_or_default();
    let several = answer.read.len() > 1;
    let mut rows = Vec::new();
    for (pin, place) in (1..).zip(&answer.pin_places) {
        for (read, marks) in answer.read.iter().zip(&found) {
            let on_pin = explanation.pins.iter().find(|it| it.pin == pin);
            let told = on_pin.and_then(|it| it.planets.iter().find(|it| it.planet == read.planet));
            let mut row = vec![pin.to_string(), format!("{} deg", degrees(place))];
            row.extend(several.then(|| member(set, read.planet)));
            row.push(marks.marks.get(pin - 1).map(|mark| mark_shows(answer, set, mark)).unwrap_or_default());
            row.extend(told.map_or_else(|| ["-".into(), "-".into()], |told| stands(&wording, told)));
            rows.push(row);
        }
    }
    let mut headings = vec!["pin", "ccw from pin 1"];
    headings.extend(several.then_some("planet"));
    headings.extend(["its mark", "out by", "mark belongs at"]);
    if wording.is_along() {
        headings.pop();
        for row in &mut rows {
            row.pop();
        }
    }
    let gear = answer.gear.map(|gear| format!(", teeth of {}", words::gear(set, gear))).unwrap_or_default();
    let seen = answer.seen.name();
    let from = if wording.is_bevel() {
        format!("Pins seen from {seen}, marks from the outer end of each pin")
    } else {
        format!("Seen from {seen}")
    };
    Some(Table::new(format!("{from}{gear}"), &headings, rows))
}

/// What a mark shows; of which gear the teeth are stands above the table where all are of one.
fn mark_shows(answer: &FoundTiming, set: &Gearset, mark: &MarkReading) -> String {
    match mark {
        MarkReading::Teeth(gear, teeth) if answer.gear == Some(*gear) => sided(&mixed(teeth), teeth),
        MarkReading::Teeth(..) | MarkReading::Degrees(_) | MarkReading::Along(..) | MarkReading::Unread => {
            shows(set, mark)
        }
    }
}

fn stands(wording: &Wording<'_>, planet: &PlanetFound) -> [String; 2] {
    let teeth = wording.teeth(planet.gear);
    let stands = if planet.in_time { "in time".into() } else { teeth.short(&planet.deviation) };
    let target = if planet.in_time { "-".into() } else { teeth.short(&planet.target) };
    [stands, target]
}

/// The tables of an explanation that could be; what could not is worth a table only where nothing better is known.
pub(super) fn what_to_do(answer: &FoundTiming, set: &Gearset, explanation: &Explanation) -> Vec<Block> {
    let is_first = explanation.convention == WayOfMarking::Alike;
    let better = answer.explanations.iter().any(|other| other.could_be);
    if !explanation.could_be && (better || !is_first) {
        return Vec::new();
    }
    let tables = [turned(answer, set, explanation), seatings(answer, set, explanation)];
    tables.into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table).collect()
}

fn turned(answer: &FoundTiming, set: &Gearset, explanation: &Explanation) -> Table {
    let wording = Wording::of(answer, set);
    let (made, reference) = (wording.if_made(explanation.convention), explanation.reference);
    let gear = answer.gear.map(|gear| format!(" of {}", words::gear(set, gear))).unwrap_or_default();
    let named: &[&str] = if answer.planet.is_some() { &[] } else { &["planet", "gear"] };
    let told = ["out by", "sure to", "turn it", "its mark belongs at"];
    let row = |(pin, planet): (&PinFound, &PlanetFound)| {
        let teeth = wording.teeth(planet.gear);
        let mut row = vec![pin.pin.to_string()];
        if !named.is_empty() {
            row.extend([member(set, planet.planet), words::gear(set, planet.gear)]);
        }
        row.extend([
            teeth.short(&planet.deviation),
            teeth.size(&planet.resolution),
            teeth.short(&-&planet.deviation),
            teeth.short(&planet.target),
        ]);
        row
    };
    Table {
        caption: format!(
            "To be turned {made}: teeth{gear}, seen from {}; pin {reference} {}",
            wording.seen_from(),
            wording.stays()
        ),
        headings: [&["pin"], named, &told].concat().into_iter().map(String::from).collect(),
        rows: explanation.out().map(row).collect(),
    }
}

fn seatings(answer: &FoundTiming, set: &Gearset, explanation: &Explanation) -> Table {
    let wording = Wording::of(answer, set);
    let from = if answer.planet.is_some() { "teeth out of time" } else { "turned out of time by" };
    let row = |(pin, seating): (&PinFound, &NearSeating)| {
        vec![pin.pin.to_string(), moved(answer, set, seating), errors(set, seating), worst(seating), goes_in(seating)]
    };
    Table {
        caption: format!(
            "Wrong seatings that fit what was read, {}: each by itself beside {}",
            wording.if_made(explanation.convention),
            wording.the_others()
        ),
        headings: ["pin", from, "mesh out by", "worst", "by hand"].map(String::from).to_vec(),
        rows: explanation.pins.iter().flat_map(|pin| likely(pin).map(move |it| (pin, it))).map(row).collect(),
    }
}

/// The wrong seatings that could be, the least wrong few; of a pin that is out at least the one that is least wrong.
fn likely(pin: &PinFound) -> impl Iterator<Item = &NearSeating> {
    const MOST: usize = 4;
    let shown = |&(index, seating): &(usize, &NearSeating)| seating.could_be || (index == 0 && !pin.in_time);
    pin.wrong_seatings.iter().enumerate().filter(shown).map(|(_, seating)| seating).take(MOST)
}

/// By how many teeth each gear of a planet is moved, `1 ccw on d 31 and 1 ccw on l 37`, or of planets in mesh by how much
/// each is turned, `1 ccw on large 30 and 1/5 clockwise on i 18`.
pub(super) fn moved(answer: &FoundTiming, set: &Gearset, seating: &NearSeating) -> String {
    let wording = Wording::of(answer, set);
    let on = |text: String, gear: GearId| format!("{text} on {}", words::gear(set, gear));
    let mut each: Vec<String> = if let Some(planet) = answer.planet {
        let own = |gear: &&GearId| set.gear(**gear).member() == planet;
        let meshes = seating.meshes.iter().filter_map(|it| {
            let gear = set.mesh(it.mesh).gears().both().into_iter().find(own).copied()?;
            let teeth = wording.teeth(gear).seen(&fraction(it.moved, 1));
            Some(on(sided(&mixed(&teeth), &teeth), gear))
        });
        meshes.collect()
    } else {
        let planets = answer.planets.iter().zip(&seating.turns).filter_map(|(&planet, turn)| {
            let gear = told_in(answer, set, planet)?;
            Some(on(wording.teeth(gear).short(turn), gear))
        });
        planets.collect()
    };
    each.dedup();
    list(&each)
}

/// The gear in whose teeth a planet is told: the one that was read, or its first in mesh.
fn told_in(answer: &FoundTiming, set: &Gearset, planet: MemberId) -> Option<GearId> {
    let read = answer.read.iter().find(|read| read.planet == planet).map(|read| read.gear);
    let own = |gear: &&GearId| set.gear(**gear).member() == planet;
    read.or_else(|| set.meshes().iter().find_map(|mesh| mesh.gears().both().into_iter().find(own).copied()))
}

pub(super) fn errors(set: &Gearset, seating: &NearSeating) -> String {
    let errors = seating.meshes.iter().map(|it| format!("{} at {}", mixed(&it.error), mesh(set, it.mesh)));
    list(&errors.collect::<Vec<_>>())
}

fn worst(seating: &NearSeating) -> String {
    let arc = seating.largest_error_mm.map(|arc| format!(", {}", length(arc))).unwrap_or_default();
    format!("{} of a tooth{arc}", mixed(&seating.largest_error))
}

/// What a hand notices of a seating, or with which backlash it would go in.
pub(super) fn goes_in(seating: &NearSeating) -> String {
    match (seating.by_hand, seating.least_backlash_mm) {
        (Some(by_hand), _) => words::felt(by_hand).into(),
        (None, Some(backlash)) => format!("goes in with a backlash of {} or more", length(backlash)),
        (None, None) => "goes in if the backlash is large enough".into(),
    }
}
