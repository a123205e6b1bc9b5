//! Does a gear go into its ring sideways just where the formula says?
//!
//! The drawn gear is pushed along the radius, from where its tips are free of the ring's to its place, with a tooth or a
//! space ahead; any overlap on the way is one. The seed is printed.

use std::f64::consts::{PI, TAU};

use toothmark::tooth::{
    InvolutePair, RoomVerdict, Teeth, ToothForm, closed_distance, outline, radial_entry, room_between_tips,
    smallest_internal_tip,
};

use super::lots::Lots;
use crate::support::outlines::{Contour, overlap_area, steps};

const SEED: u64 = 1650;
/// Chord error of the drawings, in modules.
const DRAWN: f64 = 2e-4;

/// A gear and a ring of module 1 without tip interference at their place.
fn random_pair(lots: &mut Lots) -> Option<(InvolutePair, f64)> {
    let count = lots.count(16, 40);
    let addendum = lots.pick(&[0.7, 0.8, 1.0]);
    let form = |teeth, count, profile_shift| ToothForm {
        addendum,
        profile_shift,
        thinning: 1e-3,
        ..ToothForm::standard(teeth, count, 1.0)
    };
    let gear = form(Teeth::External, count, lots.between(0.1, 0.4));
    let ring = form(Teeth::Internal, count + lots.count(8, 20), lots.between(0.1, 0.5));
    let distance = closed_distance(&InvolutePair::new(&gear, &ring).ok()?).ok()?;
    // Clear of the gear's fillets as well.
    let least = smallest_internal_tip(&ring, &gear, distance)? + 0.15;
    let ring = ToothForm { tip_limit: Some(least.max(ring.tip_radius())), ..ring };
    let pair = InvolutePair::new(&gear, &ring).ok()?;
    let clear = room_between_tips(&pair, distance).ok()?.is_none_or(|room| room > 1e-3);
    (clear && outline(&gear, DRAWN).is_ok() && outline(&ring, DRAWN).is_ok()).then_some((pair, distance))
}

/// The points of an outline within so many radians of the x axis, as a closed line of their own.
fn ahead(form: &ToothForm, turn: f64, angle: f64, behind: f64) -> Contour {
    let outline = outline(form, DRAWN).expect("it was drawn");
    let (sin, cos) = turn.sin_cos();
    let turned: Contour = outline.points.iter().map(|[x, y]| [x * cos - y * sin, x * sin + y * cos]).collect();
    let is_ahead = |[x, y]: &[f64; 2]| y.atan2(*x).abs() < angle;
    // Counter-clockwise, beginning with the first one after those that are not ahead.
    let behind_at = turned.iter().position(|point| !is_ahead(point)).expect("less than a whole turn is ahead");
    let from_behind = turned.iter().cycle().skip(behind_at).take(turned.len());
    let mut points: Contour = from_behind.filter(|point| is_ahead(point)).copied().collect();
    let close = |angle: f64| [behind * angle.cos(), behind * angle.sin()];
    points.extend(steps(20).map(|part| close(angle * (1.0 - 2.0 * part))));
    points
}

/// The most that overlaps on the way in, with a tooth of the gear ahead or a space.
fn overlap_on_the_way(pair: &InvolutePair, distance: f64, space_ahead: f64) -> f64 {
    let (gear, ring) = (pair.first(), pair.second());
    let [own, other] = [gear, ring].map(|form| PI / f64::from(form.tooth_count));
    // All that meets lies ahead, well within a quarter of a turn of the gear.
    let gear_ahead = ahead(gear, space_ahead * own, TAU / 4.0, 0.5 * gear.root_radius());
    let ring_ahead = ahead(ring, (1.0 + space_ahead) * other, TAU / 5.0, ring.root_radius() + 1.0);
    let start = (ring.tip_radius() - gear.tip_radius()).min(distance);
    let at = |part: f64| start + (distance - start) * part;
    let moved = |along: f64| gear_ahead.iter().map(|[x, y]| [x + along, *y]).collect();
    let areas = steps(14).map(|part| overlap_area(&[moved(at(part))], std::slice::from_ref(&ring_ahead)));
    areas.fold(0.0, f64::max)
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn a_gear_goes_into_its_ring_sideways_where_the_formula_says() {
    let mut lots = Lots::new(SEED);
    let mut counts = [0_u32; 2];
    while counts.iter().sum::<u32>() < 50 {
        let Some((pair, distance)) = random_pair(&mut lots) else { continue };
        let Ok(entry) = radial_entry(&pair) else { continue };
        // Of the gear's turn; thinned teeth and chords take a thousandth.
        let verdict = entry.verdict(3e-3);
        let most = overlap_on_the_way(&pair, distance, 0.0).max(overlap_on_the_way(&pair, distance, 1.0));
        match verdict {
            RoomVerdict::Just => continue,
            RoomVerdict::Enough => assert!(most < 1e-3, "{pair:?}: {entry:?}, {most} overlaps"),
            RoomVerdict::Lacking => assert!(most > 1e-5, "{pair:?}: {entry:?}, nothing overlaps"),
        }
        counts[usize::from(verdict == RoomVerdict::Lacking)] += 1;
    }
    println!("seed {SEED}: {} go in sideways, {} do not", counts[0], counts[1]);
    assert!(counts.iter().all(|&count| count > 8), "both happen: {counts:?}");
}
