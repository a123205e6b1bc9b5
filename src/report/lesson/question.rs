//! What a lesson is given and asked, and how many speeds must be given.
//!
//! A hold, a clutch or a given speed is told with what does it; the count of freedom says why so many.

use super::{Explained, lines_table};
use crate::gearset::{Action, MemberId, Restraint};
use crate::kinematics::Verdict;
use crate::lesson::{Column, ColumnKind, Symbol};
use crate::report::render::document::{Block, Fact};
use crate::report::words::arithmetic::Signs;
use crate::report::words::{counted, gear, list, member, quoted, with_decimal};

impl Explained<'_> {
    pub(super) fn question(&self, signs: &Signs) -> Vec<Fact> {
        let state = &self.lesson.state;
        let teeth: Vec<String> = self.set.gear_ids().map(|id| gear(self.set, id)).collect();
        let mut given =
            vec![format!("{} turns at {}", member(self.set, state.input), with_decimal(&self.lesson.input_speed))];
        given.extend(state.restraints.iter().map(|restraint| self.restraint(restraint)));
        let joined = self.set.joins().iter().map(|pair| self.as_one(pair.first, pair.second) + " for good");
        given.extend(joined);
        let signs: Vec<String> = self.set.member_ids().skip(1).map(|id| self.stands_for(signs, id)).collect();
        vec![
            Fact::new("given", format!("teeth {}; {}", list(&teeth), given.join("; "))),
            Fact::new("asked", format!("the speed of {} and of every other member", member(self.set, state.output))),
            Fact::new("speeds", signs.join(", ")),
            Fact::new("sense", "positive: counter-clockwise seen from the input side"),
        ]
    }

    /// The sign for the speed of a member; a bevel planet has a speed against its carrier only.
    fn stands_for(&self, signs: &Signs, id: MemberId) -> String {
        let columns = self.lesson.tables.iter().flat_map(|table| &table.columns);
        let is_tumbling = |column: &&Column| column.member == id && column.kind == ColumnKind::Tumbling;
        match self.set.carrier_of(id).filter(|_| columns.clone().any(|column| is_tumbling(&column))) {
            Some(arm) => {
                let sign = signs.symbol(Symbol::Relative(id));
                format!("{sign} for {} against {}", member(self.set, id), member(self.set, arm))
            }
            None => format!("{} for {}", signs.symbol(Symbol::Speed(id)), member(self.set, id)),
        }
    }

    fn as_one(&self, one: MemberId, other: MemberId) -> String {
        match (one, other) {
            (MemberId::CASE, held) | (held, MemberId::CASE) => format!("{} stands still", member(self.set, held)),
            _ => format!("{} and {} turn as one", member(self.set, one), member(self.set, other)),
        }
    }

    fn restraint(&self, restraint: &Restraint) -> String {
        match restraint {
            Restraint::Held(held) => self.as_one(MemberId::CASE, *held),
            Restraint::Joined(pair) => self.as_one(pair.first, pair.second),
            Restraint::Turning(turning, speed) => {
                let speed = self.lesson.at_input_speed(&speed.value());
                format!("{} turns at {}", member(self.set, *turning), with_decimal(&speed))
            }
            Restraint::Control(control) => {
                let control = self.set.control(*control);
                let does = match control.action() {
                    Action::Band(held) => self.as_one(MemberId::CASE, held),
                    Action::Clutch(pair) | Action::OneWayClutch(pair, _) => self.as_one(pair.first, pair.second),
                };
                format!("{does}, by {}", quoted(control.name()))
            }
        }
    }

    pub(super) fn freedom(&self, signs: &Signs) -> Vec<Block> {
        let freedom = &self.lesson.freedom;
        let mut reasons =
            vec![format!("{} that turn, planets counted once of each kind", counted(freedom.members, "member"))];
        if freedom.joins > 0 {
            reasons.push(format!("less {}", counted(freedom.joins, "join")));
        }
        reasons.push(match freedom.meshes {
            1 => "less 1 mesh".into(),
            meshes => format!("less {meshes} meshes"),
        });
        if freedom.dependent > 0 {
            reasons.push(match freedom.dependent {
                1 => "plus 1 of these that only repeats others".to_owned(),
                several => format!("plus {several} of these that only repeat others"),
            });
        }
        let line = signs.line(&freedom.written());
        let must = format!("{} must be given. {}", counted(freedom.needed(), "speed"), self.given());
        vec![lines_table("", vec![[line, reasons.join(", ")]]), Block::Paragraph(must)]
    }

    /// How many speeds the state gives, and what comes of that.
    fn given(&self) -> String {
        let (given, left) = (self.lesson.freedom.given, self.lesson.motion.freedom);
        let repeats = match self.lesson.repeated_speeds() {
            0 => String::new(),
            1 => ", 1 of which follows from the others".into(),
            several => format!(", {several} of which follow from the others"),
        };
        let what =
            if given == 1 { "that of the input" } else { "that of the input and what it holds, joins or drives" };
        let gives = format!("The state gives {given}{repeats}: {what};");
        match &self.lesson.motion.verdict {
            Verdict::Drives { .. } | Verdict::OutputHeld if left == 0 => format!("{gives} nothing is left free."),
            Verdict::Drives { .. } | Verdict::OutputHeld => format!("{gives} {left} more could be chosen at will."),
            Verdict::Neutral => format!(
                "{gives} {left} more could be chosen at will, and the output is among what is free. It cannot be \
                 solved: this is neutral. Hold, join or drive another member."
            ),
            Verdict::Locked { by } => {
                let by: Vec<String> = by.iter().map(|restraint| self.restraint(restraint)).collect();
                let by = if by.is_empty() { "the meshes and joins alone".into() } else { list(&by) };
                format!(
                    "The state asks too much: {by} leave the input no motion, so that nothing can be solved. It is \
                     locked."
                )
            }
        }
    }
}
