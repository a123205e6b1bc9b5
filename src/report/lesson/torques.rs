//! The torques of a lesson: every member in balance, and the sums that come to nothing.
//!
//! Torques are those for 1 on the input, without losses. A mesh puts `z f` on each of its members,
//! f being its torque per tooth; bands and holds come from the case, clutches from the other member.

use super::{Explained, balance, lines_table};
use crate::exact::Fraction;
use crate::gearset::{Action, MemberId, Pair, Restraint};
use crate::lesson::Expression;
use crate::report::render::document::Block;
use crate::report::words::arithmetic::Signs;
use crate::report::words::{list, member, mesh, quoted, with_decimal};
use crate::statics::Balanced;
use num_traits::Zero;

/// What the signs of torques mean, and where they come from.
const SENSE: &str = "A torque is positive where it would turn its member in the positive sense. From outside: what a \
                     shaft, a hold or a band puts on it. Of a mesh: what the teeth of the other gear put on it, all \
                     planets of a kind together; a carrier takes both sides of it through the pins.";

/// A torque on a member and where it comes from.
struct Torque {
    value: Fraction,
    from: String,
}

/// What makes two members turn as one.
struct Coupling<'a> {
    pair: Pair<MemberId>,
    /// What it puts on the first, where that is determined; on the second it puts the opposite.
    torque: Option<&'a Fraction>,
    name: String,
}

impl Explained<'_> {
    pub(super) fn torques(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        if self.lesson.by_table.is_none() {
            return;
        }
        blocks.push(Block::Heading("Torques, for 1 on the input".into()));
        match self.loads.balanced {
            Balanced::WithoutTorque => {
                blocks
                    .push(Block::Paragraph("Nothing takes up a torque on the input, so there is none to tell.".into()));
            }
            Balanced::Indeterminate => blocks.push(Block::Paragraph(
                "Equilibrium alone does not share the torques out in this state; toothmark loads tells those that \
                 it does."
                    .into(),
            )),
            Balanced::Determined => self.balances(signs, blocks),
        }
    }

    fn balances(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        blocks.push(Block::Paragraph(SENSE.into()));
        let mut rows = Vec::new();
        for id in self.set.member_ids().skip(1) {
            let torques = self.on(id);
            if torques.len() > 1 {
                let from: Vec<String> = torques.iter().map(|torque| torque.from.clone()).collect();
                rows.push([sum(signs, &torques), format!("{}: {}", self.all_of(id), from.join(", "))]);
            }
        }
        if !rows.is_empty() {
            blocks.push(lines_table("Every member is in balance", rows));
        }
        let outside = self.outside();
        let from: Vec<String> = outside.iter().map(|torque| torque.from.clone()).collect();
        let mut sums =
            vec![[sum(signs, &outside), format!("torques from outside about the main axis: {}", from.join(", "))]];
        sums.extend(self.powers(signs));
        blocks.push(lines_table("The whole train", sums));
        blocks.extend(self.holding().into_iter().map(Block::Paragraph));
    }

    /// A member; of planets all on their pins together, as the torques of meshes are.
    fn all_of(&self, id: MemberId) -> String {
        let group = self.set.planet_groups().iter().find(|group| group.planets().contains(&id));
        match group.map_or(1, |group| group.places().len()) {
            1 => member(self.set, id),
            several => format!("{}, all {several} together", member(self.set, id)),
        }
    }

    /// What each hold, band and clutch of the state has to do.
    fn holding(&self) -> Vec<String> {
        let times = |torque: &Fraction| format!("{} times the torque of the input", with_decimal(torque));
        let mut told = Vec::new();
        for restraint in &self.lesson.state.restraints {
            let Restraint::Held(held) = *restraint else { continue };
            // A held input or output also takes what drives or is driven; the case takes what is left.
            let others = [self.lesson.state.input, self.lesson.state.output, MemberId::CASE];
            if !others.contains(&held)
                && let Some(torque) = &self.loads.member(held).torque
            {
                told.push(format!("To hold {} takes {}.", member(self.set, held), times(torque)));
            }
        }
        for load in self.loads.controls.iter().filter(|load| load.applied) {
            let control = self.set.control(load.control);
            let Some(torque) = &load.torque else { continue };
            let name = quoted(control.name());
            told.push(match control.action() {
                Action::Band(on) => format!("{name} puts {} on {}.", times(torque), member(self.set, on)),
                Action::Clutch(pair) | Action::OneWayClutch(pair, _) => {
                    let [first, second] = pair.both().map(|&on| member(self.set, on));
                    format!("{name} puts {} on {first}, and the opposite on {second}.", times(torque))
                }
            });
        }
        told
    }

    /// Everything that acts on a member, without what is nothing.
    fn on(&self, id: MemberId) -> Vec<Torque> {
        let mut torques = Vec::new();
        let mut add = |value: Option<Fraction>, from: String| {
            if let Some(value) = value.filter(|value| !value.is_zero()) {
                torques.push(Torque { value, from });
            }
        };
        add(self.loads.member(id).torque.clone(), "from outside".into());
        for load in &self.loads.meshes {
            let acts = self.set.matrix().row(load.mesh).terms().map(|term| term.member == id);
            for (acts, value) in acts.into_iter().zip(load.torques(self.set).into_iter().flatten()) {
                if acts {
                    add(Some(value), mesh(self.set, load.mesh));
                }
            }
        }
        for coupling in self.couplings().filter(|coupling| !coupling.pair.both().contains(&&MemberId::CASE)) {
            if coupling.pair.first == id {
                add(coupling.torque.cloned(), coupling.name.clone());
            }
            if coupling.pair.second == id {
                add(coupling.torque.map(|torque| -torque), coupling.name);
            }
        }
        torques
    }

    /// Every clutch that is applied, and every join.
    fn couplings(&self) -> impl Iterator<Item = Coupling<'_>> {
        let clutches = self.loads.controls.iter().filter(|load| load.applied).filter_map(|load| {
            let control = self.set.control(load.control);
            match control.action() {
                Action::Band(_) => None,
                Action::Clutch(pair) | Action::OneWayClutch(pair, _) => {
                    Some(Coupling { pair, torque: load.torque.as_ref(), name: quoted(control.name()) })
                }
            }
        });
        let joins = self.loads.joins.iter().map(|load| {
            let both = load.members.both().map(|&id| member(self.set, id));
            Coupling { pair: load.members, torque: load.torque.as_ref(), name: format!("join of {}", list(&both)) }
        });
        clutches.chain(joins)
    }

    /// What acts on the train from outside: on members, and from the case through its own pins.
    fn outside(&self) -> Vec<Torque> {
        // What turns about an axis across the main axis has a torque about that one.
        let along = self.loads.members.iter().filter(|load| !self.set.is_across(load.member));
        let members = along.filter_map(|load| {
            let value = load.torque.clone().filter(|torque| !torque.is_zero())?;
            Some(Torque { value, from: member(self.set, load.member) })
        });
        let on_case: Fraction = self
            .loads
            .meshes
            .iter()
            .flat_map(|load| {
                let terms = self.set.matrix().row(load.mesh).terms();
                terms.into_iter().zip(load.torques(self.set).into_iter().flatten())
            })
            .filter(|(term, _)| term.member == MemberId::CASE)
            .map(|(_, torque)| torque)
            .sum();
        let case = (!on_case.is_zero()).then(|| Torque { value: -on_case, from: "pins fast to the case".into() });
        members.chain(case).collect()
    }

    /// Torque times speed of every member, if all are known.
    fn powers(&self, signs: &Signs) -> Option<[String; 2]> {
        let mut terms = Vec::new();
        for (load, motion) in self.loads.members.iter().zip(&self.lesson.motion.members) {
            let torque = load.torque.clone()?;
            if torque.is_zero() {
                continue;
            }
            let speed = motion.speed.value()? * &self.lesson.input_speed;
            terms.push(Expression::Product(vec![Expression::Number(torque), Expression::Number(speed)]));
        }
        let reason = "torque times speed of each: what goes in comes out".to_owned();
        (!terms.is_empty()).then(|| [balance(signs, terms), reason])
    }
}

fn sum(signs: &Signs, torques: &[Torque]) -> String {
    balance(signs, torques.iter().map(|torque| Expression::Number(torque.value.clone())).collect())
}
