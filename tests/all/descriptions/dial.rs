//! A dial reading of backlash in a description: does it mean what it comes to at the pitch circle?
//!
//! What it comes to is worked out here once more, from the angle by which the gear rocks; every command that goes by
//! backlash has to answer as if that had been written.

use proptest::prelude::*;
use toothmark::description;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Draft, DraftBacklash, DraftDial, Gearset, Length, Pitch, Uncertainty};

use crate::support::process::{command, run_with};
use crate::support::random::cases;

/// A set with clusters measured and marks found, one of its meshes with this backlash.
fn text(backlash: &str) -> String {
    format!(
        "Gearset(title: \"Dial\", input: \"drive\", output: \"slow\", pitch: Module(2.5), backlash: Millimetres(0.1),
            members: {{\"drive\": [Sun(\"D\", 30)], \"slow\": [Sun(\"S\", 24)], \"carrier\": []}},
            planets: {{\"cluster\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"d\", 30), Gear(\"s\", 36)])}},
            meshes: [(\"D\", \"d\"), (\"S\", \"s\", (backlash: {backlash}))],
            measured: {{\"cluster\": (clusters: {{\"1\": Index([]), \"2\": Index([Teeth(\"s\", 0.02)]), \"3\": Like(\"1\")}})}},
            states: {{\"held\": Given(held: [\"carrier\"])}},
            found: (seen: InputSide, planet: \"cluster\", marks: [Teeth(\"d\", 0), Teeth(\"d\", 0), Teeth(\"d\", 1)]),
        )"
    )
}

fn backlash(text: &str) -> Fraction {
    let set = description::read(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let mesh = set.mesh_ids().nth(1).expect("two meshes");
    set.mesh(mesh).backlash().expect("it is given").exact_millimetres()
}

#[test]
fn a_reading_counts_at_the_pitch_circle_of_the_gear_that_was_rocked() {
    // 24 teeth of module 2.5 have a pitch radius of 30 mm, 36 of 45 mm; the second dial stood 2.5 in out.
    assert_eq!(backlash(&text("Dial(\"S\", Millimetres(0.3), Millimetres(60))")), fraction(3, 20));
    assert_eq!(backlash(&text("Dial(\"s\", Millimetres(0.3), Millimetres(60))")), fraction(9, 40));
    assert_eq!(backlash(&text("Dial(\"S\", Inches(0.01), Inches(2.5))")), fraction(3, 25));
}

#[test]
fn every_command_answers_as_if_the_backlash_at_the_pitch_circle_had_been_written() {
    let [read, meant] = ["Dial(\"S\", Millimetres(0.3), Millimetres(60))", "Millimetres(0.15)"].map(text);
    let other = text("Millimetres(0.25)");
    for arguments in ["timing", "match", "wrong --within 1/2", "found", "marks"] {
        let answer = |text: &str| {
            let words: Vec<&str> = arguments.split(' ').collect();
            let arguments = [&words[..1], &["-", "--format", "json"], &words[1..]].concat();
            let answer = run_with(command(&arguments), text.as_bytes());
            assert!(answer.code < 2, "{arguments:?}: {}", answer.stderr);
            answer.stdout
        };
        assert_eq!(answer(&read), answer(&meant), "{arguments}");
        let goes_by_it = ["match", "wrong --within 1/2"].contains(&arguments);
        assert!(!goes_by_it || answer(&read) != answer(&other), "{arguments} goes by the backlash");
    }
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn a_reading_is_the_angle_of_the_rocking_gear_whatever_the_units(
        (reading, radius, pitch) in (0_i64..400, 1_i64..9000, 1_i64..400),
        (inches, diametral, on_planet) in any::<(bool, bool, bool)>(),
    ) {
        let length = |value| if inches { Length::Inches(value) } else { Length::Millimetres(value) };
        let (reading, radius) = (length(fraction(reading, 1000)), length(fraction(radius, 10)));
        let pitch = fraction(pitch, 20);
        let module = if diametral { fraction(127, 5) / &pitch } else { pitch.clone() };
        let (gear, teeth) = if on_planet { ("s", 36) } else { ("S", 24) };
        let dial = DraftDial { gear: gear.into(), reading: reading.clone().into(), radius: radius.clone().into() };
        let mut draft: Draft = description::read(&text("Millimetres(0)")).unwrap().draft().clone();
        draft.pitch = Some(if diametral { Pitch::Diametral(pitch) } else { Pitch::Module(pitch) }.into());
        draft.meshes[1].sizes.backlash = Some(DraftBacklash::Dial(dial).into());
        let angle = reading.exact_millimetres() / radius.exact_millimetres();
        let meant = angle * module * fraction(teeth, 2);
        prop_assume!(meant <= fraction(1000, 1));
        let written = description::write(&draft);
        let set = Gearset::new(draft).expect("it is sound");
        let mesh = set.mesh_ids().nth(1).expect("two meshes");
        prop_assert_eq!(set.mesh(mesh).backlash().map(Length::exact_millimetres), Some(meant));
        let again = description::read(&written);
        prop_assert_eq!(again.as_ref(), Ok(&set), "{}", written);
    }
}

/// An arc is its part of the circle on which it was measured: 1 mm at 40 mm of 30 teeth is 30 / (80 pi) of a tooth.
#[test]
fn an_uncertainty_is_the_same_in_teeth_in_degrees_and_as_an_arc() {
    let arc = Uncertainty::Arc(Length::Millimetres(fraction(1, 1)));
    let teeth = arc.teeth(30, Some(40.0)).expect("the radius is known");
    assert!((teeth - 30.0 / (80.0 * std::f64::consts::PI)).abs() < 1e-12, "{teeth}");
    let sixth = Uncertainty::Degrees(fraction(60, 1)).teeth(30, None).expect("it needs no radius");
    assert!((sixth - 5.0).abs() < 1e-12, "{sixth}");
    assert_eq!(Uncertainty::Teeth(fraction(1, 4)).teeth(30, None), Some(0.25));
}
