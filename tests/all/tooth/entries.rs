//! Does a gear go into its ring sideways just where the formula says?
//!
//! The drawn gear is pushed along the radius, from where its tips are free of the ring's to its place, with a tooth or a
//! space ahead, until a corner of either meets a chord of the other; now and then the areas that overlap on the way are
//! measured as well. The seed is printed.

use std::f64::consts::{PI, TAU};

use toothmark::tooth::{
    FormRadii, InvolutePair, RoomVerdict, Teeth, ToothForm, closed_distance, outline, path_of_contact, radial_entry,
    room_between_tips, tip_limits,
};

use super::lots::Lots;
use crate::support::outlines::{Contour, overlap_area, steps};
use crate::support::touching::{chords, slide};

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
    // Clear of the gear's fillets.
    let ends = FormRadii { first: Some(outline(&gear, DRAWN).ok()?.form_radius), second: None };
    let least = tip_limits(&InvolutePair::new(&gear, &ring).ok()?, distance, ends).ok()?.second + 0.02;
    let ring = ToothForm { tip_limit: Some(least.max(ring.tip_radius())), ..ring };
    let pair = InvolutePair::new(&gear, &ring).ok()?;
    let clear = room_between_tips(&pair, distance).ok()?.is_none_or(|room| room > 1e-3);
    // And the gear's tips clear of the ring's.
    let starts = path_of_contact(&pair, distance, FormRadii::default()).ok()?.second_starts_at;
    let reaches = outline(&ring, DRAWN).ok()?.form_radius - starts;
    (clear && reaches > 0.02).then_some((pair, distance))
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

/// A gear in front of its ring, with a tooth of the gear ahead or a space.
struct OnTheWay {
    gear: Contour,
    ring: Contour,
    /// Where the tips are free of one another.
    start: f64,
    distance: f64,
}

impl OnTheWay {
    fn new(pair: &InvolutePair, distance: f64, space_ahead: f64) -> Self {
        let (gear, ring) = (pair.first(), pair.second());
        let [own, other] = [gear, ring].map(|form| PI / f64::from(form.tooth_count));
        // All that meets lies ahead, well within a quarter of a turn of the gear.
        Self {
            gear: ahead(gear, space_ahead * own, TAU / 4.0, 0.5 * gear.root_radius()),
            ring: ahead(ring, (1.0 + space_ahead) * other, TAU / 5.0, ring.root_radius() + 1.0),
            start: (ring.tip_radius() - gear.tip_radius() - 0.05).min(distance),
            distance,
        }
    }

    fn moved(&self, along: f64) -> Contour {
        self.gear.iter().map(|[x, y]| [x + along, *y]).collect()
    }

    /// How far it stays from its place, stopped by the ring.
    fn short_of_place(&self, pair: &InvolutePair) -> f64 {
        // The closing lines behind meet nothing, and what lies below the way is the mirror image of what lies above.
        let (root, within) = (0.9 * pair.first().root_radius(), pair.second().root_radius() + 0.5);
        let gear = chords(&self.moved(self.start), |[x, y]| y > -0.01 && (x - self.start).hypot(y) > root);
        let ring = chords(&self.ring, |[x, y]| y > -0.01 && x.hypot(y) < within);
        self.distance - self.start - slide(&gear, &ring)
    }

    /// The most that overlaps on the way.
    fn overlap(&self) -> f64 {
        let at = |part: f64| self.start + (self.distance - self.start) * part;
        let areas = steps(14).map(|part| overlap_area(&[self.moved(at(part))], std::slice::from_ref(&self.ring)));
        areas.fold(0.0, f64::max)
    }
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn a_gear_goes_into_its_ring_sideways_where_the_formula_says() {
    let mut lots = Lots::new(SEED);
    let mut counts = [0_u32; 2];
    while counts.iter().sum::<u32>() < 500 {
        let Some((pair, distance)) = random_pair(&mut lots) else { continue };
        let Ok(entry) = radial_entry(&pair) else { continue };
        // Of the gear's turn; thinned teeth and chords take a thousandth.
        let verdict = entry.verdict(3e-3);
        if verdict == RoomVerdict::Just {
            continue;
        }
        let ways = [0.0, 1.0].map(|space_ahead| OnTheWay::new(&pair, distance, space_ahead));
        let short = ways.iter().map(|way| way.short_of_place(&pair)).fold(f64::NEG_INFINITY, f64::max);
        assert_eq!(short > 0.0, verdict == RoomVerdict::Lacking, "{pair:?}: {entry:?}, {short} short of its place");
        let count = &mut counts[usize::from(verdict == RoomVerdict::Lacking)];
        *count += 1;
        if *count % 25 == 0 {
            let most = ways.iter().map(OnTheWay::overlap).fold(0.0, f64::max);
            let overlaps = if verdict == RoomVerdict::Lacking { most > 1e-5 } else { most > 1e-3 };
            assert_eq!(overlaps, verdict == RoomVerdict::Lacking, "{pair:?}: {entry:?}, {most} overlaps");
        }
    }
    println!("seed {SEED}: {} go in sideways, {} do not", counts[0], counts[1]);
    assert!(counts.iter().all(|&count| count > 80), "both happen: {counts:?}");
}
