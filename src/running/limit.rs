//! Which members turn faster than they may?
//!
//! Limits come from the maker's book, in revolutions per minute: one for every member, or one of
//! its own. Speeds follow from that of the input; the sense does not matter to a limit.

use std::collections::BTreeMap;

use num_traits::Signed;
use serde::Serialize;

use super::state::RunningState;
use crate::exact::Fraction;
use crate::gearset::MemberId;
use crate::kinematics::MemberSpeed;

/// The fastest that members may turn, in revolutions per minute.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub struct Limits {
    /// For every member without a limit of its own.
    pub every: Option<Fraction>,
    /// Limits of single members.
    pub members: BTreeMap<MemberId, Fraction>,
}

impl Limits {
    /// The limit of a member, if it has one.
    pub fn of(&self, member: MemberId) -> Option<&Fraction> {
        self.members.get(&member).or(self.every.as_ref())
    }
}

/// A member that turns too fast.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BeyondLimit {
    /// The member.
    pub member: MemberId,
    /// The state in which it does.
    pub state: String,
    /// Its speed in revolutions per minute, with its sign.
    pub rpm: Fraction,
    /// What it may do at most.
    pub limit: Fraction,
}

/// Every member and state in which it is beyond its limit when the input turns so fast.
pub(super) fn beyond(states: &[RunningState], input_rpm: &Fraction, limits: &Limits) -> Vec<BeyondLimit> {
    let each = states.iter().flat_map(|state| state.members.iter().map(move |found| (state, found)));
    each.filter_map(|(state, found)| beyond_limit(state, found, input_rpm, limits)).collect()
}

fn beyond_limit(
    state: &RunningState,
    found: &MemberSpeed,
    input_rpm: &Fraction,
    limits: &Limits,
) -> Option<BeyondLimit> {
    let (limit, rpm) = (limits.of(found.member)?, found.speed.as_ref()? * input_rpm);
    let is_beyond = rpm.abs() > *limit;
    is_beyond.then(|| BeyondLimit { member: found.member, state: state.state.clone(), rpm, limit: limit.clone() })
}
