//! What rolls, rubs, idles and stands in each state: the finished answer.
//!
//! The motions of the states, the relative speeds in their bearings and the teeth that pass their meshes, with what
//! follows from a speed of the input (rubbing speeds, mesh frequencies) and from a torque on it (the pressure of
//! bushes), put into the one structure that every form of the answer shows.

use super::bearings::{RunsOn, bearings};
use super::change::{Engagement, LeftOutChange, StandingOutput, engagements, left_out_from_rest, output_standing};
use super::highlights::{BusiestMesh, busiest_mesh, fastest, fastest_in};
use super::limit::{BeyondLimit, Limits, beyond};
use super::noise::{Finding, Listened, suspects};
use super::state::{Bush, FastestPart, RunningBearing, RunningMesh, RunningState, TurningMembers, speeds};
use crate::exact::{Fraction, fraction, to_float};
use crate::gearset::{ControlId, Gearset, Length, MemberId, MeshId, Pair};
use crate::kinematics::{Observation, Speed, observe};
use crate::statics::{
    InputTorque, LoadOptions, MeshWork, StateLoads, TorqueUnit, force_depends_on_places, loads, mesh_work, pin_force,
    teeth_per_turn,
};
use num_traits::Signed;
use serde::Serialize;

/// What is asked of what runs.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RunningQuestion {
    /// Only this state, by its place in [`Gearset::states`].
    pub state: Option<usize>,
    /// The input's speed in revolutions per minute, if rubbing speeds and mesh frequencies are wanted.
    pub input_rpm: Option<Fraction>,
    /// The torque on the input, if the forces of planets on their pins are wanted.
    pub torque: Option<InputTorque>,
    /// How fast members may turn; they count where the input has a speed.
    pub limits: Limits,
    /// Where a noise is heard and where it is not, if it is looked for.
    pub listened: Option<Listened>,
}

/// What runs in the states asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Running {
    /// The title of the gearset.
    pub gearset: String,
    /// The input's speed in revolutions per minute, where it was given.
    pub input_rpm: Option<Fraction>,
    /// The states, in the order of the description.
    pub states: Vec<RunningState>,
    /// What is brought together in every change into these states.
    pub engagements: Vec<Engagement>,
    /// Members that are beyond their limits in these states.
    pub beyond_limit: Vec<BeyondLimit>,
    /// What can make the noise, the likeliest first; none where no noise was looked for.
    pub noise: Option<Vec<Finding>>,
    /// The torque on the input, where it was given.
    pub torque: Option<Fraction>,
    /// Its unit.
    pub torque_unit: Option<TorqueUnit>,
    /// The speeds of the members in every state of the gearset, side by side, and before them with the output standing,
    /// where all states have the same input and output.
    pub turning: Vec<TurningMembers>,
    /// One-way clutches that would hold while the output stands, so that the input cannot turn then.
    pub held_from_rest: Vec<ControlId>,
    /// The limits that were asked about.
    pub limits: Limits,
    /// The states in which the noise is heard.
    pub heard: Vec<String>,
    /// The states in which it is not heard.
    pub not_heard: Vec<String>,
    /// Why forces and pressures on pins are not told, where a torque was given.
    pub untold: Vec<Untold>,
    /// Changes from rest of which nothing is told, and why.
    pub left_out: Vec<LeftOutChange>,
    /// The planet that turns fastest on its pins in these states.
    pub fastest_on_pins: Option<FastestPart>,
    /// The member of the main axis that turns fastest in the case in these states, the input left out.
    pub fastest_member: Option<FastestPart>,
    /// The mesh that most teeth pass under load in these states.
    pub busiest_mesh: Option<BusiestMesh>,
}

/// Why some forces or pressures on pins are not told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum Untold {
    /// A mesh has no pitch, so no force is known.
    #[serde(rename = "no pitch")]
    NoPitch,
    /// A bush of a planet has no diameter or width, or they have several diameters, so no pressure is known.
    #[serde(rename = "no bush size")]
    NoBushSize,
    /// Bevel planets, or planets that mesh with one another: the force depends on where they stand.
    #[serde(rename = "depends on places")]
    DependsOnPlaces,
}

/// What rolls, rubs, idles and stands in the states asked for, and what else was asked about it.
///
/// # Panics
/// If a state asked about is none of the gearset.
///
/// # Examples
/// ```
/// use toothmark::{description, running::{RunningQuestion, running}, statics::MeshWork};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let low = &running(&set, &RunningQuestion::default()).states[0];
/// let work: Vec<MeshWork> = low.meshes.iter().map(|mesh| mesh.work).collect();
/// assert_eq!(work, [MeshWork::Loaded, MeshWork::Loaded, MeshWork::Idle]);
/// ```
pub fn running(set: &Gearset, question: &RunningQuestion) -> Running {
    let bearings = bearings(set);
    let pairs: Vec<Pair<MemberId>> =
        bearings.iter().map(|bearing| Pair { first: bearing.first, second: bearing.second }).collect();
    let options = question
        .torque
        .as_ref()
        .map_or_else(LoadOptions::default, |torque| LoadOptions { torque: torque.amount.clone() });
    let observed = observe(set, set.states(), &pairs).into_iter().zip(loads(set, &options));
    let mut states: Vec<RunningState> =
        observed.map(|(seen, loads)| running_state(set, question, &bearings, &seen, &loads)).collect();
    let StandingOutput { column, held } = output_standing(set);
    let in_states =
        states.iter().map(|state| TurningMembers { state: Some(state.state.clone()), members: state.members.clone() });
    let turning = column.into_iter().chain(in_states).collect();
    let noise = question.listened.as_ref().map(|listened| suspects(set, &states, listened));
    let mut engagements = engagements(set);
    let mut left_out = left_out_from_rest(set, &engagements);
    if let Some(only) = question.state.map(|place| &set.states()[place].name) {
        states.retain(|state| state.state == *only);
        engagements.retain(|engagement| engagement.into == *only);
        left_out.retain(|change| change.into == *only);
    }
    let name = |&place: &usize| set.states()[place].name.clone();
    let listened = question.listened.clone().unwrap_or_default();
    Running {
        gearset: set.title().to_owned(),
        input_rpm: question.input_rpm.clone(),
        beyond_limit: question.input_rpm.as_ref().map_or_else(Vec::new, |rpm| beyond(&states, rpm, &question.limits)),
        fastest_on_pins: fastest(states.iter().filter_map(|state| state.fastest_on_pins.clone())),
        fastest_member: fastest(states.iter().filter_map(|state| state.fastest_member.clone())),
        busiest_mesh: busiest_mesh(&states),
        left_out,
        states,
        engagements,
        noise,
        torque: question.torque.as_ref().map(|torque| torque.amount.clone()),
        torque_unit: question.torque.as_ref().map(|torque| torque.unit),
        turning,
        held_from_rest: held,
        limits: question.limits.clone(),
        heard: listened.heard.iter().map(name).collect(),
        not_heard: listened.not_heard.iter().map(name).collect(),
        untold: question.torque.as_ref().map_or_else(Vec::new, |_| untold(set, &bearings)),
    }
}

fn running_state(
    set: &Gearset,
    question: &RunningQuestion,
    bearings: &[RunsOn],
    seen: &Observation,
    loads: &StateLoads,
) -> RunningState {
    let bearing = |(bearing, relative)| running_bearing(set, question, bearing, relative, loads);
    let meshes: Vec<RunningMesh> = set.mesh_ids().map(|mesh| running_mesh(set, question, mesh, loads)).collect();
    let mut state = RunningState {
        state: seen.motion.state.clone(),
        members: speeds(&seen.motion),
        bearings: bearings.iter().zip(&seen.relative).map(bearing).collect(),
        unlisted_one_way_clutches: seen.motion.one_way_conflicts.iter().map(|conflict| conflict.control).collect(),
        no_mesh_rolls: !meshes.is_empty() && meshes.iter().all(|mesh| mesh.work == MeshWork::Dead),
        meshes,
        fastest_on_pins: None,
        fastest_member: None,
    };
    [state.fastest_on_pins, state.fastest_member] = fastest_in(set, &state);
    state
}

fn running_bearing(
    set: &Gearset,
    question: &RunningQuestion,
    bearing: &RunsOn,
    relative: &Speed,
    loads: &StateLoads,
) -> RunningBearing {
    let diameter = bearing.diameter.as_ref().map(Length::millimetres);
    let turns = relative.value().zip(question.input_rpm.as_ref()).map(|(relative, rpm)| relative * rpm);
    // v = pi d n
    let rubbing = diameter
        .zip(turns.as_ref())
        .map(|(diameter, turns)| std::f64::consts::PI * (diameter / 1000.0) * (to_float(&turns.abs()) / 60.0));
    RunningBearing {
        first: bearing.first,
        second: bearing.second,
        on_pin: bearing.on_pin,
        relative: relative.value().cloned(),
        rubbing_m_per_s: rubbing,
        bush: question.torque.as_ref().and_then(|torque| bush(set, bearing, rubbing, loads, torque.unit)),
        motion: relative.kind(),
        relative_rpm: turns,
        diameter_mm: diameter,
        width_mm: bearing.width,
    }
}

/// What presses on a planet; `None` for other bearings, and where the force is not known.
fn bush(set: &Gearset, bearing: &RunsOn, rubbing: Option<f64>, loads: &StateLoads, unit: TorqueUnit) -> Option<Bush> {
    let force = pin_force(set, loads, bearing.first, unit).filter(|_| bearing.on_pin)?;
    let diameter = bearing.diameter.as_ref().map(Length::millimetres);
    let pressure = diameter.zip(bearing.width).map(|(diameter, width)| force.per_pin() / (diameter * width));
    Some(Bush {
        force_per_pin_newtons: force.per_pin(),
        pressure_newtons_per_mm2: pressure,
        pressure_times_speed: pressure.zip(rubbing).map(|(pressure, speed)| pressure * speed),
        pins: force.pins,
    })
}

fn running_mesh(set: &Gearset, question: &RunningQuestion, mesh: MeshId, loads: &StateLoads) -> RunningMesh {
    let teeth = teeth_per_turn(set, mesh, &loads.motion);
    // f = teeth a turn times turns a minute over 60
    let per_second = |rpm: &Fraction| Some(teeth.value()? * rpm.abs() / fraction(60, 1));
    RunningMesh {
        gears: mesh,
        teeth: teeth.value().cloned(),
        hertz: question.input_rpm.as_ref().and_then(per_second),
        work: mesh_work(set, loads, mesh),
        motion: teeth.kind(),
    }
}

fn untold(set: &Gearset, bearings: &[RunsOn]) -> Vec<Untold> {
    let has_size = |bearing: &RunsOn| bearing.diameter.is_some() && bearing.width.is_some();
    let reasons = [
        (Untold::NoPitch, set.meshes().iter().any(|mesh| mesh.pitch().is_none())),
        (Untold::NoBushSize, bearings.iter().any(|bearing| bearing.on_pin && !has_size(bearing))),
        (Untold::DependsOnPlaces, set.mesh_ids().any(|mesh| force_depends_on_places(set, mesh))),
    ];
    reasons.into_iter().filter(|(_, holds)| *holds).map(|(reason, _)| reason).collect()
}
