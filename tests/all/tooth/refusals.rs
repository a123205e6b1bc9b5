//! What do numbers get that give no teeth, no mesh and no reading?
//!
//! A random mix of sound and absurd numbers goes through every formula: each gives a finite number or an error. Then the
//! errors one by one.

use toothmark::tooth::{
    Teeth, ToothError, ToothForm, base_pitch, chordal_thickness, pointed_radius, shift_of_thickness, span,
    span_touch_radius, teeth_to_span, thickness_at, thickness_at_pitch_circle, thickness_from_span, tip_thickness,
    usable_spans,
};

use super::lots::Lots;

const SEED: u64 = 20_261;
const ROUNDS: u32 = 4000;

/// Sound numbers with absurd ones among them.
const NUMBERS: [f64; 18] = [
    0.0,
    -0.0,
    1.0,
    0.5,
    -0.5,
    0.3,
    2.5,
    20.0,
    -3.0,
    1e-9,
    1e-5,
    1e3,
    1e6,
    1e12,
    1e300,
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
];
/// Tooth counts, and counts of spanned teeth.
const COUNTS: [u16; 10] = [0, 1, 2, 3, 5, 12, 24, 61, 200, u16::MAX];

fn any_form(lots: &mut Lots) -> ToothForm {
    let mut form = ToothForm::standard(lots.pick(&[Teeth::External, Teeth::Internal]), lots.pick(&COUNTS), 2.0);
    // Three numbers in four stay sound, so that not every form is refused at its door.
    for number in [
        &mut form.module,
        &mut form.pressure_angle,
        &mut form.profile_shift,
        &mut form.addendum,
        &mut form.dedendum,
        &mut form.thinning,
    ] {
        if lots.count(1, 4) == 1 {
            *number = lots.pick(&NUMBERS);
        }
    }
    form.tip_limit = lots.pick(&[None, None, None, Some(20.0), Some(0.0), Some(f64::NAN)]);
    form
}

/// Finite, or refused.
#[track_caller]
fn sound(what: &str, form: &ToothForm, value: Result<f64, ToothError>) -> bool {
    assert!(value.is_err() || value.is_ok_and(f64::is_finite), "{what} of {form:?}: {value:?}");
    value.is_ok()
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn no_number_makes_a_formula_of_one_gear_panic_or_give_what_is_no_number() {
    let mut lots = Lots::new(SEED);
    let mut answered = 0_u32;
    for _ in 0..ROUNDS {
        let form = any_form(&mut lots);
        let (size, other, spanned) = (lots.pick(&NUMBERS), lots.pick(&NUMBERS), lots.pick(&COUNTS));
        let answers = [
            ("base pitch", base_pitch(&form)),
            ("span", span(&form, spanned)),
            ("touching radius", span_touch_radius(&form, spanned)),
            ("thickness by a span", thickness_from_span(&form, spanned, size)),
            ("count to span", teeth_to_span(&form)),
            ("thickness", thickness_at_pitch_circle(&form)),
            ("shift", shift_of_thickness(&form, size)),
            ("thickness at", thickness_at(&form, size)),
            ("tip", tip_thickness(&form)),
            ("pointed", pointed_radius(&form).map(|radius| radius.unwrap_or(0.0))),
            ("chord", chordal_thickness(&form).map(|caliper| caliper.chord + caliper.height)),
        ];
        answered += answers.into_iter().map(|(what, value)| u32::from(sound(what, &form, value))).sum::<u32>();
        if form.tooth_count < 1000 {
            drop(usable_spans(&form, size, other));
        }
    }
    println!("seed {SEED}: {answered} answers of {ROUNDS} gears");
    assert!(answered > ROUNDS, "hardly anything is answered: {answered}");
}

#[test]
fn each_bad_number_has_its_own_error() {
    let gear = ToothForm::standard(Teeth::External, 24, 2.0);
    let ring = ToothForm::standard(Teeth::Internal, 60, 2.0);
    assert_eq!(base_pitch(&ToothForm { module: 0.0, ..gear }), Err(ToothError::NoSize));
    assert_eq!(base_pitch(&ToothForm { module: -2.0, ..gear }), Err(ToothError::NoSize));
    assert_eq!(base_pitch(&ToothForm { tooth_count: 0, ..gear }), Err(ToothError::NoSize));
    assert_eq!(base_pitch(&ToothForm { profile_shift: f64::NAN, ..gear }), Err(ToothError::OutOfRange));
    assert_eq!(base_pitch(&ToothForm { pressure_angle: 20.0, ..gear }), Err(ToothError::PressureAngle));
    assert_eq!(span(&ring, 5), Err(ToothError::RingTeeth));
    assert_eq!(span(&gear, 0), Err(ToothError::SpanCount));
    assert_eq!(span(&gear, 12), Err(ToothError::SpanCount));
    assert!(span(&gear, 11).is_ok(), "below half of 24");
    assert_eq!(span(&ToothForm { profile_shift: -20.0, ..gear }, 3), Err(ToothError::NoInvolute));
    assert_eq!(teeth_to_span(&ToothForm { profile_shift: -2.0, ..gear }), Err(ToothError::NoInvolute));
    assert_eq!(thickness_at(&gear, 22.0), Err(ToothError::NoInvolute));
    assert_eq!(chordal_thickness(&ring), Err(ToothError::RingTeeth));
    assert_eq!(pointed_radius(&ring), Ok(None), "teeth of a ring widen outward");
    assert_eq!(usable_spans(&gear, 40.0, 0.2), Ok(Vec::new()), "a form radius beyond the tip leaves no span");
}
