//! The second half of the answer on marks: which teeth meet, together or in turn, and when again.
//!
//! A table each for the phases of the planets at every central gear, for the meshes, for the
//! states, and for the turns of every gear by the time that everything is back.

use super::Marking;
use crate::exact::{Fraction, part_of_turn};
use crate::gearset::MemberId;
use crate::report::render::document::{Block, Table};
use crate::report::words::{self, member, mesh, quoted, short_list, with_decimal};
use crate::timing::{GroupMarking, Meeting, MeshPhase, PhaseOrder, Return, Rolling, StateReturn};

impl Marking<'_> {
    pub(super) fn phases(&self, group: &GroupMarking) -> Table {
        let joined = |phases: &[Fraction]| phases.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        let row = |phase: &MeshPhase| {
            let other_side: Vec<Fraction> = phase.pins.iter().map(|phase| part_of_turn(&-phase)).collect();
            vec![
                words::gear(self.set, phase.central),
                joined(&phase.pins),
                joined(&other_side),
                order_in_words(phase.order).into(),
            ]
        };
        let headings = ["central gear", "from the input side", "from the output side", "the planets mesh"];
        Table {
            caption:
                "Mesh phase: by which part of a pitch the line of centres of pins 1, 2, ... stands counter-clockwise \
                      of a space, against pin 1"
                    .into(),
            headings: headings.map(String::from).to_vec(),
            rows: group.phases.iter().map(row).collect(),
        }
    }

    pub(super) fn counter_phase(&self, phase: &MeshPhase) -> Option<Block> {
        let pairs = phase.counter_phase_pairs();
        if pairs.is_empty() {
            return None;
        }
        let pairs: Vec<String> = pairs.iter().map(|[one, other]| format!("{one} and {other}")).collect();
        Some(Block::Note(format!(
            "at {} these pins are in counter-phase, half a pitch apart: {}",
            words::gear(self.set, phase.central),
            short_list(&pairs)
        )))
    }

    pub(super) fn meetings(&self, group: &GroupMarking) -> Table {
        let row = |meeting: &Meeting| {
            let teeth = match meeting.common_factor {
                1 => "all (hunting)".to_owned(),
                factor => format!("1 in {factor}"),
            };
            vec![
                mesh(self.set, meeting.mesh),
                meeting.common_factor.to_string(),
                teeth,
                format!("{} and {}", meeting.turns.first, meeting.turns.second),
            ]
        };
        let headings = ["mesh", "common factor", "a tooth meets of the other's", "the same two again after turns"];
        Table {
            caption: "Which teeth meet; turns of the first and of the second gear as seen from the carrier".into(),
            headings: headings.map(String::from).to_vec(),
            rows: group.meetings.iter().map(row).collect(),
        }
    }

    /// When things come round, a column each: marks where there are any, everything, each mesh.
    /// When things come round, a column each: marks where there are any, everything, each mesh.
    pub(super) fn returns(&self, group: &GroupMarking) -> Table {
        let inputs_differ = group.returns.iter().any(|state| state.input != group.returns[0].input);
        let mut headings = vec!["state".to_owned()];
        headings.extend(inputs_differ.then(|| "input".to_owned()));
        headings.extend((!group.gears.is_empty()).then(|| "marks meet".to_owned()));
        headings.push("everything back".into());
        headings.extend(group.meetings.iter().map(|meeting| mesh(self.set, meeting.mesh)));
        let row = |state: &StateReturn| {
            let mut row = vec![quoted(&state.state)];
            row.extend(inputs_differ.then(|| member(self.set, state.input)));
            let columns = headings.len() - row.len();
            row.extend(match &state.rolling {
                Rolling::Rolls(back) => turns_of_the_input(back),
                Rolling::Stands => vec!["at all times".to_owned(); columns],
                Rolling::Free => vec!["free".to_owned(); columns],
                Rolling::Locked => vec!["locked".to_owned(); columns],
            });
            row
        };
        let rows: Vec<Vec<String>> = group.returns.iter().map(row).collect();
        let input = if inputs_differ { "the input".into() } else { member(self.set, group.returns[0].input) };
        Table { caption: returns_caption(group, &input), headings, rows }
    }

    /// How often each gear has turned when everything is back, which is the same in every state.
    pub(super) fn turns_by_then(&self, group: &GroupMarking) -> Option<Table> {
        let back = group.returns.iter().find_map(|state| match &state.rolling {
            Rolling::Rolls(back) => Some(back),
            Rolling::Stands | Rolling::Free | Rolling::Locked => None,
        })?;
        Some(Table {
            caption: format!(
                "When everything is back: turns of each gear as seen from {}, in every state; negative the other way \
                 round than the first",
                self.carrier_name(group.carrier)
            ),
            headings: back.turns.iter().map(|body| words::gear(self.set, body.gear)).collect(),
            rows: vec![back.turns.iter().map(|body| body.turns.to_string()).collect()],
        })
    }

    fn carrier_name(&self, carrier: MemberId) -> String {
        if carrier == MemberId::CASE { "the case".into() } else { format!("the carrier {}", member(self.set, carrier)) }
    }
}

fn order_in_words(order: PhaseOrder) -> &'static str {
    match order {
        PhaseOrder::InStep => "in step",
        PhaseOrder::CounterPhase => "in counter-phase",
        PhaseOrder::Evenly => "in sequence, evenly",
        PhaseOrder::Unevenly => "in sequence, unevenly",
    }
}

fn turns_of_the_input(back: &Return) -> Vec<String> {
    back.line_up.iter().chain([&back.everything]).chain(&back.meetings).map(with_decimal).collect()
}

/// What the columns and the words in the cells say.
fn returns_caption(group: &GroupMarking, input: &str) -> String {
    let some = |kind: &Rolling| group.returns.iter().any(|state| state.rolling == *kind);
    let mut parts = vec![format!("As seen from the carrier, in turns of {input}, when")];
    if !group.gears.is_empty() {
        parts.push("the marked teeth are in the marked spaces (marks meet; those made as a check left aside),".into());
    }
    parts.push("every tooth stands where it stood (everything back), and the same two teeth of a mesh meet".into());
    let mut caption = parts.join(" ");
    if some(&Rolling::Stands) {
        caption.push_str("; at all times: the planets do not roll, so nothing parts");
    }
    if some(&Rolling::Free) {
        caption.push_str("; free: the input does not say how the planets roll");
    }
    if some(&Rolling::Locked) {
        caption.push_str("; locked: the input cannot turn");
    }
    caption
}
