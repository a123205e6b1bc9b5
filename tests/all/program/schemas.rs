//! Does every JSON answer have the form that its schema promises?
//!
//! The program prints both; a validator that knows JSON Schema (draft 2020-12) and nothing of the program compares
//! them, for every built-in gearset and what else makes an answer unusual.

use serde_json::{Value, json};
use toothmark::description::{Example, examples};

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
    for (name, value) in answers_about_every_example(arguments) {
        let faults: Vec<String> =
            schema.iter_errors(&value).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
        assert!(faults.is_empty(), "{arguments:?} of {name}: {}", faults.join("\n"));
        answers += 1;
    }
    answers
}

fn asked_as_json<'a>(arguments: &[&'a str], files: &[&'a str]) -> Vec<&'a str> {
    // One command may stand below another.
    let command_words: Vec<&str> = arguments[0].split(' ').collect();
    [&command_words, files, &["--format", "json"], &arguments[1..]].concat()
}

/// The JSON answers of a command about the examples, in their order. The program is started once for all of them but where
/// several files are one question; `program::several` says that it tells of each what it tells of that alone.
fn answers_about_every_example(arguments: &[&str]) -> Vec<(String, Value)> {
    let read = |text: &str| serde_json::from_str::<Value>(text).expect("the answer is JSON");
    if arguments[0] == "compare" {
        let of_one = |example: &Example| {
            let answer = run_with(command(&asked_as_json(arguments, &["-"])), example.text.as_bytes());
            (answer.code < 2).then(|| (example.name.to_owned(), read(&answer.stdout)))
        };
        return examples().iter().filter_map(of_one).collect();
    }
    let paths: Vec<String> = examples().iter().map(|example| format!("../gearsets/{}.ron\n", example.name)).collect();
    let told = run_with(command(&asked_as_json(arguments, &["--files-from", "-"])), paths.concat().as_bytes()).stdout;
    let named = |line: &str| {
        let mut line = read(line);
        assert!(line["answer"].is_object(), "an answer or no line: {line}");
        (line["file"].to_string(), line["answer"].take())
    };
    told.lines().map(named).collect()
}

#[test]
fn every_answer_meets_the_schema_of_its_command() {
    let with_pitch = answers_that_meet_it(&["teeth close", "--module", "2.5"]);
    assert!(with_pitch > examples().len() / 2, "{with_pitch}");
    let ordered = answers_that_meet_it(&["teeth order", "--module", "2.5", "--backlash-limits", "0.08..0.15"]);
    assert!(ordered > examples().len() / 2, "{ordered}");
    for arguments in [
        &["ratios"][..],
        &["ratios", "--rpm", "1500"],
        &["timing"],
        &["explore"],
        &["explore", "--from", "2", "--to", "5/2"],
        &["loads"],
        &["check"],
        &["compare"],
        &["compare", "../gearsets/quarry-wheel-hub.ron"],
        &["loads", "--torque", "30 lb ft", "--mesh-efficiency", "0.98"],
        &["formula"],
        &["formula", "--notation", "mathml"],
        &["motion"],
        &["motion", "--rpm", "1500", "--torque", "30 lb ft", "--limit", "900"],
        &["wrong"],
        &["wrong", "--within", "1/10", "--ease", "0.002in"],
        &["marks"],
    ] {
        assert_eq!(answers_that_meet_it(arguments), examples().len(), "{arguments:?}");
    }
    // Some gearsets have one pin, several kinds of planets or a gear of another name, and are asked nothing.
    for (arguments, at_least) in [
        (&["found", "--seen=input", "--pin=1=0deg", "--pin=2=33deg"][..], 8),
        (&["found", "--seen=input", "--pin=long:1=0", "--pin=long:2=5", "--pin=short:1=1", "--pin=short:2=1"], 1),
        (&["wrong", "--reading=0.2", "--radius=60", "--gear=A"], 1),
        (&["bench neutral"], 8),
        (&["bench neutral", "--rpm", "900"], 8),
    ] {
        let answers = answers_that_meet_it(arguments);
        assert!(answers >= at_least, "{answers} answers to {arguments:?}");
    }
}

/// Results, near misses, parts, and parts put together.
#[test]
fn every_answer_of_a_search_meets_the_schema() {
    let schema = schema("search");
    assert_eq!(run(&["schema", "search"]).stdout, run(&["schema", "merge"]).stdout);
    let teeth = ["search", "--format=json", "--teeth=L=19..21", "--teeth=l=33..38"];
    let all_kinds = ["--pins=cluster=3,4", "--modules=L with l=2,2.5", "--ratio=low=largest", "--ratio=reverse=-3..-2"];
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    let parts: Vec<String> = ["1/2", "2/2"].map(|part| part.replace('/', "-of-")).to_vec();
    let parts: Vec<String> = parts.iter().map(|part| folder.join(part).display().to_string()).collect();
    let is_met = |arguments: &[&str]| {
        let answer = run(arguments).stdout;
        let value: Value = serde_json::from_str(&answer).unwrap_or_else(|error| panic!("{arguments:?}: {error}"));
        let faults: Vec<String> = schema.iter_errors(&value).map(|fault| fault.to_string()).collect();
        assert!(faults.is_empty(), "{arguments:?}: {}", faults.join("\n"));
        value
    };
    assert_ne!(is_met(&[&teeth[..], &["--results", "2"]].concat())["results"], json!([]));
    let modules = is_met(&[&teeth[..], &all_kinds].concat());
    assert_eq!(modules["results"][0]["modules"][0]["mesh"], json!(["L", "l"]));
    let nothing = is_met(&[&teeth[..], &["--ratio=low=2..2.75", "--margin=1/8"]].concat());
    assert_ne!(nothing["near_misses"]["found"], json!([]));
    for (path, part) in parts.iter().zip(["1/2", "2/2"]) {
        let value = is_met(&[&teeth[..], &["--part", part]].concat());
        std::fs::write(path, value.to_string()).expect("it can be written");
    }
    let merged = is_met(&["merge", "--format=json", &parts[0], &parts[1]]);
    assert_eq!((&merged["part"], &merged["complete"]), (&Value::Null, &json!(true)));
}

/// What is remarked of descriptions that leave something to remark.
#[test]
fn every_kind_of_remark_is_told_with_its_parts() {
    let text = crate::support::sets::read_file("gearsets/inspection-railcar.ron")
        .replace("(\"L\", \"l\")", "(\"L\", \"l\", (backlash: Millimetres(90)))")
        .replace("Sun(\"D\", 26)", "Sun(\"D\", 27), Sun(\"idle\", 40)");
    let states = text.find("    states:").expect("it has states");
    let text = format!("{})", &text[..states]);
    let answer = run_with(command(&["check", "-", "--format", "json"]), text.as_bytes());
    let value: Value = serde_json::from_str(&answer.stdout).unwrap_or_else(|_| panic!("{}", answer.stderr));
    let remarks = value["remarks"].as_array().expect("a list");
    let told: Vec<(&str, Value)> =
        remarks.iter().map(|remark| (remark["kind"].as_str().expect("a word"), remark["parts"].clone())).collect();
    let meant = [
        ("miscount", json!(["D", "d"])),
        ("does not assemble", json!(["cluster"])),
        ("unequal centre distance", json!(["cluster", ["D", "d"], ["L", "l"]])),
        ("backlash beyond half a tooth", json!([["L", "l"]])),
        ("idle gear", json!(["idle"])),
        ("unused control", json!(["low band"])),
        ("unused control", json!(["reverse band"])),
        ("unused control", json!(["direct clutch"])),
        ("no states", json!([])),
    ];
    assert_eq!(told, meant);
    assert!(schema("check").is_valid(&value) && value["sound"] == true, "{value}");
    let shown = run_with(command(&["check", "-", "--full"]), text.as_bytes()).stdout;
    let words = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    for remark in remarks {
        assert!(words.contains(remark["text"].as_str().expect("a sentence")), "{remark}: {words}");
    }
    let csv = run_with(command(&["check", "-", "--format", "csv"]), text.as_bytes()).stdout;
    assert!(csv.starts_with("kind,text,parts\n") && csv.contains("\"cluster, D with d, L with l\""), "{csv}");
}

/// A noise can be asked about where the states have the names that are listened to.
#[test]
fn answers_about_a_noise_meet_the_schema() {
    let asked = ["motion", "--heard", "low", "--not-heard", "direct", "--rpm", "900", "--limit", "100"];
    assert!(answers_that_meet_it(&asked) > 3, "too few gearsets have such states");
}

/// Measured clusters, of which no built-in gearset has any: alike, odd, exchanged, to spare, beside fixed gears.
#[test]
fn every_answer_about_measured_clusters_meets_the_schema() {
    let schema = schema("match");
    let railcar = crate::support::sets::read_file("gearsets/inspection-railcar.ron");
    let clusters =
        "clusters: {\"1\": Index([]), \"2\": Index([Teeth(\"l\", 0.02)]), \"3\": Like(\"1\"), \"4\": Like(\"2\")}";
    let joined = railcar.replace("    controls:", "    joins: [(\"driven drum\", \"low drum\")],\n    controls:");
    for (text, measured) in [
        (&railcar, "pins: Degrees([0, 119.9, 240.3], 0.01)"),
        (&railcar, "uncertainty: Teeth(0.002), pins: Chords([71.25, 71.35, 71.25], [123.5, 123.5, 123.41], 0.05)"),
        (&railcar, clusters),
        (&joined, clusters),
        (&joined, "central: [Teeth(\"L\", 0.1)]"),
    ] {
        let section = format!("    measured: {{\"cluster\": ({measured})}},\n    controls:");
        let text = text.replace("    controls:", &section);
        let answer = run_with(command(&["match", "-", "--format", "json"]), text.as_bytes());
        let value: Value = serde_json::from_str(&answer.stdout).unwrap_or_else(|_| panic!("{}", answer.stderr));
        let faults: Vec<String> = schema.iter_errors(&value).map(|fault| fault.to_string()).collect();
        assert!(faults.is_empty(), "{measured}: {}", faults.join("\n"));
    }
}

/// The members of one gearset are asked for by their names.
#[test]
fn formulas_of_members_meet_the_schema() {
    let asked = ["formula", "--member", "carrier", "--member", "planet", "--notation", "tex"];
    assert!(answers_that_meet_it(&asked) > 0, "no gearset has such members");
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

/// The record of a job, two of them side by side.
#[test]
fn every_answer_about_a_job_meets_the_schema() {
    for (command, asked) in [
        ("job", &["job", "jobs/version-1.ron"][..]),
        ("job diff", &["job", "diff", "jobs/version-1.ron", "jobs/version-1.ron"]),
    ] {
        let answer = run(&[asked, &["--format", "json"]].concat());
        assert!(answer.code < 2, "{}", answer.stderr);
        let value: Value = serde_json::from_str(&answer.stdout).expect("the answer is JSON");
        let faults: Vec<String> = schema(command).iter_errors(&value).map(|fault| fault.to_string()).collect();
        assert!(faults.is_empty(), "{command}: {}", faults.join("\n"));
    }
}
