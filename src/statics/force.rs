//! How large is the force between two teeth, and on a pin, where the pitch is known?
//!
//! A torque of z f on a gear of module m, whose pitch radius is m z / 2, is a tangential force of
//! 2 f / m at the pitch circle, whatever its tooth count. All pins share it: equally, which is an
//! estimate that a pin out of place spoils. Along the line of contact the force is larger, by 1 / cos of
//! the pressure angle; what pushes the gears apart counts in the force on a pin. Profile shift is left out.

use super::loads::StateLoads;
use super::mesh_load::MeshLoad;
use crate::exact::{Fraction, to_float};
use crate::gearset::{Gear, Gearset, MemberId, MeshId, NEWTONS_PER_POUND_FORCE, Place};
use num_traits::One;
use serde::Serialize;

/// A unit of torque; serialised as people write it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum TorqueUnit {
    /// Newton metres.
    #[serde(rename = "N m")]
    NewtonMetres,
    /// Pounds force times feet.
    #[serde(rename = "lb ft")]
    PoundFeet,
}

/// A torque on the input, with its unit; the torques that follow from it are in the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputTorque {
    /// So many of the unit.
    pub amount: Fraction,
    /// The unit.
    pub unit: TorqueUnit,
}

impl InputTorque {
    /// A torque of the same unit in newton metres.
    pub(super) fn in_newton_metres(&self, torque: &Fraction) -> f64 {
        to_float(torque) * self.unit.newton_metres()
    }
}

/// One newton metre.
impl Default for InputTorque {
    fn default() -> Self {
        Self { amount: Fraction::one(), unit: TorqueUnit::NewtonMetres }
    }
}

/// Newton metres in a pound-foot: 0.45359237 kg times 9.80665 m/s2 times 0.3048 m, all by definition.
const NEWTON_METRES_PER_POUND_FOOT: f64 = NEWTONS_PER_POUND_FORCE * 0.304_8;

/// Pounds force per square inch in a newton per square millimetre.
pub const PSI: f64 = 25.4 * 25.4 / NEWTONS_PER_POUND_FORCE;

impl TorqueUnit {
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
    let pins = pins_of(set, load.mesh);
    Some(MeshForce { all_pins, per_pin: all_pins / float_of(pins), pins })
}

/// The force of the planets on their pins, in newtons, all pins together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PinForce {
    /// Across the line from the centre to the pin, positive in the sense of positive rotation about the centre:
    /// times the radius of the pins it is the torque on the carrier.
    pub tangential: f64,
    /// Along that line, positive outward: by the pressure angle.
    pub outward: f64,
    /// How many pins share it.
    pub pins: usize,
}

impl PinForce {
    /// The whole force on each pin, shared equally: an estimate, in newtons, without a sign.
    ///
    /// # Examples
    /// ```
    /// use toothmark::statics::PinForce;
    /// assert_eq!(PinForce { tangential: -30.0, outward: 40.0, pins: 2 }.per_pin(), 25.0);
    /// ```
    pub fn per_pin(&self) -> f64 {
        self.tangential.hypot(self.outward) / float_of(self.pins)
    }
}

/// The force of the planets on their pins, where every mesh of the planet has a pitch and is with a central
/// spur gear; for planets that mesh with one another it depends on where they stand.
///
/// Signed tooth counts `z_a` and `z_b` put the pins at a radius of `m |z_a + z_b| / 2`, and the mesh puts the
/// torque `-(z_a + z_b) f` on the carrier: a tangential force of `2 f / m`, of the other sign than f where
/// `z_a + z_b` is positive. The teeth push the gears apart with its tangent of the pressure angle: outward a
/// planet outside its mate, inward one that runs inside a ring or round its mate. Forces of several gears are
/// added as if all lay in one plane; weight and centrifugal force are left out.
///
/// # Examples
/// ```
/// use toothmark::{description, statics::{LoadOptions, TorqueUnit, loads, pin_force}};
/// let set = description::read(description::example("trap-gear").unwrap()).unwrap();
/// let state = &loads(&set, &LoadOptions::default())[0];
/// // 1 N m on the carrier, whose pins stand 120 mm from the centre: 8.33 N across.
/// let force = pin_force(&set, state, set.planet_groups()[0].planets()[0], TorqueUnit::NewtonMetres).unwrap();
/// assert!((force.tangential.abs() - 1000.0 / 120.0).abs() < 1e-9);
/// ```
pub fn pin_force(set: &Gearset, state: &StateLoads, planet: MemberId, unit: TorqueUnit) -> Option<PinForce> {
    let Place::Pin { pins, .. } = set.member(planet).place() else { return None };
    let slope = to_float(&set.pressure_angle()).to_radians().tan();
    let mut sum = PinForce { tangential: 0.0, outward: 0.0, pins: pins.len() };
    for load in &state.meshes {
        let gears = set.mesh(load.mesh).gears().each().map(|gear| set.gear(gear));
        if gears.iter().all(|gear| gear.member() != planet) {
            continue;
        }
        if force_depends_on_places(set, load.mesh) {
            return None;
        }
        let torque_per_tooth = to_float(load.torque_per_tooth.as_ref()?) * unit.newton_metres();
        let force = 2000.0 * torque_per_tooth / set.mesh(load.mesh).pitch()?.module();
        let is_outside = set.matrix().row(load.mesh).tooth_sum() > 0;
        let sense = if is_outside { 1.0 } else { -1.0 };
        sum.tangential -= sense * force;
        sum.outward += sense * force.abs() * slope;
    }
    Some(sum)
}

/// Whether the force of a mesh on pins depends on where its planets stand: bevel planets, and planets that mesh with one
/// another.
pub(crate) fn force_depends_on_places(set: &Gearset, mesh: MeshId) -> bool {
    let gears = set.mesh(mesh).gears().each().map(|gear| set.gear(gear));
    let is_planet = |gear: &Gear| set.carrier_of(gear.member()).is_some();
    gears.iter().all(|gear| is_planet(gear)) || gears[0].kind().is_bevel()
}

fn float_of(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::INFINITY, f64::from)
}

/// How many pins share a mesh.
pub(super) fn pins_of(set: &Gearset, mesh: MeshId) -> usize {
    let member = |gear| set.gear(gear).member();
    let [first, second] = set.mesh(mesh).gears().each().map(member);
    let pins = |member: MemberId| match set.member(member).place() {
        Place::Pin { pins, .. } => Some(pins.len()),
        Place::Case | Place::MainAxis => None,
    };
    pins(first).or_else(|| pins(second)).expect("one of two gears in mesh is a planet's")
}
