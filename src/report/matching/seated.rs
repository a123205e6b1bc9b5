//! One order and seating, for a person: how each cluster is turned, every residual, who carries first.

use super::sizes::{arc, no_minus_zero, part_of_tooth, plain, side, signed, thou};
use super::{fixed, thing};
use crate::exact::part_of_turn;
use crate::gearset::Gearset;
use crate::report::render::document::{Block, Table};
use crate::report::words::{degrees, gear, list, mesh, quoted};
use crate::timing::{ContactPin, FirstContact, GroupMatching, PlayVerdict, Residual, Seated, SeatedPin};

/// The order and seating of which something is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Listed,
    Reseated,
    Exchanged,
}

/// Everything about one order and seating.
pub(super) fn seated(set: &Gearset, group: &GroupMatching, seated: &Seated, way: Way) -> Vec<Block> {
    let mut blocks = vec![match way {
        Way::Listed => Block::Paragraph(format!(
            "Turn every {} as toothmark timing lists, marked and counted on gear {}. Residuals are told with the set \
             settled in the middle of its play.",
            thing(set, group),
            gear(set, group.reference)
        )),
        Way::Reseated | Way::Exchanged => Block::Table(turns(set, group, seated)),
    }];
    blocks.extend(fixed::stand(set, seated).map(Block::Paragraph));
    blocks.push(Block::Table(residuals(set, group, seated, way)));
    if !seated.first_contacts.is_empty() {
        blocks.push(Block::Table(contacts(set, group, seated, way)));
    }
    blocks
}

/// How each cluster is turned, from both sides.
fn turns(set: &Gearset, group: &GroupMatching, seated: &Seated) -> Table {
    let row = |pin: &SeatedPin| {
        let place = degrees(&part_of_turn(&pin.place));
        let from_output = turn(-pin.turn_degrees, -pin.turn_teeth);
        vec![pin.pin.to_string(), place, quoted(&pin.cluster), turn(pin.turn_degrees, pin.turn_teeth), from_output]
    };
    let thing = thing(set, group);
    let headings = ["pin", "pin at, degrees", thing, "seen from the input side", "seen from the output side"];
    Table {
        caption: format!(
            "How each {thing} is turned: from the line to the centre to the mark of gear {} (pin places from the input \
             side)",
            gear(set, group.reference)
        ),
        headings: headings.map(String::from).to_vec(),
        rows: seated.pins.iter().map(row).collect(),
    }
}

fn turn(degrees: f64, teeth: f64) -> String {
    /// A turn that is shown as none.
    const NONE: f64 = 5e-4;
    if degrees.abs() < NONE {
        return "to the centre".to_owned();
    }
    let side = side(degrees);
    let nearest = teeth.abs().round();
    let tooth = if nearest > 0.0 { format!("tooth {nearest}") } else { "the centre".to_owned() };
    format!("{:.3} degrees, {:.2} teeth {side}: {tooth}", degrees.abs(), teeth.abs())
}

fn residuals(set: &Gearset, group: &GroupMatching, seated: &Seated, way: Way) -> Table {
    const GIVE_OR_TAKE: &str = "give or take";
    let thing = thing(set, group);
    let headings = ["pin", thing, "mesh", "teeth", "mm", "thou", GIVE_OR_TAKE, "half backlash, mm", "verdict"];
    let is_uncertain = seated.pins.iter().flat_map(|pin| &pin.residuals).any(|it| it.uncertainty_teeth > 0.0);
    let is_shown = |heading: &str| is_uncertain || heading != GIVE_OR_TAKE;
    let shown = |cells: Vec<String>| -> Vec<String> {
        headings.iter().zip(cells).filter(|(heading, _)| is_shown(heading)).map(|(_, cell)| cell).collect()
    };
    let of_pin = |pin: &SeatedPin| -> Vec<Vec<String>> {
        let start = [pin.pin.to_string(), quoted(&pin.cluster)];
        pin.residuals.iter().map(|residual| shown([&start[..], &told(set, residual)].concat())).collect()
    };
    Table {
        caption: format!(
            "Residuals, {} (+: the {thing}'s gear is ahead, ccw seen from the input side)",
            caption(thing, way)
        ),
        headings: shown(headings.map(String::from).to_vec()),
        rows: seated.pins.iter().flat_map(of_pin).collect(),
    }
}

/// The cells of a residual.
fn told(set: &Gearset, residual: &Residual) -> [String; 7] {
    let shown = |value: Option<f64>, digits: usize| {
        value.map_or_else(|| "-".into(), |value| no_minus_zero(format!("{value:+.digits$}")))
    };
    let teeth = || format!("{} teeth", plain(residual.uncertainty_teeth));
    [
        mesh(set, residual.mesh),
        signed(residual.teeth),
        shown(residual.mm, 3),
        shown(residual.mm.map(thou), 1),
        residual.uncertainty_mm.map_or_else(teeth, |arc| format!("{arc:.3} mm")),
        residual.half_backlash_mm.map_or_else(|| "-".into(), |half| format!("{half:.3}")),
        residual.verdict.map_or("-", verdict).to_owned(),
    ]
}

fn verdict(verdict: PlayVerdict) -> &'static str {
    match verdict {
        PlayVerdict::Within => "within",
        PlayVerdict::Beyond => "BEYOND",
        PlayVerdict::CannotBeTold => "cannot be told",
    }
}

fn contacts(set: &Gearset, group: &GroupMatching, seated: &Seated, way: Way) -> Table {
    let gears = |ids: &[_]| list(&ids.iter().map(|&id| gear(set, id)).collect::<Vec<_>>());
    let row = |contact: &FirstContact| {
        let [first, then] = in_turn(contact);
        vec![gears(&contact.pushing_gears), gears(&contact.holding_gears), first, then]
    };
    let thing = thing(set, group);
    let turns = format!("turns the {thing}s clockwise");
    let headings = [&turns, "holds against it", "carries first", "then, play at the holding gear"];
    Table {
        caption: format!(
            "Who carries first, {} (clockwise seen from the input side; the {thing}s free to turn on their pins)",
            caption(thing, way)
        ),
        headings: headings.map(String::from).to_vec(),
        rows: seated.first_contacts.iter().map(row).collect(),
    }
}

/// The pins that carry first, and the others with the play that is left there.
fn in_turn(contact: &FirstContact) -> [String; 2] {
    let mut together = contact.pins.chunk_by(|a, b| a.rank == b.rank);
    let first = together.next().map(names).unwrap_or_default();
    let later: Vec<String> = together.map(later).collect();
    [first, if later.is_empty() { "all at once".into() } else { later.join("; ") }]
}

fn names(pins: &[ContactPin]) -> String {
    let mut numbers: Vec<usize> = pins.iter().map(|pin| pin.pin).collect();
    numbers.sort_unstable();
    let word = if numbers.len() == 1 { "pin" } else { "pins" };
    format!("{word} {}", list(&numbers.iter().map(ToString::to_string).collect::<Vec<_>>()))
}

fn later(pins: &[ContactPin]) -> String {
    let first = pins[0];
    let size = first.mm_left.map_or_else(|| part_of_tooth(first.teeth_left), arc);
    let doubtful = if first.waits_for_sure { "" } else { " (or before: the readings do not tell)" };
    format!("{} after {size}{doubtful}", names(pins))
}

fn caption(thing: &str, way: Way) -> String {
    let done = match way {
        Way::Listed => "as found, turned as listed by toothmark timing",
        Way::Reseated => "as found, turned as above",
        Way::Exchanged => "exchanged, turned as above",
    };
    format!("{thing}s {done}")
}
