//! What is a person told first on the bench, and what do other programs read of it?

use serde_json::Value;

use crate::support::process::{command, run, run_with};

/// The lines of a screen.
const SCREEN: usize = 40;

/// What is printed when this is asked.
#[track_caller]
fn printed(asked: &[&str], code: i32) -> String {
    let mut program = command(&[&["bench"], asked].concat());
    program.env("COLUMNS", "80");
    let answer = run_with(program, b"");
    assert_eq!((answer.code, answer.stderr.as_str()), (code, ""), "{}", answer.stdout);
    answer.stdout
}

#[track_caller]
fn shown(name: &str, asked: &[&str], code: i32) {
    let shown = printed(asked, code);
    assert!(asked.contains(&"--full") || shown.lines().count() <= SCREEN, "{shown}");
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("bench-{name}"), shown);
    });
    meets_schema(asked);
}

/// The same answer in JSON, and that it has the form that its schema promises.
#[track_caller]
fn meets_schema(asked: &[&str]) -> Value {
    let without_full: Vec<&str> = asked.iter().copied().filter(|argument| *argument != "--full").collect();
    let answer = run(&[&["bench"], &without_full[..], &["--format", "json"]].concat());
    let value: Value = serde_json::from_str(&answer.stdout).unwrap_or_else(|_| panic!("{}", answer.stderr));
    let schema = run(&["schema", "bench", asked[0]]).stdout;
    let schema: Value = serde_json::from_str(&schema).expect("a schema is JSON");
    let schema = jsonschema::validator_for(&schema).expect("a schema");
    let faults: Vec<String> =
        schema.iter_errors(&value).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
    assert!(faults.is_empty(), "{asked:?}: {}", faults.join("\n"));
    value
}

#[track_caller]
fn refused(asked: &[&str], sentence: &str) {
    let answer = run(&[&["bench"], asked].concat());
    assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{asked:?}");
    assert!(answer.stderr.contains(sentence) && answer.stderr.contains("hint: "), "{}", answer.stderr);
}

const SPACE: [&str; 7] = ["float", "--space", "41.37", "--parts", "12.02,25.40,0.85", "--wanted", "0.2..0.6"];
const FRONT: [&str; 5] = ["float", "--space", "front=41.37", "--parts", "front=12.02,25.40,0.85"];
const REAR: [&str; 6] = ["--float", "rear=0.9", "--wanted", "front=0.2..0.6", "--wanted", "rear=0.1..0.3"];

#[test]
fn end_float_begins_with_the_washers_to_fit() {
    shown("float-space", &[&SPACE[..], &["--washers", "1.25,1.25,1.55", "--most", "3"]].concat(), 0);
    let inches = ["float", "--float", "0.039in", "--wanted", ".005...025in", "--best", ".010in"];
    shown("float-inches", &[&inches[..], &["--washers", ".015,.018,.020,.024,.030in", "--full"]].concat(), 0);
    shown("float-too-little", &["float", "--float", "0.09", "--wanted", "0.15..0.25", "--washers", "0.1"], 1);
    shown("float-no-washer", &["float", "--float", "1.7", "--wanted", "0.1..0.3", "--washers", "0.4,2", "--full"], 1);
    let washers = ["--washers", "1.25,1.25,1.55,0.7,0.65", "--within", "0.05,0.02,0.01"];
    shown("float-two-gaps", &[&FRONT[..], &REAR, &washers].concat(), 0);
    let scarce = ["float", "--float", "a=0.7", "--float", "b=0.7", "--wanted", "0.15..0.25", "--washers", "0.5,0.1"];
    shown("float-washers-too-few", &scarce, 1);
    let in_vain = ["float", "--float", "a=0.24", "--float", "b=0.38", "--wanted", "a=0..0", "--wanted", "b=0.06..0.08"];
    shown("float-washer-to-make", &[&in_vain[..], &["--washers", "0.08,0.08,0.16", "--most", "4"]].concat(), 1);
    shown("float-pressed", &["float", "--pressed-now", "gear=0.90", "--wanted", "0.2..0.6"], 0);
    shown("float-drawn-off", &["float", "--pressed-now", "0.1", "--wanted", "0.2..0.6"], 0);
    shown("float-right-already", &["float", "--float", "0.4 ± 0.03", "--wanted", "0.2..0.6"], 0);
}

/// What was typed beside a file was once left aside without a word: the clearance that is allowed, what a bush is made
/// of, the float that is wanted, the sizes of bands that a description knows.
#[test]
fn what_is_typed_beside_a_file_wins() {
    let first = |asked: &[&str], of: &str| meets_schema(asked)[of][0].clone();
    let bush = first(&["bushes", "accepted/bushes.ron", "--allowed", "0.01..0.04", "--of", "brass"], "bushes");
    assert_eq!((&bush["allowed_mm"][1], &bush["verdict"]), (&Value::from(0.04), &Value::from("worn")));
    let described = first(&["bushes", "accepted/bushes.ron"], "bushes");
    assert_ne!(bush["pressed"]["closes_in_mm"], described["pressed"]["closes_in_mm"], "brass is softer than bronze");
    let read_again = ["bushes", "accepted/bushes.ron", "--bore", "cluster on flywheel=16.10 ± 0.05"];
    let bush = first(&read_again, "bushes");
    assert_eq!((&bush["places"].as_array().unwrap().len(), &bush["good_to_mm"]), (&1, &Value::from(0.1)));
    assert_eq!(bush["verdict"], "worn");
    let gap = first(&["float", "jobs/version-1.ron", "--wanted", "0.1..0.3", "--washers", "0.1"], "gaps");
    assert_eq!((&gap["gap"], &gap["wanted"][0]["fraction"]), (&Value::from("sun"), &Value::from("1/10")));
    let band = first(&["bands", "peat-railway-tractor", "--wrap", "180", "--gap", "1"], "bands");
    assert_eq!(band["wrap_degrees"], 180.0);
}

/// The keys that are promised, in the unit of the question.
#[test]
fn stacks_and_what_is_missing_are_read_by_other_programs() {
    let found = meets_schema(&[&SPACE[..], &["--washers", "1.25,1.25,1.55"]].concat());
    assert_eq!(found["stacks"][0]["washers"][1]["fraction"], "31/20");
    assert_eq!(found["stacks"][0]["float"]["decimal"], 0.3);
    assert_eq!((&found["missing"], &found["unit"]), (&Value::Null, &Value::from("mm")));
    let lacking = meets_schema(&["float", "--float", "0.09", "--wanted", "0.15..0.25"]);
    assert_eq!(
        (&lacking["stacks"], &lacking["missing"]["decimal"]),
        (&Value::from(Vec::<Value>::new()), &Value::from(0.11))
    );
}

#[test]
fn what_is_typed_of_end_float_and_is_none_is_refused() {
    refused(&["float", "--wanted", "0.2..0.6"], "no gap is given");
    refused(&["float", "--float", "0.5", "--wanted", "0.6..0.2"], "is none that can be wanted");
    refused(&["float", "--float", "0.5", "--wanted", "0.2"], "does not say the least and the greatest");
    refused(&["float", "--float", "-0.5", "--wanted", "0.2..0.6"], "below zero");
    refused(&["float", "--float", "0.5", "--wanted", "0.2..0.6", "--washers", "12,02, 25,40"], "list of sizes");
    refused(&["float", "--float", "0.5", "--wanted", "0.2..0.6", "--washers", "0"], "a washer of 0 mm");
    refused(&["float", "--float", "0.5", "--wanted", "0.2..0.6", "--within", "1,2"], "neither one length nor three");
    refused(&["float", "--parts", "12", "--float", "0.5", "--wanted", "0.2..0.6"], "no space for them");
    refused(&["float", "--float", "front=0.5", "--wanted", "rear=0.2..0.6"], "there is no gap \"rear\"");
    refused(&["float", "--float", "0.5", "--float", "0.6", "--wanted", "0.2..0.6"], "has no name");
    refused(&["float", "--float", "0.5", "--wanted", "0.2..0.6", "--wanted", "0..1"], "--wanted is given twice");
    refused(&["float", "--pressed-now", "0.5", "--wanted", "0.2..0.6", "--washers", "1"], "no gap that takes them");
    refused(&["float", "inspection-railcar", "--wanted", "0.2..0.6"], "a description knows of no end float");
    refused(&["float", "jobs/version-1.ron", "--wanted", "moon=0.2..0.6"], "there is no gap \"moon\"");
    // This was read as 12 and 2.
    refused(&["float", "--space", "41,37", "--parts", "12,02", "--wanted", "0.2..0.6"], "--parts: \"12,02\"");
}

const PIN: [&str; 7] = ["bushes", "--bore", "16.02", "--shaft", "15.97", "--allowed", "0.02..0.06"];
const PRESSED: [&str; 6] = ["--bush-outside", "20", "--interference", "0.03", "--housing", "40"];
const BRONZE: [&str; 4] = ["--of", "bronze", "--into", "steel"];

#[test]
fn bushes_begin_with_what_to_replace() {
    shown("bushes-good", &PIN, 0);
    shown("bushes-pressed", &[&PIN[..], &PRESSED, &BRONZE, &["--hot", "80", "--shaft-hotter", "20"]].concat(), 0);
    let pins = ["--bore", "pin 1=16.03x16.05,16.02,16.02", "--bore", "pin 2=16", "--bore", "pin 3=15.98"];
    let rest = ["--shaft", "15.97", "--allowed", "0.02..0.06", "--within", "0.002", "--full"];
    shown("bushes-three-pins", &[&["bushes"], &pins[..], &rest].concat(), 1);
    let soft = ["--bush-outside", "20", "--interference", "5 um", "--housing", "40", "--of", "bronze", "--into"];
    shown("bushes-lets-go", &[&PIN[..], &soft, &["aluminium", "--hot", "80", "--full"]].concat(), 1);
    let tapered = ["bushes", "--bore", "16", "--shaft", "15.92,15.97", "--allowed", "0.02..0.06"];
    shown("bushes-uneven-shaft", &tapered, 1);
    shown("bushes-described", &["bushes", "accepted/bushes.ron", "--hot", "80"], 1);
    let thou = ["bushes", "--bore", "1.002in", "--shaft", "1in", "--allowed", "0.8..2.4 thou"];
    assert_eq!(meets_schema(&thou)["bushes"][0]["verdict"], "good");
    shown("bushes-hot-untold", &[&PIN[..], &["--hot", "80"]].concat(), 0);
    shown("bushes-hot-free", &[&PIN[..], &["--hot", "80", "--of", "bronze"]].concat(), 0);
    shown("bushes-not-judged", &["bushes", "--bore", "1.002in", "--shaft", "1in"], 0);
}

#[test]
fn what_is_typed_of_bushes_and_is_none_is_refused() {
    refused(&["bushes", "inspection-railcar"], "no bush is given");
    refused(&["bushes", "--shaft", "15.97"], "there is a shaft, but no bore");
    refused(&["bushes", "--bore", "16.02", "--shaft", "pin 2=15.97"], "there is no bore of the bush \"pin 2\"");
    refused(&["bushes", "--bore", "16.02,16,16,16,16,16,16", "--shaft", "15.97"], "is given at 7 places");
    refused(&["bushes", "--bore", "16.02x16.03x16.04", "--shaft", "15.97"], "more than two ways");
    refused(&[&PIN[..], &["--bush-outside", "20"]].concat(), "takes its outside, its interference and its housing");
    refused(
        &[&PIN[..], &["--bush-outside", "16", "--interference", "0.03", "--housing", "40"]].concat(),
        "not larger than its bore",
    );
    refused(
        &[&PIN[..], &["--bush-outside", "20", "--interference", "0.1", "--housing", "40"]].concat(),
        "it will crush",
    );
    refused(
        &[&PIN[..], &["--bush-outside", "20", "--interference", "0.03", "--housing", "20"]].concat(),
        "not larger than the bush",
    );
    refused(&[&PIN[..], &["--of", "tin"]].concat(), "there is no material \"tin\"");
    refused(&[&PIN[..], &["--hot", "900"]].concat(), "nothing that a gearbox gets");
    refused(&["bushes", "--bore", "16.02", "--shaft", "1.597"], "differ by");
    refused(&["bushes", "--bore", "nan", "--shaft", "15.97"], "--bore: \"nan\" is not a size");
    refused(&[&PIN[..], &["--shaft", "15.98"]].concat(), "--shaft is given twice");
    refused(&[&PIN[..], &["--into", "steel"]].concat(), "pressed into, but not how");
    refused(&[&PIN[..], &["--housing", "40 ± 1"]].concat(), "which is not asked of it");
}

const FINGERS: [&str; 7] = ["clutch", "--finger", "20.9,21.4,20.6", "--wanted", "20.64", "--pitch", "1/20 in"];
const SPRING: [&str; 8] = ["--spring", "60=900,45=1800", "--working", "50", "--wire", "8", "--coil", "62"];

#[test]
fn a_clutch_begins_with_what_to_turn() {
    shown("clutch-fingers", &FINGERS, 1);
    shown("clutch-fingers-right", &["clutch", "--finger", "20.6,20.7", "--wanted", "20.64", "--pitch", "1.27"], 0);
    shown("clutch-fingers-without-pitch", &FINGERS[..5], 1);
    let spring = [&["clutch"], &SPRING[..], &["--coils", "4.5", "--full"]].concat();
    shown("clutch-coil-bound", &spring, 1);
    shown("clutch-pack", &["clutch", "--pack", "steel,lined,lined,steel,lined"], 1);
    shown("clutch-pack-letters", &["clutch", "--pack", "SLSLS"], 0);
    let tractor = ["clutch", "peat-railway-tractor", "--torque", "40 N m"];
    shown("clutch-plates", &tractor, 0);
    shown("clutch-slips", &["clutch", "peat-railway-tractor", "--torque", "140 N m", "--full"], 1);
    let measured = ["--all-coils", "5", "--coils", "3", "--spring-lever", "2", "--lost", "0.1", "--pack", "SLSLSLSLS"];
    shown("clutch-measured", &[&tractor[..], &FINGERS[1..], &SPRING, &measured, &["--full"]].concat(), 1);
}

#[test]
fn what_is_typed_of_a_clutch_and_is_none_is_refused() {
    refused(&["clutch"], "nothing is asked of the clutch");
    refused(&["clutch", "--pitch", "1.27"], "the gaps at the fingers are not given");
    refused(&["clutch", "--working", "50"], "the spring is not given");
    refused(&["clutch", "--finger", "20.9", "--pitch", "0"], "a pitch of the screws of 0");
    refused(&["clutch", "--finger", "20.9", "--pitch", "1", "--lever", "0"], "a lever of the fingers of 0");
    refused(&["clutch", "--spring", "60=900"], "is not a spring at two lengths");
    refused(&["clutch", "--spring", "60=1800,45=900"], "does not press harder at the shorter length");
    refused(&["clutch", "--pack", "steel"], "a pack of 1 disc is none");
    refused(&["clutch", "inspection-railcar"], "no clutch with sizes of its plates");
    refused(&["clutch", "peat-railway-tractor", "--clutch", "dirct clutch"], "write \"direct clutch\"");
}

const BAND: [&str; 9] = ["bands", "--wrap", "330", "--drum", "190", "--lining", "5", "--gap", "0.5"];

#[test]
fn bands_begin_with_what_rubs_or_slips() {
    shown("bands-travel", &[&BAND[..], &["--run-out", "0.3", "--friction", "0.12"]].concat(), 0);
    shown("bands-rubs", &[&BAND[..], &["--run-out", "1.2"]].concat(), 1);
    shown("bands-not-enough-told", &["bands", "--lining", "5", "--run-out", "0.2"], 0);
    shown(
        "bands-both-senses",
        &["bands", "--wrap", "330", "--drum", "190", "--friction", "0.12", "--pull", "600 N"],
        0,
    );
    shown("bands-hold", &["bands", "peat-railway-tractor", "--torque", "20 N m", "--band", "low band"], 0);
    shown("bands-described", &["bands", "peat-railway-tractor", "--gap", "0.5", "--lining", "5"], 0);
    let slips = ["bands", "peat-railway-tractor", "--torque", "140 N m", "--band", "reverse band", "--full"];
    shown("bands-slips", &slips, 1);
}

#[test]
fn what_is_typed_of_bands_and_is_none_is_refused() {
    refused(&["bands"], "no band is given");
    refused(&["bands", "inspection-railcar"], "no band is given");
    refused(&["bands", "--gap", "200"], "the gap of the band, 200 mm, cannot be");
    refused(&["bands", "peat-railway-tractor", "--pull", "0"], "the pull of low band, 0 N, cannot be");
    refused(&["bands", "--wrap", "0", "--gap", "0.5"], "lies 0.0 degrees round");
    refused(&["bands", "--wrap", "800", "--gap", "0.5"], "lies 800.0 degrees round");
    refused(&["bands", "--wrap", "330", "--gap", "-0.5"], "is not a length");
    refused(&["bands", "peat-railway-tractor", "--band", "slow band"], "there is no band \"slow band\"");
}
