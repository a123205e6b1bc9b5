//! The second half of the answer on marks: which teeth meet, together or in turn, and when again.
//!
//! A table each for the phases of the planets at every central gear, for the meshes, for the
//! states, and for the turns of every gear by the time that everything is back.

use super::tables::joined;
use crate::gearset::{Gearset, MemberId};
use crate::report::render::document::{Block, Table};
use crate::report::words::{self, member, mesh, quoted, short_list, with_decimal};
use crate::timing::{GroupMarking, MeshPhase, PhaseOrder, PlanetRolling, StateReturn, ToothMeeting};

pub(super) fn phases(set: &Gearset, group: &GroupMarking) -> Block {
    let caption = "Mesh phase: by which part of a pitch the line of centres of pins 1, 2, ... stands counter-clockwise \
                   of a space, against pin 1";
    let headings = ["central gear", "from the input side", "from the output side", "the planets mesh"];
    Block::table(caption, &headings, group.phases.iter().map(|phase| phase_row(set, phase)).collect())
}

fn phase_row(set: &Gearset, phase: &MeshPhase) -> Vec<String> {
    let order = match phase.order {
        PhaseOrder::InStep => "in step",
        PhaseOrder::CounterPhase => "in counter-phase",
        PhaseOrder::Evenly => "in sequence, evenly",
        PhaseOrder::Unevenly => "in sequence, unevenly",
    };
    vec![words::gear(set, phase.central_gear), joined(&phase.pins), joined(&phase.pins_from_output_side), order.into()]
}

pub(super) fn counter_phase(set: &Gearset, phase: &MeshPhase) -> Option<Block> {
    if phase.counter_phase_pairs.is_empty() {
        return None;
    }
    let pairs: Vec<String> =
        phase.counter_phase_pairs.iter().map(|[one, other]| format!("{one} and {other}")).collect();
    Some(Block::Note(format!(
        "at {} these pins are in counter-phase, half a pitch apart: {}",
        words::gear(set, phase.central_gear),
        short_list(&pairs)
    )))
}

pub(super) fn meetings(set: &Gearset, group: &GroupMarking) -> Block {
    let caption = "Which teeth meet; turns of the first and of the second gear as seen from the carrier";
    let headings = ["mesh", "common factor", "a tooth meets of the other's", "the same two again after turns"];
    Block::table(caption, &headings, group.meetings.iter().map(|meeting| meeting_row(set, meeting)).collect())
}

fn meeting_row(set: &Gearset, meeting: &ToothMeeting) -> Vec<String> {
    let factor = meeting.common_factor;
    vec![
        mesh(set, meeting.mesh),
        factor.to_string(),
        if meeting.hunting { "all (hunting)".to_owned() } else { format!("1 in {factor}") },
        format!("{} and {}", meeting.turns.first, meeting.turns.second),
    ]
}

/// When things come round, a column each: marks where there are any, everything, each mesh.
pub(super) fn returns(set: &Gearset, group: &GroupMarking) -> Block {
    let inputs_differ = group.states.iter().any(|state| state.input != group.states[0].input);
    let mut headings = vec!["state".to_owned()];
    headings.extend(inputs_differ.then(|| "input".to_owned()));
    let first_columns = headings.len();
    headings.extend((!group.marks.is_empty()).then(|| "marks meet".to_owned()));
    headings.push("everything back".into());
    headings.extend(group.meetings.iter().map(|meeting| mesh(set, meeting.mesh)));
    let columns = headings.len() - first_columns;
    let row = |state: &StateReturn| {
        let mut row = vec![quoted(&state.state)];
        row.extend(inputs_differ.then(|| member(set, state.input)));
        row.extend(turns_of_the_input(state, columns));
        row
    };
    let rows = group.states.iter().map(row).collect();
    let input = if inputs_differ { "the input".into() } else { member(set, group.states[0].input) };
    Block::Table(Table { caption: returns_caption(group, &input), headings, rows })
}

/// So many cells: turns of the input, or the word for why there are none.
fn turns_of_the_input(state: &StateReturn, columns: usize) -> Vec<String> {
    let word = match state.motion {
        PlanetRolling::Rolls => {
            let meetings = state.same_teeth.iter().map(|again| &again.turns);
            return state.line_up.iter().chain(&state.everything_back).chain(meetings).map(with_decimal).collect();
        }
        PlanetRolling::Stands => "at all times",
        PlanetRolling::Free => "free",
        PlanetRolling::Locked => "locked",
    };
    vec![word.to_owned(); columns]
}

/// What the columns and the words in the cells say.
fn returns_caption(group: &GroupMarking, input: &str) -> String {
    let mut caption = format!("As seen from the carrier, in turns of {input}, when ");
    if !group.marks.is_empty() {
        caption.push_str("the marked teeth are in the marked spaces (marks meet; those made as a check left aside), ");
    }
    caption.push_str("every tooth stands where it stood (everything back), and the same two teeth of a mesh meet");
    for (motion, meaning) in [
        (PlanetRolling::Stands, "; at all times: the planets do not roll, so nothing parts"),
        (PlanetRolling::Free, "; free: the input does not say how the planets roll"),
        (PlanetRolling::Locked, "; locked: the input cannot turn"),
    ] {
        if group.states.iter().any(|state| state.motion == motion) {
            caption.push_str(meaning);
        }
    }
    caption
}

/// How often each gear has turned when everything is back, which is the same in every state.
pub(super) fn turns_by_then(set: &Gearset, group: &GroupMarking) -> Option<Block> {
    let turns = &group.states.iter().find(|state| state.motion == PlanetRolling::Rolls)?.turns_by_then;
    let headings = turns.iter().map(|body| words::gear(set, body.gear)).collect();
    let row = turns.iter().map(|body| body.turns.to_string()).collect();
    let caption = format!(
        "When everything is back: turns of each gear as seen from {}, in every state; negative the other way round than \
         the first",
        carrier_name(set, group.carrier)
    );
    Some(Block::Table(Table { caption, headings, rows: vec![row] }))
}

fn carrier_name(set: &Gearset, carrier: MemberId) -> String {
    if carrier == MemberId::CASE { "the case".into() } else { format!("the carrier {}", member(set, carrier)) }
}
