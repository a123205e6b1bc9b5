//! Are the torques those that the trade knows, and is what cannot be told said to be so?
//!
//! Known values of single sets and of the two-speed cluster gearboxes, then states in which no
//! torque can be passed on, and trains whose torques equilibrium leaves open.

use proptest::prelude::*;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Gearset, Sense};
use toothmark::report::{Answer, Block, Extent};
use toothmark::statics::{
    Balanced, InputTorque, LoadOptions, LoadsQuestion, OneWay, StateLoads, TorqueUnit, circulating_power, loads,
    one_way, survey_loads,
};

use crate::support::random::cases;
use crate::support::sets::{exact, file_stems, read_example, read_set};
use crate::support::trains::train;

fn load_of<'a>(case: &str, all: &'a [StateLoads], state: &str) -> &'a StateLoads {
    all.iter().find(|loads| loads.motion.state == state).unwrap_or_else(|| panic!("{case}: no state {state}"))
}

/// The torque of a control for the torque 1 on the input.
#[track_caller]
fn control(set: &Gearset, state: &str, control: &str, expected: &str) {
    let all = loads(set, &LoadOptions::default());
    let found = load_of(control, &all, state).control(set.control_named(control).expect("a control")).torque.clone();
    assert_eq!(found, Some(exact(control, expected)), "{control} in {state}");
}

const TWO_SPEED: &str = r#"Gearset(
    title: "Two speeds", input: "flywheel", output: "driven drum",
    members: {"flywheel": [], "driven drum": [Sun("D", 27)], "slow drum": [Sun("S", 21)], "reverse drum": [Sun("R", 30)]},
    planets: {"cluster": (carrier: "flywheel", pins: Equal(3), gears: [Gear("d", 27), Gear("s", 33), Gear("r", 24)])},
    meshes: [("D", "d"), ("S", "s"), ("R", "r")],
    controls: {"slow band": Band("slow drum"), "reverse band": Band("reverse drum"), "clutch": Clutch("flywheel", "driven drum")},
    states: {"low": Apply(["slow band"]), "reverse": Apply(["reverse band"]), "direct": Apply(["clutch"]), "neutral": Apply([]),
        "tied up": Apply(["slow band", "reverse band"]), "twice direct": Apply(["clutch", "slow band"])},
)"#;

#[test]
fn the_bands_of_a_two_speed_gearbox_hold_what_the_trade_knows() {
    let set = read_set("two speeds", TWO_SPEED);
    control(&set, "low", "slow band", "7/4");
    control(&set, "reverse", "reverse band", "-5");
    control(&set, "direct", "clutch", "-1");
    let hill = read_example("hill-tramway-car");
    control(&hill, "low", "slow band", "2");
    control(&hill, "reverse", "reverse band", "-11/2");
}

#[test]
fn a_control_that_is_not_applied_carries_nothing() {
    let set = read_set("two speeds", TWO_SPEED);
    control(&set, "low", "reverse band", "0");
    control(&set, "low", "clutch", "0");
}

#[test]
fn in_direct_no_mesh_carries_anything() {
    let set = read_set("two speeds", TWO_SPEED);
    let all = loads(&set, &LoadOptions::default());
    for mesh in &load_of("direct", &all, "direct").meshes {
        assert_eq!(mesh.torque_per_tooth, Some(fraction(0, 1)), "{mesh:?}");
    }
}

#[test]
fn where_nothing_holds_no_torque_is_told() {
    let set = read_set("two speeds", TWO_SPEED);
    let all = loads(&set, &LoadOptions::default());
    let neutral = load_of("neutral", &all, "neutral");
    assert_eq!(neutral.balanced, Balanced::WithoutTorque);
    assert!(neutral.members.iter().all(|load| load.torque.is_none()), "{:?}", neutral.members);
}

#[test]
fn two_bands_at_once_leave_their_torques_open() {
    let set = read_set("two speeds", TWO_SPEED);
    let all = loads(&set, &LoadOptions::default());
    for state in ["tied up", "twice direct"] {
        let locked = load_of(state, &all, state);
        assert_eq!(locked.balanced, Balanced::Indeterminate, "{state}");
        let band = locked.control(set.control_named("slow band").expect("a band"));
        assert_eq!((band.applied, band.torque.as_ref()), (true, None), "{state}");
    }
}

/// Two kinds of planets between the same sun and ring: the load on the carrier is certain, how
/// the kinds share it is not.
#[test]
fn planets_side_by_side_share_in_a_way_that_is_not_told() {
    let set = read_set(
        "side by side",
        r#"Gearset(title: "Side by side", members: {"sun": [Sun("S", 24)], "ring": [Ring("R", 60)], "carrier": []},
            planets: {"one": (carrier: "carrier", pins: Equal(2), gears: [Gear("p", 18)]),
                "two": (carrier: "carrier", pins: Equal(2), gears: [Gear("q", 18)])},
            meshes: [("S", "p"), ("R", "p"), ("S", "q"), ("R", "q")],
            states: {"low": Given(held: ["ring"], input: "sun", output: "carrier")})"#,
    );
    let low = &loads(&set, &LoadOptions::default())[0];
    assert_eq!(low.balanced, Balanced::Indeterminate);
    assert!(low.meshes.iter().all(|mesh| mesh.torque_per_tooth.is_none()), "{:?}", low.meshes);
    let torques: Vec<Option<Fraction>> = low.members[..3].iter().map(|load| load.torque.clone()).collect();
    assert_eq!(torques, [Some(fraction(1, 1)), Some(fraction(5, 2)), Some(fraction(-7, 2))]);
}

#[test]
fn a_differential_divides_the_torque_whatever_its_speeds() {
    let set = read_set(
        "differential",
        r#"Gearset(title: "Differential", members: {"left": [Bevel("L", 20, InputSide)], "right": [Bevel("R", 20, OutputSide)], "cage": []},
            planets: {"pinion": (carrier: "cage", pins: Equal(2), gears: [Bevel("p", 12)])},
            meshes: [("L", "p"), ("R", "p")],
            states: {"curve": Given(turning: {"left": "3/4"}, input: "cage", output: "right")})"#,
    );
    let curve = &loads(&set, &LoadOptions::default())[0];
    let half = Some(fraction(-1, 2));
    assert_eq!([&curve.members[0].torque, &curve.members[1].torque], [&half, &half]);
    assert_eq!(curve.members[0].power, Some(fraction(-3, 8)));
    // The pin of a bevel planet lies across the axis, so that each side puts its own half on the cage. It was told as
    // 4/5 and 1/5, as if what the teeth put on the planet about its pin came off.
    let on_cage = curve.meshes.iter().map(|mesh| mesh.torques(&set).map(|[.., on_cage]| on_cage));
    assert_eq!(on_cage.collect::<Vec<_>>(), [half.clone(), half]);
}

/// A set driven at the sun, its ring on a one-way clutch to the case: on overrun the ring runs away.
#[test]
fn a_one_way_clutch_holds_in_drive_and_lets_go_on_overrun() {
    let source = |stops: &str| {
        format!(
            r#"Gearset(title: "One way", input: "sun", output: "carrier",
            members: {{"sun": [Sun("S", 24)], "ring": [Ring("R", 60)], "carrier": []}},
            planets: {{"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 18)])}},
            meshes: [("S", "p"), ("R", "p")],
            controls: {{"sprag": OneWayClutch("ring", "case", {stops}), "clutch": Clutch("ring", "sun")}},
            states: {{"low": Apply(["sprag"]), "direct": Apply(["clutch"])}})"#
        )
    };
    let check = |stops: &str, state: usize, expected: [OneWay; 2]| {
        let set = read_set(stops, &source(stops));
        let all = loads(&set, &LoadOptions::default());
        let sprag = set.control_named("sprag").expect("a clutch");
        let found = [Sense::Forward, Sense::Backward].map(|power| one_way(&set, &all[state], sprag, power));
        assert_eq!(found, expected.map(Some), "{stops}, {state}");
    };
    check("Backward", 0, [OneWay::Holds, OneWay::LetsGo]);
    check("Forward", 0, [OneWay::LetsGo, OneWay::Holds]);
    check("Backward", 1, [OneWay::Overruns, OneWay::Overruns]);
    check("Forward", 1, [OneWay::WouldHold, OneWay::WouldHold]);
}

/// Whoever described the built-in gearsets listed a one-way clutch where it carries; torque must agree.
#[test]
fn every_one_way_clutch_that_a_built_in_state_lists_holds_in_drive() {
    let mut seen = 0;
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        for state in loads(&set, &LoadOptions::default()) {
            for load in state.controls.iter().filter(|load| load.applied) {
                let Some(does) = one_way(&set, &state, load.control, Sense::Forward) else { continue };
                assert_eq!(does, OneWay::Holds, "{name}, {:?}", state.motion.state);
                seen += 1;
            }
        }
    }
    assert!(seen >= 8, "only {seen} are listed");
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn the_loads_of_every_random_train_can_be_shown_in_every_form(draft in train(), torque in 1_i64..2000) {
        let Ok(set) = Gearset::new(draft) else { return Ok(()) };
        let torque = InputTorque { amount: fraction(torque, 9), unit: TorqueUnit::PoundFeet };
        let answer = survey_loads(&set, &LoadsQuestion { torque, ..LoadsQuestion::default() });
        let document = answer.document(&set, Extent::Full);
        for block in &document.blocks {
            if let Block::Table(table) = block {
                prop_assert!(table.rows.iter().all(|row| row.len() == table.headings.len()), "{:?}", table);
            }
        }
        let records = answer.records(&set);
        prop_assert!(records.rows.iter().all(|row| row.len() == records.fields.len()));
        let json: serde_json::Value = serde_json::from_str(&answer.json(&set)).expect("it is JSON");
        prop_assert_eq!(json["states"].as_array().map(Vec::len), Some(set.states().len()));
    }
}

/// Sun and ring driven apart and the carrier brought back to the input: power goes round.
#[test]
fn power_that_goes_round_is_found_and_a_single_set_has_none() {
    for set in [read_set("two speeds", TWO_SPEED), read_example("millrace-winch"), read_example("trap-gear")] {
        for state in loads(&set, &LoadOptions::default()) {
            let round = circulating_power(&set, &state);
            assert!(round.is_none_or(|round| round == fraction(0, 1)), "{:?}", state.motion.state);
        }
    }
    // The ring turns with the input by a pair on fixed axes, at -1/2 of it; the sun is the output.
    // Power into the set at the carrier comes out at the sun and at the ring, or goes in there.
    let set = read_set(
        "loop",
        r#"Gearset(title: "Loop", input: "shaft", output: "sun",
            members: {"shaft": [Sun("A", 30)], "ring": [Ring("R", 60), Sun("B", 60)], "sun": [Sun("S", 24)]},
            planets: {"planet": (carrier: "shaft", pins: Equal(3), gears: [Gear("p", 18)]),
                "lay": (carrier: "case", pins: Equal(1), gears: [Gear("a", 30), Gear("b", 30)])},
            meshes: [("S", "p"), ("R", "p"), ("A", "a"), ("B", "b")],
            states: {"split": Given()})"#,
    );
    let split = &loads(&set, &LoadOptions::default())[0];
    // w_ring = 1/2 w_shaft; 24 w_sun = 84 - 60 / 2, so w_sun = 9/4. The load on the sun is -4/9, on the ring
    // five halves of that, the set gives 10/9 to the ring at 1/2: 5/9 of the power come back to the shaft.
    assert_eq!(split.member(set.member_named("sun").expect("a sun")).torque, Some(fraction(-4, 9)));
    assert_eq!(circulating_power(&set, split), Some(fraction(5, 9)));
}

/// A member joined to the case was only ever written first: with the case first its torque had the other sign.
#[test]
fn a_join_to_the_case_holds_the_same_whichever_way_round_it_is_written() {
    let train = |joins: &str, states: &str| {
        format!(
            "Gearset(title: \"t\", input: \"sun\", output: \"carrier\", members: {{\"sun\": [Sun(\"S\", 24)], \
             \"ring\": [Ring(\"R\", 60)], \"carrier\": []}}, planets: {{\"p\": (carrier: \"carrier\", pins: Equal(3), \
             gears: [Gear(\"P\", 18)])}}, meshes: [(\"S\", \"P\"), (\"P\", \"R\")], {joins} states: {{\"only\": {states}}})"
        )
    };
    let of_ring = |text: String| {
        let set = read_set("joined to the case", &text);
        let ring = set.member_named("ring").expect("a member");
        loads(&set, &LoadOptions::default())[0].member(ring).clone()
    };
    // Sun 1 and carrier -7/2 leave 5/2 for the ring, which stands.
    let expected = (Some(fraction(5, 2)), Some(fraction(0, 1)));
    for (one, other) in [("ring", "case"), ("case", "ring")] {
        let pair = format!("(\"{one}\", \"{other}\")");
        let for_good = of_ring(train(&format!("joins: [{pair}],"), "Apply([])"));
        assert_eq!((for_good.torque, for_good.power), expected, "joined for good: {pair}");
        let in_state = of_ring(train("", &format!("Given(joined: [{pair}])")));
        assert_eq!((in_state.torque, in_state.power), expected, "joined in the state: {pair}");
        let clutch = of_ring(train(&format!("controls: {{\"k\": Clutch(\"{one}\", \"{other}\")}},"), "Apply([\"k\"])"));
        assert_eq!((clutch.torque, clutch.power), expected, "by a clutch: {pair}");
    }
}

/// What holds the input to the case holds all of its torque, and nothing is left over for the train.
#[test]
fn a_torque_on_a_member_and_what_holds_it_to_the_case_add_up_whichever_way_round_it_is_written() {
    for (one, other) in [("sun", "case"), ("case", "sun")] {
        let text = format!(
            "Gearset(title: \"t\", input: \"sun\", output: \"carrier\", members: {{\"sun\": [Sun(\"S\", 24)], \
             \"ring\": [Ring(\"R\", 60)], \"carrier\": []}}, planets: {{\"p\": (carrier: \"carrier\", pins: Equal(3), \
             gears: [Gear(\"P\", 18)])}}, meshes: [(\"S\", \"P\"), (\"P\", \"R\")], \
             states: {{\"held\": Given(joined: [(\"{one}\", \"{other}\")])}})"
        );
        let set = read_set("input held", &text);
        let held = &loads(&set, &LoadOptions::default())[0];
        let torques: Vec<Option<Fraction>> = held.members.iter().map(|load| load.torque.clone()).collect();
        assert_eq!(torques, vec![Some(fraction(0, 1)); set.members().len() - 1], "{one} with {other}: {held:?}");
    }
}
