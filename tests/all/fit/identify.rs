//! Do readings lead to the teeth that they were taken of?
//!
//! Values worked out elsewhere to thirty digits, two ways each: spans of drawn flanks with jaws laid on, pins laid into
//! drawn spaces, least squares by a root of its derivative.

use proptest::prelude::*;
use toothmark::description;
use toothmark::exact::fraction;
use toothmark::fit::{
    CannotIdentify, GearReading, Identification, IdentifyQuestion, KnownTeeth, MeasuredDistance, MeasuredGear,
    MeasuredMesh, ReadingMeasure, ToothCandidate, ToothVerdict, identify,
};
use toothmark::gearset::{Draft, Gearset, Pitch};
use toothmark::tooth::Teeth;

use crate::support::flanks::DrawnGear;
use crate::support::random::cases;

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

/// Five thousand readings over pins kept the program at work for an hour: where nothing fits each is left out in turn.
#[test]
fn more_readings_than_anybody_takes_are_refused() {
    let over = |number: u32| reading(ReadingMeasure::Pins(4.5), 1000.0 + 1e-3 * f64::from(number), 0.01);
    let refusal = identify(&of_gear(400, (0..5000).map(over).collect())).expect_err("there are too many");
    assert_eq!(refusal, CannotIdentify::TooManyReadings { readings: 5000 });
    assert!(!refusal.hint().is_empty());
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

/// Values worked out elsewhere: spans and pins of gears of module 2.5 back to their shifts.
#[test]
fn a_single_reading_of_known_teeth_gives_the_shift() {
    let of_module = |mut question: IdentifyQuestion, angle: i64| {
        question.known =
            KnownTeeth { pitch: Some(Pitch::Module(fraction(5, 2))), pressure_angle: Some(fraction(angle, 2)) };
        asked(&question).candidates[0].clone()
    };
    let over_pins = of_gear(27, vec![reading(ReadingMeasure::Pins(5.0), 76.981_038_487_826_2, 0.01)]);
    is_close(of_module(over_pins, 40).shift, 0.35, 1e-9);
    let mut ring = of_gear(60, vec![reading(ReadingMeasure::Pins(4.2), 145.303_052_303_774, 0.01)]);
    ring.gears[0].teeth = Teeth::Internal;
    is_close(of_module(ring, 40).shift, 0.2, 1e-9);
    let span = of_gear(24, vec![reading(ReadingMeasure::Span(2), 11.602_624_267_086_9, 0.01)]);
    is_close(of_module(span, 29).shift, -0.1, 1e-9);
}

/// `2 x m tan a` of shift is as much thickness: a gear that lacks it may be worn, one that has more of it is not, and
/// in a ring it is the other way round.
#[test]
fn what_is_lacking_in_thickness_could_be_wear() {
    let lacking = |teeth: Teeth, count: u16, measure: ReadingMeasure, millimetres: f64| {
        let mut question = of_gear(count, vec![reading(measure, millimetres, 0.01)]);
        question.gears[0].teeth = teeth;
        question.known.pitch = Some(Pitch::Module(fraction(5, 2)));
        question.known.pressure_angle = Some(fraction(20, 1));
        let gear = asked(&question).candidates[0].gears[0].clone();
        (gear.shift, gear.thinning_without_shift_mm)
    };
    let (shift, none) = lacking(Teeth::External, 27, ReadingMeasure::Pins(5.0), 76.981_038_487_826_2);
    is_close(shift, 0.35, 1e-9);
    assert_eq!(none, None);
    // 2.5 cos 20 (2.5 pi + 27 (tan 20 - 20 degrees)) and as much as a shift of -0.1 takes of it, 2 x m sin a.
    let angle = 20.0_f64.to_radians();
    let span = 2.5 * angle.cos() * (2.5 * std::f64::consts::PI + 27.0 * (angle.tan() - angle)) - 0.5 * angle.sin();
    let (shift, worn) = lacking(Teeth::External, 27, ReadingMeasure::Span(3), span);
    is_close(shift, -0.1, 1e-9);
    is_close(worn.expect("it may be worn"), 0.5 * angle.tan(), 1e-9);
    let (shift, worn) = lacking(Teeth::Internal, 60, ReadingMeasure::Pins(4.2), 145.303_052_303_774);
    is_close(shift, 0.2, 1e-9);
    is_close(worn.expect("it may be worn"), 2.0 * 0.2 * 2.5 * angle.tan(), 1e-8);
}

/// A caliper over five of 27 teeth of module 2.5 touches where `r^2 = r_b^2 + (W/2)^2`: 0.02 mm beyond the tips of full
/// teeth with a shift of -0.12, where rounded tips and an inexact reading may hide it, and 0.19 mm at -0.2.
#[test]
fn a_span_is_read_of_teeth_whose_tips_the_jaws_reach() {
    let of_shift = |shift: f64| {
        let angle = 20.0_f64.to_radians();
        let turned = 4.5 * std::f64::consts::PI + 27.0 * (angle.tan() - angle);
        let span = 2.5 * (angle.cos() * turned + 2.0 * shift * angle.sin());
        let beyond = (27.0 * 1.25 * angle.cos()).hypot(span / 2.0) - 2.5 * (13.5 + 1.0 + shift);
        let mut question = of_gear(27, vec![reading(ReadingMeasure::Span(5), span, 0.01)]);
        question.known.pitch = Some(Pitch::Module(fraction(5, 2)));
        question.known.pressure_angle = Some(fraction(20, 1));
        let is_full = |one: &&ToothCandidate| *one.depth == *"full";
        let answer = identify(&question);
        let full = answer.ok().and_then(|answer| answer.candidates.iter().find(is_full).map(|one| one.gears[0].shift));
        (beyond, full)
    };
    let (beyond, shift) = of_shift(-0.12);
    is_close(beyond, 0.02, 0.01);
    is_close(shift.expect("full teeth"), -0.12, 1e-9);
    let (beyond, shift) = of_shift(-0.2);
    is_close(beyond, 0.19, 0.01);
    assert_eq!(shift, None);
}

/// 33 teeth of 8 DP worn by 0.12 mm: a span and pins alone leave shift or wear, the outside diameter tells wear.
#[test]
fn wear_is_told_from_shift_by_the_outside_diameter_alone() {
    let thickness = vec![
        reading(ReadingMeasure::Span(4), 34.160_227_851_9, 0.02),
        reading(ReadingMeasure::Pins(6.0), 113.832_405_616, 0.02),
    ];
    let mut question = of_gear(33, thickness);
    question.known.pitch = Some(Pitch::Diametral(fraction(8, 1)));
    question.known.pressure_angle = Some(fraction(20, 1));
    let best = asked(&question).candidates[0].gears[0].clone();
    assert_eq!(best.thinning_mm, None);
    is_close(best.thinning_without_shift_mm.expect("no shift is one of the two"), 0.12, 1e-6);
    let outside = 3.175 * 35.0;
    question.gears[0].readings.push(reading(ReadingMeasure::TipDiameter, outside, 0.02));
    let best = asked(&question).candidates[0].clone();
    is_close(best.thinning_mm.expect("it is told now"), 0.12, 1e-6);
    is_close(best.shift, 0.0, 1e-6);
    assert_eq!(best.worn.len(), 1);
}

/// Two sizes of pins tell the base pitch of a ring, where no span can be taken.
#[test]
fn two_sizes_of_pins_tell_the_base_pitch_of_a_ring() {
    let pins = [(4.2, 145.303_052_304), (4.8, 142.801_239_256)];
    let readings = pins.map(|(pin, read)| reading(ReadingMeasure::Pins(pin), read, 0.01)).to_vec();
    let mut question = of_gear(60, readings);
    question.gears[0].teeth = Teeth::Internal;
    let answer = asked(&question);
    is_close(answer.families[0].base_pitches[0].millimetres, 7.380_328_585, 1e-8);
    let alive: Vec<String> = answer.candidates.iter().filter(|one| one.alive).map(named).collect();
    assert_eq!(alive, ["module 2.5 20 open"], "{:?}", answer.candidates);
    is_close(answer.candidates[0].shift, 0.2, 1e-6);
}

/// Spans of one gear with a worn step between them: 8.47 mm is the base pitch of no standard teeth.
#[test]
fn a_base_pitch_that_no_standard_has_is_told() {
    let readings = vec![reading(ReadingMeasure::Span(3), 21.76, 0.02), reading(ReadingMeasure::Span(4), 30.23, 0.02)];
    let answer = asked(&of_gear(27, readings));
    assert_eq!(answer.families[0].verdict, ToothVerdict::NoStandardPitch);
    assert!(!answer.fits() && answer.next.is_none());
}

/// Tips turned down by 1.2 mm: all other readings are of one gear, and this one is named.
#[test]
fn a_reading_that_contradicts_all_others_is_named() {
    let mut readings = two_spans();
    readings.push(reading(ReadingMeasure::TipDiameter, 81.8444 - 1.2, 0.03));
    readings.push(reading(ReadingMeasure::RootDiameter, 25.4 / 9.0 * (27.0 - 2.5), 0.1));
    let answer = asked(&of_gear(27, readings));
    assert_eq!(answer.families[0].verdict, ToothVerdict::NothingFits);
    let named = answer.families[0].contradicting.as_ref().expect("there is one");
    assert_eq!((named.reading.as_str(), named.teeth.as_str()), ("outside diameter", "9 DP, 20 deg"));
    is_close(named.mm, -1.2, 0.01);
}

/// A gear beside a mate of which the distance alone is known: the mate gets the shift that is left.
#[test]
fn a_centre_distance_tells_the_sum_of_shifts() {
    // 24 and 37 teeth of module 2.5 at 75 mm: the sum is -0.467078.
    let span = {
        let (module, angle) = (2.5, 20_f64.to_radians());
        module * angle.cos() * (std::f64::consts::PI * 2.5 + 24.0 * (angle.tan() - angle))
    };
    let mut question = of_gear(24, vec![reading(ReadingMeasure::Span(3), span, 0.02)]);
    question.known.pitch = Some(Pitch::Module(fraction(5, 2)));
    let mate = MeasuredGear { name: "mate".into(), teeth: Teeth::External, tooth_count: 37, readings: Vec::new() };
    question.gears.push(mate);
    let distance = Some(MeasuredDistance { millimetres: 75.0, within: None });
    question.meshes.push(MeasuredMesh { gears: [0, 1], distance });
    let best = asked(&question).candidates.into_iter().find(|one| named(one).starts_with("module 2.5 20"));
    let best = best.expect("it is a usual pitch");
    is_close(best.gears[1].shift, -0.467_078, 1e-6);
    assert!(best.alive && best.chi_squared < 1e-9);
}

/// What cannot be is refused, each with its own words.
#[test]
fn readings_that_cannot_be_are_refused() {
    use ReadingMeasure::{Pins, RootDiameter, Span, TipDiameter};
    let refused = |teeth: Teeth, tooth_count: u16, readings: &[(ReadingMeasure, f64)]| {
        let readings = readings.iter().map(|&(measure, millimetres)| reading(measure, millimetres, 0.02)).collect();
        let mut question = of_gear(tooth_count, readings);
        question.gears[0].teeth = teeth;
        let refused = identify(&question).expect_err("it cannot be");
        assert!(!refused.hint().is_empty());
        refused.to_string()
    };
    let external = |readings: &[(ReadingMeasure, f64)]| refused(Teeth::External, 27, readings);
    assert_eq!(external(&[]), "nothing was measured");
    assert_eq!(external(&[(Span(14), 100.0)]), "a span over 14 of the 27 teeth of gear cannot be taken");
    assert_eq!(external(&[(Span(0), 100.0)]), "a span over 0 of the 27 teeth of gear cannot be taken");
    assert_eq!(external(&[(Span(3), 22.0), (Span(4), 22.0)]), "gear reads no more over 4 teeth than over 3");
    assert_eq!(external(&[(TipDiameter, 70.0), (RootDiameter, 80.0)]), "the roots of gear are beyond its tips");
    assert_eq!(external(&[(Pins(200.0), 80.0)]), "no usual teeth of gear can be read like this");
    assert_eq!(external(&[(TipDiameter, f64::NAN)]), "the outside diameter of gear is NaN mm, good to 0.02 mm");
    assert_eq!(external(&[(TipDiameter, -70.0)]), "the outside diameter of gear is -70 mm, good to 0.02 mm");
    assert_eq!(external(&[(TipDiameter, 1e6)]), "the outside diameter of gear is 1000000 mm, good to 0.02 mm");
    let good_to = |within: f64| identify(&of_gear(27, vec![reading(TipDiameter, 70.0, within)])).map(|_| ());
    for within in [0.0, -0.02, f64::NAN, 70.0, 80.0] {
        let refused = good_to(within).expect_err("nobody reads like this").to_string();
        assert_eq!(refused, format!("the outside diameter of gear is 70 mm, good to {within} mm"));
    }
    let of_ring = refused(Teeth::Internal, 60, &[(Span(3), 22.0)]);
    assert_eq!(of_ring, "gear is a ring, over whose teeth no caliper goes");
    let small = refused(Teeth::External, 5, &[(TipDiameter, 22.0)]);
    assert_eq!(small, "gear has 5 teeth: below 6 no span or pins read sound flanks");
}

/// The built-in hoist: told by the diameter over the tips of its sun that this is the worn gear; without it nobody can
/// say which of the two in mesh is.
#[test]
fn which_gear_is_worn_is_told_where_its_outside_diameter_is_known() {
    let mut draft =
        description::read(description::example("worn-goods-hoist").expect("built in")).expect("sound").draft().clone();
    let told = |draft: &Draft| {
        let set = Gearset::new(draft.clone()).expect("sound");
        asked(&IdentifyQuestion::of_gearset(&set, KnownTeeth::default())).candidates[0].clone()
    };
    let known = told(&draft);
    assert_eq!(named(&known), "9 DP 20 full");
    assert_eq!(known.worn[0].gears, ["S"]);
    is_close(known.worn[0].thinning_mm, 0.18, 0.03);
    draft.readings[0].outside = None;
    let doubtful = told(&draft);
    assert_eq!(doubtful.worn[0].gears, ["S", "p"]);
    is_close(doubtful.worn[0].thinning_mm, 0.2, 0.04);
    assert!(doubtful.gears.iter().all(|gear| gear.thinning_mm.is_none()), "{doubtful:?}");
}

/// Other counts are other parts: what was read of those that were is dropped.
#[test]
fn readings_go_with_the_counts_that_they_were_taken_of() {
    let set = description::read(description::example("worn-goods-hoist").expect("built in")).expect("sound");
    let changed = set.with_tooth_counts([(set.gear_named("S").expect("its sun"), 24)]).expect("it can be");
    assert!(changed.draft().readings.is_empty() && set.draft().readings.len() == 2);
    let written = description::write(set.draft());
    assert_eq!(description::read(&written).expect("what is written can be read").draft(), set.draft());
}

/// A usual gear with how it is read: pitch in eighths of a module or as DP, angle, depth, count, shift, thinning.
fn drawn() -> impl Strategy<Value = (DrawnGear, String, f64)> {
    let pitch = prop_oneof![
        prop::sample::select(vec![8_u8, 10, 12, 16, 18, 20, 22, 24, 32, 40, 48]).prop_map(|eighths| {
            let module = f64::from(eighths) / 8.0;
            (module, format!("module {module}"))
        }),
        prop::sample::select(vec![3_u8, 4, 5, 6, 7, 8, 9, 10, 12, 16, 20])
            .prop_map(|pitch| (25.4 / f64::from(pitch), format!("{pitch} DP"))),
    ];
    let kind = prop_oneof![3 => (Just(false), 17_u16..90), 1 => (Just(true), 45_u16..120)];
    let angle = prop::sample::select(vec![14.5, 20.0]);
    (pitch, kind, angle, -0.3..0.6_f64, any::<bool>(), 0.0..0.07_f64).prop_map(
        |((module, name), (is_ring, teeth), angle, shift, is_stub, thinning)| {
            let is_stub = is_stub && angle > 15.0;
            let (addendum, dedendum) = if is_stub { (0.8, 1.0) } else { (1.0, 1.25) };
            let thinning = if thinning < 0.03 { 0.0 } else { thinning * module };
            let angle_radians = f64::to_radians(angle);
            let gear = DrawnGear { is_ring, teeth, module, angle: angle_radians, shift, addendum, dedendum, thinning };
            (gear, name, angle)
        },
    )
}

/// Everything that can be read of a gear on sound flanks, with errors up to what the readings are good to.
fn read_off(gear: &DrawnGear, errors: &[f64]) -> Vec<GearReading> {
    let [inner, outer] = {
        let (tip, base) = (gear.tip_diameter() / 2.0, gear.count() * gear.module * gear.angle.cos() / 2.0);
        if gear.is_ring { [tip.max(base), tip + 3.0 * gear.module] } else { [base, tip - 0.1 * gear.module] }
    };
    let is_sound = |touch: f64| touch > inner + 0.05 * gear.module && touch < outer;
    let mut exact = Vec::new();
    if !gear.is_ring {
        let spans = (2..gear.teeth / 2).map(|teeth| (teeth, gear.span(teeth)));
        let sound = spans.filter(|(_, (_, touch))| is_sound(*touch)).take(2);
        exact.extend(sound.map(|(teeth, (read, _))| (ReadingMeasure::Span(teeth), read, 0.02)));
    }
    for pin in [1.7, 1.9].map(|modules| (modules * gear.module * 100.0).round() / 100.0) {
        let (read, touch) = gear.pins(pin);
        let is_proud = gear.is_ring || read > gear.tip_diameter();
        if is_sound(touch) && is_proud {
            exact.push((ReadingMeasure::Pins(pin), read, 0.01));
        }
    }
    exact.push((ReadingMeasure::TipDiameter, gear.tip_diameter(), 0.03));
    exact.push((ReadingMeasure::RootDiameter, gear.root_diameter(), 0.1));
    let with_error = |((measure, read, within), error): ((ReadingMeasure, f64, f64), &f64)| {
        reading(measure, read + error * within, within)
    };
    exact.into_iter().zip(errors).map(with_error).collect()
}

fn question_of(gear: &DrawnGear, readings: Vec<GearReading>) -> IdentifyQuestion {
    let mut question = of_gear(gear.teeth, readings);
    question.gears[0].teeth = if gear.is_ring { Teeth::Internal } else { Teeth::External };
    question
}

/// The candidate that the readings were taken of.
fn truth<'a>(answer: &'a Identification, name: &str, angle: f64, gear: &DrawnGear) -> Option<&'a ToothCandidate> {
    let depth = if gear.addendum < 0.9 { "stub" } else { "full 1.25" };
    answer.candidates.iter().find(|one| named(one) == format!("{name} {angle} {depth}"))
}

proptest! {
    #![proptest_config(cases(500))]

    /// Without errors the teeth are found with their shift and wear; nothing fits better.
    #[test]
    fn drawn_gears_are_found_again((gear, name, angle) in drawn()) {
        let half_tip = gear.half_tooth(gear.tip_diameter() / 2.0);
        prop_assume!(half_tip * gear.tip_diameter() > 0.1 * gear.module);
        let readings = read_off(&gear, &[0.0; 6]);
        let has_thickness = readings.len() > 2;
        let answer = asked(&question_of(&gear, readings));
        let found = truth(&answer, &name, angle, &gear).expect("they are usual teeth");
        prop_assert!(found.alive, "{gear:?}: {found:?}");
        if has_thickness {
            // Less wear than three standard deviations is not told, and moves the shift by less.
            let told = found.thinning_mm.unwrap_or_default();
            let is_told = told > 0.0;
            if is_told || gear.thinning < 1e-12 {
                prop_assert!((found.shift - gear.shift).abs() < 1e-6, "{gear:?}: {found:?}");
                prop_assert!((told - gear.thinning).abs() < 1e-6 * gear.module, "{gear:?}: {found:?}");
            }
        }
    }

    /// Errors within what the readings are good to leave the teeth among those that may be.
    #[test]
    fn errors_within_what_is_said_leave_the_truth_alive(
        (gear, name, angle) in drawn(),
        errors in prop::array::uniform6(-1.0..1.0_f64),
    ) {
        let half_tip = gear.half_tooth(gear.tip_diameter() / 2.0);
        prop_assume!(half_tip * gear.tip_diameter() > 0.1 * gear.module);
        let answer = asked(&question_of(&gear, read_off(&gear, &errors)));
        let found = truth(&answer, &name, angle, &gear).expect("they are usual teeth");
        prop_assert!(found.alive, "{gear:?}: {found:?}");
    }
}
