//! How many equally spaced planets go together: plain ones, pairs in mesh, stepped ones.
//!
//! The answer is that of `timing`, which for plain planets is the rule that sun + ring is a multiple of the
//! number, for pairs ring - sun, and for stepped planets the spacing divisor.

use super::super::buildable::{buildable, held_state};
use super::super::problem::{
    Difficulty, Mistake, PracticeAnswer, PracticeKind, PracticeProblem, PracticeQuestion, Quantity,
};
use super::super::random::Dice;
use super::super::speeds::different;
use super::super::train_value::TrainValue;
use super::{meshed, simple, stepped};
use crate::exact::Fraction;
use crate::gearset::{Draft, Gearset};
use crate::timing::timing;
use num_traits::Zero;

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    match difficulty {
        Difficulty::Easy => problem(simple::draft(dice), simple::MEMBERS, &simple::WAY, difficulty),
        Difficulty::Medium => problem(meshed::draft(dice)?, meshed::MEMBERS, &meshed::WAY, difficulty),
        Difficulty::Hard => {
            let stepped = stepped::either(dice)?;
            problem(stepped.draft, stepped.members, &stepped.way, difficulty)
        }
    }
}

fn problem(mut draft: Draft, members: [&str; 3], way: &[[&str; 2]], difficulty: Difficulty) -> Option<PracticeProblem> {
    draft.states.push(held_state(&[members[1]], members[0], members[2]));
    let set = buildable(draft)?;
    let train = TrainValue::through(&set, members[2], way)?;
    let counts = timing(&set).groups.into_iter().next()?.equal_pin_counts;
    let answer = PracticeAnswer::PinCounts(counts);
    let wrong = different(&answer, mistakes(&set, &train))?;
    let part = PracticeQuestion { state: 0, input: Fraction::zero(), quantity: Quantity::PinCounts, answer, wrong };
    Some(PracticeProblem::drawn(PracticeKind::Assembly, difficulty, set, vec![train], vec![part]))
}

fn mistakes(set: &Gearset, train: &TrainValue) -> Vec<(Mistake, PracticeAnswer)> {
    let count = |gear| u32::from(set.gear(gear).tooth_count().get());
    let [first, last] = [count(train.first()), count(train.last())];
    vec![
        (Mistake::SumRule, pin_counts(|number| (first + last) % number == 0)),
        (Mistake::DifferenceRule, pin_counts(|number| first.abs_diff(last) % number == 0)),
        (Mistake::EachDivisible, pin_counts(|number| first % number == 0 && last % number == 0)),
    ]
}

fn pin_counts(goes: impl Fn(u32) -> bool) -> PracticeAnswer {
    PracticeAnswer::PinCounts((2..=8).filter(|&number| goes(number)).collect())
}
