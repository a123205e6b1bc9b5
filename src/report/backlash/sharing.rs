//! How pins share the load, in words: told only where a stiffness is given.

use crate::fit::{BacklashSurvey, CarryingContact, LoadCase, PinShare, SharedByPins};
use crate::gearset::Gearset;
use crate::report::matching::contacts::gears;
use crate::report::words::{gear, key, list, quoted};

/// What every pin carries under the load that they share most unlike.
pub(super) fn shares(set: &Gearset, answer: &BacklashSurvey) -> Option<String> {
    let mut all: Vec<(&CarryingContact, &SharedByPins)> = Vec::new();
    for contact in answer.groups.iter().flat_map(|group| &group.contacts) {
        all.extend(contact.shares.iter().map(|shared| (contact, shared)));
    }
    let (contact, worst) = all.iter().max_by(|a, b| a.1.worst_share.total_cmp(&b.1.worst_share))?;
    Some(told(set, contact, worst))
}

/// A row for each load.
pub(super) fn rows(set: &Gearset, contact: &CarryingContact) -> Vec<Vec<String>> {
    let row = |shared: &SharedByPins| {
        let pins: Vec<String> = shared.pins.iter().map(|pin| format!("{:.0}", pin.newtons)).collect();
        vec![
            under(set, contact, shared),
            format!("{:.0}", shared.force_newtons),
            pins.join(", "),
            format!("{:.0}", shared.all_carry_from_newtons),
            format!("{:.2}", shared.worst_share),
        ]
    };
    contact.shares.iter().map(row).collect()
}

/// Under which load.
fn under(set: &Gearset, contact: &CarryingContact, shared: &SharedByPins) -> String {
    let floats = shared.floats.map(|id| format!(" with {} floating", gear(set, id))).unwrap_or_default();
    if let Some(LoadCase { state, power, .. }) = &shared.load_case {
        return format!("{} {}{floats}", quoted(state), key(power));
    }
    let contact = &contact.contact;
    let [drives, holds] = [&contact.pushing_gears, &contact.holding_gears].map(|ids| gears(set, ids));
    format!("{drives} driving, {holds} holding{floats}")
}

fn told(set: &Gearset, contact: &CarryingContact, shared: &SharedByPins) -> String {
    let pins: Vec<String> = shared.pins.iter().map(pin).collect();
    let idle = shared.pins.iter().any(|pin| pin.newtons <= 0.0);
    let all = if idle { format!("; all carry from {:.0} N on", shared.all_carry_from_newtons) } else { String::new() };
    format!(
        "Under {:.0} N of the driving gear ({}): {}; the worst pin has {:.2} times its share{all}.",
        shared.force_newtons,
        under(set, contact, shared),
        list(&pins),
        shared.worst_share
    )
}

fn pin(pin: &PinShare) -> String {
    if pin.newtons > 0.0 { format!("pin {} {:.0} N", pin.pin, pin.newtons) } else { format!("pin {} nothing", pin.pin) }
}
