//! Torques without losses: what the output delivers, and what holds the held member.
//!
//! Torques of the key come from the balance in `statics`; a mistake in a ratio i leads by way of the power to
//! i times the input torque delivered, and to i - 1 times the input torque that holds.

use super::super::buildable::{buildable, held_state, whole_scale};
use super::super::problem::{
    Difficulty, Mistake, PracticeAnswer, PracticeKind, PracticeProblem, PracticeQuestion, Quantity,
};
use super::super::random::Dice;
use super::super::speeds::{different, mistakes};
use super::super::train_value::TrainValue;
use super::{cluster, simple, stepped};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Draft, Gearset, MemberId, Restraint};
use crate::statics::{LoadOptions, StateLoads, loads};
use num_traits::{One, Zero};

/// A question: the state, what is held there, and what is driven.
struct HeldAndDriven {
    state: usize,
    held: MemberId,
    output: MemberId,
}

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    let (set, train_values) = match difficulty {
        Difficulty::Easy => three_way(simple::draft(dice), simple::MEMBERS, &simple::WAY, dice)?,
        Difficulty::Medium => {
            let stepped = stepped::with_ring(dice)?;
            three_way(stepped.draft, stepped.members, &stepped.way, dice)?
        }
        Difficulty::Hard => {
            let set = buildable(cluster::draft(dice))?;
            let trains = cluster::train_values(&set)?;
            (set, trains)
        }
    };
    let asked: Vec<HeldAndDriven> = if difficulty == Difficulty::Hard {
        let output = set.member_named("driven drum")?;
        let held = [(cluster::LOW, "low drum"), (cluster::REVERSE, "reverse drum")];
        held.iter()
            .filter_map(|&(state, name)| Some(HeldAndDriven { state, held: set.member_named(name)?, output }))
            .collect()
    } else {
        let state = &set.states()[0];
        let held = state.restraints.iter().find_map(|restraint| match restraint {
            Restraint::Held(member) => Some(*member),
            Restraint::Control(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
        })?;
        vec![HeldAndDriven { state: 0, held, output: state.output }]
    };
    let parts = parts(&set, &train_values, &asked, dice)?;
    Some(PracticeProblem::drawn(PracticeKind::Torque, difficulty, set, train_values, parts))
}

/// One central member held, the other or the carrier driving.
fn three_way(
    mut draft: Draft,
    [first, last, carrier]: [&str; 3],
    way: &[[&str; 2]],
    dice: &mut Dice,
) -> Option<(Gearset, Vec<TrainValue>)> {
    let [held, input, output] =
        dice.pick(&[[last, first, carrier], [first, last, carrier], [last, carrier, first], [carrier, first, last]])?;
    draft.states.push(held_state(&[held], input, output));
    let set = buildable(draft)?;
    let train = TrainValue::through(&set, carrier, way)?;
    Some((set, vec![train]))
}

/// What is delivered and what holds, in parts of the input torque.
struct Shares {
    delivered: Fraction,
    holding: Fraction,
}

/// For each question the delivered torque and that which holds; `None` where one of them is nothing.
fn parts(
    set: &Gearset,
    trains: &[TrainValue],
    asked: &[HeldAndDriven],
    dice: &mut Dice,
) -> Option<Vec<PracticeQuestion>> {
    let all = loads(set, &LoadOptions::default());
    let of = |asked: &HeldAndDriven| {
        let torque = |member| all[asked.state].member(member).torque.clone().filter(|torque| !torque.is_zero());
        Some(Shares { delivered: -torque(asked.output)?, holding: torque(asked.held)? })
    };
    let shares = asked.iter().map(of).collect::<Option<Vec<_>>>()?;
    let every: Vec<Fraction> =
        shares.iter().flat_map(|shares| [shares.delivered.clone(), shares.holding.clone()]).collect();
    let input = whole_scale(dice, &every, 10, 240)?;
    let mut parts = Vec::new();
    for (asked, shares) in asked.iter().zip(&shares) {
        let ratios = wrong_ratios(set, trains, &all[asked.state], asked);
        let part = |quantity, share: &Fraction, found: Vec<(Mistake, Fraction)>| {
            let answer = PracticeAnswer::Torque(share * &input);
            let found = found.into_iter().filter(|(_, wrong)| !wrong.is_zero());
            let wrong =
                different(&answer, found.map(|(mistake, wrong)| (mistake, PracticeAnswer::Torque(wrong * &input))))?;
            Some(PracticeQuestion { state: asked.state, input: input.clone(), quantity, answer, wrong })
        };
        parts.push(part(Quantity::Delivered(asked.output), &shares.delivered, wrongly_delivered(shares, &ratios))?);
        parts.push(part(Quantity::Holding(asked.held), &shares.holding, wrongly_holding(shares, &ratios))?);
    }
    Some(parts)
}

/// Shares that mistakes lead to where the delivered torque is asked.
fn wrongly_delivered(shares: &Shares, ratios: &[(Mistake, Fraction)]) -> Vec<(Mistake, Fraction)> {
    let opposite = (Mistake::LoadForDelivered, -&shares.delivered);
    std::iter::once(opposite).chain(ratios.iter().cloned()).collect()
}

/// Shares that mistakes lead to where the holding torque is asked.
fn wrongly_holding(shares: &Shares, ratios: &[(Mistake, Fraction)]) -> Vec<(Mistake, Fraction)> {
    let of_balance = [
        (Mistake::HoldingSense, -&shares.holding),
        (Mistake::HoldingAsDelivered, shares.delivered.clone()),
        (Mistake::HoldingSum, &shares.delivered + Fraction::one()),
    ];
    let of_ratios = ratios.iter().map(|(mistake, ratio)| (*mistake, ratio - Fraction::one()));
    of_balance.into_iter().chain(of_ratios).collect()
}

/// Ratios, input turns per output turn, that mistakes lead to; none beyond all measure.
fn wrong_ratios(
    set: &Gearset,
    trains: &[TrainValue],
    load: &StateLoads,
    asked: &HeldAndDriven,
) -> Vec<(Mistake, Fraction)> {
    let state = &set.states()[asked.state];
    let most = fraction(60, 1);
    let speeds = mistakes(set, trains, &load.motion, state, Quantity::Speed(asked.output));
    speeds
        .into_iter()
        .filter(|(_, speed)| !speed.is_zero())
        .map(|(mistake, speed)| (mistake, speed.recip()))
        .filter(|(_, ratio)| ratio < &most && ratio > &-most.clone())
        .collect()
}
