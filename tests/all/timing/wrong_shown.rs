//! What does a person see who asks for wrong seatings, and what one who asks wrongly?
//!
//! Whole answers are kept as snapshots under the arguments and the name of the gearset; every
//! example goes through every format, and every request that cannot be met says what to write.

use serde_json::Value;
use toothmark::description::{example, examples};

use crate::support::process::{Run, command, run, run_with};

/// Everything that is told, and not only what fits on a screen.
fn asked(arguments: &[&str], text: &str) -> Run {
    run_with(command(&[&["wrong", "-", "--full"], arguments].concat()), text.as_bytes())
}

#[track_caller]
fn shown(arguments: &[&str], name: &str) {
    let answer = asked(arguments, example(name).expect("a built-in gearset"));
    assert!(answer.code < 2, "{}", answer.stderr);
    let snapshot = format!("wrong{}-{name}", arguments.join("").replace('/', "-").replace("--", "-"));
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(snapshot, answer.stdout);
    });
}

#[test]
fn wrong_seatings_are_shown_with_their_meshes_and_what_a_hand_feels() {
    shown(&[], "inspection-railcar");
    shown(&["--within=1/20"], "trap-gear");
    shown(&["--within=1/10"], "double-stepped-hoist");
    shown(&[], "village-bus-automatic");
    shown(&[], "cannot-be-trio");
    shown(&[], "hoop-reducer");
    shown(&["--within=1/50", "--format=markdown"], "trap-gear");
    shown(&["--within=1/50", "--format=csv"], "trap-gear");
    shown(&["--within=1/100", "--format=json"], "trap-gear");
    shown(&["--within=1/50", "--reading=0.006in", "--radius=2.5in", "--gear=A"], "trap-gear");
}

#[test]
fn every_example_goes_through_every_format() {
    for example in examples() {
        for format in ["text", "markdown", "csv", "json"] {
            let answer = asked(&["--format", format], example.text);
            let refused = ["cannot-be-trio", "half-works-trio"].contains(&example.name);
            assert_eq!(answer.code, i32::from(refused), "{format} {}: {}", example.name, answer.stderr);
            assert!(!answer.stdout.is_empty() && answer.stderr.is_empty(), "{}", answer.stderr);
        }
    }
}

#[test]
fn json_has_the_promised_keys() {
    let mut seatings = 0;
    for example in examples() {
        let answer: Value = serde_json::from_str(&asked(&["--format=json"], example.text).stdout).expect("JSON");
        assert_keys(&answer, &["gearset", "within", "ease_by_force_mm", "groups"]);
        for group in items(&answer["groups"]) {
            assert_keys(group, &["planets", "carrier", "pins", "answer", "wrong_seatings", "tight_spots"]);
            for seating in items(&group["wrong_seatings"]) {
                let keys = ["largest_error", "turns", "goes_in_from_mm", "least_play_mm", "by_hand", "meshes"];
                assert_keys(seating, &keys);
                for mesh in items(&seating["meshes"]) {
                    assert_keys(mesh, &["gears", "teeth", "error", "error_mm", "play_left_mm", "backlash_mm"]);
                }
                seatings += 1;
            }
            for spots in items(&group["tight_spots"]) {
                assert_keys(spots, &["state", "input", "planets", "meshes"]);
            }
        }
    }
    assert!(seatings > 400, "only {seatings} seatings");
}

fn items(value: &Value) -> &Vec<Value> {
    value.as_array().expect("a list")
}

#[track_caller]
fn assert_keys(value: &Value, promised: &[&str]) {
    let keys: Vec<&str> = value.as_object().expect("an object").keys().map(String::as_str).collect();
    assert!(keys.starts_with(promised), "the keys {keys:?} do not begin with {promised:?}");
}

/// A person is shown a hundred seatings and told of the rest; a program gets them all.
#[test]
fn long_tables_are_cut_for_a_person_alone() {
    let text = example("trap-gear").expect("built in").replace("61", "361").replace("60", "360").replace("59", "359");
    let answer = asked(&[], &text);
    assert!(answer.stdout.contains("the first 100 of 359 are shown"), "{}", answer.stdout);
    assert_eq!(asked(&["--format=csv"], &text).stdout.lines().count(), 1 + 2 * 359, "a record a mesh");
}

#[test]
fn a_backlash_that_reaches_beyond_the_error_asked_for_is_said() {
    let trap = example("trap-gear").expect("built in");
    let beyond = "not all that could go in are listed";
    assert!(asked(&["--within=1/119"], trap).stdout.contains(beyond), "0.15 mm is more than 1/119 of a tooth");
    assert!(!asked(&["--within=1/20"], trap).stdout.contains(beyond), "0.15 mm is less than 1/20 of a tooth");
}

#[test]
fn force_taken_as_none_leaves_no_seating_that_needs_it() {
    let trap = example("trap-gear").expect("built in");
    assert!(asked(&["--within=1/20"], trap).stdout.contains("1 goes in unnoticed, 1 with force (an estimate), 3 will"));
    assert!(asked(&["--within=1/20", "--ease=0"], trap).stdout.contains("0 with force (an estimate), 4 will not"));
    assert!(asked(&["--within=1/20", "--ease=0.01in"], trap).stdout.contains("4 with force (an estimate), 0 will not"));
}

/// Once seatings were ordered by parts of a tooth alone, though a smaller part of a larger tooth can need more play.
#[test]
fn where_modules_differ_the_seating_that_needs_the_least_play_comes_first() {
    let answer = |text: &str| -> Value { serde_json::from_str(&asked(&["--format=json"], text).stdout).expect("JSON") };
    let seatings = |answer: &Value| items(&answer["groups"][0]["wrong_seatings"]).clone();
    let errors = |seatings: &[Value]| -> Vec<f64> {
        seatings.iter().map(|it| it["largest_error"]["decimal"].as_f64().expect("a number")).collect()
    };
    let railcar = example("inspection-railcar").expect("built in");
    assert!(errors(&seatings(&answer(railcar))).is_sorted(), "of one module the order is that of the errors");
    let text = railcar.replace("(\"R\", \"r\")", "(\"R\", \"r\", (pitch: Module(1)))");
    let differ = seatings(&answer(&text));
    assert!(!errors(&differ).is_sorted(), "a part of a larger tooth is more");
    let needed: Vec<f64> = differ.iter().map(|it| it["goes_in_from_mm"].as_f64().expect("a pitch is given")).collect();
    assert!(needed.windows(2).all(|pair| pair[0] <= pair[1] + 1e-8), "{needed:?}");
    assert!(asked(&[], &text).stdout.replace('\n', " ").contains("what they are ordered by"));
}

#[test]
fn a_narrow_terminal_shows_every_mesh_under_one_another() {
    let mut narrow = command(&["wrong", "--within=1/10"]);
    narrow.env("COLUMNS", "40");
    let answer = run_with(narrow, b"");
    assert!(answer.stdout.lines().all(|line| line.chars().count() <= 40), "{}", answer.stdout);
    let mut plain = command(&["wrong"]);
    plain.env("LC_ALL", "C");
    assert!(run_with(plain, b"").stdout.is_ascii(), "without UTF-8 the answer is ASCII");
}

#[test]
fn requests_that_cannot_be_met_say_what_to_write() {
    for (arguments, expected) in [
        (vec!["--within", "3/4"], "a part of a tooth such as 1/10"),
        (vec!["--within", "0"], "a part of a tooth such as 1/10"),
        (vec!["--within", "-1/4"], "a part of a tooth such as 1/10"),
        (vec!["--within", "half"], "a part of a tooth such as 1/10"),
        (vec!["--ease", "much"], "millimetres such as 0.15, or inches such as 0.006in"),
        (vec!["--reading", "0.15"], "--reading 0.15 --radius 60 --gear D"),
        (vec!["--reading", "0.15", "--radius", "60", "--gear", "X"], "the gears are D, L, R, d, l, r"),
        (vec!["--reading", "0.15", "--radius", "0", "--gear", "D"], "measure from the axis"),
        (vec!["--reading", "-0.15", "--radius", "60", "--gear", "D"], "millimetres such as 0.15"),
        (vec!["--reading", "9000", "--radius", "1", "--gear", "D"], "mm is taken unless in is written"),
    ] {
        let answer = run(&[&["wrong"], &arguments[..]].concat());
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{arguments:?}");
        assert!(answer.stderr.contains(expected), "{arguments:?}: {}", answer.stderr);
    }
    // Once a number refused for its digits alone was called no length.
    let long = format!("0.{}", "1".repeat(90));
    let answer = run(&["wrong", "--ease", &long]);
    assert!(answer.code == 2 && answer.stderr.contains("a length of 91 digits"), "{}", answer.stderr);
    let winch = example("village-bus-automatic").expect("built in");
    let answer = asked(&["--reading=0.1", "--radius=20", "--gear=A"], winch);
    assert!(answer.code == 2 && answer.stderr.contains("add a pitch"), "{}", answer.stderr);
    let answer = asked(&["--reading=0.1", "--radius=20", "--gear=s"], winch);
    assert!(answer.code == 2 && answer.stderr.contains("name the other gear"), "{}", answer.stderr);
}

/// A bench writes thousandths and fractions of an inch, and a comma where others have a point.
#[test]
fn a_dial_is_read_in_the_units_of_the_bench() {
    let asked = |lengths: [&str; 2]| {
        let [reading, radius] = [("--reading=", lengths[0]), ("--radius=", lengths[1])].map(|(a, b)| format!("{a}{b}"));
        let answer = run(&["wrong", "trap-gear", "--within=1/50", &reading, &radius, "--gear=A"]);
        assert_eq!(answer.code, 0, "{lengths:?}: {}", answer.stderr);
        answer
    };
    let inches = asked(["0.006in", "2.5in"]);
    assert_eq!(asked(["6 thou", "2 1/2\""]), inches);
    assert_eq!(asked(["0,006 IN", "2½ inches"]), inches);
    assert_eq!(asked([".006\u{2033}", "2-1/2 in."]), inches);
    let millimetres = asked(["0.15", "63.5"]);
    assert_eq!(asked(["0,15mm", "63,5 mm"]), millimetres);
    assert_eq!(asked(["150 µm", "6.35 cm"]), millimetres);
    let refused = run(&["wrong", "trap-gear", "--reading=1,500", "--radius=60", "--gear=A"]);
    assert!(refused.stderr.contains("a decimal point is wanted: 1.500?"), "{}", refused.stderr);
}
