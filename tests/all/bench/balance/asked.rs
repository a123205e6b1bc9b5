//! What does a person see who balances a rotor, and what is said to what cannot be?

use serde_json::Value;
use toothmark::description::{self, example};
use toothmark::exact::to_float;
use toothmark::kinematics::motions;

use crate::support::process::{Run, command, run_with};

/// A disc of cast iron with twelve places, and drills of four sizes.
const DISC: [&str; 4] = ["--places=12@95mm", "--drills=6,8,10,12", "--thickness=26mm", "--wall=4mm"];

fn asked(arguments: &[&str], columns: &str) -> Run {
    let mut program = command(&[&["bench", "balance"], arguments].concat());
    program.env("COLUMNS", columns);
    run_with(program, b"")
}

fn in_json(arguments: &[&str]) -> Value {
    let answer = asked(&[arguments, &["--format=json"]].concat(), "80");
    serde_json::from_str(&answer.stdout).unwrap_or_else(|error| panic!("{arguments:?}: {error}\n{}", answer.stderr))
}

#[track_caller]
fn kept(name: &str, text: &str) {
    insta::with_settings!({snapshot_path => "../../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("bench-balance-{name}"), text);
    });
}

/// A screen of 40 lines of 80 columns, with this exit code.
#[track_caller]
fn on_screen(name: &str, arguments: &[&str], code: i32) {
    let answer = asked(arguments, "80");
    assert_eq!(answer.code, code, "{}", answer.stderr);
    let lines = answer.stdout.lines().count();
    assert!(lines <= 40, "{name}: {lines} lines\n{}", answer.stdout);
    assert!(answer.stdout.contains("fit, not strength"), "{}", answer.stdout);
    kept(name, &answer.stdout);
}

#[test]
fn a_heavy_spot_leads_to_holes_and_after_two_thirds_to_the_rest() {
    let flywheel = ["--mass=25kg", "--rpm=1800", "--grade=2.5", "--found=22.3 g at 95 mm at 100 deg", "--seen=input"];
    on_screen("holes", &[&flywheel[..], &DISC].concat(), 0);
    let two_thirds = ["--drilled=90deg 12mm x 12", "--drilled=120deg 12mm x 5", "--found=680 g mm at 97 deg"];
    let rest = [&["--allowed=120 g mm", "--seen=input"], &two_thirds[..], &DISC].concat();
    on_screen("the-rest", &rest, 0);
    on_screen(
        "good",
        &[&["--mass=25kg", "--rpm=1800", "--found=5g@95mm@100deg", "--seen=input"][..], &DISC].concat(),
        0,
    );
    let heavy = ["--allowed=20", "--found=6122 g mm at 100", "--seen=output"];
    on_screen("nothing-reaches", &[&heavy[..], &DISC].concat(), 1);
    on_screen("no-places", &["--found=22g@95mm@100deg", "--seen=input"], 0);
    let bolts = ["--found=1.925oz@16in@70deg", "--seen=input", "--places=0,40,240,280", "--radius=16in"];
    on_screen("bolts", &bolts, 0);
}

#[test]
fn readings_of_a_machine_are_told_as_what_they_are_good_for() {
    let flywheel = ["--mass=25kg", "--rpm=900", "--seen=input"];
    let phase = ["--reading=0.36 at 18 deg", "--trial=50g@95mm@180deg=0.26@121deg"];
    on_screen("phase", &[&flywheel[..], &phase, &DISC].concat(), 0);
    let two = ["--reading=8.5@63", "--reading=6.5@206", "--trial=10g@95mm@270deg=5.9@123;4.5@228"];
    let two = [&two[..], &["--trial=12g@95mm@180deg=6.2@36;10.4@162"]].concat();
    on_screen("two-planes", &[&flywheel[..], &two, &DISC].concat(), 0);
    let full = asked(&[&flywheel[..], &two, &DISC, &["--full"]].concat(), "80");
    kept("two-planes-full", &full.stdout);
    let four = ["--reading=10", "--trial=30g@95mm@0deg=7", "--trial=30g@95mm@120deg=12", "--trial=30g@95mm@240deg=18"];
    on_screen("four-runs", &[&flywheel[..], &four, &DISC].concat(), 0);
    let contrary =
        ["--reading=10", "--trial=30g@95mm@0deg=7", "--trial=30g@95mm@120deg=12", "--trial=30g@95mm@240deg=28"];
    on_screen("measure-again", &[&flywheel[..], &contrary, &DISC].concat(), 1);
    let three = ["--reading=3", "--trial=20g@95mm@0deg=5", "--trial=20g@95mm@180deg=4"];
    on_screen("two-angles", &[&flywheel[..], &three, &DISC].concat(), 0);
}

#[test]
fn planets_of_unequal_weight_and_the_chart_need_no_rotor() {
    on_screen("three-planets", &["--clusters=812.4,815.0,809.1", "--pin-radius=75mm"], 0);
    on_screen("four-planets", &["--clusters=812.4,815.0,809.1,814.2", "--pin-radius=75mm", "--allowed=200"], 1);
    on_screen("chart", &["--chart"], 0);
    on_screen(
        "chart-in-inches",
        &["--chart", "--material=steel", "--drills=1/4in,3/8in,1/2in", "--depths=1/2in,1in"],
        0,
    );
    let narrow = asked(&["--chart", "--drills=6,8"], "48");
    assert!(narrow.stdout.lines().all(|line| line.chars().count() <= 48), "{}", narrow.stdout);
}

/// A drum that drives nothing is slower or faster than the engine, state by state; the fastest counts.
#[test]
fn the_fastest_speed_of_a_part_over_all_states_counts() {
    let set = description::read(example("inspection-railcar").expect("built in")).expect("a gearset");
    for part in ["driven drum", "reverse drum", "low drum"] {
        let member = set.member_named(part).expect("a member");
        let speeds = motions(&set).into_iter().filter_map(|motion| {
            motion.member(member).and_then(|it| it.speed.value().map(|speed| to_float(speed).abs()))
        });
        let fastest = speeds.fold(0.0, f64::max);
        let of_part = format!("--part={part}");
        let told = in_json(&["inspection-railcar", &of_part, "--engine-rpm=1500", "--mass=9kg"]);
        // 9549.297 G M / n.
        let allowed = 9_549.296_585_5 * 6.3 * 9.0 / (1500.0 * fastest);
        let off = told["allowed_g_mm"].as_f64().expect("a number") - allowed;
        assert!(off.abs() < 1e-6, "{part}: {} for {allowed}", told["allowed_g_mm"]);
        assert_eq!(told["allowance"]["speed"]["member"], part);
    }
}

#[test]
fn json_has_the_keys_that_are_promised_and_meets_its_schema() {
    let schema = run_with(command(&["schema", "bench", "balance"]), b"").stdout;
    let schema: Value = serde_json::from_str(&schema).expect("it is JSON");
    let schema = jsonschema::validator_for(&schema).expect("it is a schema");
    let flywheel = ["--mass=25kg", "--rpm=1800", "--grade=1", "--found=22.3 g at 95 mm at 100 deg", "--seen=input"];
    let runs = ["--reading=3", "--trial=20g@95mm@0deg=5", "--trial=20g@95mm@180deg=4", "--seen=input"];
    for arguments in [
        &[&flywheel[..], &DISC].concat()[..],
        &runs,
        &["--chart"],
        &["--clusters=812.4,815.0,809.1", "--pin-radius=75mm"],
        &["inspection-railcar", "--part=reverse drum", "--engine-rpm=1500", "--mass=9kg"],
    ] {
        let told = in_json(arguments);
        let faults: Vec<String> = schema.iter_errors(&told).map(|fault| fault.to_string()).collect();
        assert!(faults.is_empty(), "{arguments:?}: {}", faults.join("\n"));
    }
    let told = in_json(&[&flywheel[..], &DISC].concat());
    for key in ["allowed_g_mm", "found", "plan", "left", "proven"] {
        assert!(!told[key].is_null(), "{key}: {told}");
    }
    for key in ["place_degrees", "drill_mm", "depth_mm", "grams"] {
        assert!(told["plan"][0][key].is_number(), "{key}: {told}");
    }
    assert!(told["found"]["g_mm"].is_number() && told["left"]["degrees"].is_number() && told["proven"] == true);
    let csv = asked(&[&flywheel[..], &DISC, &["--format=csv"]].concat(), "80");
    assert_eq!(csv.stdout.lines().count(), told["plan"].as_array().expect("a list").len() + 1, "{}", csv.stdout);
}

/// 8.5 g at 95 mm are 807.5 g mm, good to 0.5 g and 1 mm, 48.3 g mm: it was told to be left as it is, with 836 allowed.
#[test]
fn what_may_be_over_is_weighed_again() {
    let asked = |allowed: &str| in_json(&["--found=8.5g@95mm@3deg", "--seen=input", allowed]);
    let told = asked("--allowed=836");
    assert_eq!((&told["verdict"], &told["cautions"][0]), (&Value::from("within_allowed"), &Value::from("may_be_over")));
    // (0.5 x 95)^2 + (8.5 x 1)^2, root; the angle does not change the size.
    let size = told["found"]["size_within_g_mm"].as_f64().expect("a number");
    assert!((size - 47.5_f64.hypot(8.5)).abs() < 1e-9, "{told}");
    on_screen("may-be-over", &["--found=8.5g@95mm@3deg", "--seen=input", "--allowed=836"], 0);
    assert_eq!(asked("--allowed=856")["cautions"].as_array().map(Vec::len), Some(0));
    // An unbalance that a machine tells is taken as told, whatever its angle.
    let told = in_json(&["--found=830 g mm at 3", "--seen=input", "--allowed=836"]);
    assert_eq!(told["cautions"].as_array().map(Vec::len), Some(0), "{told}");
}

/// The trade says iron, and the program knew cast-iron alone.
#[test]
fn materials_have_the_names_of_the_trade() {
    for (typed, density) in [
        ("iron", 7.2),
        ("cast iron", 7.2),
        ("Cast-Iron", 7.2),
        ("steel", 7.85),
        ("bronze", 8.8),
        ("aluminium", 2.7),
        ("aluminum", 2.7),
    ] {
        let told = in_json(&["--chart", "--material", typed]);
        assert!((told["chart"]["density_g_cm3"].as_f64().expect("a number") - density).abs() < 1e-12, "{typed}");
    }
    assert_eq!(asked(&["--chart", "--material=wood"], "80").code, 2);
}

/// A rotor 200 mm across has no room for 12 mm at 95 mm, and the plan drilled it through the rim all the same.
#[test]
fn holes_keep_off_the_edge_that_the_diameter_tells() {
    let disc = ["--places=12@95mm", "--drills=12", "--thickness=26mm", "--wall=4mm", "--seen=input", "--allowed=120"];
    let asked = |more: &[&str]| in_json(&[&["--found=1000 g mm at 90"], &disc[..], more].concat());
    for edge in [["--diameter=200mm"], ["--outer-radius=100mm"]] {
        let told = asked(&edge);
        let plane = &told["planes"][0];
        assert_eq!((&told["verdict"], &plane["limits"][0]), (&Value::from("nothing_reaches"), &Value::from("edge")));
    }
    // 95 and 6 and 4 are 105.
    assert_eq!(asked(&["--diameter=210mm"])["verdict"], "drill");
}

/// An ounce is 28.349523125 g: 10 mm and 15 mm deep in cast iron take off 9.0486 g.
#[test]
fn the_chart_tells_ounces_as_well() {
    let told = in_json(&["--chart", "--drills=10", "--depths=15"]);
    let ounces = told["chart"]["rows"][0]["ounces"][0].as_f64().expect("a number");
    assert!((ounces - 9.0486 / 28.349_523_125).abs() < 1e-5, "{ounces}");
}

/// With a dozen lengths in a line nobody can tell which one is meant.
#[test]
fn a_refused_value_is_told_with_its_option() {
    let answer = asked(&["--found=5 g mm at 1", "--seen=input", "--places=12@95mm", "--wall=thin"], "80");
    assert!(answer.stderr.starts_with("error: --wall: \"thin\" is not a length"), "{}", answer.stderr);
}

/// Every refusal says what is wrong and what to write instead.
#[test]
fn what_cannot_be_is_refused() {
    let seen = ["--seen=input", "--allowed=100"];
    let found = [&seen[..], &["--found=500 g mm at 10"]].concat();
    let reading = "--reading=4";
    let mut told = String::new();
    for arguments in [
        vec![],
        vec!["--found=22g@95mm@100deg"],
        vec!["--mass=0", "--rpm=1800"],
        vec!["--mass=25kg", "--rpm=0"],
        vec!["--mass=25kg", "--rpm=1800", "--grade=-1"],
        vec!["--mass=25kg"],
        [&seen[..], &["--found=22 g"]].concat(),
        [&seen[..], &["--found=0g@95mm@100deg"]].concat(),
        [&found[..], &["--places=12@95mm", "--drills=6"]].concat(),
        [&found[..], &["--places=0,30,360", "--radius=95mm"]].concat(),
        [&found[..], &["--places=12"]].concat(),
        [&found[..], &["--places=40@95mm"]].concat(),
        [&found[..], &["--places=3@95mm", "--drills=6", "--thickness=4mm", "--wall=4mm"]].concat(),
        [&found[..], &["--places=3@95mm", "--drills=6", "--thickness=26mm", "--wall=4mm", "--depth-step=1um"]].concat(),
        [&found[..], &["--places=3@95mm", "--drills=6", "--thickness=26mm", "--wall=4mm", "--drilled=90deg 6mm x 3"]]
            .concat(),
        vec![
            "--seen=input",
            "--found=500 g mm at 10",
            "--places=3@95mm",
            "--drills=6",
            "--thickness=26mm",
            "--wall=4mm",
        ],
        [&seen[..], &["--places=3@95mm"]].concat(),
        [&seen[..], &[reading, "--trial=20g@95mm@0=4"]].concat(),
        [&seen[..], &[reading, "--trial=20g@95mm@0=4", "--trial=20g@95mm@90=4"]].concat(),
        [&seen[..], &[reading, "--trial=20g@95mm@0=1", "--trial=20g@95mm@180=1"]].concat(),
        [&seen[..], &[reading, "--trial=20g@95mm@0=12", "--trial=20g@95mm@180=1"]].concat(),
        [&seen[..], &[reading, "--trial=20g@95mm@0=5", "--trial=21g@95mm@180=4"]].concat(),
        [&seen[..], &["--reading=-4", "--trial=20g@95mm@0=5", "--trial=20g@95mm@180=4"]].concat(),
        [&seen[..], &["--reading=4@10", "--trial=20g@95mm@0=4@10"]].concat(),
        [&seen[..], &["--reading=4@10", "--trial=20g@95mm@0=5"]].concat(),
        [&seen[..], &["--reading=4@10", "--reading=4@10", "--trial=20g@95mm@0=5@10;3@5"]].concat(),
        [
            &seen[..],
            &["--reading=4@10", "--reading=4@50", "--trial=20g@95mm@0=5@10;3@50", "--trial=20g@95mm@0=5@10;3@50"],
        ]
        .concat(),
        [&seen[..], &["--found=42g@10mm@3", "--planes=5,5"]].concat(),
        [&found[..], &["--places=12@9mm", "--drills=50", "--thickness=26mm", "--wall=4mm"]].concat(),
        [&found[..], &["--places=4@95mm", "--drills=6", "--thickness=26mm", "--wall=4mm", "--drilled=90deg 6mm x 30"]]
            .concat(),
        vec!["inspection-railcar"],
        vec!["--clusters=812.4", "--pin-radius=75mm"],
        vec!["--clusters=1,2,3,4,5,6,7,8,9", "--pin-radius=75mm"],
        vec!["--chart", "--density=0"],
        vec!["inspection-railcar", "--part=drum", "--engine-rpm=1800", "--mass=9kg"],
    ] {
        told.push_str(&in_words(&arguments));
    }
    kept("refused", &told);
}

/// What is said to a request that is refused.
#[track_caller]
fn in_words(arguments: &[&str]) -> String {
    let answer = asked(arguments, "100");
    assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{arguments:?}");
    assert!(answer.stderr.contains("hint: "), "{arguments:?}: {}", answer.stderr);
    assert!(!answer.stderr.contains("look at the number"), "{arguments:?}: {}", answer.stderr);
    [&arguments.join(" "), "\n", &answer.stderr, "\n"].concat()
}
