//! Do two gears overlap? Their involute outlines do, or not, as a general polygon library measures
//! it; nothing here knows of the library.
//!
//! An axial plane holds one central gear and one planet gear a pin, in lengths of its own module and
//! at the standard centre distance: profile shift changes clearances, never timing. Angles are in
//! radians, places and turns in turns, both counter-clockwise; z > 0 external, z < 0 a ring.
//!
//! Source of the tooth form: Buckingham, *Analytical Mechanics of Gears* (1949), chapter 4, from
//! memory: on the way out from the pitch circle, half a tooth's angle shrinks by the increase of
//! the involute function inv a = tan a - a of the pressure angle a.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::single::SingleFloatOverlay;

/// The main axis of a face view.
pub(crate) const AXIS: [f64; 2] = [0.0, 0.0];

/// A closed line, its last point joined to the first.
pub(crate) type Contour = Vec<[f64; 2]>;

/// Chords a flank: the chord is then nowhere farther than 2e-4 module from the involute of a gear
/// of up to 100 teeth.
const FLANK_CHORDS: u32 = 40;
/// Chords of a tip or root arc.
const ARC_CHORDS: u32 = 6;
/// Area of one tooth of standard depth, in square modules: half a pitch wide, 2.25 modules deep.
pub(crate) const TOOTH_AREA: f64 = FRAC_PI_2 * 2.25;
/// Most overlap, in tooth areas, that still counts as none.
pub(crate) const NO_OVERLAP: f64 = 1e-6;
/// Least overlap, in tooth areas, that counts as one.
pub(crate) const CLEAR_OVERLAP: f64 = 1e-4;

/// How much thinner than half a pitch every tooth of a checked layout is, in modules of arc at the
/// pitch circle. Two gears in mesh then have twice this as backlash, and either can turn by this
/// arc both ways.
pub(crate) const THINNING: f64 = 0.02;

/// The form of a tooth; lengths in modules.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Proportions {
    /// Pressure angle at the pitch circle, in radians.
    pub(crate) pressure_angle: f64,
    /// From the pitch circle to the tip.
    pub(crate) addendum: f64,
    /// From the pitch circle to the root.
    pub(crate) dedendum: f64,
}

/// The basic rack of ISO 53:1998, profile A: 20 degrees, addendum 1, dedendum 1.25 (figures from
/// memory).
pub(crate) const EXTERNAL: Proportions = Proportions { pressure_angle: PI / 9.0, addendum: 1.0, dedendum: 1.25 };

/// The same with shortened tips, common practice for rings: full tips of a ring reach below the
/// base circle of a planet of fewer than about 20 teeth, where there is no involute to meet them.
pub(crate) const RING: Proportions = Proportions { addendum: 0.8, ..EXTERNAL };

/// Where a gear lies in the plane.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pose {
    /// Its centre.
    pub(crate) center: [f64; 2],
    /// Direction from the centre to the middle of tooth 0 (of tooth **space** 0 for a ring), in
    /// radians from +x.
    pub(crate) turn: f64,
}

impl Pose {
    /// A gear at `center`, its turn given in turns.
    pub(crate) fn new(center: [f64; 2], turn: f64) -> Self {
        Self { center, turn: TAU * turn }
    }
}

/// The outline of an external gear, counter-clockwise, each tooth thinner than half a pitch by
/// `thinning`.
///
/// The flanks are involutes from the tip down to the base or root circle, whichever is the larger;
/// below a base circle they go on as radial lines. A negative `thinning` makes the teeth thicker.
pub(crate) fn external_outline(tooth_count: u32, pose: Pose, thinning: f64, proportions: Proportions) -> Contour {
    let teeth = f64::from(tooth_count);
    let pitch_radius = teeth / 2.0;
    let base_radius = pitch_radius * proportions.pressure_angle.cos();
    let tip_radius = pitch_radius + proportions.addendum;
    let root_radius = pitch_radius - proportions.dedendum;
    // Half the tooth at the pitch circle, plus inv a: half the tooth where its involutes
    // start.
    let half_at_base = (FRAC_PI_2 - thinning) / teeth + involute(proportions.pressure_angle.tan());
    let roll = |radius: f64| ((radius / base_radius).powi(2) - 1.0).max(0.0).sqrt();
    let (start, end) = (roll(root_radius), roll(tip_radius));
    // One flank from root to tip, as radius and half the tooth's angle there.
    let mut flank = Vec::new();
    if root_radius < base_radius {
        flank.push((root_radius, half_at_base));
    }
    flank.extend(steps(FLANK_CHORDS).map(|part| {
        let roll = start + (end - start) * part;
        let radius = base_radius * (1.0 + roll * roll).sqrt();
        (radius, half_at_base - involute(roll))
    }));
    let half_at_tip = half_at_base - involute(end);
    let half_space = PI / teeth - flank[0].1;
    let sound = half_at_tip > 0.0 && half_space > 0.0;
    assert!(sound, "{tooth_count} teeth: pointed, or without a root");

    let mut tooth: Vec<_> = flank.iter().map(|&(radius, half)| (radius, -half)).collect();
    tooth.extend(arc(half_at_tip).map(|angle| (tip_radius, angle)));
    tooth.extend(flank.iter().rev());
    tooth.extend(arc(half_space).map(|angle| (root_radius, PI / teeth + angle)));
    let middles = (0..tooth_count).map(|tooth| pose.turn + TAU * f64::from(tooth) / teeth);
    middles
        .flat_map(|middle| tooth.iter().map(move |&(radius, angle)| (radius, middle + angle)))
        .map(|(radius, angle)| polar(pose.center, radius, angle))
        .collect()
}

/// A ring as an annulus: its outer circle and, as a hole, its toothed contour, with a tooth
/// **space** at `pose.turn`.
///
/// The hole of a ring is an external gear whose teeth are the spaces: addendum and dedendum change
/// places and what thins the ring's teeth widens its spaces.
pub(crate) fn internal_outline(tooth_count: u32, pose: Pose, thinning: f64, proportions: Proportions) -> Vec<Contour> {
    let hole = Proportions { addendum: proportions.dedendum, dedendum: proportions.addendum, ..proportions };
    let outer_radius = f64::from(tooth_count) / 2.0 + 3.0 * proportions.dedendum;
    let outer = (0..4 * tooth_count)
        .map(|part| TAU * f64::from(part) / f64::from(4 * tooth_count))
        .map(|angle| polar(pose.center, outer_radius, angle))
        .collect();
    vec![outer, external_outline(tooth_count, pose, -thinning, hole)]
}

/// The area common to two shapes, each given by its contours (a contour inside another is a hole).
pub(crate) fn overlap_area(a: &[Contour], b: &[Contour]) -> f64 {
    let (a, b) = (a.to_vec(), b.to_vec());
    let common = a.overlay_as::<i64>(&b, OverlayRule::Intersect, FillRule::EvenOdd);
    // The library gives outer contours counter-clockwise and holes clockwise: holes count as
    // negative.
    common.iter().flatten().map(signed_area).sum()
}

/// An axial plane of a planetary set: a central gear and the planet gear that meshes with it on
/// every pin.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Plane {
    /// Teeth of the central gear, negative for a ring.
    pub(crate) central: i32,
    /// Teeth of the planet gear.
    pub(crate) planet: u32,
}

impl Plane {
    /// From the main axis to the pin, in modules.
    pub(crate) fn center_distance(self) -> f64 {
        (self.central() + self.planet()).abs() / 2.0
    }

    /// The turn of the central gear (tooth 0 of a sun, tooth space 0 of a ring) that meshes with a
    /// planet turned by `turn` on a pin at `place`.
    ///
    /// P and Z are the tooth counts (signed), x the place, p and c the turns of planet and central
    /// gear, all in turns. The pitch point of a sun is seen at x from the centre, so Z (x - c)
    /// teeth after tooth 0, and at x + 1/2 from the pin, so P (x + 1/2 - p) teeth after tooth 0 of
    /// the planet. The two counts run against each other along the common pitch line; a tooth meets
    /// a space where they add up to 1/2, which is P p + Z c = (P + Z) x + (P + 1)/2 (mod 1). The
    /// pitch point of a ring is seen at x from both, the counts run alike, and a tooth of the
    /// planet meets a space of the ring where they agree: P p + Z c = (P + Z) x (mod 1).
    pub(crate) fn central_turn(self, place: f64, turn: f64) -> f64 {
        let (p, z) = (self.planet(), self.central());
        let constant = if z > 0.0 { f64::midpoint(p, 1.0) } else { 0.0 };
        ((p + z) * place + constant - p * turn) / z
    }

    /// How far a planet is from meshing, in teeth from -1/2 to 1/2: turned back by so many of its
    /// teeth, it would mesh.
    pub(crate) fn tooth_error(self, place: f64, turn: f64, central_turn: f64) -> f64 {
        let error = self.central() * (central_turn - self.central_turn(place, turn));
        error - error.round()
    }

    /// The overlap of planet and central gear in tooth areas: planet turned by `turn` on a pin at
    /// `place`.
    pub(crate) fn overlap(self, place: f64, turn: f64, central_turn: f64, thinning: f64) -> f64 {
        let count = self.central.unsigned_abs();
        let pose = Pose::new(AXIS, central_turn);
        let central = if self.central > 0 {
            vec![external_outline(count, pose, thinning, EXTERNAL)]
        } else {
            internal_outline(count, pose, thinning, RING)
        };
        let pose = Pose::new(polar(AXIS, self.center_distance(), TAU * place), turn);
        let planet = external_outline(self.planet, pose, thinning, EXTERNAL);
        overlap_area(&central, &[planet]) / TOOTH_AREA
    }

    pub(crate) fn central(self) -> f64 {
        f64::from(self.central)
    }

    pub(crate) fn planet(self) -> f64 {
        f64::from(self.planet)
    }
}

/// The involute function of an angle, tan a - a, given tan a: the angle unrolled from the circle.
fn involute(roll: f64) -> f64 {
    roll - roll.atan()
}

/// From 0 to 1 in `count` equal steps, both ends included.
pub(crate) fn steps(count: u32) -> impl Iterator<Item = f64> {
    (0..=count).map(move |step| f64::from(step) / f64::from(count))
}

/// Inner points of an arc from `-half` to `half`.
fn arc(half: f64) -> impl Iterator<Item = f64> {
    let steps = steps(ARC_CHORDS).skip(1).take(ARC_CHORDS as usize - 1);
    steps.map(move |part| half * (2.0 * part - 1.0))
}

pub(crate) fn polar(center: [f64; 2], radius: f64, angle: f64) -> [f64; 2] {
    let (sin, cos) = angle.sin_cos();
    [center[0] + radius * cos, center[1] + radius * sin]
}

/// The area inside a contour, positive if it runs counter-clockwise.
fn signed_area(contour: &Contour) -> f64 {
    // Measured from its first point: far from the origin the products of small areas would cancel
    // badly.
    let Some(&[x, y]) = contour.first() else {
        return 0.0;
    };
    let sides = contour.iter().zip(contour.iter().cycle().skip(1));
    sides.map(|(a, b)| (a[0] - x) * (b[1] - y) - (b[0] - x) * (a[1] - y)).sum::<f64>() / 2.0
}

/// Rolls a planet through a pitch with its central gear: nothing overlaps, teeth hardly thicker
/// than half a pitch do at every angle, and so do the gears a quarter and half a tooth out of mesh.
#[track_caller]
fn check_rolling(central: i32, planet: u32) {
    let plane = Plane { central, planet };
    let place = 0.07;
    let tooth = 1.0 / f64::from(planet);
    for turn in steps(6).map(|part| part * tooth) {
        let central_turn = plane.central_turn(place, turn);
        let overlap = |turn, thinning| plane.overlap(place, turn, central_turn, thinning);
        let right = overlap(turn, 0.001);
        assert!(right < NO_OVERLAP, "{plane:?} at {turn}: {right} overlaps");
        let thick = overlap(turn, -0.003);
        assert!(thick > NO_OVERLAP, "{plane:?} at {turn}: thick teeth fit");
        let quarter = overlap(turn + tooth / 4.0, THINNING);
        assert!(quarter > 0.1, "{plane:?} at {turn}: a quarter out fits");
        let half = overlap(turn + tooth / 2.0, THINNING);
        assert!(half > quarter, "{plane:?} at {turn}: half a tooth out fits");
    }
}

#[test]
fn the_area_of_an_outline_lies_between_its_root_and_tip_circles_and_is_overlap_with_itself() {
    let pose = Pose::new([5.0, -3.0], 0.05);
    let outline = external_outline(20, pose, 0.0, EXTERNAL);
    let area = signed_area(&outline);
    let bounds = (PI * 8.75 * 8.75)..(PI * 11.0 * 11.0);
    assert!(bounds.contains(&area), "{area} square modules");
    let shape = [outline];
    let same = overlap_area(&shape, &shape);
    assert!((same - area).abs() < 1e-9, "{same} against {area}");
}

#[test]
fn a_tooth_is_half_a_pitch_thick_at_the_pitch_circle() {
    for teeth in [17, 20, 41, 90] {
        let outline = external_outline(teeth, Pose::new(AXIS, 0.0), 0.0, EXTERNAL);
        let radius = f64::from(teeth) / 2.0;
        // The first side that crosses the pitch circle belongs to the clockwise flank of tooth 0.
        let crossing = outline.windows(2).find(|side| side[1][0].hypot(side[1][1]) >= radius);
        let [[x0, y0], [x1, y1]] = *crossing.expect("a flank crosses its pitch circle") else {
            unreachable!("windows of two")
        };
        let part = (radius - x0.hypot(y0)) / (x1.hypot(y1) - x0.hypot(y0));
        let arc = -(y0 + (y1 - y0) * part).atan2(x0 + (x1 - x0) * part) * radius;
        assert!((arc - PI / 4.0).abs() < 3e-4, "{teeth} teeth: half a tooth is {arc} modules");
    }
}

/// What makes an involute: every normal of the flank touches the base circle.
#[test]
fn the_normals_of_a_flank_touch_the_base_circle() {
    let outline = external_outline(20, Pose::new(AXIS, 0.0), 0.0, EXTERNAL);
    let base_radius = 10.0 * (PI / 9.0).cos();
    let flank = outline.windows(2).skip(1).take(FLANK_CHORDS as usize);
    for side in flank {
        let ([x0, y0], [x1, y1]) = (side[0], side[1]);
        let (along, across) = (x1 - x0, y1 - y0);
        let middle = [f64::midpoint(x0, x1), f64::midpoint(y0, y1)];
        // The normal through the middle of a chord passes the centre at this distance.
        let distance = (middle[0] * along + middle[1] * across).abs() / along.hypot(across);
        assert!((distance - base_radius).abs() < 1e-3, "at {middle:?} it passes at {distance}");
    }
}

#[test]
fn an_external_pair_rolls_without_overlap_and_jams_a_quarter_tooth_out() {
    check_rolling(30, 20);
    check_rolling(31, 17);
}

#[test]
fn a_planet_rolls_in_a_ring_without_overlap_and_jams_a_quarter_tooth_out() {
    check_rolling(-60, 18);
    check_rolling(-87, 33);
    check_rolling(-76, 16);
}
