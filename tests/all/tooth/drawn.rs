//! Do drawn gears measure what the formulas say?
//!
//! Random gears are drawn as outlines, whose flanks are points of the involute, and measured on the drawing: jaws laid
//! against its points, pins let down until they touch a chord. The chords are so short that the drawing is exact to
//! [`DRAWN`]. The seed is printed.

use std::f64::consts::{PI, TAU};

use toothmark::tooth::{
    Outline, Teeth, ToothForm, outline, pin_reading, pin_touching_at, span, tip_thickness, usable_spans,
};

use super::lots::Lots;

const SEED: u64 = 1407;
const GEARS: u32 = 500;
/// Chord error of the drawings, in millimetres.
const DRAWN: f64 = 1e-6;

/// A random gear that can be drawn with full flanks.
pub(super) fn random_gear(lots: &mut Lots, teeth: Teeth) -> ToothForm {
    loop {
        let count = if teeth == Teeth::External { lots.count(8, 90) } else { lots.count(34, 150) };
        let form = ToothForm {
            pressure_angle: lots.pick(&[14.5_f64, 17.5, 20.0, 20.0, 22.5, 25.0]).to_radians(),
            profile_shift: lots.between(-0.5, 0.8),
            addendum: lots.pick(&[1.0, 0.8]),
            thinning: lots.between(0.0, 0.1),
            ..ToothForm::standard(teeth, count, lots.between(1.0, 5.0))
        };
        if tip_thickness(&form).is_ok_and(|thickness| thickness > 0.1 * form.module) && outline(&form, 0.1).is_ok() {
            return form;
        }
    }
}

#[track_caller]
fn outlined(form: &ToothForm) -> Outline {
    outline(form, DRAWN).unwrap_or_else(|error| panic!("{form:?}: {error}"))
}

/// The points of the tooth of a drawn gear that stands at angle 0, as radius and angle.
fn first_tooth(form: &ToothForm, drawn: &Outline) -> Vec<(f64, f64)> {
    let half_pitch = PI / f64::from(form.tooth_count);
    let tangent = half_pitch.tan();
    let is_of_first = |[x, y]: &&[f64; 2]| *x > 0.0 && y.abs() < tangent * x;
    drawn.points.iter().filter(is_of_first).map(|[x, y]| (x.hypot(*y), y.atan2(*x))).collect()
}

/// Jaws that stand evenly over k teeth, the middle of the span on the y axis: how far the teeth in between reach to
/// either side, looking at the teeth alone that are spanned.
fn jaws(form: &ToothForm, first_tooth: &[(f64, f64)], flank_from: f64, spanned: u16) -> f64 {
    let pitch = TAU / f64::from(form.tooth_count);
    // The first one spanned is turned to the right end.
    let first = -pitch * (f64::from(spanned) - 1.0) / 2.0;
    // Jaws reach down beside the flank, not into the fillet.
    let flank = first_tooth.iter().filter(|(radius, _)| *radius > flank_from + DRAWN);
    2.0 * flank.map(|(radius, angle)| -radius * (first + angle).sin()).fold(0.0, f64::max)
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn jaws_on_drawn_teeth_read_the_span() {
    let mut lots = Lots::new(SEED);
    let mut measured = 0_u32;
    for _ in 0..GEARS {
        let form = random_gear(&mut lots, Teeth::External);
        let drawn = outlined(&form);
        let (points, lowest) = (first_tooth(&form, &drawn), drawn.form_radius);
        for spanned in usable_spans(&form, lowest, 0.01 * form.module).expect("a drawn gear") {
            let formula = span(&form, spanned).expect("a usable span");
            let drawn = jaws(&form, &points, lowest, spanned);
            assert!((formula - drawn).abs() < 1e-5, "{form:?} over {spanned}: {formula}, drawn {drawn}");
            measured += 1;
        }
    }
    println!("seed {SEED}: {measured} spans of {GEARS} gears");
    assert!(measured > GEARS, "hardly a gear can be spanned: {measured}");
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn drawn_tips_are_as_thick_as_said() {
    let mut lots = Lots::new(SEED + 1);
    for number in 0..GEARS {
        let form = random_gear(&mut lots, if number % 2 == 0 { Teeth::External } else { Teeth::Internal });
        // However long chords are, corners at the tip are drawn where they are.
        let drawn = outline(&form, 0.1).expect("it was drawn with such chords");
        let points = first_tooth(&form, &drawn).into_iter();
        let at_tip = points.filter(|(radius, _)| (radius - form.tip_radius()).abs() < 1e-9);
        // The middle of a tooth lies on the x axis.
        let half_angle = at_tip.map(|(_, angle)| angle.abs()).fold(0.0, f64::max);
        let (formula, drawn) = (tip_thickness(&form).expect("drawn"), 2.0 * half_angle * form.tip_radius());
        assert!((formula - drawn).abs() < 1e-9, "{form:?}: {formula}, drawn {drawn}");
    }
    println!("seed {}: {GEARS} tips", SEED + 1);
}

/// How far a point is from the nearest chord of a line.
fn distance_to(line: &[[f64; 2]], [x, y]: [f64; 2]) -> f64 {
    let to_chord = |chord: &[[f64; 2]]| {
        let ([x0, y0], [x1, y1]) = (chord[0], chord[1]);
        let (along, across) = (x1 - x0, y1 - y0);
        let part = ((x - x0) * along + (y - y0) * across) / (along * along + across * across);
        let part = part.clamp(0.0, 1.0);
        (x - x0 - part * along).hypot(y - y0 - part * across)
    };
    line.windows(2).map(to_chord).fold(f64::INFINITY, f64::min)
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn pins_laid_into_drawn_spaces_touch_and_read_as_said() {
    let mut lots = Lots::new(SEED + 2);
    let mut measured = 0_u32;
    for number in 0..GEARS {
        let form = random_gear(&mut lots, if number % 2 == 0 { Teeth::External } else { Teeth::Internal });
        let on_flank = form.pitch_radius() + form.profile_shift * form.module;
        let Ok(pin) = pin_touching_at(&form, on_flank) else { continue };
        let read = pin_reading(&form, pin).expect("a drawn flank");
        if read.clear_of_root < 0.0 {
            continue;
        }
        measured += 1;
        // The first tooth stands at angle 0, the space behind it half a pitch on.
        let half_pitch = PI / f64::from(form.tooth_count);
        let at = |angle: f64| [read.middle_radius * angle.cos(), read.middle_radius * angle.sin()];
        let points = outline(&form, DRAWN).expect("a drawn gear").points;
        let space = |[x, y]: &[f64; 2]| (0.0..2.0 * half_pitch).contains(&y.atan2(*x));
        let space: Vec<[f64; 2]> = points.into_iter().skip_while(|point| !space(point)).take_while(space).collect();
        let apart = distance_to(&space, at(half_pitch));
        assert!((apart - pin / 2.0).abs() < 1e-5, "{form:?}: a pin of {pin} is {apart} from the flanks");
        // The other pin lies in the space across, or the one nearest to it.
        let across = f64::from(form.tooth_count / 2) * 2.0 * half_pitch;
        let ([x0, y0], [x1, y1]) = (at(half_pitch), at(half_pitch + across));
        let side = if form.teeth == Teeth::External { 1.0 } else { -1.0 };
        let reading = (x1 - x0).hypot(y1 - y0) + side * pin;
        assert!((reading - read.reading).abs() < 1e-9, "{form:?}: {reading} against {}", read.reading);
    }
    println!("seed {}: {measured} of {GEARS} gears with pins", SEED + 2);
    assert!(measured > GEARS / 2, "hardly a pin fits: {measured}");
}
