//! Is what drags in neutral told by the speed at which the output then turns?
//!
//! Of a set of three suns on one cluster every speed follows from the formula of relative speeds by hand; in every other
//! gearset a control that drags has to give the ratio of the state that applies it alone.

use num_traits::One;
use proptest::prelude::*;
use toothmark::bench::{CannotTestNeutral, DragOutcome, DragPlace, NeutralQuestion, NeutralTest, neutral};
use toothmark::description::{self, examples};
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Gearset, Restraint};
use toothmark::kinematics::motions;

use crate::support::random::cases;

/// Suns of an output and two drums on a cluster whose carrier is the flywheel.
pub(super) fn three_suns(suns: [i64; 3], cluster: [i64; 3]) -> Gearset {
    let [[a, b, c], [d, e, f]] = [suns, cluster];
    let text = format!(
        "Gearset(title: \"three suns\", input: \"flywheel\", output: \"shaft\", members: {{\"flywheel\": [], \"shaft\": \
         [Sun(\"A\", {a})], \"slow drum\": [Sun(\"B\", {b})], \"reverse drum\": [Sun(\"C\", {c})]}}, planets: \
         {{\"cluster\": (carrier: \"flywheel\", pins: Equal(3), gears: [Gear(\"a\", {d}), Gear(\"b\", {e}), \
         Gear(\"c\", {f})])}}, meshes: [(\"A\", \"a\"), (\"B\", \"b\"), (\"C\", \"c\")], controls: {{\"slow band\": \
         Band(\"slow drum\"), \"reverse band\": Band(\"reverse drum\"), \"clutch\": Clutch(\"flywheel\", \
         \"shaft\")}}, states: {{\"neutral\": Apply([])}})"
    );
    description::read(&text).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// What the output does with these two stuck, in either order.
fn output(set: &Gearset, test: &NeutralTest, stuck: [&str; 2]) -> Option<Fraction> {
    let stuck = stuck.map(|name| set.member_named(name).expect("a member"));
    let row = test.rows.iter().find(|row| stuck.iter().all(|member| row.stuck.contains(member)));
    row.expect("the two may stick").output.clone()
}

fn asked(set: &Gearset) -> NeutralTest {
    neutral(set, &NeutralQuestion::default()).expect("there is a neutral")
}

proptest! {
    #![proptest_config(cases(200))]

    /// n_i = n_c + k_i (n_out - n_c), k_i = P_i S_0 / (S_i P_0), with n_c = 1: a drum at 0 leaves n_out = 1 - 1/k, the
    /// output at 0 leaves n_i = 1 - k. Two moving parts that stick turn everything as one, unless they run alike anyhow.
    #[test]
    fn drags_follow_the_formula_of_relative_speeds(
        suns in prop::array::uniform3(12_i64..60),
        cluster in prop::array::uniform3(12_i64..60),
    ) {
        let set = three_suns(suns, cluster);
        let k = |drum: usize| fraction(cluster[drum] * suns[0], suns[drum] * cluster[0]);
        let one = Fraction::one();
        prop_assume!([1, 2].iter().all(|&drum| k(drum) != one) && k(1) != k(2));
        let test = asked(&set);
        for (drum, name) in [(1, "slow drum"), (2, "reverse drum")] {
            prop_assert_eq!(output(&set, &test, [name, "case"]), Some(&one - k(drum).recip()));
            let held = test.output_held.iter().find(|found| set.member(found.member).name() == name);
            prop_assert_eq!(held.unwrap().speed.clone(), Some(&one - k(drum)));
        }
        for pair in [["slow drum", "reverse drum"], ["slow drum", "flywheel"], ["cluster", "flywheel"]] {
            prop_assert_eq!(output(&set, &test, pair), Some(one.clone()), "{:?}", pair);
        }
    }
}

#[test]
fn a_control_that_drags_gives_the_ratio_of_the_state_that_applies_it_alone() {
    let mut compared = 0;
    for example in examples() {
        let set = description::read(example.text).expect("a built-in gearset");
        let Ok(test) = neutral(&set, &NeutralQuestion::default()) else { continue };
        let is_bare = test
            .state
            .as_deref()
            .and_then(|name| set.state_named(name))
            .is_none_or(|state| state.restraints.is_empty());
        for (state, motion) in set.states().iter().zip(motions(&set)) {
            let [Restraint::Control(control)] = state.restraints[..] else { continue };
            if !is_bare || (state.input, state.output) != (test.input, test.output) {
                continue;
            }
            let row = test.rows.iter().find(|row| row.at.contains(&DragPlace::Control(control)));
            let row = row.expect("every control that is open has a row");
            assert_eq!(row.output, motion.verdict.output_per_input(), "{}: {}", example.name, state.name);
            compared += 1;
        }
    }
    assert!(compared >= 12, "{compared}");
}

/// A member that is joined to the output was told to run at 0 while that is held, as if it were free to turn.
#[test]
fn what_is_one_with_the_output_is_held_with_it() {
    let text = description::example("hill-tramway-car").expect("it is built in");
    let shaft = text.replacen("members: {", "members: {\n        \"tail shaft\": [],", 1);
    let output = description::read(text).unwrap().states()[0].output;
    let name = description::read(text).unwrap().member(output).name().to_owned();
    let joined =
        shaft.replacen("    meshes: [", &format!("    joins: [(\"tail shaft\", \"{name}\")],\n    meshes: ["), 1);
    let joined = description::read(&joined).unwrap_or_else(|faults| panic!("{faults}"));
    let held = |set: &Gearset| -> Vec<String> {
        asked(set).output_held.iter().map(|held| set.member(held.member).name().to_owned()).collect()
    };
    let own = held(&joined);
    assert!(!own.contains(&"tail shaft".into()) && !own.contains(&name), "{own:?}");
    assert_eq!(own, held(&description::read(text).unwrap()));
}

#[test]
fn a_state_that_drives_is_no_neutral() {
    let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    let told = neutral(&set, &NeutralQuestion { state: Some(0), ..NeutralQuestion::default() }).unwrap_err();
    assert_eq!(told, CannotTestNeutral::NoNeutral { state: "low".into(), does: "drives the output" });
    let missing = neutral(&set, &NeutralQuestion { state: Some(99), ..NeutralQuestion::default() });
    assert_eq!(missing.unwrap_err(), CannotTestNeutral::NoEnds);
}

/// With the flywheel on the case nothing turns; with the output on the case the neutral is as free as before.
#[test]
fn what_cannot_turn_is_told_as_locked() {
    let set = three_suns([30, 24, 33], [30, 36, 27]);
    let test = asked(&set);
    let outcome = |name: &str| {
        let member = set.member_named(name).unwrap();
        let row = test.rows.iter().find(|row| row.stuck == [member, set.member_named("case").unwrap()]);
        row.unwrap().outcome
    };
    assert_eq!(outcome("flywheel"), DragOutcome::Locks);
    assert_eq!(outcome("shaft"), DragOutcome::Stands);
}

/// Where no neutral is described the hint says what to write, and with that there is one.
#[test]
fn with_what_the_hint_says_there_is_a_neutral() {
    let text = description::example("inspection-railcar").expect("it is built in");
    let states_of = |text: &str| description::read(text).expect("it describes a gearset");
    let first = NeutralQuestion { state: Some(0), ..NeutralQuestion::default() };
    let hint = neutral(&states_of(text), &first).expect_err("low drives").hint();
    let (_, state) = hint.split_once("such as ").expect("it gives an example");
    let with_neutral = text.replacen("states: {", &format!("states: {{{},", state.replace("neutral", "let go")), 1);
    let set = states_of(&with_neutral);
    let at = set.states().iter().position(|state| state.name == "let go").expect("it is described");
    assert!(neutral(&set, &NeutralQuestion { state: Some(at), ..NeutralQuestion::default() }).is_ok());
}

/// Where no neutral is described what a state applies is let go.
#[test]
fn without_a_described_neutral_the_first_state_is_taken_with_nothing_applied() {
    let text = description::example("inspection-railcar").expect("it is built in");
    let without = text.replacen("\"neutral\": Apply([]),", "", 1);
    let [described, open] = [text, &without].map(|text| asked(&description::read(text).expect("a gearset")));
    assert_ne!(text, without);
    assert_eq!((described.state.as_deref(), open.state.as_deref()), (Some("neutral"), None));
    assert_eq!(open.rows, described.rows);
}
