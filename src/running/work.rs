//! The work of every bearing and every mesh in each state.
//!
//! A mesh is dead where its gears do not move against one another, idle where it rolls without
//! passing power, loaded where it passes some. Teeth are counted per turn of the input: a planet
//! gear with P teeth that turns w against its carrier meets `P |w|` of them in each of its meshes.

use num_traits::{Signed, Zero};

use crate::exact::{Fraction, fraction};
use crate::gearset::{Bearing, Gearset, Length, MemberId, MeshId, Pair};
use crate::kinematics::{MemberMotion, Observation, Speed, StateMotion, observe};
use crate::statics::{Balanced, LoadOptions, StateLoads, loads};

/// One body that runs on another.
#[derive(Debug, Clone, PartialEq)]
pub struct RunsOn {
    /// The body that runs.
    pub first: MemberId,
    /// What it runs on.
    pub second: MemberId,
    /// The diameter at which they rub, if it was given.
    pub diameter: Option<Length>,
    /// The width that bears in millimetres, of all bushes together, if it was given for each of them.
    pub width: Option<f64>,
    /// Whether the first is a planet on the pins of the second.
    pub on_pin: bool,
}

/// What a state does to bearings and meshes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateWork {
    /// The motion of every member.
    pub motion: StateMotion,
    /// Every bearing, in the order of [`bearings`].
    pub bearings: Vec<BearingMotion>,
    /// Every mesh, in the order of the description.
    pub meshes: Vec<MeshMotion>,
}

/// How a bearing turns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BearingMotion {
    /// The first body against the second, in turns per turn of the input.
    pub relative: Speed,
}

/// How a mesh rolls.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeshMotion {
    /// The mesh.
    pub mesh: MeshId,
    /// How many teeth of either gear pass the contact in one turn of the input; not negative.
    pub teeth: Speed,
    /// What it does.
    pub work: Work,
}

/// What a mesh does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// It rolls and passes power.
    Loaded,
    /// It rolls and passes none.
    Idle,
    /// It rolls; how much power it passes statics alone do not say.
    Rolls,
    /// Its gears do not move against one another.
    Dead,
    /// The input does not determine how it rolls, or cannot turn.
    Unknown,
}

/// Every bearing: each planet on its pin, then those of the description.
pub fn bearings(set: &Gearset) -> Vec<RunsOn> {
    let mut found = Vec::new();
    for planet in set.member_ids() {
        let Some(carrier) = set.carrier_of(planet) else { continue };
        let is_its = |pair: &Pair<MemberId>| pair.both().contains(&&planet);
        let given: Vec<&Bearing> = set.bearings().iter().filter(|bearing| is_its(&bearing.members())).collect();
        let diameter = given.first().and_then(|bearing| bearing.diameter().cloned());
        // Bushes of several diameters share a force in a way that widths do not tell.
        let is_alike = given.iter().all(|bearing| bearing.diameter() == diameter.as_ref());
        let width = |bearing: &&Bearing| bearing.width().filter(|_| is_alike).map(Length::millimetres);
        let width = if given.is_empty() { None } else { given.iter().map(width).sum() };
        found.push(RunsOn { first: planet, second: carrier, diameter, width, on_pin: true });
    }
    for bearing in set.bearings() {
        let Pair { first, second } = bearing.members();
        if set.carrier_of(first).is_none() && set.carrier_of(second).is_none() {
            let (diameter, width) = (bearing.diameter().cloned(), bearing.width().map(Length::millimetres));
            found.push(RunsOn { first, second, diameter, width, on_pin: false });
        }
    }
    found
}

/// What every state does to bearings and meshes.
///
/// # Examples
/// ```
/// use toothmark::{description, running::{Work, workings}};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let low = &workings(&set)[0];
/// let work: Vec<Work> = low.meshes.iter().map(|mesh| mesh.work).collect();
/// assert_eq!(work, [Work::Loaded, Work::Loaded, Work::Idle]);
/// // The cluster turns 2/3 against the flywheel: 20 of its 30 teeth pass.
/// assert_eq!(low.meshes[0].teeth.value().unwrap().to_string(), "20");
/// ```
pub fn workings(set: &Gearset) -> Vec<StateWork> {
    let bearings = bearings(set);
    let pairs: Vec<Pair<MemberId>> =
        bearings.iter().map(|bearing| Pair { first: bearing.first, second: bearing.second }).collect();
    let seen = observe(set, set.states(), &pairs);
    seen.into_iter()
        .zip(&loads(set, &LoadOptions::default()))
        .map(|(seen, loads)| state_work(set, loads, seen))
        .collect()
}

fn state_work(set: &Gearset, loads: &StateLoads, seen: Observation) -> StateWork {
    let mesh = |mesh: MeshId| {
        let teeth = teeth(set, mesh, &seen.motion.members);
        let work = match (&teeth, &loads.meshes[mesh.index()].torque_per_tooth) {
            (Speed::Free | Speed::Locked | Speed::WithoutMeaning, _) => Work::Unknown,
            (Speed::Determined(teeth), _) if teeth.is_zero() => Work::Dead,
            _ if loads.balanced == Balanced::WithoutTorque => Work::Idle,
            (_, Some(torque)) if torque.is_zero() => Work::Idle,
            (_, Some(_)) => Work::Loaded,
            (_, None) => Work::Rolls,
        };
        MeshMotion { mesh, teeth, work }
    };
    let meshes = set.mesh_ids().map(mesh).collect();
    let bearings = seen.relative.into_iter().map(|relative| BearingMotion { relative }).collect();
    StateWork { motion: seen.motion, bearings, meshes }
}

/// The teeth that pass in a mesh, counted at a planet gear of it.
fn teeth(set: &Gearset, mesh: MeshId, members: &[MemberMotion]) -> Speed {
    for gear in set.mesh(mesh).gears().both() {
        let gear = set.gear(*gear);
        let Some(relative) = motion_of(members, gear.member()).and_then(|found| found.relative_to_carrier.as_ref())
        else {
            continue;
        };
        return match relative {
            Speed::Determined(turns) => Speed::Determined(passed(turns, gear.tooth_count().get().into())),
            Speed::Free | Speed::Locked | Speed::WithoutMeaning => relative.clone(),
        };
    }
    Speed::WithoutMeaning
}

/// The motion of a member; the case has none.
pub(super) fn motion_of(members: &[MemberMotion], member: MemberId) -> Option<&MemberMotion> {
    // Every member but the case is listed, in order.
    members.get(member.index().checked_sub(1)?).filter(|found| found.member == member)
}

fn passed(turns: &Fraction, tooth_count: i64) -> Fraction {
    (turns * fraction(tooth_count, 1)).abs()
}
