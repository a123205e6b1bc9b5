//! Is the backlash with which wrong seatings go in that which the teeth have?
//!
//! Once `wrong` and `found` knew the described backlash alone, and called it not known where thinned teeth or a pin circle
//! tell it.

use toothmark::description::{example, examples, read};
use toothmark::fit::{BacklashQuestion, backlash};
use toothmark::gearset::Gearset;
use toothmark::timing::{SeatingQuestion, SeatingsAnswer, WrongSeatings, timing, wrong_seatings};

use crate::support::process::{Run, command, run_with};
use crate::support::sets::read_set;

fn wrong(set: &Gearset) -> WrongSeatings {
    wrong_seatings(set, &SeatingQuestion::default()).expect("no dial was read")
}

/// The railcar with these fields.
fn railcar(fields: &str) -> Gearset {
    let text = example("inspection-railcar").expect("it is built in");
    read_set(fields, &text.replacen("members:", &format!("{fields} members:"), 1))
}

#[track_caller]
fn are_close(found: Option<f64>, meant: f64, tolerance: f64) {
    assert!(found.is_some_and(|found| (found - meant).abs() <= tolerance), "{found:?} is not {meant}");
}

/// Two thinned gears without shift have the sum of their thinnings: the answer is that of a described backlash.
#[test]
fn thinned_teeth_let_in_what_a_described_backlash_lets_in() {
    let thinned = "teeth: {\"D\": (thinned: Millimetres(0.12)), \"L\": (thinned: Millimetres(0.12)), \
                   \"R\": (thinned: Millimetres(0.12)), \"d\": (thinned: Millimetres(0.08)), \"l\": (thinned: \
                   Millimetres(0.08)), \"r\": (thinned: Millimetres(0.08))},";
    let sets = [railcar(thinned), railcar("backlash: Millimetres(0.2),")];
    let [of_teeth, described] = sets.each_ref().map(|set| wrong(set).groups.remove(0));
    assert!(described.wrong_seatings.len() > 5, "{}", described.wrong_seatings.len());
    for (found, meant) in of_teeth.wrong_seatings.iter().zip(&described.wrong_seatings) {
        assert_eq!((found.by_hand, found.could_be), (meant.by_hand, meant.could_be));
        assert!(found.by_hand.is_some());
        are_close(found.least_play_mm, meant.least_play_mm.expect("it is described"), 1e-9);
    }
    let [of_teeth, described] = sets.each_ref().map(|set| timing(set).groups.remove(0));
    assert_eq!((of_teeth.within_backlash, of_teeth.by_hand), (described.within_backlash, described.by_hand));
}

/// By hand: 57 teeth of module 2.5 stand 71.25 mm apart. Pins 0.1 mm further out give `2 x 0.1 x tan 20` and a little more.
#[test]
fn pins_further_out_than_the_teeth_give_backlash() {
    let shifts = "\"D\": 0, \"L\": 0, \"R\": 0, \"d\": 0, \"l\": 0, \"r\": 0";
    let set = railcar(&format!("profile_shifts: {{{shifts}}}, pin_circles: {{\"cluster\": Millimetres(71.35)}},"));
    let meant = 0.2 * 20_f64.to_radians().tan();
    for mesh in &wrong(&set).groups[0].wrong_seatings[0].meshes {
        are_close(mesh.backlash_mm, meant, 0.002);
    }
    // Further in they bind, and that is told as it is; a wrong seating goes in no better than the right one.
    let set = railcar(&format!("profile_shifts: {{{shifts}}}, pin_circles: {{\"cluster\": Millimetres(71.15)}},"));
    for seating in &wrong(&set).groups[0].wrong_seatings {
        assert!(seating.meshes.iter().all(|mesh| mesh.backlash_mm.is_some_and(|backlash| backlash < 0.0)));
        assert!(seating.by_hand.is_some_and(|by_hand| by_hand != toothmark::timing::ByHand::Unnoticed));
    }
}

/// Every built-in gearset with a pitch, as described and with some teeth thinned.
#[test]
fn wrong_seatings_and_backlash_tell_one_backlash() {
    let mut held = 0;
    for example in examples() {
        let set = read(example.text).expect("a built-in gearset");
        let Ok(survey) = backlash(&set, &BacklashQuestion::default()) else { continue };
        let told = |mesh| survey.groups.iter().flat_map(|group| &group.meshes).find(|found| found.mesh == mesh);
        for group in wrong(&set).groups.iter().filter(|group| group.answer == SeatingsAnswer::Listed) {
            for mesh in group.wrong_seatings.first().iter().flat_map(|seating| &seating.meshes) {
                let Some(found) = told(mesh.mesh) else { continue };
                let known = (found.source != toothmark::clearance::BacklashSource::NotKnown)
                    .then_some(found.as_described.at_pitch_circle_mm);
                assert_eq!(mesh.backlash_mm.is_some(), known.is_some(), "{} {:?}", example.name, mesh.mesh);
                if let Some(known) = known {
                    are_close(mesh.backlash_mm, known, 1e-9);
                    held += 1;
                }
            }
        }
    }
    assert!(held > 5, "{held}");
}

fn asked(arguments: &[&str], text: &str) -> Run {
    let mut program = command(arguments);
    program.env("COLUMNS", "80");
    run_with(program, text.as_bytes())
}

/// What a person is told: no more to add the backlash that the description has in its teeth.
#[test]
fn nobody_is_asked_for_a_backlash_that_the_teeth_tell() {
    let thinned = "teeth: {\"D\": (thinned: Millimetres(0.1)), \"L\": (thinned: Millimetres(0.1)), \"R\": \
                   (thinned: Millimetres(0.1))}, members:";
    let text = example("inspection-railcar").expect("it is built in").replacen("members:", thinned, 1);
    for command in [
        &["wrong", "-"][..],
        &["found", "-", "--seen=input", "--pin=1=0deg", "--pin=2=7deg", "--pin=3=0deg"],
        &["timing", "-"],
    ] {
        let told = asked(command, &text);
        assert!(told.code < 2, "{}", told.stderr);
        let plain = told.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(!plain.contains("add the backlash") && !plain.contains("not known: add"), "{command:?}: {plain}");
    }
}
