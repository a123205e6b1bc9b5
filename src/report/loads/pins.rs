//! What planets put on their pins and carriers, and what is to be held of all loads, for a person.
//!
//! Pins share a torque equally, which is an estimate; forces need a pitch. The cautions say what the
//! numbers leave out.

use super::{Loads, each_of};
use crate::exact::fraction;
use crate::gearset::{Action, PlanetGroup};
use crate::report::render::document::{Block, Table};
use crate::report::words::{list, rounded, with_decimal};
use crate::statics::{PinForce, PinLoad, StateLoads, pin_force};

impl Loads<'_> {
    /// What the pins of each group of planets put on their carrier.
    pub(super) fn pins(&self, state: &StateLoads) -> Option<Block> {
        let mut rows: Vec<Vec<String>> = state.pins.iter().filter_map(|load| self.pin_row(state, load)).collect();
        let mut headings = vec![
            "pins of",
            "carrier",
            "torque on it",
            "each pin, shared equally",
            "tangential force",
            "whole force on the pin",
        ];
        if rows.iter().all(|row| row.last().is_some_and(|force| force == "-")) {
            headings.truncate(4);
            for row in &mut rows {
                row.truncate(headings.len());
            }
        }
        (!rows.is_empty()).then(|| {
            Block::Table(Table {
                caption: "What pins put on their carrier".into(),
                headings: headings.into_iter().map(String::from).collect(),
                rows,
            })
        })
    }

    fn pin_row(&self, state: &StateLoads, load: &PinLoad) -> Option<Vec<String>> {
        let planets = self.set.planet_groups()[load.group].planets();
        let names: Vec<String> = planets.iter().map(|&id| self.set.member(id).name().to_owned()).collect();
        let torque = load.torque.as_ref()?;
        let each = torque / fraction(i64::try_from(load.pins).ok()?, 1);
        let found = planets.first().filter(|_| planets.len() == 1);
        let found = found.and_then(|&planet| pin_force(self.set, state, planet, self.unit));
        let tangential = found.map(|found| PinForce { outward: 0.0, ..found });
        Some(vec![
            list(&names),
            self.set.member(load.carrier).name().to_owned(),
            with_decimal(torque),
            format!("{} on each of {}", rounded(&each), load.pins),
            tangential.map_or_else(|| "-".into(), on_pins),
            found.map_or_else(|| "-".into(), on_pins),
        ])
    }

    /// What the numbers leave out.
    pub(super) fn cautions(&self) -> Vec<Block> {
        let has_pins = self.set.planet_groups().iter().any(|group| group.places().len() > 1);
        let mut cautions = Vec::new();
        let pins = |state: &StateLoads| {
            let planets = self.set.planet_groups().iter().flat_map(PlanetGroup::planets);
            planets.filter_map(|&planet| pin_force(self.set, state, planet, self.unit)).count()
        };
        if self.states.iter().any(|state| pins(state) > 0) {
            cautions.push(format!(
                "the whole force on a pin is that of the teeth at {} degrees of pressure angle, as if all gears of the planet lay \
                 in one plane; weight, what flings the planet outward when the carrier turns, and profile shift are left \
                 out",
                with_decimal(&self.set.pressure_angle())
            ));
        }
        if has_pins {
            cautions.push(
                "shared equally over the pins is an estimate: a pin out of place or a worn bush makes one planet carry \
                 more than its share"
                    .to_owned(),
            );
        }
        if self.set.controls().iter().any(|control| matches!(control.action(), Action::Band(_))) {
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
}

fn on_pins(force: PinForce) -> String {
    each_of(force.per_pin(), force.pins)
}
