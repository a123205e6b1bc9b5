//! The torques of a lesson: what acts on every member, and that it comes to nothing.
//!
//! Torques are those for 1 on the input, without losses. A mesh puts `z f` on each of its members, f being its torque
//! per tooth (see `statics`); bands and holds come from the case, clutches from the other member.

use num_traits::Zero;

use super::expression::Arithmetic;
use crate::exact::Fraction;
use crate::gearset::{Action, ControlId, Gearset, MemberId, MeshId, Pair, Place, Restraint, State};
use crate::kinematics::StateMotion;
use crate::statics::{Balanced, StateLoads};

/// The torques in one state, for 1 on its input.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct LessonTorques {
    /// Whether they can be told.
    pub balanced: Balanced,
    /// The members on which several torques act, which come to nothing together.
    pub members: Vec<MemberBalance>,
    /// What acts on the train from outside: on members, and from the case through pins fast to it.
    pub outside: Vec<SourcedTorque>,
    /// Torque times speed of every member from outside, which come to nothing together; none where one is not known.
    pub powers: Option<Vec<Arithmetic>>,
    /// What each hold, band and clutch of the state has to do.
    pub holding: Vec<HoldingTask>,
}

/// What acts on one member; of planets on all their pins together.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct MemberBalance {
    /// The member.
    pub member: MemberId,
    /// How many there are of it.
    pub pieces: usize,
    /// The torques, none of them zero.
    pub torques: Vec<SourcedTorque>,
}

/// A torque and where it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct SourcedTorque {
    /// The torque; positive where it would turn its member in the positive sense.
    pub value: Fraction,
    /// Where it comes from.
    pub from: TorqueSource,
}

/// Where a torque comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TorqueSource {
    /// From outside the train: a shaft, a hold or a band.
    Outside,
    /// From the teeth of the other gear.
    Mesh(MeshId),
    /// From the other member of a clutch.
    Clutch(ControlId),
    /// From the other member of a join.
    Join(Pair<MemberId>),
    /// By way of this member, where the torques on the whole train are told.
    By(MemberId),
    /// From the case, through pins that are fast to it.
    CasePins,
}

/// What a hold, band or clutch has to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HoldingTask {
    /// Whatever holds a member.
    Hold(MemberId, Fraction),
    /// A control that is applied, by what it puts on its first member.
    Control(ControlId, Fraction),
}

/// A state with its motion and torques.
pub(super) struct Loaded<'a> {
    pub(super) set: &'a Gearset,
    pub(super) state: &'a State,
    pub(super) motion: &'a StateMotion,
    pub(super) loads: &'a StateLoads,
}

/// What makes two members turn as one.
struct MemberCoupling<'a> {
    pair: Pair<MemberId>,
    /// What it puts on the first, where that is determined; on the second it puts the opposite.
    torque: Option<&'a Fraction>,
    source: TorqueSource,
}

impl Loaded<'_> {
    /// The torques for 1 on the input, with powers for this speed of it.
    pub(super) fn torques(&self, input_speed: &Fraction) -> LessonTorques {
        let on_members = self.on_members();
        let members = self.set.member_ids().zip(on_members).skip(1);
        let members = members.map(|(member, torques)| MemberBalance { member, pieces: self.pieces(member), torques });
        LessonTorques {
            balanced: self.loads.balanced,
            members: members.filter(|balance| balance.torques.len() > 1).collect(),
            outside: self.outside(),
            powers: self.powers(input_speed),
            holding: self.holding(),
        }
    }

    /// How many there are of a member.
    fn pieces(&self, member: MemberId) -> usize {
        match self.set.member(member).place() {
            Place::Pin { pins, .. } => pins.len(),
            Place::Case | Place::MainAxis => 1,
        }
    }

    /// Everything that acts on each member, without what is nothing; of the case only what meshes put on it.
    fn on_members(&self) -> Vec<Vec<SourcedTorque>> {
        let mut torques = vec![Vec::new(); self.set.members().len()];
        let mut add = |member: MemberId, value: Option<Fraction>, from: TorqueSource| {
            let value = value.filter(|value| !value.is_zero());
            torques[member.index()].extend(value.map(|value| SourcedTorque { value, from }));
        };
        for load in &self.loads.members {
            add(load.member, load.torque.clone(), TorqueSource::Outside);
        }
        for load in &self.loads.meshes {
            let terms = self.set.matrix().row(load.mesh).terms();
            for (term, value) in terms.into_iter().zip(load.torques(self.set).into_iter().flatten()) {
                add(term.member, Some(value), TorqueSource::Mesh(load.mesh));
            }
        }
        for coupling in self.couplings().filter(|coupling| !coupling.pair.contains(&MemberId::CASE)) {
            add(coupling.pair.first, coupling.torque.cloned(), coupling.source);
            add(coupling.pair.second, coupling.torque.map(|torque| -torque), coupling.source);
        }
        torques
    }

    /// Every clutch that is applied, and every join.
    fn couplings(&self) -> impl Iterator<Item = MemberCoupling<'_>> {
        let clutches = self.loads.controls.iter().filter(|load| load.applied).filter_map(|load| {
            match self.set.control(load.control).action() {
                Action::Band(_) => None,
                Action::Clutch(pair) | Action::OneWayClutch(pair, _) => {
                    let source = TorqueSource::Clutch(load.control);
                    Some(MemberCoupling { pair, torque: load.torque.as_ref(), source })
                }
            }
        });
        let joins = self.loads.joins.iter().map(|load| MemberCoupling {
            pair: load.members,
            torque: load.torque.as_ref(),
            source: TorqueSource::Join(load.members),
        });
        clutches.chain(joins)
    }

    /// What acts on the train from outside: on members, and from the case through its own pins.
    fn outside(&self) -> Vec<SourcedTorque> {
        // What turns about an axis across the main axis has a torque about that one.
        let along = self.loads.members.iter().filter(|load| !self.set.is_across(load.member));
        let members = along.filter_map(|load| {
            let value = load.torque.clone().filter(|torque| !torque.is_zero())?;
            Some(SourcedTorque { value, from: TorqueSource::By(load.member) })
        });
        let on_case = self.on_case();
        let case = (!on_case.is_zero()).then(|| SourcedTorque { value: -on_case, from: TorqueSource::CasePins });
        members.chain(case).collect()
    }

    /// What the meshes put on the case.
    fn on_case(&self) -> Fraction {
        let of_meshes = self.loads.meshes.iter().flat_map(|load| {
            let terms = self.set.matrix().row(load.mesh).terms();
            terms.into_iter().zip(load.torques(self.set).into_iter().flatten())
        });
        of_meshes.filter(|(term, _)| term.member == MemberId::CASE).map(|(_, torque)| torque).sum()
    }

    /// Torque times speed of every member on which a torque acts from outside, if all are known.
    fn powers(&self, input_speed: &Fraction) -> Option<Vec<Arithmetic>> {
        let mut terms = Vec::new();
        for (load, motion) in self.loads.members.iter().zip(&self.motion.members) {
            let torque = load.torque.clone()?;
            if !torque.is_zero() {
                let speed = motion.speed.value()? * input_speed;
                terms.push(Arithmetic::Product([torque, speed].map(Arithmetic::Number).to_vec()));
            }
        }
        (!terms.is_empty()).then_some(terms)
    }

    fn holding(&self) -> Vec<HoldingTask> {
        let held = self.state.restraints.iter().filter_map(|restraint| match *restraint {
            Restraint::Held(member) => Some(member),
            Restraint::Control(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
        });
        // A held input or output also takes what drives or is driven; the case takes what is left.
        let others = [self.state.input, self.state.output, MemberId::CASE];
        let held = held.filter(|member| !others.contains(member));
        let holds =
            held.filter_map(|member| Some(HoldingTask::Hold(member, self.loads.member(member).torque.clone()?)));
        let applied = self.loads.controls.iter().filter(|load| load.applied);
        let controls = applied.filter_map(|load| Some(HoldingTask::Control(load.control, load.torque.clone()?)));
        holds.chain(controls).collect()
    }
}
