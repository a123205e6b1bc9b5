//! Which members turn as one: for good, and in a state?
//!
//! A body is named by its first member. What joins, clutches and restraints make one is merged pair by pair; what is
//! held is one with the case. Meshes play no part: two members that happen to turn alike are still two bodies.

use super::{Gearset, MemberId, Pair, State};

/// The body of each member in a state, by its first member: what joins, clutches and holds make one. Held
/// members are one with the case.
///
/// # Examples
/// ```
/// use toothmark::{description, gearset::{MemberId, bodies_in_state}};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let bodies = bodies_in_state(&set, set.state_named("ring held").unwrap());
/// assert_eq!(bodies[set.member_named("ring").unwrap().index()], MemberId::CASE);
/// ```
pub fn bodies_in_state(set: &Gearset, state: &State) -> Vec<MemberId> {
    Bodies::in_state(set, state).0
}

/// For each member the first member of its body.
#[derive(Debug, Clone)]
pub(crate) struct Bodies(Vec<MemberId>);

impl Bodies {
    /// The members as the joins for good make them one.
    pub(crate) fn for_good(set: &Gearset) -> Self {
        let mut bodies = Self(set.member_ids().collect());
        set.joins().iter().for_each(|&pair| bodies.join(pair));
        bodies
    }

    /// The members as joins and the restraints of a state make them one.
    pub(crate) fn in_state(set: &Gearset, state: &State) -> Self {
        let mut bodies = Self::for_good(set);
        state.restraints.iter().filter_map(|restraint| set.made_one(restraint)).for_each(|pair| bodies.join(pair));
        bodies
    }

    /// The body of a member, by its first member.
    pub(crate) fn of(&self, member: MemberId) -> MemberId {
        self.0[member.index()]
    }

    /// Whether two members are one body.
    pub(crate) fn same(&self, one: MemberId, other: MemberId) -> bool {
        self.of(one) == self.of(other)
    }

    /// How many bodies there are, the case among them.
    pub(crate) fn count(&self) -> usize {
        self.0.iter().enumerate().filter(|(member, body)| *member == body.index()).count()
    }

    fn join(&mut self, pair: Pair<MemberId>) {
        let [one, other] = [self.of(pair.first), self.of(pair.second)];
        let (kept, gone) = (one.min(other), one.max(other));
        self.0.iter_mut().filter(|body| **body == gone).for_each(|body| *body = kept);
    }
}
