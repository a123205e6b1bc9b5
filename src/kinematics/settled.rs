//! How could a state move whose input does not determine everything?
//!
//! A moving picture needs a speed for every member. Where the input leaves some open, members are held
//! still one after the other until none is: the output first, then what turns on the main axis, then
//! planets. That is a choice, which the answer names, and no more. It can always be made: a speed
//! that is open depends on one that can be chosen at will, so that it can be none.

use super::motion::{Speed, StateMotion, state_motion};
use super::train::Train;
use crate::gearset::{Gearset, MemberId, Restraint, State};

/// The motion of a state with nothing left open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settled {
    /// The motion; where the state is locked, as it is.
    pub motion: StateMotion,
    /// The members that were held still for it, beside what the state does.
    pub held: Vec<MemberId>,
}

/// A motion of every state in which every speed is determined, as far as the input can turn at all.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::settled};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let neutral = settled(&set).pop().unwrap();
/// assert_eq!(neutral.held, [set.member_named("driven drum").unwrap()]);
/// assert_eq!(neutral.motion.freedom, 0);
/// ```
pub fn settled(set: &Gearset) -> Vec<Settled> {
    let train = Train::new(set);
    set.states().iter().map(|state| settled_state(set, &train, state)).collect()
}

fn settled_state(set: &Gearset, train: &Train<'_>, state: &State) -> Settled {
    let mut state = state.clone();
    let mut held = Vec::new();
    loop {
        let motion = state_motion(set, train, &state);
        let Some(next) = next_to_hold(set, &motion) else { return Settled { motion, held } };
        held.push(next);
        state.restraints.push(Restraint::Held(next));
    }
}

/// The first member whose speed is open; `None` where none is.
fn next_to_hold(set: &Gearset, motion: &StateMotion) -> Option<MemberId> {
    let open = motion.members.iter().filter(|member| member.speed == Speed::Free).map(|member| member.member);
    let open: Vec<MemberId> = open.collect();
    let output = open.iter().find(|&&member| member == motion.output);
    output.or_else(|| open.iter().find(|&&member| set.is_on_main_axis(member))).or_else(|| open.first()).copied()
}
