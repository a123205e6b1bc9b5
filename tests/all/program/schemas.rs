//! Does every JSON answer have the form that its schema promises?
//!
//! The program prints both; a validator that knows JSON Schema (draft 2020-12) and nothing of the program compares
//! them, for every built-in gearset and what else makes an answer unusual.

use serde_json::Value;
use toothmark::description::examples;

use crate::support::process::{command, run, run_with};

/// The schema of a command.
fn schema(of: &str) -> jsonschema::Validator {
    let text = run(&["schema", of]).stdout;
    let schema: Value = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{of}: {error}\n{text}"));
    jsonschema::validator_for(&schema).unwrap_or_else(|error| panic!("{of}: {error}"))
}

/// How many answers there were, each of which met its schema; commands that refuse a gearset print none.
#[track_caller]
fn answers_that_meet_it(arguments: &[&str]) -> usize {
    let schema = schema(arguments[0]);
    let mut answers = 0;
    for example in examples() {
        let asked = [&[arguments[0], "-", "--format", "json"], &arguments[1..]].concat();
        let answer = run_with(command(&asked), example.text.as_bytes());
        if answer.code == 2 {
            continue;
        }
        let value: Value = serde_json::from_str(&answer.stdout).expect("the answer is JSON");
        let faults: Vec<String> =
            schema.iter_errors(&value).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
        assert!(faults.is_empty(), "{asked:?} of {}: {}", example.name, faults.join("\n"));
        answers += 1;
    }
    answers
}

#[test]
fn every_answer_meets_the_schema_of_its_command() {
    for arguments in [
        &["ratios"][..],
        &["ratios", "--rpm", "1500"],
        &["explore"],
        &["explore", "--from", "2", "--to", "5/2"],
        &["loads"],
        &["loads", "--torque", "30 lb ft", "--mesh-efficiency", "0.98"],
    ] {
        assert_eq!(answers_that_meet_it(arguments), examples().len(), "{arguments:?}");
    }
}

/// A schema that lets everything pass would never be noticed.
#[test]
fn a_schema_refuses_an_answer_with_a_key_that_is_missing_or_of_another_kind() {
    let schema = schema("ratios");
    let whole: Value = serde_json::from_str(&run(&["ratios", "--format", "json"]).stdout).expect("it is JSON");
    assert!(schema.is_valid(&whole), "the answer as it is");
    let changed = |change: fn(&mut Value)| {
        let mut value = whole.clone();
        change(&mut value);
        schema.is_valid(&value)
    };
    assert!(!changed(|value| value["states"][0]["ratio"]["fraction"] = 2.into()), "a number in place of a fraction");
    assert!(!changed(|value| value["states"][0]["verdict"] = "flies".into()), "a word that there is not");
    assert!(
        !changed(|value| drop(value["states"][0].as_object_mut().expect("a state").remove("members"))),
        "no members"
    );
}
