//! How large is the force between two teeth, and on a pin, where the pitch is known?
//!
//! A torque of z f on a gear of module m, whose pitch radius is m z / 2, is a tangential force of
//! 2 f / m at the pitch circle, whatever its tooth count. All pins share it: equally, which is an
//! estimate that a pin out of place spoils. Radial forces and profile shift are left out, so the
//! force along the line of contact is larger (by 1 / cos of the pressure angle).

use super::loads::StateLoads;
use super::power::MeshLoad;
use crate::exact::to_float;
use crate::gearset::{GearKind, Gearset, MemberId, NEWTONS_PER_POUND_FORCE, Place};

/// A unit of torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TorqueUnit {
    /// Newton metres.
    NewtonMetres,
    /// Pounds force times feet.
    PoundFeet,
}

/// Newton metres in a pound-foot: 0.45359237 kg times 9.80665 m/s2 times 0.3048 m, all by definition.
const NEWTON_METRES_PER_POUND_FOOT: f64 = NEWTONS_PER_POUND_FORCE * 0.304_8;

impl TorqueUnit {
    /// How people write it.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::NewtonMetres => "N m",
            Self::PoundFeet => "lb ft",
        }
    }

    /// One of the unit in newton metres.
    ///
    /// # Examples
    /// ```
    /// use toothmark::statics::TorqueUnit;
    /// assert!((TorqueUnit::PoundFeet.newton_metres() - 1.355_818).abs() < 1e-6);
    /// ```
    pub fn newton_metres(self) -> f64 {
        match self {
            Self::NewtonMetres => 1.0,
            Self::PoundFeet => NEWTON_METRES_PER_POUND_FOOT,
        }
    }
}

/// The tangential force in a mesh, without its sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeshForce {
    /// All pins together, in newtons.
    pub all_pins: f64,
    /// Shared equally over the pins: an estimate, in newtons.
    pub per_pin: f64,
    /// How many pins share it.
    pub pins: usize,
}

/// The tangential force in a mesh, where its pitch is given and its torque known.
///
/// # Examples
/// ```
/// use toothmark::{description, statics::{LoadOptions, TorqueUnit, loads, mesh_force}};
/// let set = description::read(description::example("trap-gear").unwrap()).unwrap();
/// let state = &loads(&set, &LoadOptions::default())[0];
/// // The first sun of 61 teeth and module 2 takes 30.5 N m at a radius of 61 mm: 500 N over three pins.
/// let force = mesh_force(&set, &state.meshes[0], TorqueUnit::NewtonMetres).unwrap();
/// assert!((force.all_pins - 500.0).abs() < 1e-9 && force.pins == 3);
/// ```
pub fn mesh_force(set: &Gearset, load: &MeshLoad, unit: TorqueUnit) -> Option<MeshForce> {
    let module = set.mesh(load.mesh).pitch()?.module();
    let torque_per_tooth = to_float(load.torque_per_tooth.as_ref()?) * unit.newton_metres();
    let all_pins = (2.0 * torque_per_tooth * 1000.0 / module).abs();
    let pins = pins_of(set, load);
    let count = u32::try_from(pins).map_or(f64::INFINITY, f64::from);
    Some(MeshForce { all_pins, per_pin: all_pins / count, pins })
}

/// The tangential force of the planets on their pins, without its sign, where every mesh of the planet has a
/// pitch and is with a central gear; for planets that mesh with one another it depends on where they stand.
///
/// A central gear pushes the planet by 2 f / m against the way it is pushed itself: on the outer side of an
/// external gear backward for a positive f, inside a ring forward.
///
/// # Examples
/// ```
/// use toothmark::{description, statics::{LoadOptions, TorqueUnit, loads, pin_force}};
/// let set = description::read(description::example("trap-gear").unwrap()).unwrap();
/// let state = &loads(&set, &LoadOptions::default())[0];
/// // 1 N m on the carrier, whose pins stand 120 mm from the centre: 8.33 N.
/// let force = pin_force(&set, state, set.planet_groups()[0].planets()[0], TorqueUnit::NewtonMetres).unwrap();
/// assert!((force.all_pins - 1000.0 / 120.0).abs() < 1e-9);
/// ```
pub fn pin_force(set: &Gearset, state: &StateLoads, planet: MemberId, unit: TorqueUnit) -> Option<MeshForce> {
    let Place::Pin { pins, .. } = set.member(planet).place() else { return None };
    let mut sum = 0.0;
    for load in &state.meshes {
        let gears = set.mesh(load.mesh).gears();
        let [first, second] = gears.both().map(|&gear| set.gear(gear));
        let central = match (first.member() == planet, second.member() == planet) {
            (true, _) => second,
            (_, true) => first,
            (false, false) => continue,
        };
        if set.carrier_of(central.member()).is_some() || central.kind().is_bevel() {
            return None;
        }
        let force = 2000.0 * to_float(load.torque_per_tooth.as_ref()?) / set.mesh(load.mesh).pitch()?.module();
        sum += if central.kind() == GearKind::Internal { force } else { -force };
    }
    let all_pins = sum.abs() * unit.newton_metres();
    let count = u32::try_from(pins.len()).map_or(f64::INFINITY, f64::from);
    Some(MeshForce { all_pins, per_pin: all_pins / count, pins: pins.len() })
}

/// How many pins share a mesh.
pub(super) fn pins_of(set: &Gearset, load: &MeshLoad) -> usize {
    let member = |gear| set.gear(gear).member();
    let [first, second] = set.mesh(load.mesh).gears().both().map(|&gear| member(gear));
    let pins = |member: MemberId| match set.member(member).place() {
        Place::Pin { pins, .. } => Some(pins.len()),
        Place::Case | Place::MainAxis => None,
    };
    pins(first).or_else(|| pins(second)).expect("one of two gears in mesh is a planet's")
}
