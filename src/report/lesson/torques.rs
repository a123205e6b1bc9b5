//! The torques of a lesson: every member in balance, and the sums that come to nothing.

use super::{Explained, balance, lines_table};
use crate::exact::Fraction;
use crate::gearset::Action;
use crate::lesson::{Arithmetic, HoldingTask, LessonTorques, MemberBalance, SourcedTorque, TorqueSource};
use crate::report::render::document::Block;
use crate::report::words::arithmetic::Signs;
use crate::report::words::{list, member, mesh, quoted, with_decimal};
use crate::statics::Balanced;

/// What the signs of torques mean, and where they come from.
const SENSE: &str = "A torque is positive where it would turn its member in the positive sense. From outside: what a \
                     shaft, a hold or a band puts on it. Of a mesh: what the teeth of the other gear put on it, all \
                     planets of a kind together; a carrier takes both sides of it through the pins.";

impl Explained<'_> {
    pub(super) fn torques(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        let Some(torques) = &self.lesson.torques else { return };
        blocks.push(Block::Heading("Torques, for 1 on the input".into()));
        match torques.balanced {
            Balanced::WithoutTorque => {
                blocks
                    .push(Block::Paragraph("Nothing takes up a torque on the input, so there is none to tell.".into()));
            }
            Balanced::Indeterminate => blocks.push(Block::Paragraph(
                "Equilibrium alone does not share the torques out in this state; toothmark loads tells those that \
                 it does."
                    .into(),
            )),
            Balanced::Determined => self.balances(signs, torques, blocks),
        }
    }

    fn balances(&self, signs: &Signs, torques: &LessonTorques, blocks: &mut Vec<Block>) {
        blocks.push(Block::Paragraph(SENSE.into()));
        let row = |found: &MemberBalance| {
            [sum(signs, &found.torques), format!("{}: {}", self.all_of(found), self.sources(&found.torques))]
        };
        let rows: Vec<[String; 2]> = torques.members.iter().map(row).collect();
        if !rows.is_empty() {
            blocks.push(lines_table("Every member is in balance", rows));
        }
        let from = format!("torques from outside about the main axis: {}", self.sources(&torques.outside));
        let mut sums = vec![[sum(signs, &torques.outside), from]];
        sums.extend(torques.powers.as_ref().map(|powers| {
            [balance(signs, powers.clone()), "torque times speed of each: what goes in comes out".into()]
        }));
        blocks.push(lines_table("The whole train", sums));
        blocks.extend(torques.holding.iter().map(|task| Block::Paragraph(self.holding(task))));
    }

    /// A member; of planets all on their pins together, as the torques of meshes are.
    fn all_of(&self, found: &MemberBalance) -> String {
        let name = member(self.set, found.member);
        if found.pieces == 1 { name } else { format!("{name}, all {} together", found.pieces) }
    }

    fn sources(&self, torques: &[SourcedTorque]) -> String {
        torques.iter().map(|torque| self.source(torque.from)).collect::<Vec<_>>().join(", ")
    }

    fn source(&self, from: TorqueSource) -> String {
        match from {
            TorqueSource::Outside => "from outside".into(),
            TorqueSource::Mesh(of) => mesh(self.set, of),
            TorqueSource::Clutch(control) => quoted(self.set.control(control).name()),
            TorqueSource::Join(pair) => format!("join of {}", list(&pair.each().map(|id| member(self.set, id)))),
            TorqueSource::By(id) => member(self.set, id),
            TorqueSource::CasePins => "pins fast to the case".into(),
        }
    }

    /// What a hold, band or clutch of the state has to do.
    fn holding(&self, task: &HoldingTask) -> String {
        let times = |torque: &Fraction| format!("{} times the torque of the input", with_decimal(torque));
        match task {
            HoldingTask::Hold(held, torque) => {
                format!("To hold {} takes {}.", member(self.set, *held), times(torque))
            }
            HoldingTask::Control(control, torque) => {
                let control = self.set.control(*control);
                let (name, times) = (quoted(control.name()), times(torque));
                match control.action() {
                    Action::Band(on) => format!("{name} puts {times} on {}.", member(self.set, on)),
                    Action::Clutch(pair) | Action::OneWayClutch(pair, _) => {
                        let [first, second] = pair.each().map(|on| member(self.set, on));
                        format!("{name} puts {times} on {first}, and the opposite on {second}.")
                    }
                }
            }
        }
    }
}

fn sum(signs: &Signs, torques: &[SourcedTorque]) -> String {
    balance(signs, torques.iter().map(|torque| Arithmetic::Number(torque.value.clone())).collect())
}
