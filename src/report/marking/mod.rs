//! The answer to "what do I mark, and when do marks line up again".
//!
//! First what to mark, in the order of the work, with the teeth and spaces that are enough; in full every mark, whether
//! the planets take up their teeth together, when the same teeth meet, and when everything is back in each state. Counts go the other way round seen from the other side, so both sides are always named.

mod instructions;
mod returns;
mod tables;

use crate::gearset::{GearId, Gearset};
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, key};
use crate::timing::{GearMarks, GroupMarking, Marking, MarkingConvention, PlanetRolling, ToothMark};
use instructions::{gears_to_mark, order_of_work, statements};
use returns::{counter_phase, meetings, phases, returns, turns_by_then};
use tables::{enough, spaces, teeth};

impl Answer for Marking {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        if self.groups.is_empty() {
            return vec![Block::Statements(vec!["No planets are described, so there is nothing to mark.".into()])];
        }
        let enough = |group: &GroupMarking| enough(set, group).into_iter().collect();
        let mut blocks = vec![Block::Statements(statements(set, self))];
        blocks.extend(Block::group_by_group(&self.groups, |group| heading(set, group), enough));
        blocks
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let in_full = |group: &GroupMarking| [every_mark(set, group), what_meets(set, group)].concat();
        let mut blocks = Block::group_by_group(&self.groups, |group| heading(set, group), in_full);
        blocks.extend(cautions(self));
        blocks
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        let assembled = || self.groups.iter().filter(|group| group.convention != MarkingConvention::Refused);
        let marked = self.groups.iter().any(|group| group.convention.has_marks());
        assembled().next().map(|_| {
            if marked {
                "the marks of every gear, which teeth meet and when, when all is back"
            } else {
                "which teeth meet and when, when all is back"
            }
        })
    }

    /// One record for each mark; a group without marks has none.
    fn records(&self, set: &Gearset) -> Records {
        let fields =
            vec!["carrier", "convention", "planet", "gear", "central_gear", "use", "pin", "tooth", "space", "off_line"];
        let mut rows = Vec::new();
        for group in &self.groups {
            for marks in &group.marks {
                rows.extend(marks.pins.iter().map(|mark| record(set, group, marks, mark)));
            }
        }
        Records { fields, rows }
    }

    /// No where planets do not assemble.
    fn outcome(&self) -> Outcome {
        self.groups.iter().all(|group| group.convention != MarkingConvention::Refused).into()
    }
}

fn record(set: &Gearset, group: &GroupMarking, marks: &GearMarks, mark: &ToothMark) -> Vec<String> {
    let gear = |gear: GearId| csv_name(set.gear(gear).name());
    vec![
        csv_name(set.member(group.carrier).name()),
        key(&group.convention),
        csv_name(set.member(marks.planet).name()),
        gear(marks.gear),
        marks.central_gear.map(gear).unwrap_or_default(),
        key(&marks.purpose),
        mark.pin.to_string(),
        mark.tooth.to_string(),
        mark.space.map(|space| space.to_string()).unwrap_or_default(),
        mark.off_line.to_string(),
    ]
}

/// What a group of planets is headed with.
fn heading(set: &Gearset, group: &GroupMarking) -> String {
    words::group(set, &group.planets, group.carrier, group.pins)
}

/// Every tooth and space that could be marked, those of a check as well.
fn every_mark(set: &Gearset, group: &GroupMarking) -> Vec<Block> {
    if group.marks.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Facts(gears_to_mark(set, group)), Block::Paragraph(order_of_work(group))];
    blocks.extend((group.convention != MarkingConvention::Radial).then(|| teeth(set, group)));
    blocks.extend(spaces(set, group));
    blocks
}

/// Which teeth meet, together or in turn, and when again.
fn what_meets(set: &Gearset, group: &GroupMarking) -> Vec<Block> {
    let mut blocks = Vec::new();
    if group.convention == MarkingConvention::Refused {
        return blocks;
    }
    if group.pins > 1 && !group.phases.is_empty() {
        blocks.push(phases(set, group));
        blocks.extend(group.phases.iter().filter_map(|phase| counter_phase(set, phase)));
    }
    blocks.push(meetings(set, group));
    if group.states.is_empty() {
        blocks.push(Block::Note("no states are described, so nothing can be said in turns of an input".into()));
    } else {
        blocks.push(returns(set, group));
        blocks.extend(turns_by_then(set, group));
    }
    blocks
}

fn cautions(answer: &Marking) -> Vec<Block> {
    let assembled = || answer.groups.iter().filter(|group| group.convention != MarkingConvention::Refused);
    let rolls = |group: &GroupMarking| group.states.iter().any(|state| state.motion == PlanetRolling::Rolls);
    let mut cautions = Vec::new();
    if assembled().any(|group| group.pins > 1) {
        cautions.push(
            "in step the planets share the load best and are loudest, in sequence or in counter-phase they are \
             quieter: common practice, not worked out here",
        );
    }
    if assembled().any(rolls) {
        cautions.push(
            "a tight spot felt while turning by hand that comes back after the turns told for a mesh is most likely two \
             teeth of that mesh: look at these",
        );
    }
    cautions.into_iter().map(|caution| Block::Note(caution.into())).collect()
}
