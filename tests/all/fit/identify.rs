//! Do readings lead to the teeth that they were taken of?
//!
//! Values worked out elsewhere to thirty digits, two ways each: spans of drawn flanks with jaws laid on, pins laid into
//! drawn spaces, least squares by a root of its derivative.

use toothmark::fit::{
    GearReading, Identification, IdentifyQuestion, MeasuredGear, ReadingMeasure, ToothCandidate, ToothVerdict, identify,
};
use toothmark::tooth::Teeth;

fn reading(measure: ReadingMeasure, millimetres: f64, within: f64) -> GearReading {
    GearReading { measure, millimetres, within: Some(within) }
}

fn of_gear(tooth_count: u16, readings: Vec<GearReading>) -> IdentifyQuestion {
    let gear = MeasuredGear { name: "gear".into(), teeth: Teeth::External, tooth_count, readings };
    IdentifyQuestion { gears: vec![gear], ..IdentifyQuestion::default() }
}

#[track_caller]
fn asked(question: &IdentifyQuestion) -> Identification {
    identify(question).expect("the readings can be")
}

#[track_caller]
fn is_close(found: f64, meant: f64, tolerance: f64) {
    assert!((found - meant).abs() <= tolerance, "{found} is not {meant}");
}

fn named(one: &ToothCandidate) -> String {
    format!("{} {} {}", one.pitch, toothmark::exact::to_float(&one.pressure_angle), one.depth)
}

/// 27 teeth of 9 DP, full depth, without shift: two spans leave a metric gear of another angle as well.
fn two_spans() -> Vec<GearReading> {
    vec![reading(ReadingMeasure::Span(3), 21.8961, 0.02), reading(ReadingMeasure::Span(4), 30.2277, 0.02)]
}

#[test]
fn two_spans_leave_two_candidates_and_the_outside_diameter_tells_them_apart() {
    let answer = asked(&of_gear(27, two_spans()));
    let alive: Vec<&ToothCandidate> = answer.candidates.iter().filter(|one| one.alive).collect();
    let names: Vec<String> = alive.iter().map(|one| named(one)).collect();
    assert_eq!(names, ["9 DP 20 open", "module 2.75 14.5 full"]);
    is_close(alive[0].chi_squared, 1.055_879e-6, 1e-11);
    is_close(alive[0].shift, -1.808_918e-5, 1e-10);
    is_close(alive[1].chi_squared, 1.328_055_989, 1e-8);
    is_close(alive[1].shift, 0.414_441_814_6, 1e-9);
    assert_eq!(answer.families[0].verdict, ToothVerdict::Several);
    let next = answer.next.expect("they can be told apart");
    assert_eq!(next.reading, "outside diameter");
    is_close(next.within_mm, 0.03, 1e-12);
    is_close(next.separates_by, 6.169_587_974, 1e-8);
    let of_two = answer.families[0].measurements.iter().find(|it| it.reading == "span over 2 teeth");
    is_close(of_two.expect("jaws sit well over two").separates_by, 2.446_817_170, 1e-8);
    // Over 5 teeth the jaws would be at the tips.
    assert!(answer.families[0].measurements.iter().all(|it| it.reading != "span over 5 teeth"));
}

#[test]
fn with_the_outside_diameter_the_second_is_remote() {
    let mut readings = two_spans();
    readings.push(reading(ReadingMeasure::TipDiameter, 81.8444, 0.03));
    let answer = asked(&of_gear(27, readings));
    let first: Vec<(String, f64, f64)> =
        answer.candidates[..3].iter().map(|one| (named(one), one.chi_squared, one.shift)).collect();
    let meant = [
        ("9 DP 20 full", 2.329_788e-6, -1.139_686e-5),
        ("module 2.75 14.5 full", 9.698_137_293, 0.388_202_312),
        ("module 2.75 20 full", 64.839_519_665, 0.371_739_357),
    ];
    for ((name, chi_squared, shift), (name_meant, chi_squared_meant, shift_meant)) in first.iter().zip(meant) {
        assert_eq!(name, name_meant);
        is_close(*chi_squared, chi_squared_meant, 1e-8);
        is_close(*shift, shift_meant, 1e-9);
    }
    // Two readings more than unknowns allow a chi squared of 18.
    assert_eq!(answer.candidates.iter().filter(|one| one.alive).count(), 2, "{:?}", answer.candidates);
}
