//! What does a person see? Every table and every kind of answer, on the smallest set that shows it.
//!
//! Each answer of the program on standard output is kept whole in `tests/all/snapshots/`, under the
//! arguments and the name of the gearset. A change of one has to be looked at by eye; whether the
//! numbers in it are right is asked elsewhere.

use toothmark::description::example;

use crate::support::process::{command, run, run_with};

/// The answer to a command on a built-in gearset, kept as a snapshot.
#[track_caller]
fn shown(arguments: &[&str], name: &str) {
    let text = example(name).expect("a built-in gearset");
    let answer = run_with(command(&[&[arguments[0], "-", "--full"], &arguments[1..]].concat()), text.as_bytes());
    assert!(answer.code < 2, "{}", answer.stderr);
    let snapshot = format!("{}-{name}", arguments.join("").replace('/', "-").replace("--", "-"));
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(snapshot, answer.stdout);
    });
}

/// The answer to a command on a file of `tests/accepted/`, kept as a snapshot.
#[track_caller]
fn shown_file(command: &str, name: &str) {
    let answer = run(&[command, &format!("accepted/{name}.ron"), "--full"]);
    assert!(answer.code < 2, "{}", answer.stderr);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("{command}-{name}"), answer.stdout);
    });
}

#[test]
fn whatever_could_go_wrong_unnoticed_is_said() {
    shown_file("timing", "planets-of-two-kinds-half-a-tooth-apart");
    shown_file("timing", "clusters-of-two-kinds");
    shown_file("timing", "bevel-planets-with-a-tooth-list");
    shown_file("timing", "backlash-on-one-mesh-of-two");
    shown_file("check", "backlash-of-more-than-half-a-tooth");
    shown_file("ratios", "one-way-clutch-not-applied");
    shown_file("loads", "one-way-clutch-not-applied");
}

/// Bands that hold and slip, a clutch, losses, a train that locks itself, torques that are not told.
#[test]
fn loads_say_what_holds_and_what_is_lost() {
    shown(&["loads"], "hill-tramway-car");
    shown(&["loads", "--mesh-efficiency", "0.98"], "trap-gear");
    shown(&["loads", "--format", "csv"], "millrace-winch");
    shown(&["loads", "--format", "markdown"], "loom-differential");
    shown_file("loads", "bands-and-plates-with-sizes");
    shown_file("loads", "locked-by-two-bands");
}

/// Where a table would have to cut a number in two it becomes a list.
#[test]
fn a_narrow_terminal_shows_rows_under_one_another() {
    for subcommand in ["ratios", "timing"] {
        let mut narrow = command(&[subcommand, "--full"]);
        narrow.env("COLUMNS", "48");
        let shown = run_with(narrow, b"").stdout;
        insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
            insta::assert_snapshot!(format!("{subcommand}-narrow"), shown);
        });
    }
}

#[test]
fn ratios_are_shown_in_every_format_and_at_a_given_speed() {
    shown(&["ratios"], "inspection-railcar");
    shown(&["ratios", "--format=markdown"], "millrace-winch");
    shown(&["ratios", "--format=csv"], "millrace-winch");
    shown(&["ratios", "--format=json"], "millrace-winch");
    shown(&["ratios", "--rpm=1500"], "millrace-winch");
}

#[test]
fn boxes_with_several_speeds_and_bevel_gears_show_their_ratios() {
    shown(&["ratios"], "village-bus-automatic");
    shown(&["ratios"], "hill-tramway-car");
    shown(&["ratios"], "bevel-differential");
}

#[test]
fn timing_shows_marks_or_a_tooth_list_or_why_it_is_refused() {
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
fn marks_show_what_to_mark_and_when_marks_meet_again() {
    shown(&["marks"], "inspection-railcar");
    shown(&["marks"], "hill-tramway-car");
    shown(&["marks"], "orchard-truck");
    shown(&["marks"], "bevel-reducer");
    shown(&["marks"], "turntable-drive");
    shown(&["marks"], "cannot-be-trio");
    shown(&["marks", "--format=markdown"], "five-speed-hub-two-suns");
    shown(&["marks", "--format=csv"], "orchard-truck");
    shown(&["marks", "--format=json"], "quarry-wheel-hub");
    shown_file("marks", "clusters-of-two-kinds");
}

#[test]
fn check_says_in_words_what_a_description_is() {
    shown(&["check"], "inspection-railcar");
    shown(&["check"], "profile-shift-swap");
    shown(&["check", "--format=markdown"], "bevel-reducer");
}
