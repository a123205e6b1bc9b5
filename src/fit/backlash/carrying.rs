//! Which pins carry first in which state, and how do they share the load?
//!
//! Between two central bodies [`carrying_order`] tells it, for `match` as well as here. Which of them push in a state
//! says the balance of torques: a mesh with the torque f per tooth turns its planet by `P f`, clockwise where that is
//! below zero, and on overrun every sign is the other. The force of the pushing gear is that torque over the working
//! radius of the planet's gear, `a P / |P + Z|`. Pins share as equal springs: see [`share_load`].

use super::answer::{CarryingContact, ContactsUntold, LoadCase, PinShare, SharedByPins};
use super::question::{CheckedQuestion, SharedForce, SharingQuestion};
use crate::clearance::MeshInPlace;
use crate::exact::{Fraction, multiple, to_float};
use crate::gearset::{Gearset, MeshId, PlanetGroup, Sense};
use crate::statics::{LoadOptions, OneWay, PowerSense, loads_of, one_way};
use crate::timing::{FirstContact, carrying_order};
use crate::tooth::{share_load, share_load_floating};
use num_traits::{Signed, Zero};

/// The planets whose pins carry.
pub(super) struct CarryingPins<'a> {
    pub(super) set: &'a Gearset,
    pub(super) group: &'a PlanetGroup,
    pub(super) question: &'a CheckedQuestion<'a>,
    pub(super) meshes: &'a [MeshInPlace],
}

/// A state in which two central bodies carry torque by planets, with the senses in drive.
struct StateContact {
    state: String,
    /// The mesh that pushes the planets clockwise, and the one that holds.
    pushing: MeshId,
    holding: MeshId,
    /// The torque of the pushing gears on all planets, in newton metres or per torque of 1.
    torque: f64,
    /// Whether a one-way clutch of the state lets go, in drive and on overrun.
    lets_go: [bool; 2],
}

impl CarryingPins<'_> {
    /// Who carries first, for each two bodies; or why that is not told.
    pub(super) fn contacts(&self) -> Result<Vec<CarryingContact>, ContactsUntold> {
        let &[planet] = self.group.planets() else { return Err(ContactsUntold::MeshedPlanets) };
        let pin_count = self.group.places().len();
        if pin_count == 1 {
            return Err(ContactsUntold::OnePin);
        }
        let order = carrying_order(self.set, planet, &self.question.pins(planet, pin_count));
        let contacts = order.map_err(|_| ContactsUntold::MeshedPlanets)?.first_contacts;
        let contacts = contacts.ok_or(ContactsUntold::DoNotAssemble)?;
        if contacts.is_empty() {
            return Err(ContactsUntold::NoTwoBodies);
        }
        let states: Vec<StateContact> = self.states().filter_map(|state| self.loaded_state(state)).collect();
        Ok(contacts.into_iter().map(|contact| self.told(contact, &states)).collect())
    }

    fn states(&self) -> impl Iterator<Item = usize> {
        let only = self.question.asked.state;
        (0..self.set.states().len()).filter(move |state| only.is_none_or(|only| only == *state))
    }

    /// Which bodies push and hold the planets in a state; `None` where it is not two that do, or not known.
    fn loaded_state(&self, index: usize) -> Option<StateContact> {
        let torque = match &self.question.asked.sharing {
            Some(SharingQuestion { load: SharedForce::Torque(torque), .. }) => torque.clone(),
            _ => crate::statics::InputTorque::default(),
        };
        let loads = loads_of(self.set, index, &LoadOptions { torque: torque.amount });
        let mut turning: Vec<(MeshId, Fraction)> = Vec::new();
        for &mesh in self.group.meshes() {
            let per_tooth = loads.meshes[mesh.index()].torque_per_tooth.as_ref()?;
            turning.push((mesh, multiple(per_tooth, self.planet_count(mesh))));
        }
        turning.retain(|(_, torque)| !torque.is_zero());
        let lets_go = |power: Sense| {
            let controls = || self.set.control_ids();
            controls().any(|control| one_way(self.set, &loads, control, power) == Some(OneWay::LetsGo))
        };
        let lets_go = [lets_go(Sense::Forward), lets_go(Sense::Backward)];
        let (clockwise, back): (Vec<_>, Vec<_>) = turning.into_iter().partition(|(_, torque)| torque.is_negative());
        let sum: Fraction = back.iter().map(|(_, torque)| torque).sum();
        Some(StateContact {
            state: self.set.states()[index].name.clone(),
            pushing: clockwise.first()?.0,
            holding: back.first()?.0,
            torque: to_float(&sum) * torque.unit.newton_metres(),
            lets_go,
        })
    }

    /// P: the signed teeth of the planet in a mesh.
    fn planet_count(&self, mesh: MeshId) -> i64 {
        let gears = &self.set.matrix().row(mesh).gears;
        let own = gears.iter().find(|gear| self.group.planets().contains(&gear.member));
        own.map_or(0, |gear| gear.tooth_count)
    }

    /// Z: the signed teeth of the central gear in a mesh.
    fn central_count(&self, mesh: MeshId) -> i64 {
        let gears = &self.set.matrix().row(mesh).gears;
        let central = gears.iter().find(|gear| !self.group.planets().contains(&gear.member));
        central.map_or(0, |gear| gear.tooth_count)
    }

    fn told(&self, contact: FirstContact, states: &[StateContact]) -> CarryingContact {
        let is_of = |pushing: MeshId, holding: MeshId| {
            contact.all_pushing.contains(&pushing) && contact.all_holding.contains(&holding)
        };
        let case = |state: &StateContact| {
            let power = if is_of(state.pushing, state.holding) && !state.lets_go[0] {
                PowerSense::Drive
            } else if is_of(state.holding, state.pushing) && !state.lets_go[1] {
                PowerSense::Overrun
            } else {
                return None;
            };
            Some((LoadCase { state: state.state.clone(), power }, state.torque))
        };
        let cases: Vec<(LoadCase, f64)> = states.iter().filter_map(case).collect();
        let leaves_carrier_unloaded = self.leaves_carrier_unloaded(&contact);
        let shares = if leaves_carrier_unloaded { Vec::new() } else { self.shares(&contact, &cases) };
        let load_cases = cases.into_iter().map(|(case, _)| case).collect();
        CarryingContact { load_cases, contact, leaves_carrier_unloaded, shares }
    }

    /// What is left for the carrier of two equal and opposite torques on a planet is `Z_A / P_A - Z_B / P_B` of one.
    fn leaves_carrier_unloaded(&self, contact: &FirstContact) -> bool {
        let counts = |mesh: MeshId| (self.planet_count(mesh), self.central_count(mesh));
        let ((p, z), (q, y)) = (counts(contact.pushing), counts(contact.holding));
        z * q == y * p
    }

    /// The shares under the force that is given, or in each state under the force that follows from the torque.
    fn shares(&self, contact: &FirstContact, cases: &[(LoadCase, f64)]) -> Vec<SharedByPins> {
        let Some(sharing) = &self.question.asked.sharing else { return Vec::new() };
        match sharing.load {
            SharedForce::Newtons(force) => shared(contact, sharing, None, force).into_iter().collect(),
            SharedForce::Torque(_) => {
                let radius = self.pushed_radius(contact.pushing);
                // Newton metres over millimetres are a thousandth of a newton.
                let force = |torque: f64| radius.map(|radius| torque / radius * 1e3);
                let of_case =
                    |(case, torque): &(LoadCase, f64)| shared(contact, sharing, Some(case.clone()), force(*torque)?);
                cases.iter().filter_map(of_case).collect()
            }
        }
    }

    /// The working radius of the planet's gear in a mesh, in millimetres.
    fn pushed_radius(&self, mesh: MeshId) -> Option<f64> {
        let found = self.meshes.iter().find(|found| found.mesh == mesh)?;
        let (planet, central) = (self.planet_count(mesh), self.central_count(mesh));
        Some(found.distance * to_float(&Fraction::new(planet.into(), (planet + central).into())).abs())
    }
}

/// What every pin carries under one force; the lag of each is how far the pushing gear has still to come.
fn shared(
    contact: &FirstContact,
    sharing: &SharingQuestion,
    load_case: Option<LoadCase>,
    force: f64,
) -> Option<SharedByPins> {
    let mut in_order = contact.pins.clone();
    in_order.sort_by_key(|pin| pin.pin);
    let lags: Vec<f64> = in_order.iter().map(|pin| pin.mm_to_come).collect::<Option<_>>()?;
    let floats =
        sharing.floats.filter(|gear| contact.pushing_gears.contains(gear) || contact.holding_gears.contains(gear));
    let found = match floats {
        Some(_) => share_load_floating(&lags, sharing.stiffness, force),
        None => share_load(&lags, sharing.stiffness, force),
    };
    let found = found.ok()?;
    let pins = in_order.iter().zip(&found.forces).zip(&found.joins_at);
    let pins = pins.map(|((pin, &newtons), &from)| PinShare { pin: pin.pin, newtons, carries_from_newtons: from });
    let count = f64::from(u32::try_from(lags.len()).unwrap_or(u32::MAX));
    Some(SharedByPins {
        load_case,
        force_newtons: force,
        pins: pins.collect(),
        all_carry_from_newtons: found.joins_at.iter().copied().fold(0.0, f64::max),
        worst_share: found.forces.iter().copied().fold(0.0, f64::max) * count / force,
        floats,
    })
}
