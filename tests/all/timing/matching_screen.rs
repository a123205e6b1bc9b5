//! What is a person told first of measured clusters: what goes where, whether it turns freely, what would help?

use toothmark::description::{self, examples};
use toothmark::gearset::GearId;

use crate::support::process::{command, run_with};
use crate::support::sets::read_file;

/// The lines of a screen.
const SCREEN: usize = 40;

/// What is printed of a text without asking for all.
#[track_caller]
fn screen(text: &str, width: &str, code: i32) -> String {
    let mut program = command(&["match", "-"]);
    program.env("COLUMNS", width);
    let answer = run_with(program, text.as_bytes());
    assert_eq!((answer.code, answer.stderr.as_str()), (code, ""), "{}", answer.stdout);
    answer.stdout
}

/// The same as one line of words.
#[track_caller]
fn words(text: &str, code: i32) -> String {
    screen(text, "80", code).split_whitespace().collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn shown(name: &str, text: &str, code: i32) {
    let shown = screen(text, "80", code);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("match-screen-{name}"), shown);
    });
}

/// A description with this measured of its cluster.
fn with_measured(text: &str, planet: &str, measured: &str) -> String {
    let end = text.trim_end().strip_suffix(')').expect("a description ends with a bracket");
    format!("{end}    measured: {{\"{planet}\": ({measured})}},\n)\n")
}

/// The railcar with so much backlash and this measured of its clusters.
fn railcar(backlash: &str, measured: &str) -> String {
    let text = read_file("gearsets/inspection-railcar.ron");
    let text = text.replace("pitch: Module(2.5),", &format!("pitch: Module(2.5), backlash: Millimetres({backlash}),"));
    text.replace("    controls:", &format!("    measured: {{\"cluster\": ({measured})}},\n    controls:"))
}

const ODD_ONE: &str = "uncertainty: Teeth(0.002), clusters: {\"one\": Index([]), \"two\": Index([Teeth(\"l\", 0.02), \
                       Teeth(\"r\", -0.01)]), \"shelf\": Like(\"one\")}";

#[test]
fn the_railcar_and_odd_sets_begin_with_what_to_do() {
    shown("railcar-odd-cluster", &railcar("0.2", ODD_ONE), 0);
    shown("railcar-no-backlash-given", &railcar("0.2", ODD_ONE).replace(" backlash: Millimetres(0.2),", ""), 0);
    shown("railcar-binds", &railcar("0.05", ODD_ONE), 1);
    let trio = read_file("gearsets/cannot-be-trio.ron");
    let alike = "clusters: {\"1\": Index([]), \"2\": Like(\"1\"), \"3\": Like(\"1\")}";
    let sizes = "pitch: Module(2), backlash: Millimetres(0.1), members:";
    shown("cannot-be-trio", &with_measured(&trio.replace("members:", sizes), "cluster", alike), 1);
    let half = read_file("tests/accepted/half-a-tooth-on-every-gear.ron");
    let nearly =
        "clusters: {\"1\": Index([]), \"2\": Like(\"1\"), \"3\": Like(\"1\"), \"4\": Index([Teeth(\"q\", 0.01)])}";
    shown("half-a-tooth-on-every-gear", &with_measured(&half, "cluster", nearly), 0);
    let orchard = read_file("gearsets/orchard-truck.ron");
    shown("orchard-truck", &with_measured(&orchard, "cluster", ODD_ONE), 0);
}

/// The cluster on pin 2 of two suns, 59 teeth on the sun of 61, stands 29 1/2 teeth round: once that was told as "tooth
/// 30", one of two seatings that are equally near, of which one is wrong.
#[test]
fn a_mark_between_two_teeth_is_set_by_its_degrees_or_with_all_others() {
    let half = read_file("tests/accepted/half-a-tooth-on-one-gear.ron");
    let measured = "clusters: {\"1\": Index([]), \"2\": Like(\"1\")}";
    let told = words(&with_measured(&half, "cluster", measured), 0);
    assert!(told.contains("Set the marks of p 59 of all clusters the same way, say all to twelve o'clock."), "{told}");
    // Half a tooth the other way is as near and is not right; on four pins, 23 + 19 = 42 and 21 + 21 = 42 by 4 leave
    // half a tooth on pin 3 (2/4 of 42 is 21 exactly, so the turn is half a turn: 9 1/2 and 10 1/2 teeth).
    let half = read_file("tests/accepted/half-a-tooth-on-every-gear.ron");
    let measured = "clusters: {\"1\": Index([]), \"2\": Like(\"1\"), \"3\": Like(\"1\"), \"4\": Like(\"1\")}";
    let told = words(&with_measured(&half, "cluster", measured), 0);
    assert!(told.contains("180.0 degrees") && !told.contains("10 ccw") && !told.contains("9 ccw"), "{told}");
}

/// The railcar with one pin at 71.15 mm in place of 71.25 mm, as it was once said to turn freely with all of its backlash.
#[test]
fn a_pin_too_far_in_is_the_first_thing_that_is_told() {
    let chord = |a: f64, b: f64| (a * a + b * b + a * b).sqrt();
    let [out, side] = [chord(71.25, 71.25), chord(71.25, 71.15)];
    let pins = format!("pins: Chords([71.25, 71.15, 71.25], [{side:.6}, {side:.6}, {out:.6}], 0.0001)");
    let told = words(&railcar("0.06", &pins), 1);
    let first = "Does NOT match: as found the set binds";
    assert!(told.contains(first) && told.contains("Have pin 2 set on the pin circle"), "{told}");
    assert!(!told.contains("Set the marks"), "a set that binds is not put together: {told}");
    // Further out by as much nothing binds. By hand: each mesh gains 2 * 0.1 * tan 20 degrees = 0.073 mm, half of it at the
    // flank that carries; for D that half is carried over by the cluster, and L begins 0.036 * (1 + 37/31) = 0.080 mm later.
    let side = chord(71.25, 71.35);
    let pins = format!("pins: Chords([71.25, 71.35, 71.25], [{side:.6}, {side:.6}, {out:.6}], 0.0001)");
    let told = words(&railcar("0.06", &pins), 0);
    assert!(told.contains("│ D 26 ┆ L 20 ┆ pins 1 and 3 ┆ pin 2 0.08"), "{told}");
}

#[test]
fn pins_out_of_place_are_not_put_down_to_a_cluster() {
    let text = "Gearset(title: \"Winch\", pitch: Module(3), backlash: Millimetres(0.1),
        members: {\"sun\": [Sun(\"S\", 24)], \"ring\": [Ring(\"R\", 60)], \"carrier\": []},
        planets: {\"planet\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"P\", 18)])},
        meshes: [(\"S\", \"P\"), (\"R\", \"P\")],
        measured: {\"planet\": (pins: Degrees([0, 119.9, 240.2], 0.02))})";
    let told = words(text, 1);
    let cure = "Have the pins set in their places: against pin 1, seen from the input side, off are pin 2 0.100 degrees \
                clockwise and pin 3 0.200 degrees ccw.";
    assert!(told.contains(cure) && !told.contains("Replace"), "{told}");
}

/// Clusters that turn freely stay where they are; those that bind go where they do not, and the first line says where.
#[test]
fn an_exchange_is_an_order_only_where_it_is_needed() {
    let winch = |backlash: &str| {
        format!(
            "Gearset(title: \"Winch\", pitch: Module(2.5), backlash: Millimetres({backlash}),
            members: {{\"drive\": [Sun(\"D\", 30)], \"slow\": [Sun(\"S\", 24)], \"carrier\": []}},
            planets: {{\"cluster\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"d\", 30), Gear(\"s\", 36)])}},
            meshes: [(\"D\", \"d\"), (\"S\", \"s\")],
            measured: {{\"cluster\": (pins: Degrees([0, 119.9, 240.3], 0.001), clusters: {{
                \"a\": Index([Teeth(\"s\", -0.03)]), \"b\": Index([]), \"c\": Index([])}})}})"
        )
    };
    let told = words(&winch("0.1"), 0);
    let order = "\"b\" on pin 1, \"c\" on pin 2 and \"a\" on pin 3";
    assert!(told.starts_with(&format!("Winch Put {order}.")), "{told}");
    assert!(told.contains("As found it would take 143 % and bind."), "{told}");
    let told = words(&winch("0.3"), 0);
    assert!(told.starts_with("Winch Matches: as found the set turns freely"), "{told}");
    assert!(told.contains(&format!("Closer still would be {order}")), "{told}");
}

/// What was measured of so many clusters, in several ways: an odd one, each off by more than the one before and the last
/// by nearly half a tooth, all alike on pins out of place, an odd one to spare.
fn ways_to_be_odd(gears: &[String], pins: usize) -> Vec<String> {
    let other = gears.last().filter(|_| gears.len() > 1);
    let cluster = |number: usize, off: usize| {
        let index = other.filter(|_| off > 0).map(|gear| format!("Teeth(\"{gear}\", 0.{off:02})"));
        format!("\"{number}\": Index([{}])", index.unwrap_or_default())
    };
    let clusters = |count: usize, off: &dyn Fn(usize) -> usize| {
        let all: Vec<String> = (0..count).map(|number| cluster(number, off(number))).collect();
        format!("uncertainty: Teeth(0.002), clusters: {{{}}}", all.join(", "))
    };
    vec![
        clusters(pins, &|number| if number == 1 { 2 } else { 0 }),
        clusters(pins, &|number| (number * 7).min(45)),
        clusters(pins, &|number| if number + 1 == pins { 45 } else { number }),
        clusters(pins + 1, &|number| if number == 0 { 9 } else { 0 }),
    ]
}

/// Every built-in gearset with each of its planets measured, where such planets can be matched.
#[test]
fn every_answer_on_measured_clusters_fits_on_one_screen() {
    let mut answers = 0;
    for example in examples() {
        let set = description::read(example.text).expect("a built-in gearset");
        for (group, &planet) in
            set.planet_groups().iter().flat_map(|group| group.planets().iter().map(move |it| (group, it)))
        {
            let in_mesh = |gear: &&GearId| set.meshes().iter().any(|mesh| mesh.gears().both().contains(gear));
            let gears: Vec<String> = set
                .member(planet)
                .gears()
                .iter()
                .filter(in_mesh)
                .map(|&gear| set.gear(gear).name().to_owned())
                .collect();
            for measured in ways_to_be_odd(&gears, group.spacings().len()) {
                for sizes in ["", "backlash: Millimetres(0.15),\n    members:"] {
                    let text = with_measured(example.text, set.member(planet).name(), &measured);
                    let text = if sizes.is_empty() { text } else { text.replace("members:", sizes) };
                    let mut program = command(&["match", "-"]);
                    program.env("COLUMNS", "80");
                    let answer = run_with(program, text.as_bytes());
                    if answer.code == 2 {
                        continue;
                    }
                    answers += 1;
                    let lines: Vec<&str> = answer.stdout.lines().collect();
                    assert!(lines.len() <= SCREEN, "{}: {} lines\n{}", example.name, lines.len(), answer.stdout);
                    assert!(lines.iter().all(|line| line.chars().count() <= 80), "{}", answer.stdout);
                }
            }
        }
    }
    assert!(answers > 150, "{answers}");
}
