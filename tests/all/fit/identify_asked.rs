//! What does a person see who measures a gear, and what is said to readings that cannot be?

use serde_json::Value;
use toothmark::description::example;

use crate::support::process::{Run, command, run, run_with};

/// 27 teeth over three and over four of them, with a caliper.
const CALIPER: [&str; 6] = ["--teeth", "27", "--span", "3=21.896", "--span", "4=30.228"];

fn asked(arguments: &[&str], columns: &str, input: &str) -> Run {
    let mut program = command(&[&["teeth", "identify"], arguments].concat());
    program.env("COLUMNS", columns);
    run_with(program, input.as_bytes())
}

#[track_caller]
fn kept(name: &str, text: &str) {
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("teeth-identify-{name}"), text);
    });
}

/// A screen of 40 lines of 80 columns, with this exit code.
#[track_caller]
fn on_screen(name: &str, arguments: &[&str], input: &str, code: i32) {
    let answer = asked(arguments, "80", input);
    assert_eq!(answer.code, code, "{}", answer.stderr);
    let lines = answer.stdout.lines().count();
    assert!(lines <= 40, "{name}: {lines} lines\n{}", answer.stdout);
    assert!(answer.stdout.contains("fit, not strength"), "{}", answer.stdout);
    kept(name, &answer.stdout);
}

#[test]
fn a_gear_under_the_caliper_leads_to_the_next_measurement_and_to_its_pitch() {
    on_screen("two-spans", &[&CALIPER[..], &["--within", "0.02"]].concat(), "", 0);
    on_screen("with-outside", &[&CALIPER[..], &["--outside", "81.84", "--within", "0.02"]].concat(), "", 0);
    let inches = ["--teeth=27", "--span=3=0.862 in", "--span=4=1.190 in ± 0.001", "--outside=3.222in"];
    on_screen("in-inches", &inches, "", 0);
    on_screen("outside-alone", &["--teeth", "27", "--outside", "81.84"], "", 0);
    on_screen("pins-at-hand", &[&CALIPER[..], &["--pin-at-hand", "5", "--pin-at-hand=6"]].concat(), "", 0);
}

#[test]
fn rings_worn_gears_and_mates_are_told() {
    on_screen("ring", &["--teeth=60", "--ring", "--pins=4.2=145.303", "--pins=4.8=142.801"], "", 0);
    on_screen("worn", &["--teeth=33", "--dp=8", "--span=4=34.16", "--span=5=43.53", "--outside=111.13"], "", 0);
    on_screen("worn-or-shifted", &["--teeth=33", "--dp=8", "--pressure-angle=20", "--span=4=34.16"], "", 0);
    let mate = ["--teeth=24", "--span=3=19.2", "--span=4=26.6", "--center-distance=75", "--mate=37"];
    on_screen("beside-a-mate", &mate, "", 0);
    on_screen("old-angle", &["--teeth=40", "--dp=8", "--span=4=34.40", "--span=5=44.05"], "", 0);
}

#[test]
fn a_worn_set_is_told_as_a_whole() {
    on_screen("hoist", &["worn-goods-hoist"], "", 0);
    let without = example("worn-goods-hoist").expect("built in").replace("outside: Millimetres(64.90),", "");
    on_screen("hoist-without-outside", &["-"], &without, 0);
    let apart = without.replace("(\"R\", \"p\")", "(\"R\", \"p\"), (\"T\", \"u\")").replace(
        "        \"rope drum\": [],",
        "        \"rope drum\": [],\n        \"bell\": [Sun(\"T\", 20)],\n        \"shaft\": [],",
    );
    let apart = apart.replace(
        "    planets: {",
        "    planets: {\n        \"idler\": (carrier: \"shaft\", pins: Equal(1), gears: [Gear(\"u\", 31)]),",
    );
    let apart =
        apart.replace("        \"p\": (spans", "        \"u\": (outside: Millimetres(82.5)),\n        \"p\": (spans");
    on_screen("two-families", &["-"], &apart, 0);
}

#[test]
fn nothing_that_fits_ends_with_code_1_and_says_what_to_do() {
    on_screen("no-standard-pitch", &["--teeth=27", "--span=3=21.76", "--span=4=30.23", "--within=0.02"], "", 1);
    on_screen("nothing-fits", &[&CALIPER[..], &["--outside=90"]].concat(), "", 1);
}

#[test]
fn every_form_of_the_answer_has_all_of_it() {
    kept("full", &asked(&[&CALIPER[..], &["--full"]].concat(), "100", "").stdout);
    kept("narrow", &asked(&CALIPER, "48", "").stdout);
    kept("csv", &asked(&["worn-goods-hoist", "--format=csv"], "100", "").stdout);
    kept("markdown", &asked(&[&CALIPER[..], &["--format=markdown"]].concat(), "100", "").stdout);
    let json = asked(&[&CALIPER[..], &["--format=json"]].concat(), "100", "").stdout;
    kept("json", &json);
    let value: Value = serde_json::from_str(&json).expect("it is JSON");
    assert_eq!(value["candidates"][0]["diametral_pitch"]["fraction"], "9");
    assert_eq!(value["candidates"][1]["module"]["decimal"], 2.75);
    assert_eq!(value["candidates"][1]["misfits"][0]["reading"], "span over 3 teeth");
    assert_eq!(value["next"]["reading"], "outside diameter");
    assert!(value["next"]["separates_by"].as_f64().is_some_and(|it| (6.0..6.3).contains(&it)), "{value}");
}

#[test]
fn every_answer_meets_its_schema() {
    for named in [&["teeth identify"][..], &["teeth", "identify"]] {
        let text = run(&[&["schema"], named].concat()).stdout;
        let schema: Value = serde_json::from_str(&text).expect("it is JSON");
        let schema = jsonschema::validator_for(&schema).expect("it is a schema");
        for arguments in [&CALIPER[..], &["worn-goods-hoist"], &["--teeth=27", "--span=3=21.7", "--span=4=30.23"]] {
            let answer = asked(&[arguments, &["--format=json"]].concat(), "100", "").stdout;
            let value: Value = serde_json::from_str(&answer).expect("it is JSON");
            let faults: Vec<String> = schema.iter_errors(&value).map(|fault| fault.to_string()).collect();
            assert!(faults.is_empty(), "{arguments:?}: {}", faults.join("\n"));
        }
    }
    let unknown = run(&["schema", "teeth"]);
    assert!(unknown.code == 2 && unknown.stderr.contains("there is no answer in JSON \"teeth\""), "{}", unknown.stderr);
}

/// What is typed wrongly, with what is said to it.
#[test]
fn what_cannot_be_is_refused_with_a_hint() {
    let mut told = String::new();
    for arguments in [
        &[][..],
        &["--teeth=27"],
        &["--teeth=0", "--span=3=21.9"],
        &["--teeth=5", "--span=2=21.9"],
        &["--teeth=27", "--span=14=120"],
        &["--teeth=27", "--span=3=30.2", "--span=4=21.9"],
        &["--teeth=27", "--span=21.9"],
        &["--teeth=27", "--span=3=-21.9"],
        &["--teeth=27", "--span=3=21,896"],
        &["--teeth=60", "--ring", "--span=3=21.9"],
        &["--teeth=27", "--outside=81.84 ± 0"],
        &["--teeth=27", "--outside=81.84 ell"],
        &["--teeth=27", "--outside=81.84", "--within=5"],
        &["--teeth=27", "--outside=81.84", "--root=90"],
        &["--teeth=27", "--pins=60=81.84"],
        &["--teeth=27", "--span=3=21.9", "--pressure-angle=145"],
        &["--teeth=27", "--span=3=21.9", "--center-distance=75", "--mate=some"],
        &["inspection-railcar"],
    ] {
        let answer = asked(arguments, "100", "");
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{arguments:?}: {}", answer.stderr);
        assert!(answer.stderr.starts_with("error: ") && answer.stderr.contains("hint: "), "{}", answer.stderr);
        told.extend([&arguments.join(" "), "\n", &answer.stderr, "\n"]);
    }
    kept("refused", &told);
    let help = run(&["teeth"]);
    assert!(help.code == 0 && help.stdout.contains("identify"), "{}", help.stderr);
}
