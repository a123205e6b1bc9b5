//! Is a person told on which gear to count, where no gear can be counted on, and where any tooth will do?
//!
//! The counts are worked out by hand beside each case; that every setting is the only nearest one is asked of random
//! trains. Whole answers are kept as snapshots at 80 columns.

use proptest::prelude::*;
use toothmark::exact::{Fraction, distance_to_integer, fraction};
use toothmark::gearset::Gearset;
use toothmark::timing::{MarkingConvention, PinOrder, PlanetSetting, timing};

use crate::support::process::{command, run_with};
use crate::support::random::cases;
use crate::support::sets::{read_file, read_set};
use crate::support::trains;

/// The gearset of a file of `tests/accepted/`.
fn described(name: &str) -> Gearset {
    read_set(name, &read_file(&format!("tests/accepted/{name}.ron")))
}

/// What a command says of a file of `tests/accepted/` on a terminal of 80 columns.
fn said(asked: &[&str], name: &str) -> String {
    let mut program = command(asked);
    program.arg(format!("accepted/{name}.ron")).env("COLUMNS", "80");
    let answer = run_with(program, b"");
    assert!(answer.code < 2, "{}", answer.stderr);
    answer.stdout
}

/// The same with its lines joined, to be searched for words.
fn words(asked: &[&str], name: &str) -> String {
    said(asked, name).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The gear, its whole teeth and how far these are off, of the only planet on a pin.
fn counted(set: &Gearset, pin: usize) -> Option<(String, i64, Fraction)> {
    let settings = &timing(set).groups[0].settings;
    let setting = settings.iter().find(|setting| setting.pin == pin).expect("every pin is set");
    let counted = setting.counted.as_ref()?;
    Some((set.gear(counted.gear).name().to_owned(), counted.teeth, counted.off_line.clone()))
}

/// Suns 61 and 60, cluster 59 and 60, two pins: pin 2 is half a turn round, 29 1/2 teeth of the one gear and 30 of the
/// other. Once "29 or 30" was listed of the first, with which that gear should mesh only where it ought to; on 30 the
/// cluster is 1/119 of a tooth out and goes in wrong.
#[test]
fn a_gear_that_stands_between_two_teeth_is_not_counted_on() {
    let name = "half-a-tooth-on-one-gear";
    let set = described(name);
    assert_eq!(counted(&set, 2), Some(("q".into(), 30, fraction(0, 1))));
    let screen = words(&["timing"], name);
    assert!(screen.contains("set the marks of all planets the same way, say all to twelve o'clock"), "{screen}");
    assert!(!screen.contains("listed") && !screen.contains("29"), "{screen}");
    let full = words(&["timing", "--full"], name);
    assert!(full.contains("between 29 and 30") && !full.contains("29 or 30"), "{full}");
    let sheet = words(&["sheet", "--format", "markdown"], name);
    assert!(sheet.contains("| 2 | q 60, reads best | 180 | 30 ccw | 180 | 30 clockwise |"), "{sheet}");
    assert!(sheet.contains("| 2 | p 59 | 180 | between 29 and 30 (29 1/2 ccw) |"), "{sheet}");
}

/// Suns 23 and 21, cluster 19 and 21, four pins: a quarter of a turn from pin to pin, 4 3/4 and 5 1/4 teeth on pin 2,
/// 9 1/2 and 10 1/2 on pin 3, so that there the mark can only be set by its angle.
#[test]
fn where_no_count_is_unique_the_direction_is_told_in_degrees() {
    let set = described("half-a-tooth-on-every-gear");
    assert_eq!(counted(&set, 2), Some(("p".into(), 5, fraction(-1, 4))));
    assert_eq!(counted(&set, 3), None);
    assert_eq!(counted(&set, 4), Some(("p".into(), -5, fraction(1, 4))));
    let screen = words(&["timing"], "half-a-tooth-on-every-gear");
    assert!(screen.contains("│ 3 ┆ no gear ┆ 180 ┆ 180 degrees ┆ 180 ┆ 180 degrees │"), "{screen}");
}

/// Suns 28 and 32, pinions 19 and 21, ring 76: each pinion has one count, so each of its teeth is as good as the next.
/// Once `timing` and the sheet asked for the tooth list, and `wrong` for marks, and warned of wrong seatings, and `marks` said the contrary.
#[test]
fn where_every_seating_is_right_all_commands_say_so() {
    let name = "long-and-short-pinions";
    let group = &timing(&described(name)).groups[0];
    assert_eq!(group.convention, MarkingConvention::AnyTooth);
    // Between two right seatings three meshes share one tooth at best: a third each, more than any play.
    assert_eq!((group.margin.clone(), group.wrong_could_be), (Some(fraction(1, 3)), Some(false)));
    for asked in [&["timing"][..], &["timing", "--full"], &["marks"], &["wrong"], &["sheet", "--format", "markdown"]] {
        let said = words(asked, name);
        assert!(said.contains("whichever tooth drops in freely is right"), "{asked:?}: {said}");
        for never in ["tooth list", "et every planet", "put in wrong", "WRONG", "trust the list"] {
            assert!(!said.contains(never), "{asked:?} says {never:?}: {said}");
        }
    }
}

/// Seen from the input side the places run down, from 0 by 120.54 and 239.46 degrees; once nothing said so.
#[test]
fn the_sense_in_which_pins_are_numbered_is_told_from_both_sides() {
    let name = "pins-numbered-clockwise";
    assert_eq!(timing(&described(name)).groups[0].pin_order, PinOrder::Clockwise);
    let told =
        "Pins are numbered clockwise seen from the input side, counter-clockwise (ccw) seen from the output side.";
    for asked in [&["timing"][..], &["sheet", "--format", "markdown"]] {
        assert!(words(asked, name).contains(told), "{asked:?}");
    }
}

/// Suns 31, 23 and 34, cluster 31, 39 and 28, three pins: of one tooth 3/59 are left at best, pi 3/59 = 0.1597 mm.
#[test]
fn a_set_that_does_not_assemble_says_first_by_how_much() {
    let said = words(&["timing"], "no-go-within-the-backlash");
    let first = "Does NOT assemble: with pin 1 set, nothing fits on pins 2 and 3; turned as well as can be, pin 2 is out by \
                 0.0508 of a tooth, 0.160 mm (0.0063 in).";
    assert!(said.contains(first), "{said}");
}

/// Nothing is called listed where nothing is; what is listed has a row for every pin.
#[test]
fn the_list_stands_where_it_is_spoken_of() {
    for example in toothmark::description::examples() {
        let mut program = command(&["timing", example.name]);
        program.env("COLUMNS", "80");
        let said = run_with(program, b"").stdout;
        let has_list = said.contains("count on ┆");
        assert_eq!(said.contains("as listed"), has_list, "{}: {said}", example.name);
    }
}

#[test]
fn settings_fit_on_a_screen() {
    for name in [
        "half-a-tooth-on-one-gear",
        "half-a-tooth-on-every-gear",
        "long-and-short-pinions",
        "pins-numbered-clockwise",
        "planets-of-two-kinds-half-a-tooth-apart",
    ] {
        for asked in ["timing", "marks"] {
            let answer = said(&[asked], name);
            assert!(answer.lines().count() <= 40, "{answer}");
            insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
                insta::assert_snapshot!(format!("{asked}-screen-{name}"), answer);
            });
        }
    }
}

proptest! {
    #![proptest_config(cases(200))]

    /// The twin: the turn that the solver found, in teeth of each gear of the planet. A whole tooth is told if some gear
    /// is less than half a tooth from one, and it is then the only one so near.
    #[test]
    fn a_whole_tooth_is_told_just_where_it_is_the_only_nearest(draft in trains::train()) {
        let set = Gearset::new(trains::with_a_pitch_unknown(draft)).expect("random trains are sound");
        for group in &timing(&set).groups {
            for setting in &group.settings {
                unique_if_told(group.pins.as_slice(), setting)?;
            }
        }
    }
}

fn unique_if_told(pins: &[toothmark::timing::PinTiming], setting: &PlanetSetting) -> Result<(), TestCaseError> {
    let gears = pins[setting.pin - 1].gears.iter().filter(|turned| turned.planet == setting.planet);
    let half = fraction(1, 2);
    match &setting.counted {
        Some(counted) => {
            let turned = gears.clone().find(|turned| turned.gear == counted.gear).expect("it is a gear of the planet");
            let off = |teeth: i64| distance(&(&turned.teeth - fraction(teeth, 1)));
            prop_assert!(off(counted.teeth) < half);
            prop_assert!(off(counted.teeth - 1) > half && off(counted.teeth + 1) > half);
        }
        None => {
            for turned in gears {
                prop_assert_eq!(distance_to_integer(&turned.teeth), half.clone());
            }
        }
    }
    Ok(())
}

fn distance(value: &Fraction) -> Fraction {
    if *value < fraction(0, 1) { -value } else { value.clone() }
}
