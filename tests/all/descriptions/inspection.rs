//! Is every kind of remark made where it should be, and nowhere else?

use toothmark::gearset::Gearset;
use toothmark::inspection::{RemarkKind, RemarkedPart, remarks};

use crate::support::sets::{read_example, read_file, read_set};

fn kinds(set: &Gearset) -> Vec<RemarkKind> {
    remarks(set).remarks.iter().map(|remark| remark.kind).collect()
}

fn railcar_with(changes: &[(&str, &str)]) -> Gearset {
    let text = changes.iter().fold(read_file("gearsets/inspection-railcar.ron"), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    read_set("railcar", &text)
}

/// Once only the sums of counts were compared, so that a pair whose shifts close it was remarked, and one whose shifts
/// or module open it was not. With 58 teeth on the 28.5 modules of the others cos w = 29 cos 20 / 28.5, and the shifts
/// have the sum 58 (inv w - inv 20) / (2 tan 20) = -0.465 (worked out by hand).
#[test]
fn centre_distances_count_shifts_and_modules() {
    let [more, states] = ["Sun(\"D\", 26)", "    states:"];
    let shifts = |sum: &str| format!("    profile_shifts: {{\"D\": {sum}}},\n    states:");
    let unequal = |changes: &[(&str, &str)]| kinds(&railcar_with(changes)).contains(&RemarkKind::UnequalCenterDistance);
    assert!(!unequal(&[]));
    assert!(unequal(&[(more, "Sun(\"D\", 27)")]));
    assert!(!unequal(&[(more, "Sun(\"D\", 27)"), (states, &shifts("-0.465"))]));
    assert!(unequal(&[(more, "Sun(\"D\", 27)"), (states, &shifts("-0.4"))]));
    assert!(unequal(&[(states, &shifts("0.1"))]));
    // 57 teeth of module 2.5 and 57 of module 3 are at 71.25 and 85.5 mm.
    assert!(unequal(&[("(\"L\", \"l\")", "(\"L\", \"l\", (pitch: Module(3)))")]));
    // 57 teeth of module 2.5 and 71.25 of module 2 are at one distance, and 71 of module 2 are not.
    assert!(!unequal(&[("(\"L\", \"l\")", "(\"L\", \"l\", (pitch: Module(2.5)))")]));
    assert!(unequal(&[("(\"L\", \"l\")", "(\"L\", \"l\", (pitch: Module(2)))"), ("Sun(\"L\", 20)", "Sun(\"L\", 34)")]));
}

/// Radii that are near the pin circle in neither unit are of another one; those near it are a matter of matching.
#[test]
fn pins_measured_on_another_circle_are_remarked() {
    let measured = |radius: &str| {
        let list = [radius; 3].join(", ");
        let chord = radius.parse::<f64>().expect("a number") * 3_f64.sqrt();
        format!(
            "    measured: {{\"cluster\": (pins: Chords([{list}], [{chord:.4}, {chord:.4}, {chord:.4}], 0.02), \
             clusters: {{\"one\": Index([]), \"two\": Index([]), \"three\": Index([])}})}},\n    states:"
        )
    };
    let of = |radius: &str| kinds(&railcar_with(&[("    states:", &measured(radius))]));
    assert_eq!(of("71.31"), []);
    assert_eq!(of("2.8051"), [], "inches");
    // 59 teeth of module 2.5, not 57.
    assert_eq!(of("73.75"), [RemarkKind::Miscount, RemarkKind::AnotherPinCircle]);
}

/// Twelve teeth at 20 degrees: 1 - 12 sin^2 20 / 2 = 0.298 modules; 17 are commonly cut without shift.
#[test]
fn few_teeth_are_undercut_unless_they_are_shifted() {
    let set = |count: u32, shift: &str| {
        read_set(
            "few",
            &format!(
                "Gearset(title: \"t\", members: {{\"c\": [], \"s\": [Sun(\"S\", {count})], \"r\": [Ring(\"R\", {})]}}, \
                 planets: {{\"p\": (carrier: \"c\", pins: Equal(2), gears: [Gear(\"P\", 24)])}}, \
                 meshes: [(\"S\", \"P\"), (\"R\", \"P\")], profile_shifts: {{{shift}}}, \
                 input: \"s\", output: \"c\", states: {{\"low\": Given(held: [\"r\"])}})",
                count + 48
            ),
        )
    };
    let undercut = |set: &Gearset| {
        remarks(set)
            .remarks
            .into_iter()
            .find(|remark| remark.kind == RemarkKind::UndercutTeeth)
            .map(|remark| remark.text)
    };
    assert!(undercut(&set(12, "")).is_some_and(|text| text.ends_with("S 12 by 0.30 modules")));
    assert_eq!(undercut(&set(12, "\"S\": 0.3")), None);
    assert!(undercut(&set(16, "")).is_some());
    assert_eq!(undercut(&set(17, "")), None);
}

/// Two planets that mesh with one another and with nothing else turn as they like.
#[test]
fn planets_that_no_mesh_keeps_are_remarked() {
    let pair = "    planets: {\n        \"p\": (carrier: \"flywheel\", pins: Equal(3), gears: [Gear(\"x\", 20)]),\n        \
                \"q\": (carrier: \"flywheel\", pins: Equal(3), gears: [Gear(\"y\", 20)]),";
    let set = railcar_with(&[("    planets: {", pair), ("    meshes: [", "    meshes: [(\"x\", \"y\"), ")]);
    assert_eq!(kinds(&set), [RemarkKind::LoosePlanets]);
}

/// Six clusters with 37 teeth on a circle of 28.5 modules are 28.5 modules apart, and their tips reach 19.5 each.
#[test]
fn tips_in_one_anothers_way_are_remarked_before_lesser_things() {
    let set = railcar_with(&[("Equal(3)", "Equal(6)")]);
    let found = remarks(&set);
    assert_eq!(
        found.remarks.iter().map(|remark| remark.kind).collect::<Vec<_>>(),
        [RemarkKind::Miscount, RemarkKind::DoesNotAssemble, RemarkKind::OverlappingTips]
    );
    let gear = set.gear_named("l").expect("it is there");
    assert_eq!(found.remarks[2].parts, [RemarkedPart::Gear(gear)]);
    assert!(found.remarks[2].text.contains("26.25 mm"), "{}", found.remarks[2].text);
}

#[test]
fn what_was_looked_at_is_told_for_every_group() {
    let set = read_example("bus-with-range-box");
    let found = remarks(&set);
    assert_eq!(found.groups.len(), set.planet_groups().len());
    // 22 + 26 teeth, and 74 - 26.
    assert!(
        found.groups[0].assembles && found.groups[0].center_distances.iter().all(|it| (it.modules - 24.0).abs() < 1e-9)
    );
}
