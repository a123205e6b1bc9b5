//! Does the command for marks keep its promises: formats and their keys, exit codes, wrong requests?
//!
//! Run as a person or a script would run it; whether the numbers are right is asked in
//! `tests/all/timing/marking_twin.rs`.

use serde_json::Value;
use toothmark::description::{example, examples};

use crate::support::process::{command, run, run_with};

fn items(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

/// The keys of an object begin with those promised, in this order; further ones may follow.
#[track_caller]
fn assert_keys(value: &Value, promised: &[&str]) {
    let keys: Vec<&str> = value.as_object().expect("an object").keys().map(String::as_str).collect();
    assert!(keys.starts_with(promised), "the keys {keys:?} do not begin with {promised:?}");
}

fn answer(text: &str, format: &str) -> (i32, String) {
    let run = run_with(command(&["marks", "-", "--full", "--format", format]), text.as_bytes());
    assert_eq!(run.stderr, "", "nothing is wrong");
    (run.code, run.stdout)
}

#[track_caller]
fn check_group(group: &Value) {
    assert_keys(group, &["planets", "carrier", "pins", "convention", "marks", "solid", "phases", "meetings", "states"]);
    let pins = usize::try_from(group["pins"].as_u64().expect("a count")).expect("not many");
    let marked = ["radial", "parallel", "individual"].map(Value::from).contains(&group["convention"]);
    assert_eq!(marked, !items(&group["marks"]).is_empty(), "{group}");
    for marks in items(&group["marks"]) {
        assert_keys(marks, &["planet", "gear", "central_gear", "use", "alike_teeth", "pins"]);
        assert_eq!(items(&marks["pins"]).len(), pins, "{marks}");
        for mark in items(&marks["pins"]) {
            assert_keys(mark, &["pin", "tooth", "space", "off_line"]);
            assert_keys(&mark["off_line"], &["fraction", "decimal"]);
        }
    }
    for phase in items(&group["phases"]) {
        assert_keys(phase, &["mesh", "central_gear", "pins", "order"]);
        assert_eq!(items(&phase["pins"]).len(), pins, "{phase}");
    }
    for meeting in items(&group["meetings"]) {
        assert_keys(meeting, &["mesh", "common_factor", "hunting", "turns"]);
        assert_eq!(meeting["hunting"] == true, meeting["common_factor"] == 1, "{meeting}");
    }
    for state in items(&group["states"]) {
        let keys = ["state", "input", "motion", "line_up", "everything_back", "turns_by_then", "same_teeth"];
        assert_keys(state, &keys);
        assert_eq!(state["motion"] == "rolls", !state["everything_back"].is_null(), "{state}");
        assert_eq!(marked && state["motion"] == "rolls", !state["line_up"].is_null(), "{state}");
        for turns in items(&state["turns_by_then"]) {
            assert_keys(turns, &["gear", "turns"]);
        }
        let meshes = if state["motion"] == "rolls" { items(&group["meetings"]).len() } else { 0 };
        assert_eq!(items(&state["same_teeth"]).len(), meshes, "{state}");
        assert_eq!(items(&state["turns_by_then"]).is_empty(), meshes == 0, "{state}");
    }
}

#[test]
fn json_of_the_marks_of_every_example_has_the_promised_keys() {
    let mut motions = std::collections::BTreeSet::new();
    for example in examples() {
        let (_, text) = answer(example.text, "json");
        let answer: Value = serde_json::from_str(&text).expect("the answer is JSON");
        assert_keys(&answer, &["gearset", "groups"]);
        for group in items(&answer["groups"]) {
            check_group(group);
            motions
                .extend(items(&group["states"]).iter().filter_map(|state| state["motion"].as_str().map(String::from)));
        }
    }
    assert!(["free", "rolls", "stands"].iter().all(|motion| motions.contains(*motion)), "{motions:?}");
}

/// A person who counts has to know from where: both sides are named wherever something is counted.
#[test]
fn text_and_markdown_of_every_example_name_both_sides() {
    for example in examples() {
        for format in ["text", "markdown"] {
            let (code, text) = answer(example.text, format);
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            let counted = text.contains("Mesh phase");
            let sides = text.contains("from the input side") && text.contains("from the output side");
            assert!(sides || !counted, "{}: {text}", example.name);
            assert_eq!(code == 1, text.contains("Nothing to mark: these planets do not assemble"), "{}", example.name);
        }
    }
}

#[test]
fn every_mark_is_a_record() {
    let text = example("orchard-truck").expect("it is built in");
    let (code, records) = answer(text, "csv");
    let lines: Vec<&str> = records.lines().collect();
    // Three gears on each of three pins, after the names of the fields.
    assert_eq!((code, lines.len()), (0, 10));
    assert_eq!(lines[0], "carrier,convention,planet,gear,central_gear,use,pin,tooth,space,off_line");
    assert_eq!(lines[2], "flywheel,individual,cluster,d,D,marks,2,-9,9,1/3");
    let (_, none) = answer(example("millrace-winch").expect("it is built in"), "csv");
    assert_eq!(none.lines().count(), 1, "a set that needs no marks has no records: {none}");
}

#[test]
fn a_set_that_does_not_go_together_ends_with_one() {
    let (code, text) = answer(example("cannot-be-trio").expect("it is built in"), "text");
    assert_eq!(code, 1);
    assert!(text.contains("toothmark timing says why"), "{text}");
}

#[test]
fn a_set_without_planets_or_without_states_is_answered() {
    let (code, text) = answer("Gearset(title: \"t\", members: {})", "text");
    assert!(code == 0 && text.contains("nothing to mark"), "{text}");
    let still = "Gearset(title: \"t\", members: {\"c\": [], \"s\": [Sun(\"S\", 18)], \"r\": [Ring(\"R\", 54)]}, planets: \
                 {\"p\": (carrier: \"c\", pins: Equal(3), gears: [Gear(\"g\", 18)])}, meshes: [(\"S\", \"g\"), (\"R\", \"g\")])";
    let (code, text) = answer(still, "text");
    assert!(code == 0 && text.contains("no states are described"), "{text}");
}

#[test]
fn a_wrong_request_for_marks_ends_with_two_and_says_what_to_write() {
    for (arguments, message) in [
        (["marks", "no-such-file.ron"].as_slice(), "there is no such file"),
        (&["marks", "."], "is a folder"),
        (&["marks", "--format", "yaml"], "possible values: text, markdown, csv, json"),
        (&["marks", "rejected/no-teeth.ron"], "hint:"),
    ] {
        let run = run(arguments);
        assert_eq!((run.code, run.stdout.as_str()), (2, ""), "{arguments:?}");
        assert!(run.stderr.contains(message), "{arguments:?}: {}", run.stderr);
    }
}

/// A name cannot move the cursor, nor break a table or a record.
#[test]
fn names_of_the_description_are_escaped() {
    let text = "Gearset(title: \"t\", members: {\"=c|\": [], \"s\": [Sun(\"S\\u{202e}\", 20)], \"r\": [Ring(\"R,\\\"\", 76)]}, \
                planets: {\"p\": (carrier: \"=c|\", pins: Equal(3), gears: [Gear(\"g\", 40), Gear(\"h\", 16)])}, meshes: \
                [(\"S\\u{202e}\", \"g\"), (\"R,\\\"\", \"h\")])";
    let (_, shown) = answer(text, "text");
    assert!(!shown.contains('\u{202e}') && shown.contains("\\u{202e}"), "{shown}");
    let (_, records) = answer(text, "csv");
    assert!(records.lines().skip(1).all(|line| !line.starts_with('=')), "{records}");
    let (_, markdown) = answer(text, "markdown");
    assert!(!markdown.contains("=c| "), "{markdown}");
}
