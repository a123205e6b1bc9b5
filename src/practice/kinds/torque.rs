//! Torques without losses: what the output delivers, and what holds the held member.
//!
//! Torques of the key come from the balance in `statics`; a mistake in a ratio i leads by way of the power to
//! i times the input torque delivered, and to i - 1 times the input torque that holds.

use super::super::buildable::{buildable, held_state, whole_scale};
use super::super::problem::{Answer, Difficulty, Kind, Mistake, Part, Problem, Quantity};
use super::super::random::Dice;
use super::super::speeds::{different, mistakes};
use super::super::train_value::TrainValue;
use super::{cluster, simple, stepped};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Draft, Gearset, MemberId, Restraint};
use crate::statics::{LoadOptions, StateLoads, loads};
use num_traits::{One, Zero};

/// A question: the state, what is held there, and what is driven.
struct Asked {
    state: usize,
    held: MemberId,
    output: MemberId,
}

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<Problem> {
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
    let asked: Vec<Asked> = if difficulty == Difficulty::Hard {
        let output = set.member_named("driven drum")?;
        let held = [(cluster::LOW, "low drum"), (cluster::REVERSE, "reverse drum")];
        held.iter().filter_map(|&(state, name)| Some(Asked { state, held: set.member_named(name)?, output })).collect()
    } else {
        let state = &set.states()[0];
        let held = state.restraints.iter().find_map(|restraint| match restraint {
            Restraint::Held(member) => Some(*member),
            Restraint::Control(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
        })?;
        vec![Asked { state: 0, held, output: state.output }]
    };
    let parts = parts(&set, &train_values, &asked, dice)?;
    Some(Problem { kind: Kind::Torque, difficulty, set, train_values, hidden: Vec::new(), parts })
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

fn parts(set: &Gearset, trains: &[TrainValue], asked: &[Asked], dice: &mut Dice) -> Option<Vec<Part>> {
    let all = loads(set, &LoadOptions::default());
    let of = |asked: &Asked| {
        let load = &all[asked.state];
        Some((-load.member(asked.output).torque.clone()?, load.member(asked.held).torque.clone()?))
    };
    let shares = asked.iter().map(of).collect::<Option<Vec<_>>>()?;
    let all_shares: Vec<Fraction> = shares.iter().flat_map(|(a, b)| [a.clone(), b.clone()]).collect();
    let input = whole_scale(dice, &all_shares, 10, 240)?;
    let mut parts = Vec::new();
    for (asked, (delivered, holding)) in asked.iter().zip(&shares) {
        if delivered.is_zero() || holding.is_zero() {
            return None;
        }
        let ratios = wrong_ratios(set, trains, &all[asked.state], asked);
        let mut of_delivered: Vec<(Mistake, Fraction)> = vec![(Mistake::LoadForDelivered, -delivered)];
        of_delivered.extend(ratios.iter().cloned());
        let mut of_holding = vec![
            (Mistake::HoldingSense, -holding),
            (Mistake::HoldingAsDelivered, delivered.clone()),
            (Mistake::HoldingSum, delivered + Fraction::one()),
        ];
        of_holding.extend(ratios.iter().map(|(mistake, ratio)| (*mistake, ratio - Fraction::one())));
        let mut push = |quantity, share: &Fraction, found: Vec<(Mistake, Fraction)>| {
            let answer = Answer::Torque(share * &input);
            let found = found.into_iter().filter(|(_, wrong)| !wrong.is_zero());
            let wrong = different(&answer, found.map(|(mistake, wrong)| (mistake, Answer::Torque(wrong * &input))))?;
            parts.push(Part { state: asked.state, input: input.clone(), quantity, answer, wrong });
            Some(())
        };
        push(Quantity::Delivered(asked.output), delivered, of_delivered)?;
        push(Quantity::Holding(asked.held), holding, of_holding)?;
    }
    Some(parts)
}

/// Ratios, input turns per output turn, that mistakes lead to; none beyond all measure.
fn wrong_ratios(set: &Gearset, trains: &[TrainValue], load: &StateLoads, asked: &Asked) -> Vec<(Mistake, Fraction)> {
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
