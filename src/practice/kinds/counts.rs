//! Tooth counts that are to be found: from the distance between axes, or from that and a ratio.
//!
//! All gears are of one module and have no profile shift, so that lengths are as tooth counts.

use super::super::buildable::{buildable, held_state};
use super::super::problem::{
    Difficulty, Mistake, PracticeAnswer, PracticeKind, PracticeProblem, PracticeQuestion, Quantity,
};
use super::super::random::Dice;
use super::super::speeds::{Ask, InputSense, count, different, speed_parts};
use super::super::train_value::TrainValue;
use super::{simple, stepped};
use crate::exact::{Fraction, fraction};
use crate::gearset::{GearId, Gearset};
use crate::kinematics::motion_of;
use num_traits::{One, Signed};

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    match difficulty {
        Difficulty::Easy => one_of_simple(dice),
        Difficulty::Medium => one_of_stepped(dice),
        Difficulty::Hard => from_ratio(dice),
    }
}

/// A part that asks for a count; wrong ones that are not above zero are left out.
fn part(set: &Gearset, gear: GearId, input: Fraction, wrong: &[(Mistake, Fraction)]) -> Option<PracticeQuestion> {
    let answer = PracticeAnswer::Teeth(count(set, gear));
    let sensible = wrong.iter().filter(|(_, count)| count.is_positive());
    let wrong = different(&answer, sensible.map(|(mistake, count)| (*mistake, PracticeAnswer::Teeth(count.clone()))))?;
    Some(PracticeQuestion { state: 0, input, quantity: Quantity::Teeth(gear), answer, wrong })
}

fn named(set: &Gearset, gear: &str) -> Option<Fraction> {
    set.gear_named(gear).map(|gear| count(set, gear))
}

/// Sun, planet or ring of a plain set: R = S + 2 P. The speed of the output is asked as well.
fn one_of_simple(dice: &mut Dice) -> Option<PracticeProblem> {
    let mut draft = simple::draft(dice);
    draft.states.push(held_state(&["ring R"], "sun S", "carrier"));
    let set = buildable(draft)?;
    let [s, p, r] = [named(&set, "S")?, named(&set, "P")?, named(&set, "R")?];
    let two = fraction(2, 1);
    let (gear, wrong) = match dice.between(0, 2) {
        0 => ("R", vec![(Mistake::PlanetOnce, &s + &p), (Mistake::RingAdded, &p + &p - &s)]),
        1 => ("S", vec![(Mistake::PlanetOnce, &r - &p), (Mistake::RingAdded, &p * &two + &r)]),
        _ => ("P", vec![(Mistake::NotHalved, &r - &s), (Mistake::RingAdded, (&r + &s) / &two)]),
    };
    let train = TrainValue::through(&set, "carrier", &simple::WAY)?;
    finished(set, train, &MissingCount { gear, wrong }, Difficulty::Easy, dice)
}

/// One count of a stepped planet between sun and ring: S + P = R - Q. The speed of the output is asked as well.
fn one_of_stepped(dice: &mut Dice) -> Option<PracticeProblem> {
    let stepped::Stepped { mut draft, way, .. } = stepped::with_ring(dice)?;
    draft.states.push(held_state(&["ring R"], "sun S", "carrier"));
    let set = buildable(draft)?;
    let [s, p, q, r] = [named(&set, "S")?, named(&set, "P")?, named(&set, "Q")?, named(&set, "R")?];
    let plain = |planet: &Fraction| &s + planet + planet;
    let (gear, wrong) = match dice.between(0, 3) {
        0 => ("R", vec![(Mistake::RingAdded, &s + &p - &q), (Mistake::PlainRuleForStep, plain(&q))]),
        1 => ("Q", vec![(Mistake::RingAdded, &s + &p - &r), (Mistake::PlainRuleForStep, (&r - &s) / fraction(2, 1))]),
        2 => ("P", vec![(Mistake::RingAdded, &r + &q - &s), (Mistake::PlainRuleForStep, (&r - &s) / fraction(2, 1))]),
        _ => ("S", vec![(Mistake::RingAdded, &r + &q - &p), (Mistake::PlainRuleForStep, &r - &p - &p)]),
    };
    let train = TrainValue::through(&set, "carrier", &way)?;
    finished(set, train, &MissingCount { gear, wrong }, Difficulty::Medium, dice)
}

/// The gear whose count is asked, and the counts that mistakes lead to.
struct MissingCount {
    gear: &'static str,
    wrong: Vec<(Mistake, Fraction)>,
}

/// The problem with a count to be found, and then the speed of the carrier.
fn finished(
    set: Gearset,
    train: TrainValue,
    missing: &MissingCount,
    difficulty: Difficulty,
    dice: &mut Dice,
) -> Option<PracticeProblem> {
    let gear = set.gear_named(missing.gear)?;
    let train_values = vec![train];
    let asks = [Ask { state: 0, quantity: Quantity::Speed(set.member_named("carrier")?) }];
    let speeds = speed_parts(&set, &train_values, &asks, dice, InputSense::Positive)?;
    let mut parts = vec![part(&set, gear, speeds[0].input.clone(), &missing.wrong)?];
    parts.extend(speeds);
    Some(PracticeProblem {
        hidden: vec![gear],
        ..PracticeProblem::drawn(PracticeKind::Counts, difficulty, set, train_values, parts)
    })
}

/// Sun and planet from the ring and the ratio with the ring held: i = 1 + R / S, then P = (R - S) / 2.
fn from_ratio(dice: &mut Dice) -> Option<PracticeProblem> {
    let mut draft = simple::draft(dice);
    draft.states.push(held_state(&["ring R"], "sun S", "carrier"));
    let set = buildable(draft)?;
    let ratio = motion_of(&set, 0).verdict.ratio()?.clone();
    let [s, r] = [named(&set, "S")?, named(&set, "R")?];
    if ratio.denom() > &7.into() {
        return None;
    }
    let (forgotten, two) = (&r / &ratio, fraction(2, 1));
    let half = |sun: &Fraction| (&r - sun) / &two;
    let of_sun =
        [(Mistake::OneForgotten, forgotten.clone()), (Mistake::RatioUpsideDown, &r * (&ratio - Fraction::one()))];
    let of_planet = [
        (Mistake::NotHalved, &r - &s),
        (Mistake::OneForgotten, half(&forgotten)),
        (Mistake::RingAdded, (&r + &s) / &two),
    ];
    let gears = ["S", "P"].map(|name| set.gear_named(name));
    let parts = vec![part(&set, gears[0]?, ratio.clone(), &of_sun)?, part(&set, gears[1]?, ratio, &of_planet)?];
    let train_values = vec![TrainValue::through(&set, "carrier", &simple::WAY)?];
    let hidden = gears.into_iter().flatten().collect();
    Some(PracticeProblem {
        hidden,
        ..PracticeProblem::drawn(PracticeKind::Counts, Difficulty::Hard, set, train_values, parts)
    })
}
