//! Which torque is where in each state, what holds it, and what losses leave of it: the finished answer.
//!
//! The loads of the states ([`loads`]) with what follows from them: forces where a pitch is given, what bands and plates
//! can hold beside what they have to, what one-way clutches do, circulating power, and the losses, put into the one
//! structure that every form of the answer shows.

use super::capacity::{Capacity, Demand, capacity};
use super::circulation::circulating_power;
use super::force::{InputTorque, PinForce, TorqueUnit, mesh_force, pin_force, pins_of};
use super::friction::drum_wants_to_turn;
use super::loads::{Balanced, ControlLoad, JoinLoad, LoadOptions, MemberLoad, PinLoad, StateLoads, loads, loads_of};
use super::losses::{LossesUntold, PowerFlow, Run, StateLosses, efficiencies, losses, losses_of};
use super::mesh_load::MeshLoad;
use super::one_way::{OneWay, one_way};
use super::power::{MeshWork, mesh_work, power_given};
use super::shared::{SharedLoad, carried};
use crate::exact::{Fraction, fraction};
use crate::gearset::{ControlId, Efficiency, GearId, Gearset, MemberId, MeshId, Restraint, Sense};
use crate::kinematics::VerdictKind;
use num_traits::{Signed, Zero};
use serde::Serialize;

/// What is asked of the loads in full.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LoadsQuestion {
    /// Only this state, by its place in [`Gearset::states`].
    pub state: Option<usize>,
    /// The torque on the input.
    pub torque: InputTorque,
    /// The efficiency of every mesh, in place of those in the description.
    pub mesh_efficiency: Option<Efficiency>,
}

/// The loads of every state asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LoadSurvey {
    /// The title of the gearset.
    pub gearset: String,
    /// The states, in the order of the description.
    pub states: Vec<LoadedState>,
    /// The unit of every torque that is an exact number.
    pub torque_unit: TorqueUnit,
    /// The torque on the input, of which all others follow.
    pub torque: Fraction,
    /// The least and the greatest part of the power that a mesh passes on; none where no efficiency is given, and then
    /// nothing is told of losses.
    pub mesh_efficiencies: Option<[Fraction; 2]>,
    /// The restraint that carries most, without losses; the first of several.
    pub heaviest: Option<HeaviestLoad>,
}

/// What a control or a held member carries in the state in which it carries most.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct HeaviestLoad {
    /// The state.
    pub state: String,
    /// The control, or the controls that carry it together; none for a member that the state holds itself.
    pub controls: Vec<ControlId>,
    /// The member on which the torque acts: the first of the control.
    pub member: MemberId,
    /// The torque.
    pub torque: Fraction,
}

/// The loads in one state.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LoadedState {
    /// The state's name.
    pub state: String,
    /// What becomes of the output.
    pub verdict: VerdictKind,
    /// Every member but the case, in the order of the description.
    pub members: Vec<MemberLoad>,
    /// Every control, in the order of the description.
    pub controls: Vec<LoadedControl>,
    /// The power that comes out over that which is put in, in drive, with losses; none where they are not given or not
    /// told, and where the state locks itself.
    pub efficiency: Option<Fraction>,
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// Whether there is a balance, and whether it is the only one.
    pub balance: Balanced,
    /// The joins for good, then those of the state.
    pub joins: Vec<JoinLoad>,
    /// Every mesh, in the order of the description.
    pub meshes: Vec<LoadedMesh>,
    /// The torque about the main axis that whatever the case is bolted to puts on it.
    pub mounts: Option<Fraction>,
    /// How much power circulates without being delivered, as a share of the input power.
    pub circulating_power: Option<Fraction>,
    /// The efficiency where the output drives.
    pub efficiency_on_overrun: Option<Fraction>,
    /// Whether friction takes more than comes in, in drive and on overrun, each none where that is not told; none
    /// without losses.
    pub locks_itself: Option<[Option<bool>; 2]>,
    /// What every mesh loses in drive, as a share of what is put in, in the order of the description.
    pub lost: Option<Vec<Fraction>>,
    /// What the pins of each group of planets put on their carrier.
    pub pins: Vec<LoadedPins>,
    /// What the load puts on the output, without losses, where the state drives.
    pub output_torque: Option<Fraction>,
    /// What it puts on the output in drive with losses.
    pub output_torque_with_losses: Option<Fraction>,
    /// What all meshes lose together in drive.
    pub lost_together: Option<Fraction>,
    /// Whether a one-way clutch of the state lets go when the output drives, so that nothing is passed on.
    pub lets_go_on_overrun: bool,
    /// Controls that make the same two bodies one, with what they carry together.
    pub shared: Vec<SharedLoad>,
    /// Why nothing is told of losses, in drive and on overrun; none where something is told, and without losses.
    pub losses_untold: [Option<LossesUntold>; 2],
    /// Where more than one answer with losses agrees with itself those that are more efficient, in drive and on overrun:
    /// the least efficient one is told above.
    pub further_answers: [Vec<LossyAnswer>; 2],
    /// Members that the state holds itself, without a control.
    pub held: Vec<MemberId>,
    /// Whether every answer with losses was looked for that agrees with itself: where very many meshes roll under load
    /// one is told, and others are not looked for. None without losses.
    pub all_answers_looked_for: Option<bool>,
}

/// A further answer with losses that agrees with itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LossyAnswer {
    /// The power that comes out over that which is put in.
    pub efficiency: Fraction,
    /// What the load puts on the output.
    pub output_torque: Fraction,
    /// What each control puts on its first member, in the order of the description.
    pub controls: Vec<Option<Fraction>>,
    /// What every mesh loses, as a share of what is put in, in the order of the description.
    pub lost: Vec<Fraction>,
}

/// What a control carries, and what it can carry.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LoadedControl {
    /// The control.
    pub control: ControlId,
    /// What it puts on its first member; the opposite acts on the second, or on the case. Beside others that do the same
    /// none where it shares with them, and the whole where it alone can carry.
    pub torque: Option<Fraction>,
    /// Whether the state applies it.
    pub applied: bool,
    /// The sense in which its first member wants to turn in drive, where it is applied and carries a torque; the other on
    /// overrun.
    pub wants_to_turn: Option<Sense>,
    /// What it does in drive, if it is a one-way clutch.
    pub one_way: Option<OneWay>,
    /// What it does on overrun.
    pub one_way_on_overrun: Option<OneWay>,
    /// What it can hold, as far as sizes are given.
    pub capacity: Option<Capacity>,
    /// What it puts on its first member in drive with losses.
    pub torque_with_losses: Option<Fraction>,
    /// What it puts on it on overrun with losses, for as much torque on the input; none where a one-way clutch lets go.
    pub torque_with_losses_on_overrun: Option<Fraction>,
    /// What it puts on its first member on overrun without losses, for as much torque on the input; none where a one-way
    /// clutch lets go.
    pub torque_on_overrun: Option<Fraction>,
}

/// The torque, the power and the force of a mesh, all pins together where it is not said otherwise.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LoadedMesh {
    /// The two gears.
    pub gears: MeshId,
    /// The torque on the members of the first and the second gear and on the carrier.
    pub torques: Option<[Fraction; 3]>,
    /// What the mesh gives to the first gear as seen from the carrier, as a share of the input power.
    pub rolling_power: Option<Fraction>,
    /// The tangential force, where a pitch is given.
    pub force_newtons: Option<f64>,
    /// The tangential force on each pin, shared equally: an estimate.
    pub force_per_pin_newtons: Option<f64>,
    /// How many pins share it.
    pub pins: usize,
    /// The torque for each tooth, which is the same on both gears.
    pub torque_per_tooth: Option<Fraction>,
    /// What the mesh does.
    pub work: MeshWork,
    /// The gear that drives the other as seen from the carrier; none where nothing rolls under load.
    pub driver: Option<GearId>,
    /// The gear that it drives.
    pub driven: Option<GearId>,
    /// What the mesh gives, as seen from the case, to the members of its first and second gear and to the carrier, in
    /// shares of the input power.
    pub power_given: [Option<Fraction>; 3],
}

/// What the pins of a group of planets put on their carrier.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LoadedPins {
    /// The carrier.
    pub carrier: MemberId,
    /// How many pins each planet of the group has.
    pub pins: usize,
    /// The torque of all pins together on the carrier, about the main axis.
    pub torque: Option<Fraction>,
    /// The planets of the group.
    pub planets: Vec<LoadedPlanet>,
    /// The torque of each pin, shared equally: an estimate.
    pub torque_per_pin: Option<Fraction>,
}

/// What a planet puts on its pins, where every mesh of it has a pitch and is with a central spur gear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LoadedPlanet {
    /// The planet.
    pub planet: MemberId,
    /// Across the line from the centre, positive in the sense of positive rotation; all pins together.
    pub tangential_newtons: Option<f64>,
    /// Away from the centre; all pins together.
    pub outward_newtons: Option<f64>,
    /// The whole force on each pin, shared equally: an estimate, without a sign.
    pub force_per_pin_newtons: Option<f64>,
    /// What of it is across the line from the centre, without a sign.
    pub tangential_per_pin_newtons: Option<f64>,
}

/// Torques, forces, capacities and losses of every state asked for.
///
/// # Panics
/// If the state asked for is none of the gearset.
///
/// # Examples
/// ```
/// use toothmark::{description, statics::{LoadsQuestion, survey_loads}};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let low = &survey_loads(&set, &LoadsQuestion::default()).states[0];
/// assert_eq!(low.output_torque.as_ref().unwrap().to_string(), "-3");
/// ```
pub fn survey_loads(set: &Gearset, question: &LoadsQuestion) -> LoadSurvey {
    let LoadsQuestion { state, torque, mesh_efficiency } = question;
    let options = LoadOptions { torque: torque.amount.clone() };
    let every = *mesh_efficiency;
    let all = state.map_or_else(|| loads(set, &options), |state| vec![loads_of(set, state, &options)]);
    let lossy = state.map_or_else(|| losses(set, every), |state| Some(vec![losses_of(set, state, every)?]));
    let lossy = |place: usize| lossy.as_ref().and_then(|lossy| lossy.get(place));
    let states = all.iter().enumerate().map(|(place, loads)| loaded_state(set, loads, lossy(place), torque));
    let states: Vec<LoadedState> = states.collect();
    let values = efficiencies(set, every).unwrap_or_default().into_iter().map(Efficiency::value);
    LoadSurvey {
        gearset: set.title().to_owned(),
        heaviest: heaviest(set, &states),
        states,
        torque_unit: torque.unit,
        torque: torque.amount.clone(),
        mesh_efficiencies: values.clone().min().zip(values.max()).map(|(least, most)| [least, most]),
    }
}

/// What carries most of all controls and held members, the first of several.
fn heaviest(set: &Gearset, states: &[LoadedState]) -> Option<HeaviestLoad> {
    let mut heaviest: Option<HeaviestLoad> = None;
    for load in states.iter().flat_map(|state| carried_in(set, state)) {
        if !load.torque.is_zero() && heaviest.as_ref().is_none_or(|most| load.torque.abs() > most.torque.abs()) {
            heaviest = Some(load);
        }
    }
    heaviest
}

/// What each control, each set of controls that do the same, and each held member carries in a state.
fn carried_in(set: &Gearset, state: &LoadedState) -> Vec<HeaviestLoad> {
    let first = |control: ControlId| set.control(control).made_one().first;
    let load = |controls: Vec<ControlId>, member, torque: &Option<Fraction>| {
        Some(HeaviestLoad { state: state.state.clone(), controls, member, torque: torque.clone()? })
    };
    let alone = state.controls.iter().filter(|found| found.applied);
    let alone = alone.filter_map(|found| load(vec![found.control], first(found.control), &found.torque));
    let shared = state.shared.iter().filter(|found| found.carried_in_drive_by.len() > 1);
    let shared =
        shared.filter_map(|found| load(found.controls.clone(), first(*found.controls.first()?), &found.torque));
    let held = state.members.iter().filter(|found| state.held.contains(&found.member));
    let held = held.filter_map(|found| load(Vec::new(), found.member, &found.torque));
    alone.chain(shared).chain(held).collect()
}

fn loaded_state(set: &Gearset, loads: &StateLoads, losses: Option<&StateLosses>, torque: &InputTorque) -> LoadedState {
    let motion = &loads.motion;
    let verdict = motion.verdict.kind();
    let lets_go_on_overrun =
        set.control_ids().any(|control| one_way(set, loads, control, Sense::Backward) == Some(OneWay::LetsGo));
    // Where a one-way clutch lets go nothing is passed on, whatever a train that held would lose.
    let lets_go = PowerFlow::NotTold(LossesUntold::LetsGo);
    let ways = losses.map(|losses| [&losses.drive, if lets_go_on_overrun { &lets_go } else { &losses.overrun }]);
    let run = |way: usize| ways.and_then(|ways| ways[way].run());
    let drive = run(0);
    let output_torque = loads.member(motion.output).torque.clone();
    let controls: Vec<LoadedControl> =
        loads.controls.iter().map(|load| loaded_control(set, loads, load, ways, torque)).collect();
    LoadedState {
        state: motion.state.clone(),
        verdict,
        members: loads.members.clone(),
        efficiency: drive.map(|run| run.efficiency.clone()),
        input: motion.input,
        output: motion.output,
        balance: loads.balanced,
        joins: loads.joins.clone(),
        meshes: loads.meshes.iter().map(|load| loaded_mesh(set, loads, load, torque.unit)).collect(),
        mounts: loads.mounts.clone(),
        circulating_power: circulating_power(set, loads),
        efficiency_on_overrun: run(1).map(|run| run.efficiency.clone()),
        locks_itself: ways.map(|ways| ways.map(locks_itself)),
        lost: drive.map(|run| run.lost.clone()),
        pins: loads.pins.iter().map(|load| loaded_pins(set, loads, load, torque.unit)).collect(),
        output_torque: output_torque.filter(|_| verdict == VerdictKind::Drives),
        output_torque_with_losses: drive.map(|run| &run.output_torque * &torque.amount),
        // What does not come out is lost: 1 - efficiency of what is put in.
        lost_together: drive.map(|run| fraction(1, 1) - &run.efficiency),
        lets_go_on_overrun,
        shared: loads.shared.clone(),
        losses_untold: ways.map_or([None, None], |ways| ways.map(untold)),
        further_answers: ways
            .map_or_else(Default::default, |ways| ways.map(|way| further_answers(way, &torque.amount))),
        held: held(set, loads),
        all_answers_looked_for: losses.map(|losses| losses.all_looked_for),
        controls,
    }
}

/// `None` where it is not told.
fn locks_itself(way: &PowerFlow) -> Option<bool> {
    match way {
        PowerFlow::Runs(_) => Some(false),
        PowerFlow::SelfLocking => Some(true),
        PowerFlow::NotTold(_) => None,
    }
}

fn untold(way: &PowerFlow) -> Option<LossesUntold> {
    match way {
        PowerFlow::Runs(_) | PowerFlow::SelfLocking => None,
        PowerFlow::NotTold(why) => Some(*why),
    }
}

/// Every answer but the least efficient, for this torque on the input.
fn further_answers(way: &PowerFlow, torque: &Fraction) -> Vec<LossyAnswer> {
    let answer = |run: &Run| LossyAnswer {
        efficiency: run.efficiency.clone(),
        output_torque: &run.output_torque * torque,
        controls: run.controls.iter().map(|carried| Some(carried.as_ref()? * torque)).collect(),
        lost: run.lost.clone(),
    };
    way.runs().iter().skip(1).map(answer).collect()
}

/// The members that a state holds itself.
fn held(set: &Gearset, loads: &StateLoads) -> Vec<MemberId> {
    let restraints = set.state_named(&loads.motion.state).map_or(&[][..], |state| &state.restraints);
    let held = restraints.iter().filter_map(|restraint| match restraint {
        Restraint::Held(member) => Some(*member),
        Restraint::Control(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
    });
    held.collect()
}

/// With the losses of the state in drive and on overrun.
fn loaded_control(
    set: &Gearset,
    loads: &StateLoads,
    load: &ControlLoad,
    losses: Option<[&PowerFlow; 2]>,
    torque: &InputTorque,
) -> LoadedControl {
    let does = |power| one_way(set, loads, load.control, power);
    let [in_drive, on_overrun] = [Sense::Forward, Sense::Backward]
        .map(|power| carried(set, &loads.shared, load.control, load.torque.as_ref(), power));
    // Losses are worked out for the torque 1 on the input.
    let with_losses = |run: &Run| Some(run.controls[load.control.index()].as_ref()? * &torque.amount);
    let held = |way: usize| losses.and_then(|ways| ways[way].run()).and_then(with_losses);
    let most = |way: usize| {
        let runs = losses.map_or(&[][..], |ways| ways[way].runs());
        runs.iter().filter_map(with_losses).max_by_key(Signed::abs)
    };
    // Beside others that do the same it has to be able to hold the whole where it alone can.
    let beside = loads.shared_by(load.control);
    let whole = load.torque.clone().or_else(|| beside?.whole_on(set, load.control)).filter(|_| load.applied);
    let most = [most(0), most(1)];
    let demand = whole.as_ref().map(|whole| Demand {
        torque: whole,
        with_losses: [most[0].as_ref(), most[1].as_ref()],
        alone: [Sense::Forward, Sense::Backward]
            .map(|power| beside.is_none_or(|beside| *beside.carried_by(power) == [load.control])),
        input: torque,
    });
    let lets_go = losses.is_some_and(|ways| *ways[1] == PowerFlow::NotTold(LossesUntold::LetsGo));
    LoadedControl {
        control: load.control,
        torque: in_drive,
        applied: load.applied,
        wants_to_turn: whole.as_ref().and_then(drum_wants_to_turn),
        one_way: does(Sense::Forward),
        one_way_on_overrun: does(Sense::Backward),
        capacity: capacity(set.control(load.control), demand.as_ref()),
        torque_with_losses: held(0),
        torque_with_losses_on_overrun: held(1),
        torque_on_overrun: on_overrun.filter(|_| !lets_go).map(|torque| -torque),
    }
}

fn loaded_mesh(set: &Gearset, loads: &StateLoads, load: &MeshLoad, unit: TorqueUnit) -> LoadedMesh {
    let force = mesh_force(set, load, unit);
    let [driver, driven] = load.driver_and_driven(set).map_or([None, None], |gears| gears.map(Some));
    LoadedMesh {
        gears: load.mesh,
        torques: load.torques(set),
        rolling_power: load.rolling_power.clone(),
        force_newtons: force.map(|force| force.all_pins),
        force_per_pin_newtons: force.map(|force| force.per_pin),
        pins: pins_of(set, load.mesh),
        torque_per_tooth: load.torque_per_tooth.clone(),
        work: mesh_work(set, loads, load.mesh),
        driver,
        driven,
        power_given: power_given(set, loads, load.mesh),
    }
}

fn loaded_pins(set: &Gearset, loads: &StateLoads, load: &PinLoad, unit: TorqueUnit) -> LoadedPins {
    let planet = |&planet: &MemberId| {
        let force = pin_force(set, loads, planet, unit);
        LoadedPlanet {
            planet,
            tangential_newtons: force.map(|force| force.tangential),
            outward_newtons: force.map(|force| force.outward),
            force_per_pin_newtons: force.map(|force| force.per_pin()),
            tangential_per_pin_newtons: force.map(|force| PinForce { outward: 0.0, ..force }.per_pin()),
        }
    };
    let pins = i64::try_from(load.pins).ok();
    LoadedPins {
        carrier: load.carrier,
        pins: load.pins,
        torque: load.torque.clone(),
        planets: set.planet_groups()[load.group].planets().iter().map(planet).collect(),
        torque_per_pin: load.torque.as_ref().zip(pins).map(|(torque, pins)| torque / fraction(pins, 1)),
    }
}
