//! What losses in the meshes leave of the power, for a person; an estimate.

use super::percent;
use crate::exact::Fraction;
use crate::gearset::{Action, Gearset};
use crate::kinematics::VerdictKind;
use crate::report::render::document::Block;
use crate::report::words::{list, mesh, quoted, rounded, short_list};
use crate::statics::{LoadSurvey, LoadedControl, LoadedState, LossyAnswer};
use num_traits::Zero;

/// Efficiencies of all states, where an efficiency is given.
pub(super) fn losses(answer: &LoadSurvey, set: &Gearset) -> Vec<Block> {
    let Some([least, most]) = &answer.mesh_efficiencies else { return Vec::new() };
    let given = if least == most {
        format!("every mesh passes on {} of the power that rolls through it", percent(most))
    } else {
        format!("the meshes pass on {} to {} of the power that rolls through them", percent(least), percent(most))
    };
    let mut blocks = vec![Block::Heading("With losses in the meshes: an estimate".into())];
    blocks.push(Block::Paragraph(format!(
        "{given}. Each gear that is driven gets its torque times the efficiency of its mesh; bearings, oil and idling \
         meshes are left out, so the efficiency is in truth less"
    )));
    blocks.push(efficiencies(answer));
    blocks.extend(held(answer, set));
    blocks.push(lost(answer, set));
    blocks.extend(answer.states.iter().filter_map(locks).map(Block::Warning));
    let several = answer.states.iter().flat_map(several_answers);
    blocks.extend(several.chain(not_looked_for(answer)).map(Block::Paragraph));
    blocks.extend(further(answer, set));
    blocks.extend(without_efficiency(answer));
    blocks
}

fn efficiencies(answer: &LoadSurvey) -> Block {
    let row = |state: &LoadedState| {
        let [without, without_on_overrun] =
            state.locks_itself.unwrap_or_default().map(|locks| if locks == Some(true) { "locks itself" } else { "-" });
        let mut row = vec![state.state.clone()];
        row.extend(efficiency(state.efficiency.as_ref(), without));
        row.push(state.output_torque_with_losses.as_ref().map_or_else(|| "-".into(), rounded));
        row.extend(match &state.efficiency_on_overrun {
            _ if state.lets_go_on_overrun => efficiency(None, "lets go"),
            found => efficiency(found.as_ref(), without_on_overrun),
        });
        row
    };
    let headings =
        ["state", "efficiency in drive", "per cent", "load on the output", "efficiency on overrun", "per cent"];
    Block::table("Efficiency", &headings, answer.states.iter().map(row).collect())
}

/// An efficiency and its percentage, or what stands in place of it.
fn efficiency(efficiency: Option<&Fraction>, otherwise: &str) -> [String; 2] {
    efficiency.map_or([otherwise.into(), "-".into()], |value| [value.to_string(), percent(value)])
}

/// Why a state that drives has no efficiency.
fn without_efficiency(answer: &LoadSurvey) -> Option<Block> {
    let is_left_out = |state: &&LoadedState| state.losses_untold[0].is_some() && state.verdict == VerdictKind::Drives;
    let names: Vec<String> = answer.states.iter().filter(is_left_out).map(|state| quoted(&state.state)).collect();
    (!names.is_empty()).then(|| {
        Block::Note(format!(
            "no efficiency is told of {}: torques that are not determined leave open what is lost, and where very \
             many meshes roll under load it is not found who drives whom",
            short_list(&names)
        ))
    })
}

/// The answers beside the least efficient one.
fn further(answer: &LoadSurvey, set: &Gearset) -> Option<Block> {
    let rows_of = |state: &LoadedState| {
        let ways = ["drive", "overrun"].into_iter().zip(&state.further_answers);
        let row = |when: &str, found: &LossyAnswer| {
            let control = |(load, torque): (&LoadedControl, &Option<Fraction>)| {
                let torque = torque.as_ref().filter(|torque| !torque.is_zero())?;
                Some(format!("{} {}", set.control(load.control).name(), rounded(torque)))
            };
            let controls: Vec<String> = state.controls.iter().zip(&found.controls).filter_map(control).collect();
            let carried = if controls.is_empty() { "-".into() } else { short_list(&controls) };
            let efficiency = [found.efficiency.to_string(), percent(&found.efficiency)];
            [
                vec![state.state.clone(), when.to_owned()],
                efficiency.to_vec(),
                vec![rounded(&found.output_torque), carried],
            ]
            .concat()
        };
        ways.flat_map(|(when, found)| found.iter().map(|found| row(when, found)).collect::<Vec<_>>())
            .collect::<Vec<_>>()
    };
    Block::table_of_some(
        "Further answers that agree with themselves",
        &["state", "in", "efficiency", "per cent", "load on the output", "controls carry"],
        answer.states.iter().flat_map(rows_of).collect(),
    )
}

/// What controls hold with losses, in drive and on overrun.
fn held(answer: &LoadSurvey, set: &Gearset) -> Option<Block> {
    let of_state = |state: &LoadedState| {
        state.controls.iter().filter_map(|load| held_by(set, state, load)).collect::<Vec<Vec<String>>>()
    };
    let headings = ["state", "control", "torque in drive", "on overrun, as much torque on the input"];
    Block::table_of_some(
        "What controls carry with losses",
        &headings,
        answer.states.iter().flat_map(of_state).collect(),
    )
}

/// What one control carries with losses; nothing where it carries nothing.
fn held_by(set: &Gearset, state: &LoadedState, load: &LoadedControl) -> Option<Vec<String>> {
    let both = [&load.torque_with_losses, &load.torque_with_losses_on_overrun];
    if both.iter().copied().flatten().all(Zero::is_zero) {
        return None;
    }
    let control = set.control(load.control);
    let what = match control.action() {
        Action::Band(_) => "band",
        Action::Clutch(_) => "clutch",
        Action::OneWayClutch(..) => "one-way clutch",
    };
    let mut row = vec![state.state.clone(), format!("{} ({what})", control.name())];
    row.extend(both.map(|torque| torque.as_ref().map_or_else(|| "-".into(), rounded)));
    Some(row)
}

/// Where the power is lost in drive.
fn lost(answer: &LoadSurvey, set: &Gearset) -> Block {
    let row = |state: &LoadedState| {
        let (lost, together) = state.lost.as_ref().zip(state.lost_together.as_ref())?;
        let shares = lost.iter().chain([together]).map(percent);
        Some([state.state.clone()].into_iter().chain(shares).collect())
    };
    let meshes: Vec<String> = set.mesh_ids().map(|id| mesh(set, id)).collect();
    let headings = ["state"].into_iter().chain(meshes.iter().map(String::as_str)).chain(["together"]);
    Block::table(
        "Where power is lost in drive, in shares of what is put in",
        &headings.collect::<Vec<&str>>(),
        answer.states.iter().filter_map(row).collect(),
    )
}

/// What to beware of where a state locks itself.
pub(super) fn locks(state: &LoadedState) -> Option<String> {
    let name = quoted(&state.state);
    match state.locks_itself? {
        [Some(true), _] => Some(format!(
            "in state {name} the input cannot drive the output by this estimate: friction takes more than comes in"
        )),
        [_, Some(true)] => Some(format!(
            "in state {name} the output cannot drive the input by this estimate: the train locks itself. That must not be \
             what holds a load up: with shaking and good oil it may run back; fit a brake"
        )),
        [_, Some(false) | None] => None,
    }
}

/// Where an answer with losses is told and others were not looked for.
pub(super) fn not_looked_for(answer: &LoadSurvey) -> Option<String> {
    let is_meant = |state: &&LoadedState| {
        let is_told = state.efficiency.is_some() || state.efficiency_on_overrun.is_some();
        is_told && state.all_answers_looked_for == Some(false)
    };
    let names: Vec<String> = answer.states.iter().filter(is_meant).map(|state| quoted(&state.state)).collect();
    (!names.is_empty()).then(|| {
        format!(
            "In {} very many meshes roll under load: one answer with losses that agrees with itself is told, and others \
             were not looked for.",
            short_list(&names)
        )
    })
}

/// Where more than one answer with losses agrees with itself.
pub(super) fn several_answers(state: &LoadedState) -> Vec<String> {
    let first = [&state.efficiency, &state.efficiency_on_overrun];
    let ways = [("in drive", 0), ("on overrun", 1)].into_iter();
    let told = ways.filter_map(|(when, way)| {
        let further = &state.further_answers[way];
        let all = first[way].iter().chain(further.iter().map(|answer| &answer.efficiency)).map(percent);
        (!further.is_empty()).then(|| {
            format!(
                "In {} {when} {} answers with losses agree with themselves, with {} passed on: which holds depends on how \
                 it came to run; count on the least.",
                quoted(&state.state),
                further.len() + 1,
                list(&all.collect::<Vec<String>>())
            )
        })
    });
    told.collect()
}
