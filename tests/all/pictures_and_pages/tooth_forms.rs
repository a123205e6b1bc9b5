//! Are the outlines of the library those of involute gears?
//!
//! They are compared with the independent outlines of `outlines.rs`, and rolled: what is said of
//! tips that dig in or foul is tried by turning the gears through a whole pitch.

use std::f64::consts::{PI, TAU};

use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::single::SingleFloatOverlay;
use toothmark::tooth::{
    OutlineError, RootCutter, Teeth, ToothForm, center_distance, largest_external_tip, outline, smallest_internal_tip,
    tips_foul,
};

use crate::support::outlines::{
    AXIS, Contour, EXTERNAL, NO_OVERLAP, Pose, Proportions, TOOTH_AREA, external_outline, internal_outline,
    overlap_area, polar, steps,
};

const TOLERANCE: f64 = 1e-4;

/// The outline turned, then moved along x.
#[track_caller]
fn placed(form: &ToothForm, turn: f64, along: f64) -> Contour {
    let points = outline(form, TOLERANCE).unwrap_or_else(|error| panic!("{form:?}: {error}")).points;
    let (sin, cos) = turn.sin_cos();
    points.iter().map(|[x, y]| [along + x * cos - y * sin, x * sin + y * cos]).collect()
}

/// A ring as an annulus.
#[track_caller]
fn annulus(form: &ToothForm, turn: f64) -> Vec<Contour> {
    let outer = form.root_radius() + form.module;
    let circle =
        (0..720).map(|part| TAU * f64::from(part) / 720.0).map(|angle| [outer * angle.cos(), outer * angle.sin()]);
    vec![circle.collect(), placed(form, turn, 0.0)]
}

/// The area in one of two shapes only.
fn difference(a: &[Contour], b: &[Contour]) -> f64 {
    overlap_area(a, a) + overlap_area(b, b) - 2.0 * overlap_area(a, b)
}

/// A shape without the disc up to the end of the involutes, or what of it lies within that.
fn clipped(shape: &[Contour], form: &ToothForm, rule: OverlayRule) -> Vec<Contour> {
    let radius = outline(form, TOLERANCE).expect("it was drawn").form_radius;
    let circle: Contour = steps(2000).skip(1).map(|part| polar(AXIS, radius, TAU * part)).collect();
    let shapes = shape.to_vec().overlay_as::<i64>(&vec![circle], rule, FillRule::EvenOdd);
    shapes.into_iter().flatten().collect()
}

/// The tip of a ring that reaches the involute of its gear and nothing below it, or its full tip.
fn ring_tip(ring: &ToothForm, gear: &ToothForm, distance: f64) -> f64 {
    let curvature = |radius: f64| (radius.powi(2) - gear.base_radius().powi(2)).max(0.0).sqrt();
    let line = (distance.powi(2) - (ring.base_radius() - gear.base_radius()).powi(2)).max(0.0).sqrt();
    let begins = curvature(outline(gear, TOLERANCE).expect("it is drawn").form_radius);
    let reaching = ring.base_radius().hypot(line + begins);
    let to_base_circle = smallest_internal_tip(ring, gear, distance).expect("they mesh");
    assert!(reaching > to_base_circle - 1e-9, "{gear:?} has an involute within its base circle");
    reaching.max(ring.tip_radius())
}

#[track_caller]
fn check_external(tooth_count: u16, thinning: f64) {
    let form = ToothForm { thinning, ..ToothForm::standard(Teeth::External, tooth_count, 1.0) };
    let ours = [placed(&form, 0.3, 0.0)];
    let theirs = [external_outline(tooth_count.into(), Pose::new(AXIS, 0.3 / TAU), thinning, EXTERNAL)];
    // Below its involutes the other gear has radial flanks.
    let [ours, theirs] = [&ours, &theirs].map(|gear| clipped(gear, &form, OverlayRule::Difference));
    let difference = difference(&ours, &theirs);
    assert!(difference < 1e-3 * f64::from(tooth_count), "{tooth_count} teeth differ by {difference}");
}

#[track_caller]
fn check_internal(tooth_count: u16, thinning: f64) {
    let form = ToothForm { addendum: 0.8, thinning, ..ToothForm::standard(Teeth::Internal, tooth_count, 1.0) };
    let ring = Proportions { addendum: 0.8, ..EXTERNAL };
    // They have a space where the library has a tooth.
    let space = Pose::new(AXIS, 0.5 / f64::from(tooth_count));
    let theirs = internal_outline(tooth_count.into(), space, thinning, ring);
    let ours = [placed(&form, 0.0, 0.0)];
    let [ours, theirs] = [&ours, &theirs[1..]].map(|hole| clipped(hole, &form, OverlayRule::Intersect));
    let difference = difference(&ours, &theirs);
    assert!(difference < 1e-3 * f64::from(tooth_count), "a ring of {tooth_count} differs by {difference}");
}

#[test]
fn outlines_are_those_that_were_worked_out_independently() {
    for teeth in [12, 17, 20, 41, 90] {
        check_external(teeth, 0.0);
        check_external(teeth, 0.05);
    }
    for teeth in [50, 60, 87, 120] {
        check_internal(teeth, 0.0);
        check_internal(teeth, 0.05);
    }
}

#[test]
fn chords_are_no_farther_from_the_curve_than_the_tolerance() {
    let form = ToothForm::standard(Teeth::External, 23, 4.0);
    let fine = [outline(&form, 1e-6).expect("a gear").points];
    for tolerance in [0.1, 0.01, 0.001] {
        let coarse = [outline(&form, tolerance).expect("a gear").points];
        let along: f64 =
            coarse[0].windows(2).map(|side| (side[1][0] - side[0][0]).hypot(side[1][1] - side[0][1])).sum();
        let difference = difference(&fine, &coarse);
        assert!(difference < tolerance * along, "{difference} over {along} at {tolerance}");
        assert!(difference > 0.0, "a coarse outline is not a fine one");
    }
}

#[test]
fn a_shift_moves_teeth_outward_and_makes_them_thicker() {
    let plain = ToothForm::standard(Teeth::External, 20, 2.0);
    let shifted = ToothForm { profile_shift: 0.5, ..plain };
    assert!((shifted.tip_radius() - plain.tip_radius() - 1.0).abs() < 1e-12, "the tip moves by half a module");
    let [a, b] = [plain, shifted].map(|form| overlap_area(&[placed(&form, 0.0, 0.0)], &[placed(&form, 0.0, 0.0)]));
    assert!(b > a, "{b} square millimetres against {a}");
}

/// A pinion-shaped cutter of few teeth undercuts a gear of few teeth less than the tips of a large partner would need:
/// rolled past its foot, they stay clear once they are shortened and not before. A rack undercuts it more than any
/// partner of its depth needs.
#[test]
fn tips_of_a_large_gear_dig_into_a_small_one_unless_they_are_shortened_or_a_rack_has_cut_it() {
    for (large, small) in [(36, 9), (60, 10), (100, 12)] {
        let mut a = ToothForm { thinning: 0.001, ..ToothForm::standard(Teeth::External, large, 1.0) };
        let by_rack = ToothForm { thinning: 0.001, ..ToothForm::standard(Teeth::External, small, 1.0) };
        let shaped = ToothForm { cut_by: RootCutter::Shaper { tooth_count: 8, profile_shift: 0.0 }, ..by_rack };
        let distance = f64::from(large + small) / 2.0;
        let overlap = |a: &ToothForm, b: &ToothForm, part: f64| {
            let turn = TAU / f64::from(large) * part;
            // Half a tooth on the other side, and against the turn of the first.
            let other = PI + (0.5 - part) * TAU / f64::from(small);
            overlap_area(&[placed(a, turn, 0.0)], &[placed(b, other, distance)]) / TOOTH_AREA
        };
        let worst = |a: &ToothForm, b: &ToothForm| steps(20).map(|part| overlap(a, b, part)).fold(0.0, f64::max);
        let undercut = worst(&a, &by_rack);
        assert!(undercut < NO_OVERLAP, "{large} with {small}: full tips dig into what a rack has cut by {undercut}");
        assert!(worst(&a, &shaped) > NO_OVERLAP, "{large} with {small}: full tips do not dig in");
        a.tip_limit = largest_external_tip(&a, &shaped, distance);
        let left = worst(&a, &shaped);
        assert!(left < NO_OVERLAP, "{large} with {small}: shortened tips overlap by {left}");
    }
}

/// The greatest overlap while a gear rolls in its ring through a pitch.
fn rolled_in_ring(gear: &ToothForm, ring: &ToothForm) -> f64 {
    let distance = ring.pitch_radius() - gear.pitch_radius();
    let overlap = |part: f64| {
        let (z, ring_count) = (f64::from(gear.tooth_count), f64::from(ring.tooth_count));
        let turned = annulus(ring, (part + 0.5) * TAU / ring_count);
        overlap_area(&turned, &[placed(gear, part * TAU / z, distance)]) / TOOTH_AREA
    };
    steps(12).map(overlap).fold(0.0, f64::max)
}

#[test]
fn tips_foul_just_where_a_gear_rolled_in_its_ring_overlaps() {
    let mut counts = [0, 0];
    for (ring_count, count) in [(34, 30), (36, 30), (40, 30), (44, 30), (66, 18), (60, 48), (60, 54), (80, 70)] {
        let gear = ToothForm { thinning: 0.001, ..ToothForm::standard(Teeth::External, count, 1.0) };
        let mut ring = ToothForm { thinning: 0.001, ..ToothForm::standard(Teeth::Internal, ring_count, 1.0) };
        let distance = f64::from(ring_count - count) / 2.0;
        ring.tip_limit = Some(ring_tip(&ring, &gear, distance));
        let overlap = rolled_in_ring(&gear, &ring);
        let fouls = tips_foul(&gear, &ring, distance);
        assert_eq!(fouls, overlap > NO_OVERLAP, "{count} in {ring_count}: overlap {overlap}");
        counts[usize::from(fouls)] += 1;
    }
    assert!(counts.iter().all(|&count| count > 1), "both happen: {counts:?}");
}

/// The greatest overlap of two shifted gears at their centre distance, rolled through a pitch.
#[track_caller]
fn rolled_with_shifts(a: (Teeth, u16, f64), b: (u16, f64), thinning: f64) -> f64 {
    let form = |teeth, count, profile_shift| ToothForm { profile_shift, ..ToothForm::standard(teeth, count, 1.0) };
    let (mut first, mut second) = (form(a.0, a.1, a.2), form(Teeth::External, b.0, b.1));
    let distance = center_distance(&first, &second).expect("they mesh");
    if a.0 == Teeth::Internal {
        first.tip_limit = Some(ring_tip(&first, &second, distance));
    }
    (first.thinning, second.thinning) = (thinning, thinning);
    let overlap = |part: f64| {
        let [own, other] = [a.1, b.0].map(|count| TAU / f64::from(count));
        match a.0 {
            Teeth::External => {
                let second = placed(&second, PI + (0.5 - part) * other, distance);
                overlap_area(&[placed(&first, part * own, 0.0)], &[second])
            }
            Teeth::Internal => {
                overlap_area(&annulus(&first, (part + 0.5) * own), &[placed(&second, part * other, distance)])
            }
        }
    };
    steps(8).map(|part| overlap(part) / TOOTH_AREA).fold(0.0, f64::max)
}

#[test]
fn shifted_gears_at_their_centre_distance_roll_without_play_and_without_overlap() {
    let (external, internal) = (Teeth::External, Teeth::Internal);
    let cases = [
        ((external, 24, -0.3), (37, -0.2)),
        ((external, 18, 0.4), (30, 0.2)),
        ((internal, 60, 0.3), (20, -0.1)),
        ((internal, 66, -0.2), (18, 0.3)),
    ];
    for (a, b) in cases {
        let thin = rolled_with_shifts(a, b, 0.001);
        assert!(thin < NO_OVERLAP, "{a:?} with {b:?}: {thin} overlaps");
        let thick = rolled_with_shifts(a, b, -0.003);
        assert!(thick > NO_OVERLAP, "{a:?} with {b:?}: thick teeth fit");
    }
}

#[test]
fn what_gives_no_teeth_is_refused() {
    let gear = ToothForm::standard(Teeth::External, 20, 2.0);
    let refused = |form: ToothForm| outline(&form, 0.01).expect_err("no outline");
    assert_eq!(refused(ToothForm { tooth_count: 2, ..gear }), OutlineError::NoRoot);
    assert_eq!(refused(ToothForm { profile_shift: 3.0, ..gear }), OutlineError::Pointed);
    assert_eq!(refused(ToothForm { thinning: -9.0, ..gear }), OutlineError::NoSpace);
    assert_eq!(refused(ToothForm { module: 0.0, ..gear }), OutlineError::NoSize);
    assert_eq!(refused(ToothForm { module: f64::NAN, ..gear }), OutlineError::NoSize);
    assert_eq!(outline(&gear, 0.0).expect_err("no outline"), OutlineError::NoSize);
    let shaper = |tooth_count| RootCutter::Shaper { tooth_count, profile_shift: 0.0 };
    let ring = ToothForm { cut_by: shaper(60), ..ToothForm::standard(Teeth::Internal, 60, 2.0) };
    assert_eq!(refused(ring), OutlineError::Cutter);
    assert_eq!(refused(ToothForm { cut_by: shaper(0), ..gear }), OutlineError::NoSize);
}
