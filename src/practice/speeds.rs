//! What is asked about speeds, the answers, and the speeds that mistakes lead to.
//!
//! Answers are those of `kinematics`. A mistake is made on the same gearset: in the train value, and the speeds are
//! solved again from the wrong one, or in the frame, where a speed against the carrier is taken for one against the
//! case.

use super::buildable::whole_scale;
use super::problem::{Mistake, PracticeAnswer, PracticeQuestion, Quantity, WrongAnswer};
use super::random::Dice;
use super::train_value::{Relation, TrainValue, speed_by};
use crate::exact::{Fraction, fraction};
use crate::gearset::{GearId, GearKind, Gearset, MemberId, Restraint, State};
use crate::kinematics::{StateMotion, motions};
use num_traits::{One, Signed, Zero};

/// The fewest and the most wrong answers of a question.
const WRONG_ANSWERS: std::ops::RangeInclusive<usize> = 2..=5;

/// The fastest speed of any answer, in rpm.
const FASTEST: i64 = 6000;

/// A question.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ask {
    /// The state, by its place.
    pub(super) state: usize,
    /// What is asked there.
    pub(super) quantity: Quantity,
}

/// The parts that ask this, with one speed of the input for all, such that every answer is a whole number of
/// rpm; `None` where there is no such speed, or where a question has too few wrong answers.
pub(super) fn speed_parts(
    set: &Gearset,
    trains: &[TrainValue],
    asks: &[Ask],
    dice: &mut Dice,
    sense: InputSense,
) -> Option<Vec<PracticeQuestion>> {
    let motions = motions(set);
    let answers = asks.iter().map(|ask| asked(&motions[ask.state], ask.quantity)).collect::<Option<Vec<_>>>()?;
    let shares: Vec<Fraction> = answers.iter().cloned().chain(shown_beside(set, trains, asks, &motions)).collect();
    let mut input = whole_scale(dice, &shares, 60, 1800)?;
    if sense == InputSense::Either && dice.toss() {
        input = -input;
    }
    let parts = asks.iter().zip(answers).map(|(ask, share)| {
        let speed = share * &input;
        if speed.is_zero() || speed.abs() > fraction(FASTEST, 1) {
            return None;
        }
        let Ask { state, quantity } = *ask;
        let found = mistakes(set, trains, &motions[state], &set.states()[state], quantity);
        let found = found.into_iter().map(|(mistake, share)| (mistake, as_answer(set, quantity, share * &input)));
        let answer = as_answer(set, quantity, speed);
        let wrong = different(&answer, found)?;
        Some(PracticeQuestion { state, input: input.clone(), quantity, answer, wrong })
    });
    parts.collect()
}

/// Speeds per turn of the input that are told beside the answers, and so have to be whole as well.
fn shown_beside(set: &Gearset, trains: &[TrainValue], asks: &[Ask], motions: &[StateMotion]) -> Vec<Fraction> {
    let given = set.states().iter().flat_map(|state| &state.restraints).filter_map(|restraint| match restraint {
        Restraint::Turning(_, speed) => Some(speed.value()),
        Restraint::Control(_) | Restraint::Held(_) | Restraint::Joined(_) => None,
    });
    // A carrier stands in the middle of every working.
    let carriers =
        trains.iter().flat_map(|train| asks.iter().filter_map(|ask| motions[ask.state].speed(train.carrier)));
    given.chain(carriers).collect()
}

/// A speed as it is answered: that of a bevel planet about its pin, which lies across, without its sense.
fn as_answer(set: &Gearset, quantity: Quantity, speed: Fraction) -> PracticeAnswer {
    match quantity {
        Quantity::PlanetSpeed(planet) if set.is_bevel(planet) => PracticeAnswer::Rate(speed.abs()),
        Quantity::Speed(_)
        | Quantity::PlanetSpeed(_)
        | Quantity::Delivered(_)
        | Quantity::Holding(_)
        | Quantity::Teeth(_)
        | Quantity::PinCounts => PracticeAnswer::Speed(speed),
    }
}

/// In which sense an input may turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum InputSense {
    /// Counter-clockwise, seen from the input side.
    Positive,
    /// One or the other.
    Either,
}

/// The wrong answers that differ from the answer and from one another; `None` where these are too few.
pub(super) fn different(
    answer: &PracticeAnswer,
    found: impl IntoIterator<Item = (Mistake, PracticeAnswer)>,
) -> Option<Vec<WrongAnswer>> {
    let mut wrong: Vec<WrongAnswer> = Vec::new();
    for (mistake, found) in found {
        let is_new = found != *answer && wrong.iter().all(|other| other.answer != found && other.mistake != mistake);
        if is_new && wrong.len() < *WRONG_ANSWERS.end() {
            wrong.push(WrongAnswer { mistake, answer: found });
        }
    }
    WRONG_ANSWERS.contains(&wrong.len()).then_some(wrong)
}

/// The answer per turn of the input.
fn asked(motion: &StateMotion, quantity: Quantity) -> Option<Fraction> {
    match quantity {
        Quantity::Speed(member) => motion.speed(member),
        Quantity::PlanetSpeed(planet) => motion.member(planet)?.relative_to_carrier.as_ref()?.value().cloned(),
        Quantity::Delivered(_) | Quantity::Holding(_) | Quantity::Teeth(_) | Quantity::PinCounts => None,
    }
}

/// Speeds per turn of the input that mistakes lead to, the commonest first.
pub(super) fn mistakes(
    set: &Gearset,
    trains: &[TrainValue],
    motion: &StateMotion,
    state: &State,
    quantity: Quantity,
) -> Vec<(Mistake, Fraction)> {
    match quantity {
        Quantity::Speed(member) if set.carrier_of(member).is_some() => of_planet(set, motion, member, Frame::Case),
        Quantity::PlanetSpeed(member) => of_planet(set, motion, member, Frame::Carrier),
        Quantity::Speed(member) => of_central(set, trains, motion, state, member),
        Quantity::Delivered(_) | Quantity::Holding(_) | Quantity::Teeth(_) | Quantity::PinCounts => Vec::new(),
    }
}

/// From where a planet's speed is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Frame {
    Case,
    Carrier,
}

fn of_planet(set: &Gearset, motion: &StateMotion, planet: MemberId, frame: Frame) -> Vec<(Mistake, Fraction)> {
    let carrier = set.carrier_of(planet).and_then(|carrier| motion.speed(carrier));
    let relative = asked(motion, Quantity::PlanetSpeed(planet));
    let (Some(carrier), Some(relative), Some((own, central))) = (carrier, relative, mesh_with_central(set, planet))
    else {
        return Vec::new();
    };
    let seen = |relative: Fraction| if frame == Frame::Case { relative + &carrier } else { relative };
    let tumbles = set.is_bevel(planet);
    let mut found = match frame {
        Frame::Case => vec![(Mistake::RelativeGiven, relative.clone())],
        Frame::Carrier if tumbles => Vec::new(),
        Frame::Carrier => vec![(Mistake::AbsoluteGiven, &relative + &carrier)],
    };
    if !tumbles {
        found.push((Mistake::PlanetSign, seen(-&relative)));
    }
    let (own_count, central_count) = (count(set, own), count(set, central));
    // The carrier's own turn forgotten: the mesh taken as a pair on fixed axes.
    if let Some(of_central) = motion.speed(set.gear(central).member()) {
        let fixed = of_central * set.mesh_ratio(central, own);
        found.push((Mistake::CarrierIgnored, fixed));
    }
    let upside_down = &relative * (&own_count / &central_count) * (&own_count / &central_count);
    found.push((Mistake::PlanetUpsideDown, seen(upside_down)));
    if let Some(&other) = set.member(planet).gears().iter().find(|&&gear| gear != own) {
        found.push((Mistake::OtherGearOfPlanet, seen(&relative * &own_count / count(set, other))));
    }
    found
}

/// The first mesh of a planet with a central gear: the gear of the planet, and the central one.
fn mesh_with_central(set: &Gearset, planet: MemberId) -> Option<(GearId, GearId)> {
    set.meshes().iter().find_map(|mesh| {
        let [a, b] = mesh.gears().each();
        [(a, b), (b, a)].into_iter().find(|&(own, other)| {
            set.gear(own).member() == planet && set.carrier_of(set.gear(other).member()).is_none()
        })
    })
}

fn of_central(
    set: &Gearset,
    trains: &[TrainValue],
    motion: &StateMotion,
    state: &State,
    member: MemberId,
) -> Vec<(Mistake, Fraction)> {
    let right = motion.speed(member);
    let values: Vec<[(Mistake, Option<Fraction>); 6]> = trains.iter().map(|train| wrong_values(set, train)).collect();
    let by = |at: usize| {
        let each = trains.iter().zip(&values);
        let relations = each.map(|(train, wrong)| Some(relation(set, train, wrong[at].1.clone()?)));
        speed_by(set, &relations.collect::<Option<Vec<_>>>()?, state, member)
    };
    let mut found: Vec<(Mistake, Option<Fraction>)> =
        values[0].iter().enumerate().map(|(at, (mistake, _))| (*mistake, by(at))).collect();
    // What goes wrong with the frame is as common as a wrong sign, and comes right after it.
    found.splice(1..1, of_frame(set, trains, motion, state, member));
    let told: Option<Fraction> = right.filter(|right| !right.is_zero() && has_one_input(state));
    found.push((Mistake::RatioUpsideDown, told.map(|right| right.recip())));
    found.into_iter().filter_map(|(mistake, speed)| Some((mistake, speed?))).collect()
}

/// Mistakes with what turns, not with the train value.
fn of_frame(
    set: &Gearset,
    trains: &[TrainValue],
    motion: &StateMotion,
    state: &State,
    member: MemberId,
) -> Vec<(Mistake, Option<Fraction>)> {
    let mut found = Vec::new();
    if !has_one_input(state) {
        found.push((Mistake::SenseOverlooked, sense_overlooked(set, trains, state, member)));
        found.push((Mistake::TakenAsHeld, speed_by(set, &right_relations(set, trains), &second_held(state), member)));
        let equal: Vec<Relation> = trains.iter().map(|train| relation(set, train, fraction(-1, 1))).collect();
        found.push((Mistake::TakenAsEqual, speed_by(set, &equal, state, member)));
    }
    let Some(right) = motion.speed(member) else { return found };
    let [train] = trains else { return found };
    let carrier = motion.speed(train.carrier);
    if member == train.carrier {
        // i = 1 / right is one more, or less, than the ratio with the carrier still.
        let less = right.recip() - Fraction::one();
        if has_one_input(state) && !less.is_zero() {
            found.push((Mistake::OneForgotten, Some(less.recip())));
        }
    } else if state.input == train.carrier && has_one_input(state) {
        found.push((Mistake::OneForgotten, carrier.map(|carrier| right - carrier)));
    } else {
        found.push((Mistake::RelativeGiven, carrier.map(|carrier| right - carrier)));
        found.push((Mistake::CarrierIgnored, carrier_ignored(set, train, motion, member)));
    }
    found
}

fn sense_overlooked(set: &Gearset, trains: &[TrainValue], state: &State, member: MemberId) -> Option<Fraction> {
    // Only a speed against the input can have its sense overlooked. Turned over, it is that of the input
    // turned over: x = a + b r becomes a - b r, which is twice the speed with r = 0 less the right one.
    let against = state.restraints.iter().any(|restraint| match restraint {
        Restraint::Turning(_, speed) => speed.numerator() < 0,
        Restraint::Control(_) | Restraint::Held(_) | Restraint::Joined(_) => false,
    });
    let relations = right_relations(set, trains);
    let held = second_held(state);
    let (still, right) = (speed_by(set, &relations, &held, member)?, speed_by(set, &relations, state, member)?);
    against.then(|| &still + &still - right)
}

fn right_relations(set: &Gearset, trains: &[TrainValue]) -> Vec<Relation> {
    trains.iter().map(|train| relation(set, train, train.value(set))).collect()
}

/// The same state, the members that are driven beside the input held instead.
fn second_held(state: &State) -> State {
    let held = state.restraints.iter().map(|restraint| match restraint {
        Restraint::Turning(member, _) => Restraint::Held(*member),
        Restraint::Held(_) | Restraint::Joined(_) | Restraint::Control(_) => restraint.clone(),
    });
    State { restraints: held.collect(), ..state.clone() }
}

/// The train value as if both speeds were seen from the case.
fn carrier_ignored(set: &Gearset, train: &TrainValue, motion: &StateMotion, member: MemberId) -> Option<Fraction> {
    let [first, last] = [train.first(), train.last()].map(|gear| set.gear(gear).member());
    let value = train.value(set);
    let other = if member == last { motion.speed(first)? * value } else { motion.speed(last)? / value };
    (!other.is_zero()).then_some(other)
}

fn has_one_input(state: &State) -> bool {
    !state.restraints.iter().any(|restraint| matches!(restraint, Restraint::Turning(..)))
}

fn relation(set: &Gearset, train: &TrainValue, value: Fraction) -> Relation {
    let [first, last] = [train.first(), train.last()].map(|gear| set.gear(gear).member());
    Relation { first, last, carrier: train.carrier, value }
}

/// The tooth count of a gear.
pub(super) fn count(set: &Gearset, gear: GearId) -> Fraction {
    fraction(set.gear(gear).tooth_count().get().into(), 1)
}

/// Which mistake turns the sign of a train value over.
fn sign_mistake(set: &Gearset, train: &TrainValue) -> Mistake {
    let kinds = [train.first(), train.last()].map(|gear| set.gear(gear).kind());
    if kinds.iter().any(|kind| kind.is_bevel()) {
        Mistake::BevelSign
    } else if kinds.contains(&GearKind::Internal) {
        Mistake::InternalMeshSign
    } else {
        Mistake::TurnedOverOnce
    }
}

/// The train value with each mistake in it, the commonest first; `None` where it cannot be made on this train.
fn wrong_values(set: &Gearset, train: &TrainValue) -> [(Mistake, Option<Fraction>); 6] {
    let value = train.value(set);
    let signed = |magnitude: Fraction| if value.is_negative() { -magnitude } else { magnitude };
    let [first, last] = [train.first(), train.last()].map(|gear| count(set, gear));
    let (into, out_of) = (count(set, train.meshes[0].second), count(set, train.meshes[train.meshes.len() - 1].first));
    let is_step = train.meshes.len() == 2 && train.meshes[0].second != train.meshes[1].first;
    let is_pair = train.meshes.len() == 3;
    [
        (sign_mistake(set, train), Some(-&value)),
        (Mistake::StepSwapped, is_step.then(|| signed(&first / &out_of * &into / &last))),
        // Sun to one, ring to the other, as if the two were solid: one external and one internal mesh.
        (Mistake::PairTakenForStep, is_pair.then(|| -(&first / &into * &out_of / &last))),
        (Mistake::StepIgnored, is_step.then(|| signed(&first / &last))),
        (Mistake::IdlerCounts, (!is_step).then(|| signed(&first / &into))),
        (Mistake::ValueUpsideDown, Some(value.recip())),
    ]
}
