//! The loads on one screen: what carries most, which way drums pull, what losses leave, what to beware of; then a state a
//! row, or a member a row where one state is asked for.
//!
//! Torques are for that on the input, positive in its sense; a drum that is held forward wants to turn backward.

use super::control;
use super::losses::{locks, not_looked_for, several_answers};
use crate::exact::{Fraction, decimal, fraction};
use crate::gearset::{Action, ControlId, Gearset, Sense};
use crate::kinematics::VerdictKind;
use crate::report::render::document::{Block, Table};
use crate::report::words::{key, list, quoted, short_list};
use crate::statics::{Balanced, HeaviestLoad, LoadSurvey, LoadedControl, LoadedState, LossesUntold, SharedLoad};
use num_traits::{Signed, Zero};

/// So many states are shown with everything.
const MOST_WIDE: usize = 8;

/// Significant digits of a number on the screen.
const DIGITS: u32 = 4;

/// The statements, then the table.
pub(super) fn screen(answer: &LoadSurvey, set: &Gearset) -> Vec<Block> {
    let statements = statements(answer, set);
    let table = match &answer.states[..] {
        [state] if state.balance != Balanced::WithoutTorque => members(answer, set, state),
        [_] => None,
        _ => Some(states(answer, set)),
    };
    let table = table.map(|table| Block::Table(table.below(&statements)));
    [Block::Statements(statements)].into_iter().chain(table).collect()
}

fn short(value: &Fraction) -> String {
    decimal(value, DIGITS)
}

/// A share as a percentage.
fn percent(share: &Fraction) -> String {
    format!("{} %", decimal(&(share * fraction(100, 1)), 3))
}

fn statements(answer: &LoadSurvey, set: &Gearset) -> Vec<String> {
    let mut said = vec![most(answer, set)];
    said.extend(drums(answer, set));
    let shared = answer.states.iter().flat_map(|state| state.shared.iter().map(move |load| (state, load)));
    said.extend(shared.filter_map(|(state, load)| together(set, state, load)));
    said.extend(open(answer, set));
    said.extend(round(answer));
    said.extend(efficiency(answer));
    said.extend(answer.states.iter().flat_map(several_answers).chain(not_looked_for(answer)));
    said.extend(lets_go(answer));
    said.extend(answer.states.iter().filter_map(locks).map(beware));
    said.extend(answer.states.iter().flat_map(|state| control::one_way_warnings(set, state)).map(beware));
    said.extend(slips(answer, set));
    said.extend(strength(answer, set));
    said
}

fn beware(warning: impl std::fmt::Display) -> String {
    format!("Beware: {warning}.")
}

/// What carries most, and of which torque all others follow.
fn most(answer: &LoadSurvey, set: &Gearset) -> String {
    let unit = key(&answer.torque_unit);
    let given = format!("for {} {unit} on the input", short(&answer.torque));
    let Some(HeaviestLoad { state, controls, member, torque }) = &answer.heaviest else {
        let has = |is: fn(&LoadedState) -> bool| answer.states.iter().any(is);
        return if has(|state| state.output_torque.is_some()) {
            format!("Nothing has to be held or clutched; torques are {given}.")
        } else if has(|state| state.verdict == VerdictKind::Locked) {
            "The input is locked: no power is passed on.".into()
        } else {
            "No torque can be passed on: nothing takes one up.".into()
        };
    };
    let who = match &controls[..] {
        [] => format!("{} carries most, held", set.member(*member).name()),
        [only] => format!("{} carries most", set.control(*only).name()),
        several => format!("{} carry most, together", list(&names(set, several))),
    };
    let size = short(&torque.abs());
    match &answer.states[..] {
        [_] => format!("In {} {who}: {size} {unit}, {given}.", quoted(state)),
        _ => format!("{who}: {size} {unit} in {}, {given}.", quoted(state)),
    }
}

fn names(set: &Gearset, controls: &[ControlId]) -> Vec<String> {
    controls.iter().map(|&control| set.control(control).name().to_owned()).collect()
}

/// Which way the drums of bands want to turn, which decides whether a band is self-energising.
fn drums(answer: &LoadSurvey, set: &Gearset) -> Option<String> {
    let mut pulls: Vec<(ControlId, Sense, Vec<String>)> = Vec::new();
    for (state, load) in answer.states.iter().flat_map(|state| state.controls.iter().map(move |load| (state, load))) {
        let Some(wants) = load.wants_to_turn.filter(|_| is_band(set, load)) else { continue };
        match pulls.iter_mut().find(|(control, sense, _)| *control == load.control && *sense == wants) {
            Some((.., states)) => states.push(quoted(&state.state)),
            None => pulls.push((load.control, wants, vec![quoted(&state.state)])),
        }
    }
    let both_ways = |control: ControlId| pulls.iter().filter(|(other, ..)| *other == control).count() > 1;
    let pull = |(control, sense, states): &(ControlId, Sense, Vec<String>)| {
        let drum = set.member(set.control(*control).made_one().first).name();
        let states = match states.len() {
            _ if !both_ways(*control) => String::new(),
            1 | 2 => format!(" in {}", list(states)),
            count => format!(" in {count} states"),
        };
        format!("{drum} {}{states}", key(sense))
    };
    let pulls: Vec<String> = pulls.iter().map(pull).collect();
    (!pulls.is_empty()).then(|| {
        format!(
            "Drums want to turn in drive (forward: as the input): {}; on overrun the other way round.",
            short_list(&pulls)
        )
    })
}

fn is_band(set: &Gearset, load: &LoadedControl) -> bool {
    matches!(set.control(load.control).action(), Action::Band(_))
}

/// What controls that do the same carry together, and who carries it on overrun.
pub(super) fn together(set: &Gearset, state: &LoadedState, load: &SharedLoad) -> Option<String> {
    let torque = load.torque.as_ref()?;
    let carry = |by: &[ControlId]| match by {
        [only] => format!("{} carries all", set.control(*only).name()),
        several if several.len() == load.controls.len() => "how they share it is open".into(),
        several => format!("{} carry it, and how they share it is open", list(&names(set, several))),
    };
    let [drive, overrun] = [&load.carried_in_drive_by, &load.carried_on_overrun_by].map(|by| carry(by));
    let when = if drive == overrun { drive } else { format!("in drive {drive}, on overrun {overrun}") };
    let names = list(&names(set, &load.controls));
    Some(format!("In {} {names} have {} to carry together: {when}.", quoted(&state.state), short(torque)))
}

/// States whose torques equilibrium leaves open in more than how controls that do the same share theirs.
fn open(answer: &LoadSurvey, set: &Gearset) -> Option<String> {
    let is_open =
        |state: &&LoadedState| state.balance == Balanced::Indeterminate && !super::open_parts(set, state).is_empty();
    let open: Vec<String> = answer.states.iter().filter(is_open).map(|state| quoted(&state.state)).collect();
    (!open.is_empty()).then(|| {
        format!(
            "In {} it is open how the torque divides: that depends on clearances, not on tooth counts.",
            short_list(&open)
        )
    })
}

/// Circulating power, in the state with most of it.
fn round(answer: &LoadSurvey) -> Option<String> {
    let share = |state: &LoadedState| state.circulating_power.clone().filter(|share| !share.is_zero());
    let most = answer.states.iter().filter_map(|state| Some((share(state)?, state)));
    let (share, state) = most.max_by(|(one, _), (other, _)| one.cmp(other))?;
    Some(format!(
        "Circulating power in {}, {} of the input power: it is never delivered, yet loads teeth and costs losses.",
        quoted(&state.state),
        percent(&share)
    ))
}

/// What losses in the meshes leave.
fn efficiency(answer: &LoadSurvey) -> Option<String> {
    let Some([least, most]) = &answer.mesh_efficiencies else {
        let drives = answer.states.iter().any(|state| state.output_torque.is_some());
        return drives
            .then(|| "Losses are left out; --mesh-efficiency 0.98 tells what meshes take of the power.".into());
    };
    let given = if least == most { percent(most) } else { format!("{} to {}", percent(least), percent(most)) };
    let told = || answer.states.iter().filter_map(|state| Some((state.efficiency.as_ref()?, state)));
    let (worst, state) = told().min_by(|(one, _), (other, _)| one.cmp(other))?;
    let (best, _) = told().max_by(|(one, _), (other, _)| one.cmp(other))?;
    let comes_out = if let [LoadedState { efficiency_on_overrun: Some(on_overrun), .. }] = &answer.states[..] {
        format!("{} of the power comes out, {} on overrun", percent(worst), percent(on_overrun))
    } else if worst == best {
        format!("{} of the power comes out", percent(worst))
    } else {
        format!("{} to {} of the power comes out, least in {}", percent(worst), percent(best), quoted(&state.state))
    };
    Some(format!("With {given} passed on by a mesh {comes_out}; bearings and oil take more: an estimate."))
}

/// States in which nothing brakes the output on overrun.
fn lets_go(answer: &LoadSurvey) -> Option<String> {
    let lets_go = answer.states.iter().filter(|state| state.lets_go_on_overrun);
    let names: Vec<String> = lets_go.map(|state| quoted(&state.state)).collect();
    (!names.is_empty()).then(|| {
        format!("On overrun a one-way clutch lets go in {}: nothing brakes the output there.", short_list(&names))
    })
}

/// Bands and clutches that cannot hold what they have to, by their sizes.
fn slips(answer: &LoadSurvey, set: &Gearset) -> Option<String> {
    let slips = |state: &LoadedState, load: &LoadedControl| {
        let verdict = load.capacity.as_ref()?.verdicts.iter().find(|verdict| !verdict.holds)?;
        let name = set.control(load.control).name();
        Some(format!("{name} {} in {}", key(&verdict.when), quoted(&state.state)))
    };
    let all = answer.states.iter().flat_map(|state| state.controls.iter().filter_map(move |load| slips(state, load)));
    let all: Vec<String> = all.collect();
    (!all.is_empty()).then(|| {
        format!(
            "Beware: by its sizes not enough: {}. What slips burns its lining: look at lining, oil and sizes.",
            short_list(&all)
        )
    })
}

/// What the numbers leave out.
fn strength(answer: &LoadSurvey, set: &Gearset) -> Option<String> {
    let has_torque = answer.states.iter().any(|state| state.balance != Balanced::WithoutTorque);
    let has_band =
        answer.states.iter().flat_map(|state| &state.controls).any(|load| load.applied && is_band(set, load));
    let band = if has_band { "a band must hold more than this: oil and shock come on top. " } else { "" };
    has_torque.then(|| {
        let text = format!("{band}nothing here proves a gear, pin or drum strong enough.");
        format!("Beware: {}", text.replacen(". nothing", ". Nothing", 1))
    })
}

/// A state a row.
fn states(answer: &LoadSurvey, set: &Gearset) -> Table {
    let has_losses = answer.mesh_efficiencies.is_some();
    let goes_round = |state: &LoadedState| state.circulating_power.as_ref().is_some_and(|share| !share.is_zero());
    // Where there are many states the narrower table shows more of them.
    let is_wide = answer.states.len() <= MOST_WIDE;
    let has_round = is_wide && answer.states.iter().any(goes_round);
    let mut headings = vec!["state", "output", "held or clutched by"];
    if has_losses {
        headings.push("efficiency");
    }
    if has_losses && is_wide {
        headings.push("on overrun");
    }
    if has_round {
        headings.push("circulating");
    }
    let row = |state: &LoadedState| {
        let mut row = vec![state.state.clone(), output(state), carried_by(set, state)];
        if has_losses {
            row.push(efficiency_in(state, 0));
        }
        if has_losses && is_wide {
            row.push(efficiency_in(state, 1));
        }
        if has_round {
            row.push(state.circulating_power.as_ref().map_or_else(|| "-".into(), percent));
        }
        row
    };
    let caption = format!("Torques in {}, positive in the sense of the input", key(&answer.torque_unit));
    Table::new(caption, &headings, answer.states.iter().map(row).collect())
}

/// The torque on the output, or why it has none.
fn output(state: &LoadedState) -> String {
    match (&state.output_torque, state.verdict) {
        (Some(torque), _) => short(torque),
        (None, VerdictKind::Drives) if state.balance == Balanced::WithoutTorque => "no torque".into(),
        (None, VerdictKind::Drives) => "open".into(),
        (None, VerdictKind::Neutral) => "neutral".into(),
        (None, VerdictKind::OutputHeld) => "held".into(),
        (None, VerdictKind::Locked) => "locked".into(),
    }
}

/// Every control and held member with its torque; those that share one are named together.
fn carried_by(set: &Gearset, state: &LoadedState) -> String {
    if state.balance == Balanced::WithoutTorque {
        return "-".into();
    }
    let is_shared = |load: &&LoadedControl| {
        load.torque.is_none() && state.shared.iter().any(|shared| shared.controls.contains(&load.control))
    };
    let alone = state.controls.iter().filter(|load| load.applied && !is_shared(load)).map(|load| {
        let torque = load.torque.as_ref().map_or_else(|| "open".into(), short);
        format!("{} {torque}", set.control(load.control).name())
    });
    let shared = state.shared.iter().filter(|load| load.carried_in_drive_by.len() > 1).map(|load| {
        let torque = load.torque.as_ref().map_or_else(|| "open".into(), short);
        format!("{} {torque}", names(set, &load.controls).join(" + "))
    });
    let held = state.members.iter().filter(|load| state.held.contains(&load.member)).map(|load| {
        let torque = load.torque.as_ref().map_or_else(|| "open".into(), short);
        format!("{} {torque}", set.member(load.member).name())
    });
    let all: Vec<String> = alone.chain(shared).chain(held).collect();
    if all.is_empty() { "-".into() } else { short_list(&all) }
}

/// An efficiency in drive or on overrun, or what stands in its place.
fn efficiency_in(state: &LoadedState, way: usize) -> String {
    let found = [&state.efficiency, &state.efficiency_on_overrun][way];
    let locks = state.locks_itself.and_then(|locks| locks[way]) == Some(true);
    match (found, state.losses_untold[way]) {
        (Some(found), _) if state.further_answers[way].is_empty() => percent(found),
        (Some(found), _) => format!("{} or more", percent(found)),
        (None, _) if locks => "locks itself".into(),
        (None, Some(LossesUntold::LetsGo)) => "lets go".into(),
        (None, Some(LossesUntold::NoPower) | None) => "-".into(),
        (None, Some(LossesUntold::TorquesOpen | LossesUntold::TooManyMeshes)) => "not told".into(),
    }
}

/// A member a row, those without a torque left out.
fn members(answer: &LoadSurvey, set: &Gearset, state: &LoadedState) -> Option<Table> {
    let row = |load: &crate::statics::MemberLoad| {
        let torque = load.torque.as_ref().map_or_else(|| "open".into(), short);
        let power = load.power.as_ref().map_or_else(|| "-".into(), percent);
        vec![super::member_with_role(set, load.member, state), torque, power]
    };
    let on_main_axis = state.members.iter().filter(|load| super::is_shown(set, load));
    let loaded = on_main_axis.filter(|load| load.torque.as_ref().is_none_or(|torque| !torque.is_zero()));
    let mut rows: Vec<Vec<String>> = loaded.map(row).collect();
    let control = |load: &&LoadedControl| load.applied && load.torque.as_ref().is_none_or(|torque| !torque.is_zero());
    rows.extend(state.controls.iter().filter(control).map(|load| {
        let torque = load.torque.as_ref().map_or_else(|| "open".into(), short);
        vec![
            format!("{}, on {}", set.control(load.control).name(), super::acts_on(set, load.control)),
            torque,
            "-".into(),
        ]
    }));
    let unit = key(&answer.torque_unit);
    let caption =
        format!("What carries a torque in {}, in {unit}; positive in the sense of the input", quoted(&state.state));
    (!rows.is_empty()).then(|| Table::new(caption, &["member or control", "torque on it", "power put in"], rows))
}
