//! Do formulas say what the exact speeds say, at the counts of a gearset and at others?
//!
//! Formulas of textbooks are from memory where no page is named; they are the common property of the trade.

use std::collections::BTreeMap;

use num_bigint::BigInt;
use proptest::prelude::*;
use toothmark::exact::{Polynomial, RationalFunction};
use toothmark::formula::{
    DerivedSpeed, FormulaVerdict, FormulasQuestion, MemberFormula, SpeedFormula, StateFormulas, counts, formulas,
};
use toothmark::gearset::{GearId, Gearset, MemberId};
use toothmark::kinematics::{MemberMotion, Speed, Verdict, motions};

use crate::support::random::cases;
use crate::support::sets::{file_stems, read_example, read_set};
use crate::support::trains::{small_train, train};

/// The ratio of every state.
fn ratios(set: &Gearset) -> Vec<StateFormulas> {
    formulas(set, &FormulasQuestion::default())
}

/// The ratio of every state, with the speeds of members.
fn speeds(set: &Gearset, members: &[MemberId]) -> Vec<StateFormulas> {
    formulas(set, &FormulasQuestion { members: members.to_vec(), ..FormulasQuestion::default() })
}

/// Whether the formulas of a gearset are its ratios and speeds.
#[track_caller]
fn agree(case: &str, set: &Gearset) {
    let counts = counts(set);
    let zero = |conditions: &[Polynomial]| conditions.iter().all(|it| it.value(&counts) == BigInt::ZERO);
    let motions = motions(set);
    let found = ratios(set);
    assert_eq!(found.len(), motions.len(), "{case}: an answer for each state");
    for (formula, motion) in found.iter().zip(&motions) {
        let state = format!("{case}, {}", motion.state);
        assert!(same_verdict(&formula.verdict, &motion.verdict, &counts), "{state}: {formula:?} {motion:?}");
        assert!(zero(&formula.conditions), "{state}: {formula:?}");
        assert!(formula.otherwise.is_some() || formula.conditions.is_empty(), "{state}: {formula:?}");
        formula.verdict.ratio().into_iter().for_each(|ratio| is_reduced(&state, ratio));
    }
    let members: Vec<MemberId> = set.member_ids().skip(1).collect();
    for (state, (found, motion)) in speeds(set, &members).iter().zip(&motions).enumerate() {
        let question = FormulasQuestion { state: Some(state), members: members.clone() };
        assert_eq!(formulas(set, &question), std::slice::from_ref(found), "{case}: the same of one state alone");
        assert_eq!(found.members.len(), motion.members.len(), "{case}: an answer for each member");
        for (formula, known) in found.members.iter().zip(&motion.members) {
            same_motion(&format!("{case}, {}, {:?}", motion.state, known.member), formula, known, &counts);
        }
    }
}

fn same_verdict(formula: &FormulaVerdict, verdict: &Verdict, counts: &[BigInt]) -> bool {
    match (formula, verdict) {
        (FormulaVerdict::Drives(formula), Verdict::Drives { ratio, .. }) => {
            formula.value(counts).as_ref() == Some(ratio)
        }
        (FormulaVerdict::TooLong, _)
        | (FormulaVerdict::Locked, Verdict::Locked { .. })
        | (FormulaVerdict::Neutral, Verdict::Neutral)
        | (FormulaVerdict::OutputHeld, Verdict::OutputHeld) => true,
        _ => false,
    }
}

#[track_caller]
fn same_motion(case: &str, formula: &MemberFormula, known: &MemberMotion, counts: &[BigInt]) {
    let same = |derived: &DerivedSpeed, known: &Speed| match (&derived.speed, known) {
        (SpeedFormula::Determined(formula), Speed::Determined(value)) => formula.value(counts).as_ref() == Some(value),
        (SpeedFormula::TooLong, _)
        | (SpeedFormula::Free, Speed::Free)
        | (SpeedFormula::Locked, Speed::Locked)
        | (SpeedFormula::WithoutMeaning, Speed::WithoutMeaning) => true,
        _ => false,
    };
    assert_eq!(formula.member, known.member, "{case}");
    assert!(same(&formula.speed, &known.speed), "{case}: {formula:?} {known:?}");
    match (&formula.relative_to_carrier, &known.relative_to_carrier) {
        (None, None) => {}
        (Some(formula), Some(known)) => assert!(same(formula, known), "{case}: {formula:?} {known:?}"),
        (formula, known) => panic!("{case}: {formula:?} {known:?}"),
    }
}

/// A prime of which no tooth count is a multiple, and for which two random numbers seldom are.
const PRIME: u64 = (1 << 31) - 1;

/// Whether numerator and denominator have no common factor: for each unknown, with numbers for all others, the
/// remainders modulo a prime end in a number. Two rounds of numbers have to say otherwise before it fails.
#[track_caller]
fn is_reduced(case: &str, formula: &RationalFunction) {
    let (numerator, denominator) = (formula.numerator(), formula.denominator());
    if numerator.is_zero() {
        return assert!(denominator.is_one(), "{case}: {formula:?}");
    }
    for unknown in numerator.unknowns().intersection(&denominator.unknowns()) {
        let free = (1..=2).any(|round| {
            let image = |polynomial: &Polynomial| image(polynomial, *unknown, round * 7919);
            common_degree(image(numerator), image(denominator)) == 0
        });
        assert!(free, "{case}: a common factor with unknown {unknown} in {formula:?}");
    }
    let numbers = |polynomial: &Polynomial| {
        polynomial.terms().fold(BigInt::ZERO, |common, (_, number)| num_integer::Integer::gcd(&common, number))
    };
    let common = num_integer::Integer::gcd(&numbers(numerator), &numbers(denominator));
    assert_eq!(common, BigInt::from(1), "{case}: {formula:?}");
}

fn image(polynomial: &Polynomial, unknown: usize, seed: usize) -> Vec<u64> {
    let mut image = BTreeMap::<u32, BigInt>::new();
    for (monomial, coefficient) in polynomial.terms() {
        let others = monomial.powers().iter().filter(|power| power.unknown != unknown);
        let value = others.fold(coefficient.clone(), |product, power| {
            let number = (power.unknown + 3) * (power.unknown + 5) * seed + 1;
            product * BigInt::from(number).pow(power.exponent)
        });
        *image.entry(monomial.exponent(unknown)).or_default() += value;
    }
    let prime = BigInt::from(PRIME);
    let highest = image.last_key_value().map_or(0, |(&highest, _)| highest);
    let coefficient = |exponent| image.get(&exponent).cloned().unwrap_or_default();
    let remainder = |value: BigInt| u64::try_from(((value % &prime) + &prime) % &prime).expect("it is below the prime");
    (0..=highest).map(|at| remainder(coefficient(at))).collect()
}

/// The degree of the common divisor modulo the prime.
fn common_degree(mut high: Vec<u64>, mut low: Vec<u64>) -> usize {
    let power = |base: u64, mut exponent: u64| {
        let (mut base, mut result) = (base, 1);
        while exponent > 0 {
            if exponent % 2 == 1 {
                result = result * base % PRIME;
            }
            base = base * base % PRIME;
            exponent /= 2;
        }
        result
    };
    let trim = |image: &mut Vec<u64>| image.truncate(image.iter().rposition(|&it| it != 0).map_or(0, |at| at + 1));
    trim(&mut high);
    trim(&mut low);
    while !low.is_empty() {
        while high.len() >= low.len() {
            let quotient = high[high.len() - 1] * power(low[low.len() - 1], PRIME - 2) % PRIME;
            let shift = high.len() - low.len();
            for (place, value) in low.iter().enumerate() {
                high[place + shift] = (high[place + shift] + PRIME - value * quotient % PRIME) % PRIME;
            }
            trim(&mut high);
        }
        std::mem::swap(&mut high, &mut low);
    }
    high.len().saturating_sub(1)
}

#[test]
fn formulas_of_every_built_in_gearset_are_its_ratios_and_speeds() {
    for name in file_stems("gearsets") {
        agree(&name, &read_example(&name));
    }
}

#[test]
fn formulas_hold_for_other_counts_too() {
    for (round, name) in file_stems("gearsets").iter().enumerate() {
        let set = read_example(name);
        for shift in 1..=3 {
            let number = |gear: GearId| {
                let count = i64::from(set.gear(gear).tooth_count().get());
                let step = i64::try_from((gear.index() * 7 + round + shift) % 5).unwrap();
                // Rings stay larger than what runs inside them.
                if set.gear(gear).signed_tooth_count() < 0 { count + 5 + step } else { count + step }
            };
            let Ok(changed) = set.with_tooth_counts(set.gear_ids().map(|gear| (gear, number(gear)))) else { continue };
            hold_for(name, &set, &changed);
        }
    }
}

/// Whether the formulas of one gearset give the ratios of another with other counts, wherever no condition is broken
/// and just as much can be chosen at will.
#[track_caller]
fn hold_for(case: &str, set: &Gearset, changed: &Gearset) -> usize {
    let at = counts(changed);
    let mut compared = 0;
    let motions = motions(set).into_iter().zip(motions(changed));
    for (formula, (before, after)) in ratios(set).iter().zip(motions) {
        let Some(ratio) = formula.verdict.ratio() else { continue };
        let holds = formula.conditions.iter().all(|condition| condition.value(&at) == BigInt::ZERO);
        if holds
            && before.freedom == after.freedom
            && let Some(known) = after.verdict.ratio()
        {
            compared += 1;
            assert_eq!(ratio.value(&at).as_ref(), Some(known), "{case}, {}: {formula:?}", after.state);
        }
    }
    compared
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn formulas_of_random_trains_are_their_ratios_and_speeds(draft in small_train()) {
        if let Ok(set) = Gearset::new(draft) {
            agree("a random train", &set);
        }
    }

    #[test]
    fn formulas_of_long_random_trains_hold_for_other_counts(
        draft in train(),
        steps in prop::collection::vec(0i64..9, 40),
    ) {
        let Ok(set) = Gearset::new(draft) else { return Ok(()) };
        let other = |gear: GearId| {
            let step = steps[gear.index() % steps.len()];
            let step = if set.gear(gear).signed_tooth_count() < 0 { 9 } else { step };
            (gear, i64::from(set.gear(gear).tooth_count().get()) + step)
        };
        if let Ok(changed) = set.with_tooth_counts(set.gear_ids().map(other)) {
            hold_for("a random train", &set, &changed);
        }
    }
}

/// The formula of a state, with the gears by their names, against numerator and denominator.
#[track_caller]
fn is(set: &Gearset, state: &str, numerator: &Polynomial, denominator: &Polynomial) {
    let found = ratios(set).into_iter().find(|formula| formula.state == state).expect("the state is there");
    assert_eq!(found.verdict, FormulaVerdict::Drives(RationalFunction::new(numerator, denominator)), "{state}");
    assert!(found.conditions.is_empty(), "{state}: {found:?}");
}

fn gears<const N: usize>(set: &Gearset, names: [&str; N]) -> [Polynomial; N] {
    names.map(|name| Polynomial::unknown(set.gear_named(name).expect("the gear is there").index()))
}

/// A section of the answer was empty: the formula had a denominator that is 0 at the counts. Two suns with clusters:
/// with the first held the other stands still where A q = B p.
#[test]
fn an_output_that_stands_still_at_these_counts_only_says_where() {
    let set = read_set(
        "still",
        r#"Gearset(title: "Still", input: "carrier", output: "slow",
            members: {"carrier": [], "held": [Sun("A", 20)], "slow": [Sun("B", 20)]},
            planets: {"cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 30), Gear("q", 30)])},
            meshes: [("A", "p"), ("B", "q")], states: {"slow": Given(held: ["held"])})"#,
    );
    let found = ratios(&set).remove(0);
    let [a, b, p, q] = gears(&set, ["A", "B", "p", "q"]);
    assert_eq!(found.verdict, FormulaVerdict::OutputHeld);
    // 1 - A q / (B p) = (B p - A q) / (B p)
    let sum = &(&b * &p) - &(&a * &q);
    assert_eq!(found.otherwise, Some(FormulaVerdict::Drives(RationalFunction::new(&(&b * &p), &sum))));
    assert!(found.conditions == [sum.clone()] || found.conditions == [-sum], "{found:?}");
}

/// Willis (1841), "Principles of Mechanism", on epicyclic trains; in this form from memory.
#[test]
fn a_plain_planetary_set_has_the_formulas_of_the_textbook() {
    let set = read_set(
        "plain",
        r#"Gearset(
            title: "Plain", members: {"sun": [Sun("S", 24)], "ring": [Ring("R", 60)], "arm": []},
            planets: {"planet": (carrier: "arm", pins: Equal(3), gears: [Gear("p", 18)])},
            meshes: [("S", "p"), ("R", "p")],
            states: {
                "ring held": Given(held: ["ring"], input: "sun", output: "arm"),
                "sun held": Given(held: ["sun"], input: "ring", output: "arm"),
                "arm held": Given(held: ["arm"], input: "sun", output: "ring"),
                "free": Given(input: "sun", output: "ring"),
                "both held": Given(held: ["ring", "arm"], input: "sun", output: "arm"),
                "ring at a half": Given(turning: {"ring": 0.5}, input: "sun", output: "arm"),
            },
        )"#,
    );
    let [s, r, p] = gears(&set, ["S", "R", "p"]);
    is(&set, "ring held", &(&s + &r), &s);
    is(&set, "sun held", &(&s + &r), &r);
    is(&set, "arm held", &-r.clone(), &s);
    let two = Polynomial::constant(2);
    is(&set, "ring at a half", &(&two * &(&s + &r)), &(&(&two * &s) + &r));
    let verdicts: Vec<FormulaVerdict> = ratios(&set).into_iter().map(|formula| formula.verdict).collect();
    assert_eq!([&verdicts[3], &verdicts[4]], [&FormulaVerdict::Neutral, &FormulaVerdict::Locked]);
    // The planet rolls in the held ring: against the arm it turns -S R / (p (S + R)) per turn of the sun.
    let planet = set.member_named("planet").expect("it is there");
    let speed = &speeds(&set, &[planet])[0].members[0];
    let against = speed.relative_to_carrier.as_ref().and_then(|derived| derived.speed.formula());
    assert_eq!(against, Some(&RationalFunction::new(&-(&s * &r), &(&p * &(&s + &r)))), "{speed:?}");
    agree("plain", &set);
}

/// The epicyclic with two suns and a stepped planet, from memory: e = L d / (l D), arm to driven sun 1 / (1 - e).
#[test]
fn a_stepped_planet_on_two_suns_has_the_formula_of_the_textbook() {
    let set = read_example("inspection-railcar");
    let names = ["D", "d", "L", "l", "R", "r"];
    let [driven, d, low, l, reverse, r] = gears(&set, names);
    is(&set, "low", &(&driven * &l), &(&(&driven * &l) - &(&low * &d)));
    is(&set, "reverse", &(&driven * &r), &(&(&driven * &r) - &(&reverse * &d)));
}

/// A shaft between bevel gears on both sides: with sides alike the cage turns at half the sum.
#[test]
fn bevel_gears_and_idlers_have_their_signs_and_no_more() {
    let set = read_set(
        "bevel",
        r#"Gearset(
            title: "Bevel", members: {"left": [Bevel("A", 18, InputSide)], "right": [Bevel("B", 24, OutputSide)], "cage": []},
            planets: {"pinion": (carrier: "cage", pins: Equal(2), gears: [Bevel("b", 11)])},
            meshes: [("A", "b"), ("B", "b")],
            states: {"right held": Given(held: ["right"], input: "left", output: "cage")},
        )"#,
    );
    let [a, b] = gears(&set, ["A", "B"]);
    is(&set, "right held", &(&a + &b), &a);
    agree("bevel", &set);
}

/// Two stepped planets between the same sun and ring: they only turn where both give one ratio.
#[test]
fn a_train_that_moves_at_its_counts_only_says_on_which_condition() {
    let text = |last: i64| {
        format!(
            r#"Gearset(
                title: "Twice", members: {{"sun": [Sun("S", 20)], "ring": [Ring("R", 90), Ring("Q", 90)], "arm": []}},
                planets: {{
                    "one": (carrier: "arm", pins: Equal(2), gears: [Gear("a", 30), Gear("b", 20)]),
                    "two": (carrier: "arm", pins: Equal(2), gears: [Gear("c", 24), Gear("d", {last})]),
                }},
                meshes: [("S", "a"), ("b", "R"), ("S", "c"), ("d", "Q")],
                states: {{"ring held": Given(held: ["ring"], input: "sun", output: "arm")}},
            )"#
        )
    };
    let set = read_set("twice", &text(16));
    let formula = &ratios(&set)[0];
    let [a, b, c, d, ring, other] = gears(&set, ["a", "b", "c", "d", "R", "Q"]);
    assert_eq!(formula.otherwise, Some(FormulaVerdict::Locked));
    let condition = &(&(&a * &d) * &ring) - &(&(&b * &c) * &other);
    assert!(formula.conditions == [condition.clone()] || formula.conditions == [-condition], "{formula:?}");
    agree("twice", &set);
    let locked = read_set("locked", &text(17));
    assert_eq!(ratios(&locked)[0].verdict, FormulaVerdict::Locked);
    assert!(ratios(&locked)[0].conditions.is_empty(), "any other counts lock it as well");
    // Other counts that meet the condition: 40 / 20 = 32 / 16 with rings alike.
    let changed = [("a", 40), ("c", 32)].map(|(name, count)| (set.gear_named(name).expect("it is there"), count));
    let changed = set.with_tooth_counts(changed).expect("the counts are sound");
    assert_eq!(hold_for("twice", &set, &changed), 1, "the formula holds there too");
}

/// Where the carrier drops out at the counts, the suns turn as one; with other counts the state is neutral.
#[test]
fn a_ratio_that_rests_on_a_cancelled_member_says_so() {
    let set = read_set(
        "cancelled",
        r#"Gearset(
            title: "Alike", members: {"one": [Sun("A", 20)], "two": [Sun("B", 40)], "arm": []},
            planets: {"cluster": (carrier: "arm", pins: Equal(2), gears: [Gear("a", 15), Gear("b", 30)])},
            meshes: [("A", "a"), ("B", "b")],
            states: {"arm free": Given(input: "one", output: "two")},
        )"#,
    );
    let formula = &ratios(&set)[0];
    assert_eq!(formula.otherwise, Some(FormulaVerdict::Neutral));
    assert_eq!(formula.verdict.ratio().and_then(|it| it.value(&counts(&set))), Some(toothmark::exact::fraction(1, 1)));
    let [one, two, a, b] = gears(&set, ["A", "B", "a", "b"]);
    let condition = &(&one * &b) - &(&two * &a);
    assert!(formula.conditions == [condition.clone()] || formula.conditions == [-condition], "{formula:?}");
}
