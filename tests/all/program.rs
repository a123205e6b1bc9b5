//! The program as a process: arguments, streams, exit codes, formats.

use serde_json::Value;
use toothmark::description::examples;

use crate::process::{command, run, run_with};

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&run(arguments).stdout).expect("the answer is JSON")
}

/// The keys of an object, in order.
fn keys(value: &Value) -> Vec<&str> {
    value.as_object().expect("an object").keys().map(String::as_str).collect()
}

#[test]
fn ratios_have_their_stable_keys() {
    let answer = json(&["ratios", "--format", "json"]);
    assert_eq!(keys(&answer), ["gearset", "states"]);
    let reverse = &answer["states"][1];
    assert_eq!(keys(reverse), ["state", "verdict", "ratio", "members"]);
    assert_eq!(keys(&reverse["ratio"]), ["fraction", "decimal"]);
    assert_eq!(reverse["ratio"]["fraction"], "-676/285");
    assert!(reverse["ratio"]["decimal"].as_f64().is_some_and(|decimal| (decimal + 676.0 / 285.0).abs() < 1e-12));
    assert_eq!(keys(&reverse["members"][0]), ["member", "speed", "relative_to_carrier"]);
    let verdicts: Vec<&Value> = answer["states"].as_array().expect("states").iter().map(|s| &s["verdict"]).collect();
    assert_eq!(verdicts, ["drives", "drives", "drives", "neutral"]);
    let neutral = &answer["states"][3];
    assert!(neutral["ratio"].is_null() && neutral["members"][1]["speed"].is_null(), "{neutral}");
}

#[test]
fn timing_has_its_stable_keys() {
    let answer = json(&["timing", "--format", "json"]);
    assert_eq!(keys(&answer), ["gearset", "groups"]);
    let group = &answer["groups"][0];
    let expected = [
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
    ];
    assert_eq!(keys(group), expected);
    assert_eq!((&group["spacing_divisor"], &group["pins"]), (&57.into(), &3.into()));
    assert_eq!(group["margin"]["fraction"], "5/68");
    assert_eq!(keys(&group["pins_list"][1]), ["pin", "place", "turns"]);
    assert_eq!(group["pins_list"][1]["turns"]["cluster"], "-1/3");
}

#[test]
fn every_example_goes_through_every_command_and_format() {
    for example in examples() {
        for command_name in ["ratios", "timing"] {
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
    let answer = json(&["ratios", "--state", "low", "--rpm", "962", "--format", "json"]);
    assert_eq!(answer["states"].as_array().map(Vec::len), Some(1));
    // 962 rpm times 171/481 is 342.
    assert_eq!(answer["states"][0]["members"][1]["speed"]["fraction"], "342");
}

#[test]
fn without_utf8_the_output_is_ascii() {
    for command_name in ["ratios", "timing", "check"] {
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

#[test]
fn a_reader_that_closes_the_pipe_is_no_trouble() {
    let mut child = command(&["ratios", "--format", "json"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the program ends");
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
}
