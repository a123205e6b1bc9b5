//! How is a problem of each kind drawn?
//!
//! Every function draws once, and gives nothing where what was drawn is no problem: it could not be built, or
//! its numbers are not clean. The sheet draws again.

mod assembly;
mod bevel;
mod cluster;
mod counts;
mod coupled;
mod meshed;
mod simple;
mod stepped;
mod torque;

use super::buildable::{buildable, held_state};
use super::problem::{Difficulty, PracticeKind, PracticeProblem, Quantity};
use super::random::Dice;
use super::speeds::{Ask, InputSense, speed_parts};
use super::train_value::TrainValue;
use crate::exact::fraction;
use crate::gearset::{Draft, DraftState, DraftTurning, Given};

/// One draw of a problem of a kind.
pub(super) fn draw(kind: PracticeKind, difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    match kind {
        PracticeKind::Simple => simple::draw(difficulty, dice),
        PracticeKind::Stepped => stepped::draw(difficulty, dice),
        PracticeKind::Cluster => cluster::draw(difficulty, dice),
        PracticeKind::Meshed => meshed::draw(difficulty, dice),
        PracticeKind::Bevel => bevel::draw(difficulty, dice),
        PracticeKind::Coupled => coupled::draw(difficulty, dice),
        PracticeKind::Counts => counts::draw(difficulty, dice),
        PracticeKind::Torque => torque::draw(difficulty, dice),
        PracticeKind::Assembly => assembly::draw(difficulty, dice),
    }
}

/// A gearset with two central members and one carrier, before it is said what drives.
struct ThreeWay<'a> {
    draft: Draft,
    /// The first central member, the last, and the carrier.
    members: [&'a str; 3],
    /// The way from the first central gear to the last.
    way: &'a [[&'a str; 2]],
    /// The planet that is asked for.
    planet: &'a str,
}

impl ThreeWay<'_> {
    /// The members in the roles held (or second drive), input, output.
    fn roles(&self, dice: &mut Dice) -> Option<[&str; 3]> {
        let [a, b, c] = self.members;
        dice.pick(&[[a, b, c], [a, c, b], [b, a, c], [b, c, a], [c, a, b], [c, b, a]])
    }

    /// A question about speeds: one member held, or, where it is hard, a second one driven.
    fn problem(mut self, kind: PracticeKind, difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
        let [second, input, output] = self.roles(dice)?.map(str::to_owned);
        self.draft.states.push(if difficulty == Difficulty::Hard {
            driven_twice(dice, &second, &input, &output)?
        } else {
            held_state(&[&second], &input, &output)
        });
        let set = buildable(self.draft)?;
        let train = TrainValue::through(&set, self.members[2], self.way)?;
        let planet = set.member_named(self.planet)?;
        let of_planet = match difficulty {
            Difficulty::Easy => None,
            Difficulty::Hard if kind != PracticeKind::Bevel => Some(Quantity::Speed(planet)),
            Difficulty::Medium | Difficulty::Hard => Some(Quantity::PlanetSpeed(planet)),
        };
        let asks: Vec<Ask> = [Some(Quantity::Speed(set.member_named(&output)?)), of_planet]
            .into_iter()
            .flatten()
            .map(|quantity| Ask { state: 0, quantity })
            .collect();
        let trains = vec![train];
        let parts = speed_parts(&set, &trains, &asks, dice, sense(difficulty))?;
        Some(PracticeProblem::drawn(kind, difficulty, set, trains, parts))
    }
}

/// What is easy turns counter-clockwise.
fn sense(difficulty: Difficulty) -> InputSense {
    if difficulty == Difficulty::Easy { InputSense::Positive } else { InputSense::Either }
}

/// A state in which two members are driven, the second at a part of the speed of the first.
fn driven_twice(dice: &mut Dice, second: &str, input: &str, output: &str) -> Option<DraftState> {
    let (numerator, denominator) = dice.pick(&[(1, 2), (-1, 2), (1, 3), (-1, 3), (2, 3), (-1, 4), (3, 4), (-2, 5)])?;
    let turning = vec![DraftTurning { member: second.into(), speed: fraction(numerator, denominator).into() }];
    let given = Given { turning, input: Some(input.into()), output: Some(output.into()), ..Given::default() };
    Some(DraftState::given("asked", given))
}
