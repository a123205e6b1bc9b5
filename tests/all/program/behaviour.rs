//! Does the program keep its promises as a process: arguments, streams, exit codes, formats?
//!
//! It is started as a person or a script would start it, from another folder and without anything in
//! its environment, and only what it writes and how it ends is looked at. What an answer should hold
//! is asked of the library elsewhere; here it is whether the answer arrives, in every format.

use std::io::{Read as _, Write as _};
use std::process::Stdio;

use serde_json::Value;
use toothmark::description::{DEFAULT_EXAMPLE, example, examples};

use crate::support::process::{command, run, run_with};

fn json(arguments: &[&str]) -> Value {
    let text = example(DEFAULT_EXAMPLE).expect("it is built in");
    json_of(text, &[&[arguments[0], "-", "--format", "json"], &arguments[1..]].concat())
}

fn json_of(text: &str, arguments: &[&str]) -> Value {
    serde_json::from_str(&run_with(command(arguments), text.as_bytes()).stdout).expect("the answer is JSON")
}

fn items(value: &Value) -> &Vec<Value> {
    value.as_array().expect("a list")
}

/// The keys of an object begin with those promised, in this order; further ones may follow.
#[track_caller]
fn assert_keys(value: &Value, promised: &[&str]) {
    let keys: Vec<&str> = value.as_object().expect("an object").keys().map(String::as_str).collect();
    assert!(keys.starts_with(promised), "the keys {keys:?} do not begin with {promised:?}");
}

#[track_caller]
fn assert_value(value: &Value) {
    assert_keys(value, &["fraction", "decimal"]);
    assert!(value["fraction"].is_string() && value["decimal"].is_number(), "types of {value}");
}

#[track_caller]
fn assert_value_or_null(value: &Value) {
    if !value.is_null() {
        assert_value(value);
    }
}

#[test]
fn json_of_the_ratios_of_every_example_has_the_promised_keys() {
    let mut steps = 0;
    for example in examples() {
        let ratios = json_of(example.text, &["ratios", "-", "--format", "json"]);
        assert_keys(&ratios, &["gearset", "states", "speed_unit", "steps"]);
        for state in items(&ratios["states"]) {
            assert_keys(state, &["state", "verdict", "ratio", "members", "input", "output", "locked_by"]);
            assert_value_or_null(&state["ratio"]);
            assert_eq!(state["verdict"] == "drives", !state["ratio"].is_null(), "{}: {state}", example.name);
            for member in items(&state["members"]) {
                assert_keys(member, &["member", "speed", "relative_to_carrier", "motion"]);
                assert_value_or_null(&member["speed"]);
                assert_value_or_null(&member["relative_to_carrier"]);
                assert_eq!(member["motion"] == "determined", !member["speed"].is_null(), "{}: {member}", example.name);
            }
        }
        for step in items(&ratios["steps"]) {
            assert_keys(step, &["input", "output", "from", "to", "step"]);
            assert_value(&step["step"]);
            steps += 1;
        }
    }
    assert!(steps > 0, "some example has a step between two states");
}

/// The keys of a group of planets.
const GROUP_KEYS: [&str; 16] = [
    "planets",
    "carrier",
    "pins",
    "goes_together",
    "spacing_divisor",
    "equivalent_seatings",
    "radial_marks",
    "parallel_marks",
    "margin",
    "pins_list",
    "equal_pin_counts",
    "within_backlash",
    "least_backlash_mm",
    "refusals",
    "loops",
    "ways_out",
];

#[test]
fn json_of_the_timing_of_every_example_has_the_promised_keys() {
    let mut refused = 0;
    for example in examples() {
        let timing = json_of(example.text, &["timing", "-", "--format", "json"]);
        assert_keys(&timing, &["gearset", "groups"]);
        for group in items(&timing["groups"]) {
            assert_keys(group, &GROUP_KEYS);
            assert_value_or_null(&group["margin"]);
            let pins = items(&group["pins_list"]);
            assert_eq!(group["pins"], pins.len(), "{}", example.name);
            for pin in pins {
                check_pin(group, pin);
            }
            refused += usize::from(!group["ways_out"].is_null());
            check_refusals(group);
        }
    }
    assert!(refused > 0, "some example is refused");
}

#[track_caller]
fn check_pin(group: &Value, pin: &Value) {
    assert_keys(pin, &["pin", "place", "turns"]);
    let planets: Vec<&str> = items(&group["planets"]).iter().filter_map(Value::as_str).collect();
    if !pin["turns"].is_null() {
        assert_keys(&pin["turns"], &planets);
    }
}

#[track_caller]
fn check_refusals(group: &Value) {
    for refusal in items(&group["refusals"]) {
        assert_keys(refusal, &["pin", "meshes", "misfit"]);
        assert_value(&refusal["misfit"]);
    }
    for closed in items(&group["loops"]) {
        assert_keys(closed, &["meshes", "closes", "misfit"]);
        assert_value_or_null(&closed["misfit"]);
    }
    if !group["ways_out"].is_null() {
        assert_keys(&group["ways_out"], &["places", "tooth_changes"]);
        for change in items(&group["ways_out"]["tooth_changes"]) {
            assert_keys(change, &["tooth_counts", "keeps_center_distance"]);
        }
    }
}

#[test]
fn json_of_the_loads_of_every_example_has_the_promised_keys() {
    for example in examples() {
        for further in [vec![], vec!["--mesh-efficiency", "0.98"]] {
            let arguments = [vec!["loads", "-", "--format", "json"], further].concat();
            let loads = json_of(example.text, &arguments);
            assert_keys(&loads, &["gearset", "states", "torque_unit"]);
            for state in items(&loads["states"]) {
                assert_keys(state, &["state", "verdict", "members", "controls", "efficiency"]);
                let drives = state["verdict"] == "drives" && state["balance"] == "determined";
                let locks = state["locks_itself"][0] == true;
                let told = drives && !locks && (arguments.len() > 4 || example.text.contains("\n    efficiency: "));
                assert_eq!(!state["efficiency"].is_null(), told, "{}: {state}", example.name);
                assert_value_or_null(&state["efficiency"]);
                for (list, key) in [("members", "member"), ("controls", "control")] {
                    for load in items(&state[list]) {
                        assert_keys(load, &[key, "torque"]);
                        assert_value_or_null(&load["torque"]);
                    }
                }
            }
        }
    }
}

#[test]
fn loads_are_given_for_the_torque_and_the_state_that_are_asked_for() {
    let loads = json(&["loads", "--state", "low", "--torque", "34.2 lb ft"]);
    assert_eq!((items(&loads["states"]).len(), &loads["torque_unit"]), (1, &"lb ft".into()));
    // 34.2 times 481/171.
    assert_eq!(loads["states"][0]["members"][1]["torque"]["fraction"], "-481/5");
    assert_eq!(loads["states"][0]["controls"][0]["torque"]["fraction"], "62");
}

/// The band holds 39.84 N m in drive and 19.96 N m on overrun, where it unwinds; the demand is twice the torque.
#[test]
fn a_band_that_cannot_hold_the_torque_asked_for_is_said_to_slip() {
    let path = "accepted/bands-and-plates-with-sizes.ron";
    // Without losses it would hold 9.9 N m in both ways; with them the load asks the band for more on overrun.
    for (torque, slips) in [("8.4 N m", 0), ("9.9 N m", 1), ("15 N m", 1), ("20 N m", 2)] {
        let shown = run(&["loads", path, "--full", "--state", "hoist", "--torque", torque]).stdout;
        assert_eq!(shown.matches("SLIPS").count(), slips, "{torque}: {shown}");
        assert_eq!(shown.matches("warning: \"band\", capacity").count(), slips, "{torque}: {shown}");
    }
}

#[test]
fn json_holds_the_exact_fraction_and_its_decimal() {
    let answer = json(&["ratios"]);
    let reverse = &answer["states"][1];
    assert_eq!(reverse["ratio"]["fraction"], "-676/285");
    assert!(reverse["ratio"]["decimal"].as_f64().is_some_and(|decimal| (decimal + 676.0 / 285.0).abs() < 1e-12));
    let verdicts: Vec<&Value> = items(&answer["states"]).iter().map(|state| &state["verdict"]).collect();
    assert_eq!(verdicts, ["drives", "drives", "drives", "neutral"]);
    let neutral = &answer["states"][3];
    assert!(neutral["ratio"].is_null() && neutral["members"][1]["speed"].is_null(), "{neutral}");
    let group = &json(&["timing"])["groups"][0];
    assert_eq!((&group["spacing_divisor"], &group["pins"]), (&57.into(), &3.into()));
    assert_eq!(group["margin"]["fraction"], "5/68");
    assert_eq!(group["pins_list"][1]["turns"]["cluster"]["fraction"], "-1/3");
}

#[test]
fn every_example_goes_through_every_command_and_format() {
    for example in examples() {
        for command_name in ["ratios", "timing", "loads"] {
            for format in ["text", "markdown", "csv", "json"] {
                let answer = run_with(command(&[command_name, "-", "--format", format]), example.text.as_bytes());
                let refused = ["cannot-be-trio", "half-works-trio"].contains(&example.name);
                let expected = i32::from(refused && command_name == "timing");
                assert_eq!(answer.code, expected, "{command_name} {format} {}", example.name);
                assert!(!answer.stdout.is_empty() && answer.stderr.is_empty(), "{}", answer.stderr);
                assert!(!answer.stdout.contains('\u{1b}'), "no colour in a pipe");
            }
        }
        assert_eq!(run(&["examples", example.name]).stdout, example.text);
    }
    assert_eq!(run(&["examples"]).stdout.lines().count(), examples().len());
}

#[test]
fn requests_that_cannot_be_met_say_what_to_write() {
    for (arguments, expected) in [
        (vec!["ratios", "--state", "lo"], "the states are low, reverse, direct, neutral"),
        (vec!["ratios", "--rpm", "fast"], "write a number such as 1500"),
        (vec!["examples", "milrace-winch"], "the nearest name is \"millrace-winch\""),
        (vec!["loads", "--state", "lo"], "the states are low, reverse, direct, neutral"),
        (vec!["loads", "--torque", "-5"], "write a number greater than zero with its unit"),
        (vec!["loads", "--torque", "30 kg"], "such as \"30 N m\" or \"22 lb ft\""),
        (vec!["loads", "--mesh-efficiency", "98"], "more than 0 and at most 1, such as 0.98"),
        (vec!["ratio"], "ratios"),
        (vec!["timing", "--format", "xml"], "json"),
    ] {
        let answer = run(&arguments);
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{arguments:?}");
        assert!(answer.stderr.contains(expected), "{arguments:?}: {}", answer.stderr);
    }
}

#[test]
fn one_state_and_a_speed_can_be_asked_for() {
    let answer = json(&["ratios", "--state", "low", "--rpm", "962"]);
    assert_eq!(answer["states"].as_array().map(Vec::len), Some(1));
    // 962 rpm times 171/481 is 342.
    assert_eq!(answer["states"][0]["members"][1]["speed"]["fraction"], "342");
}

#[test]
fn without_utf8_the_output_is_ascii() {
    for command_name in ["ratios", "timing", "loads", "check"] {
        let mut plain = command(&[command_name]);
        plain.env("LC_ALL", "C");
        assert!(run_with(plain, b"").stdout.is_ascii(), "{command_name}");
    }
}

/// A description of so many gearsets in series, every ring held: 7:2 each.
fn series(stages: usize) -> String {
    let each = |text: &dyn Fn(usize) -> String| (0..stages).map(text).collect::<Vec<_>>().concat();
    let members = each(&|i| {
        format!("\"sun {i}\": [Sun(\"S{i}\", 24)], \"ring {i}\": [Ring(\"R{i}\", 60)], \"carrier {i}\": [],\n")
    });
    let planets = each(&|i| {
        format!("\"planet {i}\": (carrier: \"carrier {i}\", pins: Equal(3), gears: [Gear(\"p{i}\", 18)]),\n")
    });
    let meshes = each(&|i| format!("(\"S{i}\", \"p{i}\"), (\"R{i}\", \"p{i}\"),\n"));
    let held = each(&|i| format!("(\"ring {i}\", \"case\"),\n"));
    let coupled = each(&|i| if i == 0 { String::new() } else { format!("(\"carrier {}\", \"sun {i}\"),\n", i - 1) });
    format!(
        "Gearset(title: \"Series\", input: \"sun 0\", output: \"carrier {}\", members: {{{members}}}, planets: {{{planets}}}, \
         meshes: [{meshes}], joins: [{held}{coupled}], states: {{\"all\": Apply([])}})",
        stages - 1
    )
}

#[test]
fn five_hundred_gearsets_in_series_give_their_exact_fraction_in_every_format() {
    let seven = num_bigint::BigInt::from(7).pow(500);
    let two = num_bigint::BigInt::from(2).pow(500);
    let exact = format!("{seven}/{two}");
    let text = series(500);
    for format in ["csv", "json", "markdown"] {
        let answer = run_with(command(&["ratios", "-", "--format", format]), text.as_bytes());
        assert!(answer.stdout.contains(&exact), "{format}");
    }
    // In text the fraction runs over several lines of its cell.
    let answer = run_with(command(&["ratios", "-"]), text.as_bytes());
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    let digits = seven.to_string();
    assert!(answer.stdout.contains(&digits[..10]), "the fraction begins with {}", &digits[..10]);
}

/// The answer is far longer than what a pipe holds, so the program is still writing when the reader
/// goes: it has to end by itself, without a word and as if all had been read.
#[test]
fn a_reader_that_closes_the_pipe_in_the_middle_is_no_trouble() {
    /// What pipes hold, at least four times over.
    const MUCH: usize = 1 << 18;
    let (text, arguments) = (series(500), ["ratios", "-", "--format", "json"]);
    let whole = run_with(command(&arguments), text.as_bytes());
    assert!(whole.code == 0 && whole.stdout.len() > MUCH, "an answer of {} bytes", whole.stdout.len());
    let mut child = command(&arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut input = child.stdin.take().expect("it is piped");
    input.write_all(text.as_bytes()).expect("the program reads its input to the end");
    drop(input);
    let mut reader = child.stdout.take().expect("it is piped");
    let mut beginning = [0; 1000];
    reader.read_exact(&mut beginning).expect("the answer begins");
    drop(reader);
    let output = child.wait_with_output().expect("the program ends");
    assert_eq!(beginning, whole.stdout.as_bytes()[..1000], "the beginning is that of the whole answer");
    assert_eq!((output.status.code(), String::from_utf8_lossy(&output.stderr).as_ref()), (Some(0), ""));
}
