//! What do numbers get that give no teeth, no mesh and no reading?
//!
//! A random mix of sound and absurd numbers goes through every formula: each gives a finite number or an error. Then
//! the errors one by one.

use toothmark::tooth::{
    FormRadii, InvolutePair, OutlineError, PinDisplacement, PinMeasurement, PlanetMesh, RadialEntry, SplitRule, Teeth,
    ToothError, ToothForm, base_pitch, base_pitch_from_pins, chordal_thickness, closed_distance, closed_pressure_angle,
    distance_modification, flank_cut_by_rack, index_lengths, lag, least_count_without_undercut,
    least_shift_without_undercut, mesh_backlash, outline, path_of_contact, pin_reading, pin_touching_at,
    pointed_radius, radial_entry, room_between_tips, root_clearances, root_sliding, shape, shift_for_tip_thickness,
    shift_of_thickness, shift_sum_for, span, span_touch_radius, split_shift, teeth_to_span, thickness_at,
    thickness_at_pitch_circle, thickness_from_pins, thickness_from_span, tip_shortening, tip_thickness, usable_spans,
    working_pressure_angle,
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

/// Flanks whose ends no cutter fixes.
const NO_ENDS: FormRadii = FormRadii { first: None, second: None };

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
    form.cutter_addendum =
        lots.pick(&[None, None, None, None, None, None, None, None, None, Some(0.8), Some(f64::NAN)]);
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
            ("shift of a tip", shift_for_tip_thickness(&form, size)),
            ("pins", pin_reading(&form, size).map(|read| read.reading + read.touch_radius + read.change_per_thinning)),
            ("thickness by pins", thickness_from_pins(&form, size, other)),
            ("pin at", pin_touching_at(&form, size)),
            ("rack", flank_cut_by_rack(&form, size).map(|flank| flank.form_radius + flank.room)),
            ("least shift", least_shift_without_undercut(&form, size)),
            ("least count", least_count_without_undercut(&form, size)),
            ("pitch by pins", base_pitch_from_pins(&form, measured(size, 40.0), measured(other, 41.0))),
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

fn measured(pin: f64, reading: f64) -> PinMeasurement {
    PinMeasurement { pin, reading }
}

/// What every formula of a pair gives.
fn of_a_pair(pair: &InvolutePair, distance: f64, ends: FormRadii) -> Vec<(&'static str, Result<f64, ToothError>)> {
    let entry = radial_entry(pair).map(|entry| if let RadialEntry::Room(room) = entry { room } else { 0.0 });
    vec![
        ("working angle", working_pressure_angle(pair, distance)),
        ("closed angle", closed_pressure_angle(pair)),
        ("closed distance", closed_distance(pair)),
        ("sum of shifts", shift_sum_for(pair, distance)),
        ("modification", distance_modification(pair, distance)),
        ("shortening", tip_shortening(pair, distance)),
        ("backlash", mesh_backlash(pair, distance).map(|backlash| backlash.at_pitch_circle)),
        ("contact", path_of_contact(pair, distance, ends).map(|path| path.ratio + path.second_starts_at)),
        ("clearances", root_clearances(pair, distance).map(|room| room.at_first_tip + room.at_second_tip)),
        ("tips", room_between_tips(pair, distance).map(|room| room.unwrap_or(0.0))),
        ("entry", entry),
        ("shaper", shape(pair.second(), pair.first()).map(|shaped| shaped.root_radius + shaped.flank.form_radius)),
    ]
}

/// What is asked of a pair whose shifts are shared, and whose planet is displaced by as much as any number.
fn of_a_planned_pair(pair: &InvolutePair, distance: f64, any: f64) -> Vec<(&'static str, Result<f64, ToothError>)> {
    let shared = |rule| split_shift(pair, distance, rule).map(|split| split.first + split.second);
    let displaced = PlanetMesh::new(pair.first(), pair.second(), distance)
        .and_then(|mesh| lag(mesh, mesh, PinDisplacement { outward: any, along: any }));
    vec![
        ("sliding", root_sliding(pair, distance).map(|sliding| sliding.of_first + sliding.of_second)),
        ("equal sliding", shared(SplitRule::EqualSliding)),
        ("difference", shared(SplitRule::Difference)),
        ("inverse ratio", shared(SplitRule::InverseRatio(any))),
        ("logarithm", shared(SplitRule::Logarithm)),
        ("halves", shared(SplitRule::Halves)),
        ("index", index_lengths(pair.first(), any).map(|index| index.angle + index.arc + index.chord)),
        ("lag", displaced),
    ]
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn no_number_makes_a_formula_of_a_pair_panic_or_give_what_is_no_number() {
    let mut lots = Lots::new(SEED + 1);
    let mut answered = 0_u32;
    for _ in 0..ROUNDS {
        let (first, second) = (any_form(&mut lots), any_form(&mut lots));
        let second = ToothForm { module: first.module, pressure_angle: first.pressure_angle, ..second };
        let Ok(pair) = InvolutePair::new(&first, &second) else { continue };
        let any = lots.pick(&NUMBERS);
        let distance = lots.pick(&[pair.nominal_distance(), pair.least_distance(), 40.0, any]);
        let ends = FormRadii { first: Some(lots.pick(&NUMBERS)), second: lots.pick(&[None, Some(30.0)]) };
        for (what, value) in of_a_pair(&pair, distance, ends).into_iter().chain(of_a_pair(&pair, distance, NO_ENDS)) {
            answered += u32::from(sound(what, &first, value));
        }
        for (what, value) in of_a_planned_pair(&pair, distance, any) {
            answered += u32::from(sound(what, &first, value));
        }
    }
    println!("seed {}: {answered} answers of {ROUNDS} pairs", SEED + 1);
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
    assert_eq!(pin_reading(&gear, 1.0), Err(ToothError::PinSize), "it falls through");
    assert_eq!(pin_reading(&ring, 9.0), Err(ToothError::PinSize), "it does not enter");
    let pins = [measured(4.0, 120.0), measured(4.0, 121.0)];
    assert_eq!(base_pitch_from_pins(&ring, pins[0], pins[1]), Err(ToothError::PinSize), "equal pins");
    assert_eq!(flank_cut_by_rack(&ring, 1.0), Err(ToothError::RingTeeth));
    assert_eq!(shift_for_tip_thickness(&gear, 50.0), Err(ToothError::NoShift));
}

#[test]
fn each_pair_that_does_not_mesh_has_its_own_error() {
    let gear = ToothForm::standard(Teeth::External, 24, 2.0);
    let ring = ToothForm::standard(Teeth::Internal, 60, 2.0);
    let pair = |a: &ToothForm, b: &ToothForm| InvolutePair::new(a, b);
    assert_eq!(pair(&ring, &ring), Err(ToothError::TwoRings));
    assert_eq!(pair(&gear, &ToothForm { tooth_count: 24, ..ring }), Err(ToothError::RingTooSmall));
    assert_eq!(pair(&gear, &ToothForm { module: 2.1, ..ring }), Err(ToothError::DifferentRack));
    assert_eq!(pair(&gear, &ToothForm { pressure_angle: 0.3, ..ring }), Err(ToothError::DifferentRack));
    let (inside, outside) = (pair(&gear, &ring).expect("sound"), pair(&gear, &gear).expect("sound"));
    assert_eq!(pair(&ring, &gear), Ok(inside), "the ring comes second in either order");
    assert_eq!(working_pressure_angle(&inside, 33.0), Err(ToothError::TooClose));
    assert_eq!(working_pressure_angle(&inside, inside.least_distance()), Err(ToothError::TooClose));
    assert_eq!(shift_sum_for(&outside, f64::NAN), Err(ToothError::OutOfRange));
    assert_eq!(path_of_contact(&outside, 60.0, NO_ENDS), Err(ToothError::NoContact));
    assert_eq!(radial_entry(&outside), Err(ToothError::NotInRing));
    let deep = ToothForm { profile_shift: -2.0, ..gear };
    assert_eq!(closed_distance(&pair(&deep, &deep).expect("sound")), Err(ToothError::NoMesh));
    assert_eq!(shape(&ring, &ring), Err(ToothError::TwoRings));
    assert_eq!(shape(&gear, &ring), Err(ToothError::RingTeeth));
}

/// Of six teeth the pitch circle is 3 modules from the middle: roots are to leave a quarter of one.
#[test]
fn an_outline_whose_roots_reach_the_middle_is_refused() {
    for (dedendum, is_refused) in [(2.7, false), (2.76, true), (2.9, true), (3.5, true)] {
        let form = ToothForm { dedendum, ..ToothForm::standard(Teeth::External, 6, 2.0) };
        let refused = outline(&form, 0.01).err();
        assert_eq!(refused == Some(OutlineError::NoRoot), is_refused, "{dedendum}: {refused:?}");
    }
}
