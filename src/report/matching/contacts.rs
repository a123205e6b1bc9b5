//! Who carries first, in words and as a table: a pin whose flanks touch early carries alone until the others come.

use super::sizes::{arc, part_of_tooth, plain, short_arc};
use crate::gearset::{GearId, Gearset};
use crate::report::render::document::Table;
use crate::report::words::{gear, list};
use crate::timing::{ContactPin, FirstContact, Seated};

/// So many senses of the load are listed on a screen.
pub(super) const MOST: usize = 8;

/// How unlike the shares of the pins are, in the sense of the load in which the last comes latest.
pub(super) fn share_of_load(set: &Gearset, seated: &Seated) -> Option<String> {
    let latest = |contact: &FirstContact| contact.pins.last().map_or(0.0, |pin| pin.teeth_left);
    let worst = seated.first_contacts.iter().max_by(|a, b| latest(a).total_cmp(&latest(b)))?;
    let last = worst.pins.last()?;
    if is_nothing(last) {
        return Some("All pins begin to carry at once.".into());
    }
    let [drives, holds] = [&worst.pushing_gears, &worst.holding_gears].map(|ids| gears(set, ids));
    let first: Vec<ContactPin> = worst.pins.iter().copied().take_while(is_nothing).collect();
    let after = last.mm_left.map_or_else(|| part_of_tooth(last.teeth_left), arc);
    let where_to = format!("{after} after {}, at {holds} with {drives} driving", pins(&first));
    Some(if last.waits_for_sure {
        format!("The pins do not share the load alike: at worst pin {} begins to carry {where_to}.", last.pin)
    } else {
        format!("Which pin carries first the readings do not tell: at worst pin {} does {where_to}.", last.pin)
    })
}

/// Gears by their names.
pub(in crate::report) fn gears(set: &Gearset, ids: &[GearId]) -> String {
    list(&ids.iter().map(|&id| gear(set, id)).collect::<Vec<_>>())
}

/// `pin 2`, `pins 1 and 3`.
pub(in crate::report) fn pins(pins: &[ContactPin]) -> String {
    let mut numbers: Vec<usize> = pins.iter().map(|pin| pin.pin).collect();
    numbers.sort_unstable();
    let word = if numbers.len() == 1 { "pin" } else { "pins" };
    format!("{word} {}", list(&numbers.iter().map(ToString::to_string).collect::<Vec<_>>()))
}

/// For each sense of the load which pins carry first, and by how much later the others come; nothing where all come at
/// once.
pub(super) fn contacts(set: &Gearset, seated: &Seated) -> Option<Table> {
    let contacts = &seated.first_contacts;
    if contacts.iter().flat_map(|contact| &contact.pins).all(is_nothing) {
        return None;
    }
    let row = |contact: &FirstContact| {
        let [first, then] = in_turn(contact);
        vec![gears(set, &contact.pushing_gears), gears(set, &contact.holding_gears), first, then]
    };
    let later = later_heading(contacts.iter());
    let caption = "Which pin carries first: clusters turned clockwise, seen from the input side";
    Some(Table::new(caption, &["drives", "holds", "first", later], contacts.iter().map(row).collect()))
}

/// What heads the column of the pins that come later.
pub(in crate::report) fn later_heading<'a>(mut contacts: impl Iterator<Item = &'a FirstContact>) -> &'static str {
    let in_mm = contacts.all(|contact| contact.pins.iter().all(|pin| pin.mm_left.is_some()));
    if in_mm { "later at holder, mm (thou)" } else { "later at holder, teeth" }
}

/// The pins that carry first, and the others with what is left there; those that are told the same together.
pub(in crate::report) fn in_turn(contact: &FirstContact) -> [String; 2] {
    let mut together = contact.pins.chunk_by(|a, b| later_by(a) == later_by(b));
    let first = together.next().map(pins).unwrap_or_default();
    let later: Vec<String> =
        together.map(|together| format!("{} {}", pins(together), later_by(&together[0]))).collect();
    [first, if later.is_empty() { "all at once".into() } else { later.join("; ") }]
}

/// What is left where a pin begins to carry, as it is shown.
fn later_by(pin: &ContactPin) -> String {
    let size = pin.mm_left.map_or_else(|| plain(pin.teeth_left), short_arc);
    let doubtful = if pin.waits_for_sure || is_nothing(pin) { "" } else { ", or before" };
    format!("{size}{doubtful}")
}

/// Whether it begins to carry with the first, as far as is shown.
pub(in crate::report) fn is_nothing(pin: &ContactPin) -> bool {
    /// Half of the last digit that is shown: micrometres of an arc, tenths of thousandths of a tooth.
    const OF_ARC: f64 = 5e-4;
    const OF_TOOTH: f64 = 5e-5;
    pin.mm_left.map_or(pin.teeth_left < OF_TOOTH, |arc| arc < OF_ARC)
}
