//! What does one gearset do beside another?
//!
//! Every answer stands elsewhere and is tested there; here is what is told of the difference, what a
//! person sees, and whether the lines of the chart rise as the ratios say.

use roxmltree::Document;
use toothmark::comparison::{Candidate, PartChange, TeethChange, changes, compare};
use toothmark::description::examples;
use toothmark::gearset::DraftPins;
use toothmark::timing::timing;

use crate::support::process::{command, run, run_with};
use crate::support::sets::{read_example, read_file, read_set, with_pins};

#[test]
fn a_gearset_does_not_differ_from_itself() {
    for name in ["inspection-railcar", "village-bus-automatic", "bevel-differential"] {
        assert_eq!(changes(&read_example(name), &read_example(name)), [], "{name}");
    }
}

#[test]
fn other_counts_change_the_parts_that_carry_them_and_the_pin_circle() {
    let hub = read_example("quarry-wheel-hub");
    let counts = [("S", 21), ("R", 77)].map(|(name, count)| (hub.gear_named(name).unwrap(), count));
    let found = changes(&hub, &hub.with_tooth_counts(counts).unwrap());
    let teeth =
        |gear: &str, before, after| vec![TeethChange { gear: gear.into(), before: Some(before), after: Some(after) }];
    assert_eq!(found[0], PartChange::Teeth { member: "sun".into(), pieces: 1, gears: teeth("S", 20, 21) });
    assert_eq!(found[1], PartChange::Teeth { member: "ring".into(), pieces: 1, gears: teeth("R", 76, 77) });
    // (20 + 40) / 2 and (21 + 40) / 2 modules.
    let pins = PartChange::Pins {
        carrier: "carrier".into(),
        planet: "cluster".into(),
        count: [3, 3],
        radius: Some([30.0, 30.5]),
        in_millimetres: false,
    };
    assert_eq!(found[2..], [pins]);
}

#[test]
fn another_number_of_pins_is_a_change_of_the_carrier() {
    let hub = read_example("quarry-wheel-hub");
    let found = changes(&hub, &with_pins("hub", &hub, "cluster", &DraftPins::Equal(4)));
    assert!(matches!(&found[..], [PartChange::Pins { count: [3, 4], .. }]), "{found:?}");
}

#[test]
fn other_names_are_other_parts() {
    let (hub, winch) = (read_example("quarry-wheel-hub"), read_example("spinning-mule-back-off"));
    let found = changes(&hub, &winch);
    assert!(found.contains(&PartChange::Gone { member: "ring".into() }), "{found:?}");
    assert!(found.contains(&PartChange::New { member: "idler".into(), pieces: 3 }), "{found:?}");
}

#[test]
fn a_person_sees_what_changes() {
    let shown = run(&["compare", "--full", "../gearsets/quarry-wheel-hub.ron", "--with", "S=24,large=36"]);
    assert_eq!(shown.code, 0, "{}", shown.stderr);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("compare-quarry-wheel-hub", shown.stdout);
    });
}

fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Once only `check` said that 21 teeth with 37 do not close at the distance of the other meshes.
#[test]
fn a_pair_that_does_not_close_is_said() {
    let shown = words(&run(&["compare", "--with", "L=21"]).stdout);
    assert!(shown.contains("Beware: in B \"cluster\" stands at two distances from the centre: 71.25 mm"), "{shown}");
    assert!(shown.contains("it does NOT assemble"), "{shown}");
    let closes = words(&run(&["compare", "--with", "L=21,l=36"]).stdout);
    assert!(!closes.contains("distances") && closes.contains("it assembles"), "{closes}");
}

/// Once a circle of 71.25 mm was said to be in place of one of 30 modules.
#[test]
fn circles_in_millimetres_and_in_modules_are_not_compared() {
    let shown = words(&run(&["compare", "hill-tramway-car", "inspection-railcar"]).stdout);
    assert!(!shown.contains("instead of 30.000"), "{shown}");
}

/// On a screen stands only what differs.
#[test]
fn what_is_alike_is_left_out() {
    let shown = words(&run(&["compare", "--with", "L=21,l=36"]).stdout);
    assert!(shown.starts_with("Works inspection railcar, two speeds and reverse B against A: low 3.28421"), "{shown}");
    assert!(!shown.contains("ratio of reverse") && shown.contains("ratio of low"), "{shown}");
    let same = words(&run(&["compare", "inspection-railcar", "inspection-railcar"]).stdout);
    assert!(same.contains("B against A: all ratios as they are; it assembles.") && !same.contains("differs"), "{same}");
}

#[test]
fn what_does_not_fit_is_said() {
    let shown =
        run(&["compare", "../gearsets/spinning-mule-back-off.ron", "--full", "--with", "large=27,small=18,i=18"]);
    assert!(shown.stdout.contains("in B gears are in one another's way unless"), "{}", shown.stdout);
    let refused = run(&["compare", "--full", "../gearsets/cannot-be-trio.ron"]);
    assert!(refused.stdout.contains("A does not assemble as described"), "{}", refused.stdout);
}

#[test]
fn json_has_every_set_in_order() {
    let shown = run(&["compare", "--with", "L=21,l=36", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&shown.stdout).expect("it is JSON");
    assert_eq!(json["sets"][1]["column"], "B");
    assert_eq!(json["sets"][1]["states"][0]["ratio"]["fraction"], "312/95");
    assert_eq!(json["sets"][1]["parts_changed"], serde_json::json!(["low drum", "cluster"]));
    assert_eq!(json["sets"][0]["parts_changed"], serde_json::json!([]));
}

#[test]
fn every_gearset_is_told_by_its_own_names() {
    let files = ["../gearsets/quarry-wheel-hub.ron", "../gearsets/spinning-mule-back-off.ron"];
    let shown = run(&[&["compare"], &files[..], &["--format", "json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&shown.stdout).expect("it is JSON");
    for (compared, file) in json["sets"].as_array().expect("a list").iter().zip(files) {
        let set = read_set(file, &read_file(file.trim_start_matches("../")));
        let names: Vec<&str> = set.gears().iter().map(toothmark::gearset::Gear::name).collect();
        let told: Vec<&str> =
            compared["gears"].as_array().expect("a list").iter().filter_map(|gear| gear["gear"].as_str()).collect();
        assert_eq!((told, &compared["gearset"]), (names, &serde_json::json!(set.title())), "{file}");
    }
    assert_eq!(json["sets"][0]["meetings"][0]["mesh"], serde_json::json!(["S", "large"]));
    let changes: Vec<&str> =
        json["sets"][1]["changes"].as_array().expect("a list").iter().filter_map(|it| it["change"].as_str()).collect();
    assert!(changes.contains(&"gone") && changes.contains(&"new") && changes.contains(&"teeth"), "{changes:?}");
}

#[test]
fn the_lines_of_the_chart_rise_as_the_ratios_say() {
    let shown = run(&["compare", "--chart", "-", "--rpm", "1000"]);
    let document = Document::parse(&shown.stdout).expect("it is well formed");
    let number = |node: roxmltree::Node<'_, '_>, key: &str| -> f64 {
        node.attribute(key).and_then(|text| text.parse().ok()).expect("a number")
    };
    let lines: Vec<[f64; 4]> = document
        .descendants()
        .filter(|node| node.has_tag_name("line"))
        .map(|node| ["x1", "y1", "x2", "y2"].map(|key| number(node, key)))
        .collect();
    // The first three slanting lines of full length are low, reverse and direct.
    let slopes: Vec<f64> = lines
        .iter()
        .filter(|[x1, y1, x2, y2]| (x2 - x1).abs() > 50.0 && (y1 - y2).abs() > 1e-3)
        .map(|[x1, y1, x2, y2]| (y1 - y2) / (x2 - x1))
        .collect();
    let [low, reverse, direct] = slopes[..] else { panic!("{slopes:?}") };
    for (found, meant) in [(low / direct, 171.0 / 481.0), (reverse / direct, -285.0 / 676.0)] {
        assert!((found - meant).abs() < 1e-4, "{found} is not {meant}");
    }
}

#[test]
fn wrong_requests_say_what_to_write() {
    let cases = [
        (vec!["compare", "--with", "L=0"], "gear \"L\" has no teeth"),
        (vec!["compare", "--with", "L=many"], "is not a change of tooth counts"),
        (vec!["compare", "--with", "X=20"], "the gears are D, L, R, d, l, r"),
        (vec!["compare", "--with", "L=99999999999999999999"], "is not a change of tooth counts"),
        (vec!["compare", "--chart", "-", "--rpm", "-3"], "is not a speed of the input"),
        (vec!["compare", "--chart", "-", "--travel", "2"], "write a length above 0 with its unit"),
        (vec!["compare", "--chart", "/no/such/folder/chart.svg"], "cannot write"),
        (vec!["compare", "no-such-file.ron"], "there is no such file"),
    ];
    for (arguments, meant) in cases {
        let wrong = run(&arguments);
        assert_eq!(wrong.code, 2, "{arguments:?}: {}", wrong.stderr);
        assert!(wrong.stderr.contains(meant), "{arguments:?}: {}", wrong.stderr);
    }
    let too_many = vec!["--with=L=21"; 26];
    let wrong = run(&[vec!["compare"], too_many].concat());
    assert!(wrong.stderr.contains("compare 26 gearsets at most"), "{}", wrong.stderr);
}

#[test]
fn a_name_that_is_markup_stays_text_on_the_chart() {
    let source = read_file("gearsets/quarry-wheel-hub.ron").replace("ring held", "<script>&\\\"");
    let shown = run_with(command(&["compare", "-", "--chart", "-"]), source.as_bytes());
    assert_eq!(shown.code, 0, "{}", shown.stderr);
    assert!(!shown.stdout.contains("<script>"), "{}", shown.stdout);
    Document::parse(&shown.stdout).expect("it is well formed");
}

/// A state may name the case among what it holds, which changes nothing. Its torque was told as "not determined", though
/// nothing has to hold the case.
#[test]
fn the_case_among_what_is_held_takes_no_row() {
    let source = read_file("gearsets/millrace-winch.ron").replace("held: [\"ring\"]", "held: [\"ring\", \"case\"]");
    let shown = run_with(command(&["compare", "-", "--full"]), source.as_bytes());
    assert_eq!(shown.code, 0, "{}", shown.stderr);
    assert!(shown.stdout.contains("ring held: ring held"), "{}", shown.stdout);
    assert!(!shown.stdout.contains("case held"), "{}", shown.stdout);
}

/// A comparison used to tell gaps of a set whose pin circle is not known, where `timing` rightly told none.
#[test]
fn the_room_compared_is_the_room_of_the_timing() {
    for name in examples().iter().map(|example| example.name) {
        let set = read_example(name);
        let compared = compare(&[Candidate { source: name.into(), set: &set }]);
        let room: usize = timing(&set).groups.iter().map(|group| group.room.len()).sum();
        assert_eq!(compared.sets[0].gaps.len(), room, "{name}");
    }
    let unplaced = read_set(
        "two centre distances",
        r#"Gearset(title: "t", members: {"one": [Sun("A", 20)], "two": [Sun("B", 30)], "carrier": []},
            planets: {"cluster": (carrier: "carrier", pins: Equal(2), gears: [Gear("a", 25), Gear("b", 22)])},
            meshes: [("A", "a"), ("B", "b")])"#,
    );
    assert!(compare(&[Candidate { source: "t".into(), set: &unplaced }]).sets[0].gaps.is_empty());
}
