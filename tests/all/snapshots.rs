//! What a person sees: every table and every kind of answer, on the smallest set that shows it.

use toothmark::description::example;

use crate::process::{command, run_with};

/// The answer to a command on a built-in gearset, kept as a snapshot.
#[track_caller]
fn shown(arguments: &[&str], name: &str) {
    let text = example(name).expect("a built-in gearset");
    let answer = run_with(command(&[&[arguments[0], "-"], &arguments[1..]].concat()), text.as_bytes());
    assert!(answer.code < 2, "{}", answer.stderr);
    let snapshot = format!("{}-{name}", arguments.join("").replace('/', "-").replace("--", "-"));
    insta::with_settings!({prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(snapshot, answer.stdout);
    });
}

#[test]
fn ratios_of_a_box_with_bands_and_a_clutch() {
    shown(&["ratios"], "inspection-railcar");
    shown(&["ratios", "--format=markdown"], "millrace-winch");
    shown(&["ratios", "--format=csv"], "millrace-winch");
    shown(&["ratios", "--format=json"], "millrace-winch");
    shown(&["ratios", "--rpm=1500"], "millrace-winch");
}

#[test]
fn ratios_of_boxes_with_several_speeds_and_of_bevel_gears() {
    shown(&["ratios"], "village-bus-automatic");
    shown(&["ratios"], "hill-tramway-car");
    shown(&["ratios"], "bevel-differential");
}

#[test]
fn timing_by_marks_by_list_and_refused() {
    shown(&["timing"], "inspection-railcar");
    shown(&["timing"], "orchard-truck");
    shown(&["timing"], "hill-tramway-car");
    shown(&["timing"], "cannot-be-trio");
    shown(&["timing"], "trap-gear");
    shown(&["timing"], "village-bus-automatic");
    shown(&["timing"], "hoop-reducer");
    shown(&["timing", "--format=markdown"], "orchard-truck");
    shown(&["timing", "--format=csv"], "orchard-truck");
    shown(&["timing", "--format=json"], "cannot-be-trio");
}

#[test]
fn checks_in_words() {
    shown(&["check"], "inspection-railcar");
    shown(&["check"], "profile-shift-swap");
    shown(&["check", "--format=markdown"], "bevel-reducer");
}
