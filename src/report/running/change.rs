//! Which way members turn in every state, and what a control meets when it is applied, for a person.
//!
//! States stand side by side, so that each change can be read off. A one-way clutch applies itself: it
//! holds from the first, or overruns until its members are at rest against one another.

use super::Running;
use crate::exact::Fraction;
use crate::gearset::{Action, MemberId, Restraint, Sense};
use crate::kinematics::{Speed, StateMotion, observe};
use crate::report::render::document::{Block, Table};
use crate::report::words::{list, quoted, rounded};
use crate::running::{Engagement, StateWork, engagements, standing_state};
use num_traits::{Signed, Zero};

/// So many states stand side by side.
const MOST_COLUMNS: usize = 7;

impl Running<'_> {
    /// Whether all states have the same input and output.
    fn has_common_ends(&self) -> bool {
        let ends = |state: &StateWork| (state.motion.input, state.motion.output);
        self.states.windows(2).all(|pair| ends(&pair[0]) == ends(&pair[1]))
    }

    /// Which way every member turns, a column a state.
    pub(super) fn members(&self) -> Vec<Block> {
        let mut columns: Vec<(String, &StateMotion)> =
            self.states.iter().map(|state| (state.motion.state.clone(), &state.motion)).collect();
        let standing = self.set.states().first().map(standing_state).filter(|_| self.has_common_ends());
        let seen = observe(self.set, standing.as_slice(), &[]);
        columns.splice(0..0, seen.iter().map(|seen| ("output standing".to_owned(), &seen.motion)));
        columns.chunks(MOST_COLUMNS).map(|columns| Block::Table(self.members_in(columns))).collect()
    }

    /// One-way clutches that hold while the output stands, so that the input cannot turn as the first column has it.
    pub(super) fn held_from_rest(&self) -> Vec<Block> {
        let standing = self.set.states().first().map(standing_state).filter(|_| self.has_common_ends());
        let seen = observe(self.set, standing.as_slice(), &[]);
        let conflicts = seen.iter().flat_map(|seen| &seen.motion.one_way_conflicts);
        let names: Vec<String> = conflicts.map(|found| quoted(self.set.control(found.control).name())).collect();
        let warning = format!(
            "with the output standing, {} would hold: the input cannot turn then as the first column has it, and nothing \
             is told of a start from rest",
            list(&names)
        );
        if names.is_empty() { Vec::new() } else { vec![Block::Warning(warning)] }
    }

    fn members_in(&self, columns: &[(String, &StateMotion)]) -> Table {
        let row = |(place, member): (usize, MemberId)| {
            let speeds = columns.iter().map(|(_, motion)| way(&motion.members[place].speed));
            std::iter::once(self.set.member(member).name().to_owned()).chain(speeds).collect()
        };
        let headings = std::iter::once("member".to_owned()).chain(columns.iter().map(|column| column.0.clone()));
        Table {
            caption: "Which way members turn in the case; from column to column is what a change of state does".into(),
            headings: headings.collect(),
            rows: self.set.member_ids().skip(1).enumerate().map(row).collect(),
        }
    }

    pub(super) fn engagements(&self) -> Option<Block> {
        let found = engagements(self.set);
        let is_shown =
            |found: &&Engagement| found.before.value().is_some() && self.only.is_none_or(|only| only == found.into);
        let row = |found: &Engagement| {
            let speed = found.before.value().cloned().unwrap_or_default();
            vec![
                found.into.clone(),
                found.from.clone().unwrap_or_else(|| "rest, output standing".into()),
                self.restraint(&found.restraint),
                self.meeting(found, &speed),
                speed.to_string(),
                rounded(&speed),
            ]
        };
        let rows: Vec<Vec<String>> = found.iter().filter(is_shown).map(row).collect();
        let headings = ["into", "from", "applied", "what it meets", "turns", "decimal"];
        (!rows.is_empty()).then(|| {
            Block::Table(Table {
                caption: "What comes to rest, or together, when a control is applied".into(),
                headings: headings.map(String::from).to_vec(),
                rows,
            })
        })
    }

    fn meeting(&self, found: &Engagement, speed: &Fraction) -> String {
        let name = |member: MemberId| self.set.member(member).name();
        let (first, second) = (name(found.bodies.first), found.bodies.second);
        let turns = if speed.is_negative() { Sense::Backward } else { Sense::Forward };
        let sense = if speed.is_negative() { "backward" } else { "forward" };
        if let Some(stops) = self.stopped_sense(&found.restraint).filter(|_| !speed.is_zero()) {
            let until = if second == MemberId::CASE { "stands".into() } else { format!("turns with {}", name(second)) };
            return if turns == stops {
                format!("cannot be: {first} is held before it turns {sense}")
            } else {
                format!("overruns: {first} turns {sense}, and is held only when it {until}")
            };
        }
        match (second == MemberId::CASE, speed.is_zero()) {
            (true, true) => format!("{first} stands already"),
            (true, false) => format!("{first} comes to rest from turning {sense}"),
            (false, true) => format!("{first} and {} turn alike already", name(second)),
            (false, false) => format!("{first} turns {sense} against {}", name(second)),
        }
    }

    /// The sense that a one-way clutch stops.
    fn stopped_sense(&self, restraint: &Restraint) -> Option<Sense> {
        let Restraint::Control(control) = restraint else { return None };
        match self.set.control(*control).action() {
            Action::OneWayClutch(_, stops) => Some(stops),
            Action::Band(_) | Action::Clutch(_) => None,
        }
    }
}

/// The way that a member turns, with its speed.
fn way(speed: &Speed) -> String {
    match speed {
        Speed::Determined(speed) if speed.is_zero() => "still".into(),
        Speed::Determined(speed) if speed.is_negative() => format!("backward {}", rounded(&speed.abs())),
        Speed::Determined(speed) => format!("forward {}", rounded(speed)),
        Speed::Free => "free".into(),
        Speed::Locked => "locked".into(),
        Speed::WithoutMeaning => "tumbles".into(),
    }
}
