//! A group typed as tooth counts, and other counts and pins in place of those described: is the answer that of a
//! description which says the same?

mod completions;
mod new;

use proptest::prelude::*;
use toothmark::description;
use toothmark::gearset::{DraftPins, Gearset};
use toothmark::kinematics::motions;
use toothmark::quick::{Arrangement, MOST_ARRANGEMENTS, StackNames, WhatIf, set_states, stack};

use crate::support::process::{command, run, run_with};
use crate::support::random::cases;

/// Runs the program, which is to answer.
#[track_caller]
fn answer(arguments: &[&str]) -> String {
    let told = run(arguments);
    assert!(told.code < 2, "{arguments:?}: {}", told.stderr);
    told.stdout
}

/// What is printed for a stack with these states and pins, written as a description by hand.
fn railcar() -> &'static str {
    r#"Gearset(
        title: "Planetary group 26:31 20:37 31:26",
        members: {"carrier": [], "sun 26": [Sun("S26", 26)], "sun 20": [Sun("S20", 20)], "sun 31": [Sun("S31", 31)]},
        planets: {
            "cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("P31", 31), Gear("P37", 37), Gear("P26", 26)]),
        },
        meshes: [("S26", "P31"), ("S20", "P37"), ("S31", "P26")],
        states: {"low": Given(held: ["sun 20"], input: "carrier", output: "sun 26")},
    )"#
}

/// Of counts that no gear has only the ring was told.
#[test]
fn what_is_wrong_with_each_gear_of_a_stack_is_told() {
    for (typed, told) in [
        (":0:0", &["gear \"P0\" has no teeth", "gear \"R0\" has no teeth"][..]),
        ("0:0:0", &["gear \"S0\" has no teeth", "gear \"P0\" has no teeth", "gear \"R0\" has no teeth"]),
        (":1:1", &["gear \"R1\"", "gear \"P1\"", "count both again"]),
    ] {
        let refused = run(&["timing", typed, "--pins", "3"]);
        assert_eq!((refused.code, refused.stdout.as_str()), (2, ""), "{typed}: {}", refused.stderr);
        assert!(told.iter().all(|told| refused.stderr.contains(told)), "{typed}: {}", refused.stderr);
    }
}

#[test]
fn a_stack_is_answered_as_a_description_that_says_the_same() {
    let state = ["--input=carrier", "--output=sun 26", "--held=sun 20"];
    for (name, arguments) in [("timing", &[][..]), ("ratios", &state), ("loads", &state)] {
        let typed = answer(&[&[name, "26:31", "20:37", "31:26", "--pins=3", "--format=json"], arguments].concat());
        let described = run_with(command(&[name, "-", "--format", "json"]), railcar().as_bytes());
        assert_eq!(typed, described.stdout.replace("\"low\"", "\"sun 20 held: carrier to sun 26\""), "{name}");
    }
    let typed = answer(&["timing", "26:31 20:37 31:26", "--pins", "3", "--full"]);
    assert_eq!(typed, run_with(command(&["timing", "-", "--full"]), railcar().as_bytes()).stdout);
}

/// The ratios of a plain group are those of the textbook: 1 + R/S, 1 + S/R and -R/S.
#[test]
fn the_best_known_arrangements_come_first() {
    let mut draft = stack("30:24:78", StackNames::ByCount).unwrap();
    set_states(&mut draft, &Arrangement::default()).unwrap();
    let set = Gearset::new(draft).unwrap();
    let ratios = motions(&set).iter().map(|motion| motion.verdict.ratio().unwrap().to_string()).collect::<Vec<_>>();
    assert_eq!(ratios, ["18/5", "18/13", "-13/5"]);
}

#[test]
fn what_is_told_of_an_arrangement_is_kept_and_the_rest_is_looked_for() {
    let of = |arguments: &[&str]| {
        let asked = [&["ratios", "26:31", "20:37", "31:26", "--format", "json"], arguments].concat();
        let answer: serde_json::Value = serde_json::from_str(&answer(&asked)).unwrap();
        let names =
            answer["states"].as_array().unwrap().iter().map(|state| state["state"].as_str().unwrap().to_owned());
        names.collect::<Vec<_>>()
    };
    assert_eq!(of(&["--held=sun 20", "--input=carrier", "--output=sun 26"]), ["sun 20 held: carrier to sun 26"]);
    assert_eq!(
        of(&["--held=sun 20", "--input=carrier"]),
        ["sun 20 held: carrier to sun 26", "sun 20 held: carrier to sun 31",]
    );
    assert_eq!(of(&[]).len(), 12);
    let speeds = ["--input=carrier", "--output=sun 26", "--with-speed=sun 20=1/2"];
    assert_eq!(of(&speeds), ["sun 20 at 1/2: carrier to sun 26"]);
}

/// Of two suns that turn alike each drove the other, in two states.
#[test]
fn of_two_members_that_turn_alike_the_first_drives() {
    let told = answer(&["ratios", "20:20", "20:20"]);
    assert!(told.contains("\"carrier held: sun 20a to sun 20b\": 1 turn of sun 20a for one of sun 20b"), "{told}");
    assert!(!told.contains("sun 20b to sun 20a"), "{told}");
}

#[test]
fn a_group_with_many_members_shows_the_best_known_arrangements_and_says_so() {
    let told = run(&["ratios", "20:30:80", "22:28:78", "24:26:76", "--format", "csv"]);
    assert!(told.stderr.contains(&format!("{MOST_ARRANGEMENTS} of ")), "{}", told.stderr);
    assert!(told.stdout.contains("ring 80 held: sun 20 to carrier"));
}

/// Each is refused with the word at fault marked, or with what to add.
#[test]
fn what_cannot_be_understood_is_told_in_the_words_of_who_typed() {
    for (arguments, told) in [
        (&["timing", "26:31"][..], "it is not said how many pins there are"),
        (&["timing", "26:x", "--pins=3"], "\"x\" is not a number of teeth"),
        (&["timing", "26:", "--pins=3"], "\"26:\" has no planet"),
        (&["timing", ":31", "--pins=3"], "\":31\" meshes with nothing"),
        (&["timing", "26:31:9:9", "--pins=3"], "has 4 counts where a gear has its sun, itself and its ring"),
        (&["timing", "26:31:30", "--pins=3"], "R30"),
        (&["timing", "99999999999999999999:31", "--pins=3"], "a count of 20 digits is more teeth than a gear has"),
        (&["timing", "26:31", "mine.ron", "--pins=3"], "are asked about at once"),
        (&["timing", "26:31,20:37", "--pins=3"], "put a space between the gears"),
        (&["timing", "26:31 20:37 31", "--pins=3"], "what the gear of 31 teeth meshes with"),
        (&["timing", "26/31", "--pins=3"], "type the gears on a pin with colons"),
        (&["timing", "26", "31", "--pins=3"], "are asked about at once"),
        (&["timing", "26:31", "--pins=0"], "\"0\" does not say where pins are"),
        (&["timing", "26:31", "--pins=x"], "does not say where pins are"),
        (&["timing", "26:31", "--pins=planets=3"], "there is no planet \"planets\""),
        (&["timing", "--with=D=0"], "gear \"D\" has no teeth"),
        (&["timing", "--with=DD=30"], "there is no gear \"DD\""),
        (&["ratios", "--held=low"], "there is no member \"low\""),
        (&["ratios", "30:24:78", "--with-speed=ring 78"], "is not a member with its speed"),
        (&["timing", "26:31", "--pins=3", "--module=0"], "\"0\" is not a pitch"),
        (&["ratios", "26:31"], "nothing drives anything so"),
        (&["search", "26:31"], "a request is expected here"),
    ] {
        let refused = run(arguments);
        assert_eq!(refused.code, 2, "{arguments:?}: {}", refused.stdout);
        assert!(refused.stderr.contains(told), "{arguments:?}: {}", refused.stderr);
    }
}

#[test]
fn every_command_that_takes_a_file_takes_a_stack() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("stack");
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    let place = |name: &str| folder.join(name).display().to_string();
    let group = ["26:31", "20:37", "31:26", "--pins=3", "--module=2.5", "--backlash=0.1mm"];
    for rest in [
        &["check"][..],
        &["timing"],
        &["marks"],
        &["wrong"],
        &["found", "--seen=input", "--gear=P31", "--pin=1=0", "--pin=2=-10", "--pin=3=-10"],
        &["ratios"],
        &["formula"],
        &["explore"],
        &["loads"],
        &["motion"],
        &["explain"],
        &["sheet"],
        &["page"],
        &["draw", "-o", &place("pictures")],
    ] {
        answer(&[&rest[..1], &group, &rest[1..]].concat());
    }
    answer(&[&["search", "--gearset"], &group[..], &["--teeth=P37=36..38", "--results=1"]].concat());
    answer(&[&["compare"], &group[..], &["--and", "26:31", "20:36", "31:26"]].concat());
    let saved = place("group.ron");
    answer(&[&["timing"], &group[..], &["--save", &saved]].concat());
    let again = answer(&["timing", &saved]);
    assert_eq!(again, answer(&[&["timing"], &group[..]].concat()));
    let twice = run(&[&["timing"], &group[..], &["--save", &saved]].concat());
    assert!(twice.code == 2 && twice.stderr.contains("is there already"), "{}", twice.stderr);
}

#[test]
fn other_counts_and_pins_are_answered_as_a_description_with_them() {
    let text = description::example("inspection-railcar").unwrap();
    for (arguments, before, after) in [
        (&["--with=d=30"][..], "Gear(\"d\", 31)", "Gear(\"d\", 30)"),
        (&["--pins=4"], "Equal(3)", "Equal(4)"),
        (&["--pins=cluster=0, 91.5, 180"], "Equal(3)", "Degrees([0, 91.5, 180])"),
        (&["--module=3"], "Module(2.5)", "Module(3)"),
        (&["--dp=10"], "Module(2.5)", "DiametralPitch(10)"),
    ] {
        assert!(text.contains(before));
        let edited = text.replace(before, after);
        let asked = [&["timing", "--format=json"], arguments].concat();
        let described = run_with(command(&["timing", "-", "--format=json"]), edited.as_bytes());
        assert_eq!(answer(&asked), described.stdout, "{arguments:?}");
    }
}

proptest! {
    #![proptest_config(cases(60))]

    /// A stack of random counts has as many ways as its members leave, each of which turns as the relative speeds say:
    /// (w_k - w_c) = e_k (w_p - w_c) with e = -p/s at a sun and +p/r at a ring.
    #[test]
    fn every_arrangement_of_a_random_stack_has_the_ratio_of_the_relative_speeds(
        counts in prop::collection::vec((11_i64..40, 11_i64..40, any::<bool>(), any::<bool>()), 1..4),
    ) {
        let words: Vec<String> = counts.iter().map(|&(sun, planet, has_sun, has_ring)| {
            let has_sun = has_sun || !has_ring;
            let [sun_text, ring_text] = [
                if has_sun { sun.to_string() } else { String::new() },
                if has_ring { format!(":{}", sun + 2 * planet) } else { String::new() },
            ];
            format!("{sun_text}:{planet}{ring_text}")
        }).collect();
        let mut draft = stack(&words.join(" "), StackNames::ByPlace).unwrap();
        WhatIf { pins: vec![(None, DraftPins::Equal(1))], ..WhatIf::default() }.change(&mut draft).unwrap();
        set_states(&mut draft, &Arrangement::default()).unwrap();
        let set = Gearset::new(draft).unwrap();
        // The basic ratio of a member against the carrier, as a float from the counts alone.
        let basic = |name: &str| -> f64 {
            let Some((kind, place)) = name.split_once(' ') else { return 0.0 };
            let (sun, planet, ..) = counts[place.parse::<usize>().unwrap() - 1];
            let [sun, planet] = [sun, planet].map(|count| f64::from(i32::try_from(count).unwrap()));
            if kind == "sun" { -planet / sun } else { planet / (sun + 2.0 * planet) }
        };
        for (state, motion) in set.states().iter().zip(motions(&set)) {
            let (held, ends) = state.name.split_once(" held: ").unwrap();
            let (input, output) = ends.split_once(" to ").unwrap();
            let held = basic(held);
            // With the carrier at c and the planet at c + 1 against it: speed = c + e, and the held one stands.
            let expected = (basic(input) - held) / (basic(output) - held);
            let ratio = toothmark::exact::to_float(motion.verdict.ratio().unwrap());
            prop_assert!((ratio - expected).abs() < 1e-9 * expected.abs().max(1.0), "{}: {ratio}, not {expected}", state.name);
            prop_assert!(ratio.abs() >= 1.0);
        }
    }
}
