//! What would assemble in place of planets that do not, and why they do not, for a person.
//!
//! First the remedies: other numbers of equal pins, the nearest uneven places, other tooth counts; in full how close the
//! worst pin comes, and which gears refuse one another.

use super::errors;
use crate::exact::{Fraction, part_of_turn};
use crate::gearset::{GearId, Gearset};
use crate::report::render::document::{Block, Fact, Table};
use crate::report::words::{degrees, length, list, mesh, with_decimal};
use crate::timing::{ByHand, ClosestSeating, GroupTiming, IndexClass, MeshRefusal, PinTiming, Remedies, ToothChange};
use num_traits::{Signed, Zero};

/// What would assemble in place of a group that does not.
pub(super) fn ways_out(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
    let Some(remedies) = &group.remedies else { return Vec::new() };
    vec![Block::Paragraph("What would assemble instead:".into()), Block::Facts(told(set, group, remedies))]
}

/// Where its worst pin comes least close, and which gears refuse one another.
pub(super) fn reasons(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
    let closest = group.closest.iter().flat_map(|closest| comes_closest(set, closest));
    closest.chain([Block::Table(refusals(set, &group.refusals_at_their_worst()))]).collect()
}

fn comes_closest(set: &Gearset, ClosestSeating { pin, seating, .. }: &ClosestSeating) -> Vec<Block> {
    let arc = seating.mm.map(|arc| format!(": up to {}", length(arc))).unwrap_or_default();
    vec![Block::Paragraph(format!(
        "Pin {pin} comes least close: turned as well as can be, it is out by {} of a tooth{arc}",
        errors(set, &seating.errors)
    ))]
}

/// Whether the planets of all pins could be pushed together at once, and the backlash that would be left.
pub(super) fn pushed_together(group: &GroupTiming) -> Option<String> {
    let together = group.pushed_together.as_ref()?;
    let needed = format!("ll pins at once need a backlash of {} at every mesh", length(together.least_backlash_mm));
    let size = together.play_left_mm.map(f64::abs);
    Some(match (together.by_hand, size) {
        (Some(ByHand::Unnoticed), Some(left)) => format!(
            "Beware: a{needed} and have enough: they can be put together, with {} of backlash left at the tightest mesh; the \
             planets then do not all carry.",
            length(left)
        ),
        (Some(ByHand::WithForce), Some(short)) => format!(
            "Beware: a{needed} and {}: with force they go in, and the set is then tight all round. Never force them.",
            shortage(short)
        ),
        (Some(ByHand::WillNotEnter), Some(short)) => {
            format!("A{needed} and {}: they do not go in, not even with force.", shortage(short))
        }
        _ => format!("A{needed}; with less they do not go in."),
    })
}

/// How much backlash is missing; a shortage that rounds to nothing is told without a number.
fn shortage(millimetres: f64) -> String {
    const TOLD: f64 = 5e-4;
    if millimetres < TOLD { "have just that".into() } else { format!("are {} short", length(millimetres)) }
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
    let told = [Fact::new("other pins", counts), Fact::new("uneven pins", places)];
    told.into_iter().chain(tooth_changes(set, &remedies.tooth_changes)).chain(index_classes(remedies)).collect()
}

/// Planets made to different indexes.
fn index_classes(remedies: &Remedies) -> Option<Fact> {
    let on_pins = |class: &IndexClass| {
        let pins: Vec<String> = class.pins.iter().map(ToString::to_string).collect();
        format!("class {} for pin{} {}", class.class, if pins.len() == 1 { "" } else { "s" }, list(&pins))
    };
    let classes: Vec<String> = remedies.index_classes.iter().map(on_pins).collect();
    (!classes.is_empty()).then(|| {
        let told = format!("new clusters to different indexes, {}; toothmark teeth order tells each", list(&classes));
        Fact::new("other index", told)
    })
}

/// Changes of tooth counts: those that keep the centre distance, then those that need profile shift.
fn tooth_changes(set: &Gearset, changes: &[ToothChange]) -> Vec<Fact> {
    if changes.is_empty() {
        return vec![Fact::new("other teeth", "none found within three teeth")];
    }
    let of = |subject: &str, keeps: bool| {
        let told = changes.iter().filter(|change| change.keeps_center_distance == keeps);
        let told: Vec<String> = told.map(|change| tooth_change(set, change)).collect();
        (!told.is_empty()).then(|| Fact::new(subject, told.join("; ")))
    };
    let kept = of("other teeth", true)
        .unwrap_or_else(|| Fact::new("other teeth", "none found that keep the centre distance without profile shift"));
    [kept].into_iter().chain(of("with profile shift", false)).collect()
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
    list(&counts)
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
