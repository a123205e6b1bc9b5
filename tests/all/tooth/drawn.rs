//! Do drawn gears measure what the formulas say?
//!
//! Random gears are drawn as outlines, whose flanks are points of the involute, and measured on the drawing: jaws laid
//! against its points, pins let down until they touch a chord. The chords are so short that the drawing is exact to
//! [`DRAWN`]. The seed is printed.

use std::f64::consts::{PI, TAU};

use toothmark::tooth::{Teeth, ToothForm, outline, span, tip_thickness, usable_spans};

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

/// The points of a drawn gear as radius and angle.
fn drawn(form: &ToothForm) -> Vec<(f64, f64)> {
    let outline = outline(form, DRAWN).unwrap_or_else(|error| panic!("{form:?}: {error}"));
    outline.points.iter().map(|[x, y]| (x.hypot(*y), y.atan2(*x))).collect()
}

/// Jaws that stand evenly over k teeth, the middle of the span on the y axis: how far the teeth in between reach to
/// either side, looking at the teeth alone that are spanned.
fn jaws(form: &ToothForm, points: &[(f64, f64)], spanned: u16) -> f64 {
    let pitch = TAU / f64::from(form.tooth_count);
    // Tooth 0 stands at angle 0 and is the first one spanned: it is turned to the right end.
    let first = -pitch * (f64::from(spanned) - 1.0) / 2.0;
    // Jaws reach down beside the flank, not to the root.
    let deepest = form.base_radius().max(form.root_radius()) + DRAWN;
    let of_first = points.iter().filter(|(radius, angle)| *radius > deepest && angle.abs() < pitch / 2.0);
    2.0 * of_first.map(|(radius, angle)| -radius * (first + angle).sin()).fold(0.0, f64::max)
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn jaws_on_drawn_teeth_read_the_span() {
    let mut lots = Lots::new(SEED);
    let mut measured = 0_u32;
    for _ in 0..GEARS {
        let form = random_gear(&mut lots, Teeth::External);
        let points = drawn(&form);
        // On the drawing flanks are whole from the base circle or the root circle to the tip.
        let lowest = form.base_radius().max(form.root_radius());
        for spanned in usable_spans(&form, lowest, 0.01 * form.module).expect("a drawn gear") {
            let formula = span(&form, spanned).expect("a usable span");
            let drawn = jaws(&form, &points, spanned);
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
        let half_pitch = PI / f64::from(form.tooth_count);
        let at_tip = drawn(&form)
            .into_iter()
            .filter(|(radius, angle)| (radius - form.tip_radius()).abs() < 1e-9 && angle.abs() < half_pitch);
        // The middle of a tooth lies on the x axis.
        let half_angle = at_tip.map(|(_, angle)| angle.abs()).fold(0.0, f64::max);
        let (formula, drawn) = (tip_thickness(&form).expect("drawn"), 2.0 * half_angle * form.tip_radius());
        assert!((formula - drawn).abs() < 1e-9, "{form:?}: {formula}, drawn {drawn}");
    }
    println!("seed {}: {GEARS} tips", SEED + 1);
}
