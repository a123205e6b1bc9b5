//! Which members turn faster than they may?
//!
//! Limits come from the maker's book, in revolutions per minute: one for every member, or one of
//! its own. Speeds follow from that of the input; the sense does not matter to a limit.

use num_traits::Signed;

use super::work::StateWork;
use crate::exact::Fraction;
use crate::gearset::MemberId;
use crate::kinematics::MemberMotion;

/// The fastest that members may turn, in revolutions per minute.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Limits {
    /// For every member without a limit of its own.
    pub every: Option<Fraction>,
    /// Limits of single members.
    pub members: Vec<(MemberId, Fraction)>,
}

impl Limits {
    /// The limit of a member, if it has one.
    pub fn of(&self, member: MemberId) -> Option<&Fraction> {
        let own = self.members.iter().rev().find(|(known, _)| *known == member);
        own.map(|(_, limit)| limit).or(self.every.as_ref())
    }
}

/// A member that turns too fast.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Beyond {
    /// The member.
    pub member: MemberId,
    /// The state in which it does.
    pub state: String,
    /// Its speed in revolutions per minute, with its sign.
    pub speed: Fraction,
    /// What it may do at most.
    pub limit: Fraction,
}

/// Every member and state in which it is beyond its limit when the input turns so fast.
///
/// # Examples
/// ```
/// use toothmark::{description, exact::fraction, running::{Limits, beyond, workings}};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let limits = Limits { every: Some(fraction(1100, 1)), ..Limits::default() };
/// let found = beyond(&workings(&set), &fraction(1200, 1), &limits);
/// assert!(found.iter().any(|found| found.state == "direct"));
/// ```
pub fn beyond(states: &[StateWork], input_rpm: &Fraction, limits: &Limits) -> Vec<Beyond> {
    let of_state = |state: &StateWork| {
        let member = |found: &MemberMotion| {
            let (limit, speed) = (limits.of(found.member)?, found.speed.value()? * input_rpm);
            (speed.abs() > *limit).then(|| Beyond {
                member: found.member,
                state: state.motion.state.clone(),
                speed,
                limit: limit.clone(),
            })
        };
        state.motion.members.iter().filter_map(member).collect::<Vec<Beyond>>()
    };
    states.iter().flat_map(of_state).collect()
}
