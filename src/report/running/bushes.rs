//! What presses on the pins of the planets when the input is loaded, for a person.
//!
//! The force on a pin over the projected area of its bush, diameter times width, is the mean pressure;
//! times the rubbing speed it is what the makers of bushes give a limit for. Forces are those of the
//! teeth, shared equally over the pins: an estimate, on the low side where a cluster tilts.

use super::{FEET_PER_METRE, Running};
use crate::exact::Fraction;
use crate::gearset::{GearId, Length, Mesh};
use crate::kinematics::Speed;
use crate::report::loads::control::pressure_in_words;
use crate::report::loads::{digits, each_of};
use crate::report::render::document::{Block, Table};
use crate::report::words::{key, with_decimal};
use crate::running::{RunsOn, StateWork, bearings};
use crate::statics::{PSI, PinForce, StateLoads, TorqueUnit, pin_force};

/// The loads of all states of a gearset, in the order of its states, at one torque.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// The loads.
    pub states: Vec<StateLoads>,
    /// The torque on the input.
    pub torque: Fraction,
    /// The unit of all torques.
    pub unit: TorqueUnit,
}

/// What presses on one bush, as far as sizes and speeds are known.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bush {
    pub(super) force: PinForce,
    /// Newtons per square millimetre.
    pub(super) pressure: Option<f64>,
    /// Newtons per square millimetre times metres a second.
    pub(super) pressure_times_speed: Option<f64>,
}

impl Running<'_> {
    /// What is told of a planet on its pin in a state; `None` without a torque, for other bearings, and
    /// where the force is not known.
    pub(super) fn bush(&self, bearing: &RunsOn, relative: &Speed, state: &str) -> Option<Bush> {
        let loaded = self.loaded.as_ref().filter(|_| bearing.on_pin)?;
        let loads = loaded.states.iter().find(|loads| loads.motion.state == state)?;
        let force = pin_force(self.set, loads, bearing.first, loaded.unit)?;
        let diameter = bearing.diameter.as_ref().map(Length::millimetres);
        let pressure = diameter.zip(bearing.width).map(|(diameter, width)| force.per_pin() / (diameter * width));
        let speed = self.rubbing(bearing, relative);
        Some(Bush { force, pressure, pressure_times_speed: pressure.zip(speed).map(|(one, other)| one * other) })
    }

    /// The table of the planets on their pins, under the torque that was given.
    pub(super) fn bushes(&self, state: &StateWork) -> Option<Block> {
        let loaded = self.loaded.as_ref()?;
        let on_pins = bearings(self.set).into_iter().zip(&state.bearings).filter(|(bearing, _)| bearing.on_pin);
        let rows: Vec<Vec<String>> = on_pins
            .map(|(bearing, motion)| {
                let found = self.bush(&bearing, &motion.relative, &state.motion.state);
                let mut row = vec![self.bearing(&bearing)];
                row.push(found.map_or("not told".into(), |bush| each_of(bush.force.per_pin(), bush.force.pins)));
                row.push(found.and_then(|bush| bush.pressure).map_or("-".into(), pressure_in_words));
                if self.input_rpm.is_some() {
                    row.push(found.and_then(|bush| bush.pressure_times_speed).map_or("-".into(), pressure_times_speed));
                }
                row
            })
            .collect();
        let mut headings = vec!["bearing", "force", "mean pressure"];
        if self.input_rpm.is_some() {
            headings.push("pressure times rubbing speed");
        }
        (!rows.is_empty()).then(|| {
            Block::Table(Table {
                caption: format!(
                    "Planets on their pins with {} {} on the input, an estimate",
                    with_decimal(&loaded.torque),
                    key(&loaded.unit)
                ),
                headings: headings.into_iter().map(String::from).collect(),
                rows,
            })
        })
    }

    /// What the forces take in, and what to write where they are not told.
    pub(super) fn about_bushes(&self) -> Vec<Block> {
        if self.loaded.is_none() {
            return Vec::new();
        }
        let mut notes = vec![format!(
            "the force on a pin is that of the teeth, shared equally, at {} degrees of pressure angle and without losses, \
             as if all gears of the planet lay in one plane. Weight, what flings a planet outward when its carrier \
             turns, profile shift and shock are left out, so a bush may have to bear more; what it can bear is in its \
             maker's book",
            with_decimal(&self.set.pressure_angle())
        )];
        let on_pins = bearings(self.set).into_iter().filter(|bearing| bearing.on_pin);
        if self.set.meshes().iter().any(|mesh| mesh.pitch().is_none()) {
            notes.push("a force is told where every mesh of the planet has a pitch: write pitch: Module(2.5)".into());
        }
        if on_pins.clone().any(|bearing| bearing.diameter.is_none() || bearing.width.is_none()) {
            notes.push(
                "a pressure is told where bearings has diameter and width of every bush of the planet, all of one \
                 diameter: (\"planet\", \"carrier\", (diameter: Millimetres(20), width: Millimetres(25)))"
                    .into(),
            );
        }
        let gear = |gear: &GearId| self.set.gear(*gear);
        let is_left_out = |mesh: &Mesh| {
            let is_planet = |id: &&GearId| self.set.carrier_of(gear(id).member()).is_some();
            mesh.gears().both().iter().all(is_planet) || gear(&mesh.gears().first).kind().is_bevel()
        };
        if self.set.meshes().iter().any(is_left_out) {
            notes.push(
                "not told are forces of bevel planets, and of planets that mesh with one another, as they depend on \
                 where these stand"
                    .into(),
            );
        }
        notes.into_iter().map(Block::Note).collect()
    }
}

fn pressure_times_speed(value: f64) -> String {
    format!("{} N/mm2 m/s ({} psi ft/min)", digits(value), digits(value * PSI * FEET_PER_METRE * 60.0))
}
