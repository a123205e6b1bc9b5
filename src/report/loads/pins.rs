//! What planets put on their pins and carriers, and what is to be held of all loads, for a person.
//!
//! Pins share a torque equally, which is an estimate; forces need a pitch. The cautions say what the
//! numbers leave out.

use super::each_of;
use crate::gearset::{Action, Gearset};
use crate::report::render::document::Block;
use crate::report::words::{list, rounded, with_decimal};
use crate::statics::{LoadSurvey, LoadedPins, LoadedState};

/// What the pins of each group of planets put on their carrier.
pub(super) fn pins(set: &Gearset, state: &LoadedState) -> Option<Block> {
    let mut rows: Vec<Vec<String>> = state.pins.iter().filter_map(|load| pin_row(set, load)).collect();
    let headings = [
        "pins of",
        "carrier",
        "torque on it",
        "each pin, shared equally",
        "tangential force",
        "whole force on the pin",
    ];
    let has_forces = rows.iter().any(|row| row.last().is_some_and(|force| force != "-"));
    let columns = if has_forces { headings.len() } else { headings.len() - 2 };
    for row in &mut rows {
        row.truncate(columns);
    }
    Block::table_of_some("What pins put on their carrier", &headings[..columns], rows)
}

fn pin_row(set: &Gearset, load: &LoadedPins) -> Option<Vec<String>> {
    let names: Vec<String> = load.planets.iter().map(|found| set.member(found.planet).name().to_owned()).collect();
    // Of planets that mesh with one another no force is told.
    let only = load.planets.first().filter(|_| load.planets.len() == 1);
    let force = |force: Option<f64>| force.map_or_else(|| "-".into(), |force| each_of(force, load.pins));
    Some(vec![
        list(&names),
        set.member(load.carrier).name().to_owned(),
        with_decimal(load.torque.as_ref()?),
        format!("{} on each of {}", rounded(load.torque_per_pin.as_ref()?), load.pins),
        force(only.and_then(|only| only.tangential_per_pin_newtons)),
        force(only.and_then(|only| only.force_per_pin_newtons)),
    ])
}

/// What the numbers leave out.
pub(super) fn cautions(answer: &LoadSurvey, set: &Gearset) -> Vec<Block> {
    let mut cautions = Vec::new();
    let mut planets = answer.states.iter().flat_map(|state| &state.pins).flat_map(|pins| &pins.planets);
    if planets.any(|found| found.force_per_pin_newtons.is_some()) {
        cautions.push(format!(
            "the whole force on a pin is that of the teeth at {} degrees of pressure angle, as if all gears of the planet lay \
             in one plane; weight, what flings the planet outward when the carrier turns, and profile shift are left \
             out",
            with_decimal(&set.pressure_angle())
        ));
    }
    if set.planet_groups().iter().any(|group| group.places().len() > 1) {
        cautions.push(
            "shared equally over the pins is an estimate: a pin out of place or a worn bush makes one planet carry \
             more than its share"
                .to_owned(),
        );
    }
    if set.controls().iter().any(|control| matches!(control.action(), Action::Band(_))) {
        cautions.push(
            "holding torques leave out friction, oil and shock: a band must hold more than this. Whether it does is judged \
             with the losses in the meshes, where they are given and ask for more; friction in oil varies, so what a \
             band or clutch can hold is an estimate"
                .to_owned(),
        );
    }
    cautions.push(
        "torques do not say that a gear, pin or drum is strong enough. A train that locks itself is no brake: take \
         the load off a hoist before you open it"
            .to_owned(),
    );
    cautions.into_iter().map(Block::Note).collect()
}
