//! What is a person told first of backlash: which pin binds, which carries first, what to do?

use serde_json::Value;
use toothmark::description::{self, examples};

use crate::support::process::{command, run, run_with};
use crate::support::sets::read_file;

/// The lines of a screen.
const SCREEN: usize = 40;

/// What is printed when this is asked, the description on standard input where a text is given.
#[track_caller]
fn printed(asked: &[&str], text: &str, code: i32) -> String {
    let mut program = command(&[&["teeth", "backlash"], asked].concat());
    program.env("COLUMNS", "80");
    let answer = run_with(program, text.as_bytes());
    assert_eq!((answer.code, answer.stderr.as_str()), (code, ""), "{}", answer.stdout);
    answer.stdout
}

#[track_caller]
fn shown(name: &str, asked: &[&str], text: &str, code: i32) {
    let shown = printed(asked, text, code);
    assert!(asked.contains(&"--full") || shown.lines().count() <= SCREEN, "{shown}");
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("backlash-{name}"), shown);
    });
}

#[track_caller]
fn words(asked: &[&str], text: &str, code: i32) -> String {
    printed(asked, text, code).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Hill tramway car: a worn slow gear on a pin circle that its shift does not quite close.
fn worn() -> String {
    read_file("gearsets/hill-tramway-car.ron").replacen(
        "members:",
        "pitch: Module(2.5), teeth: {\"l\": (thinned: Millimetres(0.09)), \"d\": (thinned: Millimetres(0.04)), \"r\": \
         (thinned: Millimetres(0.05))}, members:",
        1,
    )
}

#[test]
fn the_railcar_and_odd_sets_begin_with_what_to_do() {
    let railcar = &["inspection-railcar", "--backlash", "0.06mm"];
    shown("railcar-no-backlash-given", &["inspection-railcar"], "", 0);
    shown("railcar-pin-out", &[&railcar[..], &["--pin", "2=out:0.1mm"]].concat(), "", 0);
    shown("railcar-binds", &[&railcar[..], &["--pin", "2=in:0.1mm"]].concat(), "", 1);
    shown("railcar-binds-full", &[&railcar[..], &["--pin", "2=in:0.1mm", "--full"]].concat(), "", 1);
    let all = ["--clearance", "0.06mm", "--clearance", "2=0.1mm", "--run-out", "R78=0.04mm", "--stiffness", "20000"];
    let group = ["30:24:78", "--pins=4", "--module=2.5", "--backlash=0.1mm", "--pin=3=ccw:0.03mm", "--torque=100 N m"];
    shown("ring-with-everything", &[&group[..], &all].concat(), "", 0);
    let several = ["three-set-six-speed", "--module", "2.5", "--backlash", "0.1mm", "--clearance", "0.04mm"];
    shown("three-sets", &several, "", 0);
    shown("worn-teeth", &["-"], &worn(), 0);
    let pinions = read_file("tests/accepted/long-and-short-pinions.ron");
    let bent = ["-", "--module", "2", "--backlash", "0.1mm", "--pin", "long pinion:2=in:0.2mm"];
    shown("meshed-pinions-bind", &bent, &pinions, 1);
}

/// The rule of the trade: 0.004 in more distance gives 0.0029 in of backlash at 20 degrees, 0.0021 at 14 1/2.
#[test]
fn backlash_by_distance_is_that_of_the_trade() {
    for (angle, thou) in [("20", "2.9"), ("14.5", "2.1")] {
        let text = read_file("gearsets/inspection-railcar.ron")
            .replace("pitch: Module(2.5),", &format!("pitch: DiametralPitch(8), pressure_angle: {angle},"));
        let told = words(&["-", "--backlash", "0.1in", "--pin", "2=out:4thou", "--format", "csv"], &text, 0);
        // 0.1 in are 2.54 mm.
        let grown: f64 = told
            .split_whitespace()
            .find(|row| row.contains(",D,d,2,"))
            .and_then(|row| row.split(',').nth(6)?.parse::<f64>().ok())
            .expect("a record of pin 2")
            - 2.54;
        assert_eq!(format!("{:.1}", grown / 0.0254), thou);
    }
}

#[test]
fn what_cannot_be_is_refused_with_what_to_write_instead() {
    for (asked, sentence, hint) in [
        (&["--pin", "4=out:0.05mm"][..], "planet \"cluster\" has no pin 4", "its pins are numbered from 1 to 3"),
        (&["--pin", "2=out:50mm"], "told to stand 50 mm out of its place", "look at the unit"),
        (&["--pin", "2=0.05mm"], "does not say how a pin stands", "--pin 2=out:0.05mm"),
        (&["--pin", "long:2=out:0.05"], "there is no planet \"long\"", "the planets are cluster"),
        (&["--pin", "2=out:0.05", "--pin", "2=ccw:0.02"], "pin 2 of \"cluster\" is told twice", "at once"),
        (&["--clearance", "-0.05mm"], "\"-0.05mm\" is not a length", "write millimetres"),
        (&["--clearance", "5mm"], "a clearance of 5 mm is none of a bush", "from 0 to 1 mm"),
        (&["--run-out", "X=0.04mm"], "there is no gear \"X\"", "the gears are"),
        (&["--run-out", "0.04mm"], "is not the run-out of a gear", "--run-out D=0.04mm"),
        (&["--stiffness", "20000"], "no load for the pins to share", "--torque"),
        (&["--stiffness", "0", "--tooth-force", "100"], "a stiffness of 0 N/mm", "--stiffness 20000"),
        (&["--stiffness", "1e", "--tooth-force", "100"], "is not a stiffness", "--stiffness 20000"),
        (&["--stiffness", "100", "--tooth-force", "3 kN", "--floats", "d"], "no central gear in mesh", "main axis"),
        (
            &["--stiffness", "100", "--tooth-force", "3 kN", "--floats", "D", "--pins", "5"],
            "floats among 5 pins",
            "--floats out",
        ),
        (&["--state", "up"], "there is no state \"up\"", "the states are low"),
    ] {
        let answer = run(&[&["teeth", "backlash", "inspection-railcar"], asked].concat());
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{asked:?}");
        assert!(answer.stderr.contains(sentence), "{asked:?}: {}", answer.stderr);
        let told =
            answer.stderr.split_once("hint:").map(|(_, told)| told.split_whitespace().collect::<Vec<_>>().join(" "));
        assert!(told.is_some_and(|told| told.contains(hint)), "{asked:?}: {}", answer.stderr);
    }
    let answer = run(&["teeth", "backlash", "orchard-truck"]);
    assert!(answer.code == 2 && answer.stderr.contains("no mesh has a pitch"), "{}", answer.stderr);
    let answer = run(&["teeth", "backlash", "double-stepped-hoist", "--module=2", "--pin=1=out:0.05"]);
    assert!(answer.stderr.contains("it is not said which planet a pin belongs to"), "{}", answer.stderr);
}

#[test]
fn every_built_in_set_fits_on_one_screen_and_meets_the_schema() {
    let schema: Value = serde_json::from_str(&run(&["schema", "teeth", "backlash"]).stdout).expect("it is JSON");
    let schema = jsonschema::validator_for(&schema).expect("it is a schema");
    let mut told = 0;
    for example in examples() {
        let set = description::read(example.text).expect("a built-in gearset");
        let Some(group) = set.planet_groups().first() else { continue };
        let pin = format!("--pin={}:1=out:0.08mm,cw:0.05mm", set.member(group.planets()[0]).name());
        let asked = [example.name, "--module=2.5", "--backlash=0.05mm", "--clearance=0.05mm", &pin];
        let more = ["--stiffness=20000", "--torque=50 N m"];
        let mut program = command(&[&["teeth", "backlash"], &asked[..], &more].concat());
        program.env("COLUMNS", "80");
        let answer = run_with(program, b"");
        if answer.code == 2 {
            assert!(answer.stderr.contains("nothing here has spur gears"), "{}: {}", example.name, answer.stderr);
            continue;
        }
        let lines = answer.stdout.lines().count();
        assert!(lines <= SCREEN, "{}: {lines} lines\n{}", example.name, answer.stdout);
        let json = run(&[&["teeth", "backlash"], &asked[..], &more, &["--format", "json"]].concat()).stdout;
        let value: Value = serde_json::from_str(&json).expect("the answer is JSON");
        let faults: Vec<String> = schema.iter_errors(&value).map(|fault| fault.to_string()).collect();
        assert!(faults.is_empty(), "{}: {faults:?}", example.name);
        told += 1;
    }
    assert!(told >= 35, "{told} were told");
}

/// Without a stiffness no answer says how pins share, with one it does.
#[test]
fn shares_are_told_only_with_a_stiffness() {
    let asked = ["inspection-railcar", "--backlash=0.1mm", "--pin=2=out:0.05mm"];
    let told = words(&[&asked[..], &["--full"]].concat(), "", 0);
    assert!(!told.contains(" N") && !told.contains("share"), "{told}");
    let told = words(&[&asked[..], &["--stiffness=20 kN/mm", "--tooth-force=3 kN"]].concat(), "", 0);
    assert!(told.contains("Under 3000 N of the driving gear") && told.contains("times its share"), "{told}");
    assert!(told.contains("fit, not strength"), "{told}");
}
