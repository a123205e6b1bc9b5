//! Which members turn as one in a state, and which speeds does it give?
//!
//! Members joined for good, clutched or held together are one body; the case is the body of all
//! that is held, with the speed 0.

use num_traits::{One, Zero};

use crate::exact::Fraction;
use crate::gearset::{Action, Gearset, MemberId, Pair, Restraint, State};

/// The body of each member in a state, by its first member: what joins, clutches and holds make one. Held
/// members are one with the case.
///
/// # Examples
/// ```
/// use toothmark::{description, gearset::MemberId, lesson::bodies_in_state};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let bodies = bodies_in_state(&set, set.state_named("ring held").unwrap());
/// assert_eq!(bodies[set.member_named("ring").unwrap().index()], MemberId::CASE);
/// ```
pub fn bodies_in_state(set: &Gearset, state: &State) -> Vec<MemberId> {
    Bodies::new(set, state, &Fraction::one()).body
}

/// The members of a gearset sorted by what a state joins.
#[derive(Debug)]
pub(super) struct Bodies {
    body: Vec<MemberId>,
    speed: Vec<Option<Fraction>>,
}

impl Bodies {
    /// Held members are one with the case, whose speed is 0; the input has the speed given.
    pub(super) fn new(set: &Gearset, state: &State, input_speed: &Fraction) -> Self {
        let mut bodies = Self::for_good(set);
        for restraint in &state.restraints {
            match restraint {
                Restraint::Held(member) => bodies.join(Pair { first: MemberId::CASE, second: *member }),
                Restraint::Joined(pair) => bodies.join(*pair),
                Restraint::Turning(..) => {}
                Restraint::Control(control) => match set.control(*control).action() {
                    Action::Band(member) => bodies.join(Pair { first: MemberId::CASE, second: member }),
                    Action::Clutch(pair) | Action::OneWayClutch(pair, _) => bodies.join(pair),
                },
            }
        }
        bodies.give(MemberId::CASE, Fraction::zero());
        bodies.give(state.input, input_speed.clone());
        for restraint in &state.restraints {
            if let Restraint::Turning(member, speed) = restraint {
                bodies.give(*member, speed.value() * input_speed);
            }
        }
        bodies
    }

    /// The members as the joins for good make them one; no speeds are given.
    pub(super) fn for_good(set: &Gearset) -> Self {
        let mut bodies = Self { body: set.member_ids().collect(), speed: vec![None; set.members().len()] };
        set.joins().iter().for_each(|pair| bodies.join(*pair));
        bodies
    }

    /// How many bodies there are.
    pub(super) fn count(&self) -> usize {
        self.body.iter().enumerate().filter(|(member, body)| *member == body.index()).count()
    }

    fn join(&mut self, pair: Pair<MemberId>) {
        let [one, other] = [self.of(pair.first), self.of(pair.second)];
        let (kept, gone) = (one.min(other), one.max(other));
        self.body.iter_mut().filter(|body| **body == gone).for_each(|body| *body = kept);
    }

    /// Of a body that is given two speeds the first stays: such a state is locked, and is not solved.
    fn give(&mut self, member: MemberId, speed: Fraction) {
        let body = self.of(member);
        self.speed[body.index()].get_or_insert(speed);
    }

    /// The body of a member, by its first member.
    pub(super) fn of(&self, member: MemberId) -> MemberId {
        self.body[member.index()]
    }

    /// The speed of its body, where the state gives one.
    pub(super) fn speed(&self, member: MemberId) -> Option<&Fraction> {
        self.speed[self.of(member).index()].as_ref()
    }
}
