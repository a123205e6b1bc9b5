//! The torques of every state, with what is known of each.
//!
//! The input of a state has the given torque, its output whatever keeps the balance; bands, clutches
//! and holds of the state take what they must, everything else none. Without losses the signs alone
//! change where the output drives the input (overrun). See the module above for the law.

use super::balance::{Balance, Torques, joined_pairs};
use super::mesh_load::{MeshLoad, mesh_load, power};
use super::shared::{SharedLoad, shared_loads};
use crate::exact::{Fraction, fraction, multiple};
use crate::gearset::{ControlId, Gearset, MemberId, Pair, Restraint, State};
use crate::kinematics::{MemberMotion, StateMotion, motion_of, motions};
use num_traits::{One, Zero};
use serde::Serialize;

/// What is asked of the loads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LoadOptions {
    /// The torque on the input, in any unit; the torques of the answer are in the same.
    pub torque: Fraction,
}

impl Default for LoadOptions {
    fn default() -> Self {
        Self { torque: fraction(1, 1) }
    }
}

/// The torques in one state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateLoads {
    /// The torque on the input, of which all others follow.
    pub torque: Fraction,
    /// What turns how fast in the state.
    pub motion: StateMotion,
    /// Whether there is a balance, and whether it is the only one.
    pub balanced: Balanced,
    /// Every member but the case, in the order of the description.
    pub members: Vec<MemberLoad>,
    /// Every control, in the order of the description.
    pub controls: Vec<ControlLoad>,
    /// The joins for good, then those of the state.
    pub joins: Vec<JoinLoad>,
    /// Every mesh, in the order of the description.
    pub meshes: Vec<MeshLoad>,
    /// What the pins of each group of planets put on their carrier, in the order of the groups.
    pub pins: Vec<PinLoad>,
    /// The torque about the main axis that whatever the case is bolted to puts on it: what input,
    /// output and further drives leave over. `None` where one of them is not known.
    pub mounts: Option<Fraction>,
    /// Controls that make the same two bodies one, with what they carry together.
    pub shared: Vec<SharedLoad>,
}

/// Whether the torques of a state can be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Balanced {
    /// Every torque follows from that on the input.
    Determined,
    /// Equilibrium leaves some torques open: they are `None`, the others hold whatever those are.
    Indeterminate,
    /// Nothing takes up a torque on the input, so that no member has one to tell.
    #[serde(rename = "without torque")]
    WithoutTorque,
}

/// The torque on one member from outside the train.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct MemberLoad {
    /// The member.
    pub member: MemberId,
    /// The sum of what engine, load, band, hold and anything else fast to the case put on it;
    /// positive in the sense of positive rotation. What a clutch or join to another member puts on
    /// it stands with that clutch or join.
    pub torque: Option<Fraction>,
    /// The power that it brings in so, as a share of the input power: none for a member that stands, whatever its
    /// torque is; `None` also where its speed is not known while the torque is not zero.
    pub power: Option<Fraction>,
}

/// The torque of one control.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ControlLoad {
    /// The control.
    pub control: ControlId,
    /// Whether the state applies it.
    pub applied: bool,
    /// What it puts on its first member; the opposite acts on the second, or on the case.
    pub torque: Option<Fraction>,
}

/// The torque of one join.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct JoinLoad {
    /// The members that turn as one.
    pub members: Pair<MemberId>,
    /// What the second puts on the first; the opposite acts on the second.
    pub torque: Option<Fraction>,
}

/// What planets put on their carrier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PinLoad {
    /// The group, by its place in [`Gearset::planet_groups`].
    pub group: usize,
    /// The carrier.
    pub carrier: MemberId,
    /// How many pins each planet of the group has.
    pub pins: usize,
    /// The torque of all pins together on the carrier, about the main axis.
    pub torque: Option<Fraction>,
}

/// The torques in every state, in the order of the description.
///
/// # Examples
/// ```
/// use toothmark::{description, statics::{LoadOptions, loads}};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let low = &loads(&set, &LoadOptions::default())[0];
/// let band = low.controls.iter().find(|control| control.applied).unwrap();
/// assert_eq!(band.torque.as_ref().unwrap().to_string(), "2");
/// ```
pub fn loads(set: &Gearset, options: &LoadOptions) -> Vec<StateLoads> {
    let balance = Balance::new(set, set.matrix());
    let states = motions(set).into_iter().enumerate();
    states.map(|(index, motion)| state_loads(set, &balance.solve(index), index, motion, options)).collect()
}

/// The torques in one state, by its place in [`Gearset::states`].
///
/// # Panics
/// If it is that of no state.
///
/// # Examples
/// ```
/// use toothmark::{description, statics::{LoadOptions, loads, loads_of}};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let options = LoadOptions::default();
/// assert_eq!(loads_of(&set, 1, &options), loads(&set, &options)[1]);
/// ```
pub fn loads_of(set: &Gearset, state: usize, options: &LoadOptions) -> StateLoads {
    let balance = Balance::new(set, set.matrix());
    state_loads(set, &balance.solve(state), state, motion_of(set, state), options)
}

fn state_loads(
    set: &Gearset,
    torques: &Torques<'_>,
    index: usize,
    motion: StateMotion,
    options: &LoadOptions,
) -> StateLoads {
    let state = &set.states()[index];
    let shared = shared_loads(set, torques);
    let members = members(set, torques, state, &motion, &shared);
    let meshes: Vec<MeshLoad> = set.mesh_ids().map(|mesh| mesh_load(set, mesh, torques.mesh(mesh), &motion)).collect();
    let mut found = StateLoads {
        torque: options.torque.clone(),
        balanced: Balanced::WithoutTorque,
        controls: controls(set, torques, state),
        joins: joins(set, torques, state),
        pins: pins(set, &meshes),
        mounts: mounts(set, torques, state),
        members,
        meshes,
        shared,
        motion,
    };
    if torques.exist() {
        found.balanced =
            if found.torques().all(Option::is_some) { Balanced::Determined } else { Balanced::Indeterminate };
    }
    found.scale(&options.torque);
    found
}

impl StateLoads {
    /// Every torque of the answer.
    fn torques(&self) -> impl Iterator<Item = &Option<Fraction>> {
        let of_members = self.members.iter().map(|load| &load.torque);
        let of_controls = self.controls.iter().map(|load| &load.torque);
        let of_joins = self.joins.iter().map(|load| &load.torque);
        let of_meshes = self.meshes.iter().map(|load| &load.torque_per_tooth);
        of_members.chain(of_controls).chain(of_joins).chain(of_meshes)
    }

    /// The same for another torque on the input; shares of the power stay.
    fn scale(&mut self, torque: &Fraction) {
        if torque.is_one() {
            return;
        }
        let of_members = self.members.iter_mut().map(|load| &mut load.torque);
        let of_controls = self.controls.iter_mut().map(|load| &mut load.torque);
        let of_joins = self.joins.iter_mut().map(|load| &mut load.torque);
        let of_meshes = self.meshes.iter_mut().map(|load| &mut load.torque_per_tooth);
        let of_pins = self.pins.iter_mut().map(|load| &mut load.torque);
        let of_shared = self.shared.iter_mut().map(|load| &mut load.torque);
        let all = of_members.chain(of_controls).chain(of_joins).chain(of_meshes).chain(of_pins).chain(of_shared);
        for value in all.chain([&mut self.mounts]).flatten() {
            *value = &*value * torque;
        }
    }

    /// What a control carries beside others that do the same, if there are any.
    pub fn shared_by(&self, control: ControlId) -> Option<&SharedLoad> {
        self.shared.iter().find(|load| load.controls.contains(&control))
    }

    /// The torque of a control of the set.
    pub fn control(&self, control: ControlId) -> &ControlLoad {
        &self.controls[control.index()]
    }

    /// The torque from outside on a member other than the case.
    ///
    /// # Panics
    /// If the member is the case, which takes what is left.
    pub fn member(&self, member: MemberId) -> &MemberLoad {
        &self.members[member.index().checked_sub(1).expect("a member other than the case")]
    }
}

pub(super) fn members(
    set: &Gearset,
    torques: &Torques<'_>,
    state: &State,
    motion: &StateMotion,
    shared: &[SharedLoad],
) -> Vec<MemberLoad> {
    let mut outside: Vec<Option<Fraction>> = vec![torques.exist().then(Fraction::zero); set.members().len()];
    let mut add = |member: MemberId, torque: Option<&Fraction>, sign: i64| {
        let sum = &mut outside[member.index()];
        *sum = match (sum.take(), torque) {
            // Mostly there is one torque alone, and nothing to add.
            (Some(sum), Some(torque)) if sum.is_zero() => Some(if sign > 0 { torque.clone() } else { -torque }),
            (Some(sum), Some(torque)) if torque.is_zero() => Some(sum),
            (Some(sum), Some(torque)) => Some(if sign > 0 { sum + torque } else { sum - torque }),
            (None, _) | (_, None) => None,
        };
    };
    for member in set.member_ids() {
        add(member, torques.outside(member), 1);
    }
    let mut add_pair = |pair: Pair<MemberId>, torque: Option<&Fraction>| {
        if pair.second == MemberId::CASE {
            add(pair.first, torque, 1);
        } else if pair.first == MemberId::CASE {
            add(pair.second, torque, -1);
        }
    };
    // Controls on the very same members act on them with their sum.
    let on_same_members = |load: &&SharedLoad| {
        let made_one = |control: &ControlId| set.control(*control).made_one();
        load.controls.windows(2).all(|pair| made_one(&pair[0]) == made_one(&pair[1]))
    };
    let summed: Vec<&SharedLoad> = shared.iter().filter(on_same_members).collect();
    for load in &summed {
        add_pair(set.control(load.controls[0]).made_one(), load.torque.as_ref());
    }
    for restraint in &state.restraints {
        let Restraint::Control(control) = restraint else { continue };
        if !summed.iter().any(|load| load.controls.contains(control)) {
            add_pair(set.control(*control).made_one(), torques.control(*control));
        }
    }
    for (index, pair) in joined_pairs(state).enumerate() {
        add_pair(pair, torques.joined(index));
    }
    for (index, pair) in set.joins().iter().enumerate() {
        add_pair(*pair, torques.join(index));
    }
    let load = |(torque, moves): (Option<Fraction>, &MemberMotion)| MemberLoad {
        member: moves.member,
        power: match (&torque, moves.speed.value()) {
            (Some(torque), speed) => power(torque, speed),
            // What stands takes no power, whatever its torque is.
            (None, Some(speed)) if speed.is_zero() && torques.exist() => Some(Fraction::zero()),
            (None, _) => None,
        },
        torque,
    };
    outside.into_iter().skip(1).zip(&motion.members).map(load).collect()
}

fn controls(set: &Gearset, torques: &Torques<'_>, state: &State) -> Vec<ControlLoad> {
    let load = |control: ControlId| ControlLoad {
        control,
        applied: state.restraints.contains(&Restraint::Control(control)),
        torque: torques.control(control).cloned(),
    };
    set.control_ids().map(load).collect()
}

fn joins(set: &Gearset, torques: &Torques<'_>, state: &State) -> Vec<JoinLoad> {
    let load = |members: Pair<MemberId>, torque: Option<&Fraction>| JoinLoad { members, torque: torque.cloned() };
    let for_good = set.joins().iter().enumerate().map(|(index, pair)| load(*pair, torques.join(index)));
    let joined = joined_pairs(state).enumerate().map(|(index, pair)| load(pair, torques.joined(index)));
    for_good.chain(joined).collect()
}

fn pins(set: &Gearset, meshes: &[MeshLoad]) -> Vec<PinLoad> {
    let groups = set.planet_groups().iter().enumerate();
    let load = |(group, planets): (usize, &crate::gearset::PlanetGroup)| PinLoad {
        group,
        carrier: planets.carrier(),
        pins: planets.places().len(),
        torque: planets.meshes().iter().try_fold(Fraction::zero(), |sum, &mesh| {
            let [.., on_carrier] = set.matrix().row(mesh).terms();
            let torque = meshes[mesh.index()].torque_per_tooth.as_ref()?;
            Some(if torque.is_zero() { sum } else { sum + multiple(torque, on_carrier.coefficient) })
        }),
    };
    groups.map(load).collect()
}

/// What keeps the case from turning: the opposite of what engine, load and further drives put in.
fn mounts(set: &Gearset, torques: &Torques<'_>, state: &State) -> Option<Fraction> {
    let driven = state.restraints.iter().filter_map(|restraint| match restraint {
        Restraint::Turning(member, _) => Some(*member),
        Restraint::Control(_) | Restraint::Held(_) | Restraint::Joined(_) => None,
    });
    let mut ends: Vec<MemberId> = [state.input, state.output].into_iter().chain(driven).collect();
    ends.sort_unstable();
    ends.dedup();
    // The torque of a shaft across the main axis is about its own.
    ends.retain(|&member| !set.is_across(member));
    ends.iter().try_fold(Fraction::zero(), |sum, &member| Some(sum - torques.outside(member)?))
}
