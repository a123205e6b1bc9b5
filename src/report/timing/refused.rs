//! Why the planets of a group do not go together, and what would, for a person.
//!
//! First how close the worst pin comes, then which gears refuse one another, then the remedies: other numbers of
//! equal pins, the nearest uneven places, other tooth counts.

use super::errors;
use crate::exact::{Fraction, part_of_turn};
use crate::gearset::{GearId, Gearset};
use crate::report::render::document::{Block, Fact, Table};
use crate::report::words::{degrees, length, list, mesh, with_decimal};
use crate::timing::{ByHand, ClosestSeating, GroupTiming, MeshRefusal, PinTiming, Remedies, ToothChange};
use num_traits::{Signed, Zero};

pub(super) fn refused(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
    let mut blocks = Vec::new();
    if let Some(closest) = &group.closest {
        blocks.extend(comes_closest(set, closest));
    }
    blocks.push(Block::Table(refusals(set, &group.refusals_at_their_worst())));
    if let Some(remedies) = &group.remedies {
        blocks.push(Block::Paragraph("What would go together instead:".into()));
        blocks.push(Block::Facts(told(set, group, remedies)));
    }
    blocks
}

fn comes_closest(set: &Gearset, ClosestSeating { pin, seating, .. }: &ClosestSeating) -> Vec<Block> {
    let arc = seating.mm.map(|arc| format!(": up to {}", length(arc))).unwrap_or_default();
    vec![Block::Paragraph(format!(
        "Pin {pin} comes least close: turned as well as can be, it is out by {} of a tooth{arc}",
        errors(set, &seating.errors)
    ))]
}

/// Whether the planets of all pins could be pushed together at once, and the play that would be left.
pub(super) fn pushed_together(group: &GroupTiming) -> Option<String> {
    let together = group.pushed_together.as_ref()?;
    let needed = format!("ll pins at once need a backlash of {} at every mesh", length(together.least_backlash_mm));
    let size = together.play_left_mm.map(|left| length(left.abs()));
    Some(match (together.by_hand, size) {
        (Some(ByHand::Unnoticed), Some(left)) => format!(
            "Beware: a{needed} and have enough: they can be put together, with {left} of play left at the tightest mesh; \
             the planets then do not all carry."
        ),
        (Some(ByHand::WithForce), Some(short)) => format!(
            "Beware: a{needed} and are {short} short: with force they go together, and the set is then tight all round. \
             Never force them."
        ),
        (Some(ByHand::WillNotEnter), Some(short)) => {
            format!("A{needed} and are {short} short: they do not go together, not even with force.")
        }
        _ => format!("A{needed}; with less they do not go together."),
    })
}

/// Which gears refuse, each combination with the pin where it is worst.
fn refusals(set: &Gearset, refusals: &[&MeshRefusal]) -> Table {
    let row = |refusal: &&MeshRefusal| {
        let meshes: Vec<String> = refusal.meshes.iter().map(|&id| mesh(set, id)).collect();
        vec![list(&meshes), refusal.pin.to_string(), with_decimal(&refusal.misfit)]
    };
    Table {
        caption: "Which gears refuse one another, and by how much these alone would be out when they share it".into(),
        headings: ["these cannot all mesh", "worst on pin", "out by, teeth"].map(String::from).to_vec(),
        rows: refusals.iter().map(row).collect(),
    }
}

fn told(set: &Gearset, group: &GroupTiming, remedies: &Remedies) -> Vec<Fact> {
    let counts: Vec<String> = group.equal_pin_counts.iter().map(ToString::to_string).collect();
    let counts = match counts.as_slice() {
        [] => "none: no number from 2 to 8 goes".to_owned(),
        counts => format!("{} equally spaced", list(counts)),
    };
    let places = match &remedies.places {
        Some(places) => {
            let places: Vec<String> = places.iter().zip(&group.pins).map(moved_pin).collect();
            format!("{}; drill them only if the carrier allows it", list(&places))
        }
        None => "none: two pins would come to the same place".into(),
    };
    let changes: Vec<String> = remedies.tooth_changes.iter().map(|change| tooth_change(set, change)).collect();
    let changes = if changes.is_empty() { "none found within three teeth".to_owned() } else { changes.join("; ") };
    vec![Fact::new("other pins", counts), Fact::new("uneven pins", places), Fact::new("other teeth", changes)]
}

/// New counts, those of planets first.
fn tooth_change(set: &Gearset, change: &ToothChange) -> String {
    let on_main_axis = |gear: &GearId| set.carrier_of(set.gear(*gear).member()).is_none();
    let mut counts: Vec<(&GearId, &i64)> = change.tooth_counts.iter().collect();
    counts.sort_by_key(|(gear, _)| on_main_axis(gear));
    let new_count = |(&gear, count): (&GearId, &i64)| {
        let gear = set.gear(gear);
        format!("{} {count} instead of {}", gear.name(), gear.tooth_count().get())
    };
    let counts: Vec<String> = counts.into_iter().map(new_count).collect();
    let distance = if change.keeps_center_distance {
        "same centre distance"
    } else {
        "needs profile shift to keep the centre distance"
    };
    format!("{} ({distance})", list(&counts))
}

/// A pin at its nearest allowed place.
fn moved_pin((place, pin): (&Fraction, &PinTiming)) -> String {
    let by = place - &pin.place;
    if by.is_zero() {
        return format!("pin {} stays", pin.pin);
    }
    let sign = if by.is_positive() { "+" } else { "" };
    let place = part_of_turn(place);
    format!("pin {} at {} degrees = {place} of a turn ({sign}{} degrees)", pin.pin, degrees(&place), degrees(&by))
}
