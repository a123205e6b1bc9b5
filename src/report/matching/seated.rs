//! One order and seating, for a person: how each cluster is turned, every residual, who carries first.

use super::sizes::{no_minus_zero, plain, side, signed};
use super::{contacts, fixed, thing};
use crate::exact::part_of_turn;
use crate::gearset::Gearset;
use crate::report::render::document::{Block, Table};
use crate::report::words::{degrees, gear, mesh, quoted, thou};
use crate::timing::{ClusterOrder, GroupMatching, PlayVerdict, Residual, Seated, SeatedPin};

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
             settled in the middle of its backlash.",
            thing(set, group),
            gear(set, group.reference)
        )),
        Way::Reseated | Way::Exchanged => Block::Table(turns(set, group, seated)),
    }];
    blocks.extend(fixed::stand(set, seated).map(Block::Paragraph));
    blocks.push(Block::Table(residuals(set, group, seated, way)));
    blocks.extend(who_carries_first(set, group, seated, way).map(Block::Table));
    blocks
}

/// Who carries first, as far as the summary does not tell.
fn who_carries_first(set: &Gearset, group: &GroupMatching, seated: &Seated, way: Way) -> Option<Table> {
    let order = if way == Way::Exchanged { ClusterOrder::Exchanged } else { ClusterOrder::AsFound };
    let table = contacts::contacts(set, seated)?;
    if group.advised == Some(order) {
        return table.rest(contacts::MOST);
    }
    Some(Table { caption: format!("{}; {}", table.caption, caption(thing(set, group), way)), ..table })
}

/// How each cluster is turned, from both sides.
fn turns(set: &Gearset, group: &GroupMatching, seated: &Seated) -> Table {
    let row = |pin: &SeatedPin| {
        let place = degrees(&part_of_turn(&pin.place));
        vec![pin.pin.to_string(), place, quoted(&pin.cluster), turn(pin, 1.0), turn(pin, -1.0)]
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

/// A turn of a pin, with the sign of who looks.
fn turn(pin: &SeatedPin, sign: f64) -> String {
    /// A turn that is shown as none.
    const NONE: f64 = 5e-4;
    let (degrees, teeth, counted) = (pin.turn_degrees * sign, pin.turn_teeth, pin.counted_teeth);
    if degrees.abs() < NONE {
        return "to the centre".to_owned();
    }
    let tooth = match counted {
        Some(0) => "the centre".to_owned(),
        Some(teeth) => format!("tooth {}", teeth.abs()),
        None => "set by degrees".to_owned(),
    };
    format!("{:.3} degrees, {:.2} teeth {}: {tooth}", degrees.abs(), teeth.abs(), side(degrees))
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

fn caption(thing: &str, way: Way) -> String {
    let done = match way {
        Way::Listed => "as found, turned as listed by toothmark timing",
        Way::Reseated => "as found, turned as above",
        Way::Exchanged => "exchanged, turned as above",
    };
    format!("{thing}s {done}")
}
