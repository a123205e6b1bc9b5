//! Which speeds does a state give, body by body?
//!
//! Members joined for good, clutched or held together are one body and have one speed; the case is the body of all
//! that is held, with the speed 0.

use num_traits::Zero;

use crate::exact::Fraction;
use crate::gearset::{Bodies, Gearset, MemberId, Restraint, State};

/// The bodies of a state, with the speeds that it gives.
#[derive(Debug)]
pub(super) struct GivenSpeeds {
    bodies: Bodies,
    speed: Vec<Option<Fraction>>,
}

impl GivenSpeeds {
    /// The case has the speed 0, the input the speed given, and what is driven beside it its share of that.
    pub(super) fn new(set: &Gearset, state: &State, input_speed: &Fraction) -> Self {
        let mut given = Self { bodies: Bodies::in_state(set, state), speed: vec![None; set.members().len()] };
        given.give(MemberId::CASE, Fraction::zero());
        given.give(state.input, input_speed.clone());
        for restraint in &state.restraints {
            if let Restraint::Turning(member, speed) = restraint {
                given.give(*member, speed.value() * input_speed);
            }
        }
        given
    }

    /// Of a body that is given two speeds the first stays: such a state is locked, and is not solved.
    fn give(&mut self, member: MemberId, speed: Fraction) {
        let body = self.of(member);
        self.speed[body.index()].get_or_insert(speed);
    }

    /// The body of a member, by its first member.
    pub(super) fn of(&self, member: MemberId) -> MemberId {
        self.bodies.of(member)
    }

    /// The speed of its body, where the state gives one.
    pub(super) fn speed(&self, member: MemberId) -> Option<&Fraction> {
        self.speed[self.of(member).index()].as_ref()
    }
}
