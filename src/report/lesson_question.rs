//! What a lesson is given and asked, and how many speeds must be given.
//!
//! A hold, a clutch or a given speed is told with what does it; the count of freedom says why so many.

use super::arithmetic::Signs;
use super::document::{Block, Fact};
use super::lesson::{Explained, lines_table};
use super::words::{counted, gear, list, member, quoted, with_decimal};
use crate::exact::Fraction;
use crate::gearset::{Action, MemberId, Restraint};
use crate::kinematics::Verdict;
use crate::lesson::{Expression, Symbol};
use num_bigint::BigInt;

impl Explained<'_> {
    pub(super) fn question(&self, signs: &Signs) -> Vec<Fact> {
        let state = &self.lesson.state;
        let teeth: Vec<String> = self.set.gear_ids().map(|id| gear(self.set, id)).collect();
        let mut given =
            vec![format!("{} turns at {}", member(self.set, state.input), with_decimal(&self.lesson.input_speed))];
        given.extend(state.restraints.iter().map(|restraint| self.restraint(restraint)));
        let joined = self.set.joins().iter().map(|pair| self.as_one(pair.first, pair.second) + " for good");
        given.extend(joined);
        let signs: Vec<String> = self
            .set
            .member_ids()
            .skip(1)
            .map(|id| format!("{} for {}", signs.symbol(Symbol::Speed(id)), member(self.set, id)))
            .collect();
        vec![
            Fact::new("given", format!("teeth {}; {}", list(&teeth), given.join("; "))),
            Fact::new("asked", format!("the speed of {} and of every other member", member(self.set, state.output))),
            Fact::new("speeds", signs.join(", ")),
            Fact::new("sense", "positive: counter-clockwise seen from the input side"),
        ]
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
                let speed = speed.value() * &self.lesson.input_speed;
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
        let count = |number: usize| Expression::Number(Fraction::from(BigInt::from(number)));
        let minus =
            |number| Expression::Product(vec![Expression::Number(-Fraction::from(BigInt::from(1))), count(number)]);
        let mut terms = vec![count(freedom.members)];
        let mut reasons =
            vec![format!("{} that turn, planets counted once of each kind", counted(freedom.members, "member"))];
        if freedom.joins > 0 {
            terms.push(minus(freedom.joins));
            reasons.push(format!("less {}", counted(freedom.joins, "join")));
        }
        terms.push(minus(freedom.meshes));
        reasons.push(match freedom.meshes {
            1 => "less 1 mesh".into(),
            meshes => format!("less {meshes} meshes"),
        });
        if freedom.dependent > 0 {
            terms.push(count(freedom.dependent));
            reasons.push(format!("of which {} only repeat others", freedom.dependent));
        }
        let needed = count(freedom.needed());
        let line = signs.line(&[Expression::Sum(terms), needed]);
        let free = match self.lesson.motion.freedom {
            0 => "nothing is left free".to_owned(),
            left => format!("{left} more could be chosen at will"),
        };
        let state = match &self.lesson.motion.verdict {
            Verdict::Drives { .. } | Verdict::OutputHeld => {
                format!("The state gives {}: the input and what it holds, joins or drives; {free}.", freedom.given)
            }
            Verdict::Neutral => format!(
                "The state gives {}: {free}, and the output is among what is free. It cannot be solved: this is \
                 neutral. Hold, join or drive one more member.",
                freedom.given
            ),
            Verdict::Locked { by } => {
                let by: Vec<String> = by.iter().map(|restraint| self.restraint(restraint)).collect();
                let by = if by.is_empty() { "the meshes and joins alone".into() } else { list(&by) };
                format!(
                    "The state asks too much: {by} leave the input no motion, so that nothing can be solved. It is locked."
                )
            }
        };
        vec![lines_table("", vec![[line, reasons.join(", ")]]), Block::Paragraph(state)]
    }
}
