//! Do the gears themselves fit? Real involute outlines are laid where a timing answer puts them,
//! and a general polygon library measures the area where two of them overlap: a check of timing
//! that shares none of its arithmetic.
//!
//! An axial plane holds one central gear and one planet gear a pin. All lengths of a plane are in
//! its own module, so planes of different module need no scaling, and the centre distance is always
//! the standard one: profile shift changes clearances, never timing. Angles of outlines are in
//! radians, places and turns of a face view in turns, both counter-clockwise. Tooth counts are
//! signed as in every mesh formula: z > 0 external, z < 0 a ring.
//!
//! Source of the tooth form: Buckingham, *Analytical Mechanics of Gears* (1949), chapter 4, from
//! memory: on the way out from the pitch circle, half a tooth's angle shrinks by the increase of
//! the involute function inv a = tan a - a of the pressure angle a.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::single::SingleFloatOverlay;

/// The main axis of a face view.
const AXIS: [f64; 2] = [0.0, 0.0];

/// A closed line, its last point joined to the first.
pub(crate) type Contour = Vec<[f64; 2]>;

/// Chords a flank: the chord is then nowhere farther than 2e-4 module from the involute of a gear
/// of up to 100 teeth.
const FLANK_CHORDS: u32 = 40;
/// Chords of a tip or root arc.
const ARC_CHORDS: u32 = 6;
/// Area of one tooth of standard depth, in square modules: half a pitch wide, 2.25 modules deep.
const TOOTH_AREA: f64 = FRAC_PI_2 * 2.25;
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
pub(crate) const EXTERNAL: Proportions = Proportions {
    pressure_angle: PI / 9.0,
    addendum: 1.0,
    dedendum: 1.25,
};

/// The same with shortened tips, common practice for rings: full tips of a ring reach below the
/// base circle of a planet of fewer than about 20 teeth, where there is no involute to meet them.
pub(crate) const RING: Proportions = Proportions {
    addendum: 0.8,
    ..EXTERNAL
};

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
    fn new(center: [f64; 2], turn: f64) -> Self {
        Self {
            center,
            turn: TAU * turn,
        }
    }
}

/// The outline of an external gear, counter-clockwise, each tooth thinner than half a pitch by
/// `thinning`.
///
/// The flanks are involutes from the tip down to the base or root circle, whichever is the larger;
/// below a base circle they go on as radial lines. A negative `thinning` makes the teeth thicker.
pub(crate) fn external_outline(
    tooth_count: u32,
    pose: Pose,
    thinning: f64,
    proportions: Proportions,
) -> Contour {
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

    let mut tooth: Vec<_> = flank
        .iter()
        .map(|&(radius, half)| (radius, -half))
        .collect();
    tooth.extend(arc(half_at_tip).map(|angle| (tip_radius, angle)));
    tooth.extend(flank.iter().rev());
    tooth.extend(arc(half_space).map(|angle| (root_radius, PI / teeth + angle)));
    let middles = (0..tooth_count).map(|tooth| pose.turn + TAU * f64::from(tooth) / teeth);
    middles
        .flat_map(|middle| {
            tooth
                .iter()
                .map(move |&(radius, angle)| (radius, middle + angle))
        })
        .map(|(radius, angle)| polar(pose.center, radius, angle))
        .collect()
}

/// A ring as an annulus: its outer circle and, as a hole, its toothed contour, with a tooth
/// **space** at `pose.turn`.
///
/// The hole of a ring is an external gear whose teeth are the spaces: addendum and dedendum change
/// places and what thins the ring's teeth widens its spaces.
pub(crate) fn internal_outline(
    tooth_count: u32,
    pose: Pose,
    thinning: f64,
    proportions: Proportions,
) -> Vec<Contour> {
    let hole = Proportions {
        addendum: proportions.dedendum,
        dedendum: proportions.addendum,
        ..proportions
    };
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

    fn central(self) -> f64 {
        f64::from(self.central)
    }

    fn planet(self) -> f64 {
        f64::from(self.planet)
    }
}

/// The planets of one kind, one a pin, alike: the planes of their gears and how far each is turned
/// in space.
///
/// Tooth 0 of every gear of a planet lies at the planet's mark, so `turns` are the directions of
/// the marks.
#[derive(Clone, Debug)]
pub(crate) struct Planets {
    /// One plane for every mesh with a central gear; a gear that meshes with two of them stands in
    /// two planes.
    pub(crate) planes: Vec<Plane>,
    /// The turn of each planet in space, p in the formulas. A turn t relative to the planet's own
    /// radius, which stands at x, is t + x here.
    pub(crate) turns: Vec<f64>,
}

impl Planets {
    /// Planets from (central teeth, negative for a ring; planet teeth) of every mesh, and the turns
    /// in space.
    pub(crate) fn new(planes: &[(i32, u32)], turns: &[f64]) -> Self {
        let planes = planes
            .iter()
            .map(|&(central, planet)| Plane { central, planet });
        let (planes, turns) = (planes.collect(), turns.to_vec());
        Self { planes, turns }
    }

    /// The turns of the central gears that mesh with planet 0.
    fn central_turns(&self, place: f64) -> Vec<f64> {
        let turns = self
            .planes
            .iter()
            .map(|plane| plane.central_turn(place, self.turns[0]));
        turns.collect()
    }

    /// The largest overlap of one planet with its central gears turned as given, in tooth areas.
    fn overlap(&self, pin: usize, place: f64, central_turns: &[f64], thinning: f64) -> f64 {
        let meshes = self.planes.iter().zip(central_turns);
        let overlaps = meshes
            .map(|(plane, &central)| plane.overlap(place, self.turns[pin], central, thinning));
        overlaps.fold(0.0, f64::max)
    }

    /// A turn that a planet must notice: one tooth of its first gear, or half of it where a whole
    /// tooth brings every gear back to where it was (or so near that the backlash hides it).
    fn wrong_turn(&self) -> f64 {
        let tooth = 1.0 / self.planes[0].planet();
        let mut pitches = self.planes.iter().map(|plane| plane.planet() * tooth);
        let noticed = |pitches: f64| (pitches - pitches.round()).abs() * PI > 2.0 * THINNING;
        if pitches.any(noticed) {
            tooth
        } else {
            tooth / 2.0
        }
    }
}

/// Second planets that mesh with the first ones (long and short pinions), on pins of their own, all
/// of one module.
#[derive(Clone, Debug)]
pub(crate) struct Partners {
    /// The second planets. Their turns are counted from planet 0 of the kind, whose own turn
    /// follows from its mesh with planet 0 of the first kind.
    pub(crate) planets: Planets,
    /// Teeth of the two gears that mesh: of the first planet, of its partner.
    pub(crate) mesh: (u32, u32),
}

impl Partners {
    /// Second planets whose gear of `mesh.1` teeth meshes with one of `mesh.0` of the first.
    pub(crate) fn new(planets: Planets, mesh: (u32, u32)) -> Self {
        Self { planets, mesh }
    }
}

/// A planetary set as laid out on the bench.
#[derive(Clone, Debug)]
pub(crate) struct Layout<'a> {
    /// What a failure calls it.
    pub(crate) name: &'a str,
    /// Where the pins of the first planets stand, in turns: x in the formulas.
    pub(crate) places: Vec<f64>,
    /// The planets, or the first of two kinds.
    pub(crate) planets: Planets,
    /// The planets in mesh with them, if any.
    pub(crate) partners: Option<Partners>,
}

impl<'a> Layout<'a> {
    /// A set with planets of one kind.
    pub(crate) fn new(name: &'a str, places: Vec<f64>, planets: Planets) -> Self {
        Self {
            name,
            places,
            planets,
            partners: None,
        }
    }

    /// The set with second planets in mesh with the first.
    pub(crate) fn with(self, partners: Partners) -> Self {
        Self {
            partners: Some(partners),
            ..self
        }
    }

    /// The largest overlap of the planet on one pin, and of its partner, with any gear they mesh
    /// with, in tooth areas. The central gears follow planet 0 of each kind.
    pub(crate) fn overlap(&self, pin: usize, thinning: f64) -> f64 {
        let central_turns = self.planets.central_turns(self.places[0]);
        let first = self
            .planets
            .overlap(pin, self.places[pin], &central_turns, thinning);
        let second = self
            .partners
            .as_ref()
            .map(|partners| self.partner_overlap(partners, pin, thinning));
        second.unwrap_or(0.0).max(first)
    }

    fn partner_overlap(&self, partners: &Partners, pin: usize, thinning: f64) -> f64 {
        let (first, second) = (f64::from(partners.mesh.0), f64::from(partners.mesh.1));
        // The centres form a triangle: main axis, first pin, second pin. The law of cosines gives
        // the angle at the axis, by which every second pin is taken to stand ahead of the first.
        let first_distance = self.planets.planes[0].center_distance();
        let second_distance = partners.planets.planes[0].center_distance();
        let between = f64::midpoint(first, second);
        let squares = first_distance.powi(2) + second_distance.powi(2) - between.powi(2);
        let cos = squares / (2.0 * first_distance * second_distance);
        assert!(cos.abs() < 1.0, "{}: no triangle of pins", self.name);
        let ahead = cos.acos() / TAU;
        let [x, y] = polar(AXIS, second_distance, TAU * ahead);
        let direction = y.atan2(x - first_distance) / TAU;

        // As for a sun, with the direction from pin to pin for the place: P p + Q q = (P + Q) x +
        // (Q + 1)/2 (mod 1).
        let phase = (first + second) * (direction + self.places[0]) + f64::midpoint(second, 1.0);
        let turn_0 = (phase - first * self.planets.turns[0]) / second;
        let mut planets = partners.planets.clone();
        planets.turns.iter_mut().for_each(|turn| *turn += turn_0);

        let place = self.places[pin] + ahead;
        let central_turns = planets.central_turns(self.places[0] + ahead);
        let central = planets.overlap(pin, place, &central_turns, thinning);
        let center = polar(AXIS, first_distance, TAU * self.places[pin]);
        let pose = Pose::new(center, self.planets.turns[pin]);
        let a = external_outline(partners.mesh.0, pose, thinning, EXTERNAL);
        let center = polar(AXIS, second_distance, TAU * place);
        let pose = Pose::new(center, planets.turns[pin]);
        let b = external_outline(partners.mesh.1, pose, thinning, EXTERNAL);
        central.max(overlap_area(&[a], &[b]) / TOOTH_AREA)
    }
}

/// The places of equally spaced pins, in turns.
pub(crate) fn equal_places(pins: u32) -> Vec<f64> {
    (0..pins)
        .map(|pin| f64::from(pin) / f64::from(pins))
        .collect()
}

/// Asserts that a set goes together as its turns say, and that no planet may be turned otherwise:
/// none of its gears overlap, and with any one planet but the first put in one tooth out (half a
/// tooth if it looks the same then), some do.
#[track_caller]
pub(crate) fn check_layout(layout: &Layout<'_>) {
    let (name, pins) = (layout.name, layout.places.len());
    assert!(pins > 1, "{name}: one pin always goes together");
    assert_eq!(layout.planets.turns.len(), pins, "{name}: one turn a pin");
    for pin in 0..pins {
        let overlap = layout.overlap(pin, THINNING);
        assert!(
            overlap < NO_OVERLAP,
            "{name}: pin {pin} should fit, {overlap} overlaps"
        );
    }
    for pin in 1..pins {
        let mut wrong = layout.clone();
        wrong.planets.turns[pin] += wrong.planets.wrong_turn();
        let overlap = wrong.overlap(pin, THINNING);
        assert!(
            overlap > CLEAR_OVERLAP,
            "{name}: planet {pin} fits wrongly, to {overlap}"
        );
        let mut wrong = layout.clone();
        let Some(partners) = &mut wrong.partners else {
            continue;
        };
        partners.planets.turns[pin] += partners.planets.wrong_turn();
        let overlap = wrong.overlap(pin, THINNING);
        assert!(
            overlap > CLEAR_OVERLAP,
            "{name}: partner {pin} fits wrongly, to {overlap}"
        );
    }
}

/// Asserts that on some pin no turn of the planet serves: the best there is still overlaps.
///
/// The turn laid out is the one with the smallest error of its worst gear, found by trying turns
/// all round.
#[track_caller]
pub(crate) fn check_refused(name: &str, planes: &[(i32, u32)], places: &[f64]) {
    let planets = Planets::new(planes, &[0.0]);
    let central_turns = planets.central_turns(places[0]);
    let best_overlap = |&place: &f64| {
        let mut best = planets.clone();
        best.turns[0] = best_turn(&planets, place, &central_turns);
        best.overlap(0, place, &central_turns, THINNING)
    };
    let overlap = places.iter().map(best_overlap).fold(0.0, f64::max);
    assert!(
        overlap > CLEAR_OVERLAP,
        "{name}: should be refused ({overlap})"
    );
}

/// Asserts a margin, in teeth: that planet 1, turned by `wrong_turn` from where it should be, can
/// be pushed in when the backlash of a mesh is 5 % more than the margin as an arc, and cannot when
/// it is 5 % less.
///
/// The central gears lean half way to the wrong planet, so each error is shared between it and its
/// fellows; no other lean does better where `wrong_turn` is a minimum of the largest error.
/// Partners are left out.
#[track_caller]
pub(crate) fn check_margin(layout: &Layout<'_>, wrong_turn: f64, margin: f64) {
    let (name, mut wrong) = (layout.name, layout.planets.clone());
    wrong.turns[1] += wrong_turn;
    let mut leaning = layout.planets.central_turns(layout.places[0]);
    for (plane, central) in wrong.planes.iter().zip(&mut leaning) {
        let error = plane.tooth_error(layout.places[1], wrong.turns[1], *central);
        *central -= error / 2.0 / plane.central();
    }
    let overlap = |thinning: f64| {
        let places = layout.places.iter().enumerate();
        places
            .map(|(pin, &place)| wrong.overlap(pin, place, &leaning, thinning))
            .fold(0.0, f64::max)
    };
    // Two gears thinned by half the margin each have the margin as backlash.
    let even = margin * PI / 2.0;
    let fits = overlap(even * 1.05);
    assert!(fits < NO_OVERLAP, "{name}: jams at more backlash ({fits})");
    let jams = overlap(even * 0.95);
    assert!(jams > NO_OVERLAP, "{name}: fits at less backlash ({jams})");
}

/// The turn of a planet at `place` at which its worst gear is out by the smallest part of a tooth,
/// to 1e-5 turn.
fn best_turn(planets: &Planets, place: f64, central_turns: &[f64]) -> f64 {
    let worst_error = |turn: f64| {
        let meshes = planets.planes.iter().zip(central_turns);
        meshes
            .map(|(plane, &central)| plane.tooth_error(place, turn, central).abs())
            .fold(0.0, f64::max)
    };
    steps(100_000)
        .min_by(|&a, &b| worst_error(a).total_cmp(&worst_error(b)))
        .expect("there are steps")
}

/// The involute function of an angle, tan a - a, given tan a: the angle unrolled from the circle.
fn involute(roll: f64) -> f64 {
    roll - roll.atan()
}

/// From 0 to 1 in `count` equal steps, both ends included.
fn steps(count: u32) -> impl Iterator<Item = f64> {
    (0..=count).map(move |step| f64::from(step) / f64::from(count))
}

/// Inner points of an arc from `-half` to `half`.
fn arc(half: f64) -> impl Iterator<Item = f64> {
    let steps = steps(ARC_CHORDS).skip(1).take(ARC_CHORDS as usize - 1);
    steps.map(move |part| half * (2.0 * part - 1.0))
}

fn polar(center: [f64; 2], radius: f64, angle: f64) -> [f64; 2] {
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
    sides
        .map(|(a, b)| (a[0] - x) * (b[1] - y) - (b[0] - x) * (a[1] - y))
        .sum::<f64>()
        / 2.0
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
        let crossing = outline
            .windows(2)
            .find(|side| side[1][0].hypot(side[1][1]) >= radius);
        let [[x0, y0], [x1, y1]] = *crossing.expect("a flank crosses its pitch circle") else {
            unreachable!("windows of two")
        };
        let part = (radius - x0.hypot(y0)) / (x1.hypot(y1) - x0.hypot(y0));
        let arc = -(y0 + (y1 - y0) * part).atan2(x0 + (x1 - x0) * part) * radius;
        assert!(
            (arc - PI / 4.0).abs() < 3e-4,
            "{teeth} teeth: half a tooth is {arc} modules"
        );
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
        assert!(
            (distance - base_radius).abs() < 1e-3,
            "at {middle:?} it passes at {distance}"
        );
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

#[test]
fn a_plain_planet_set_takes_four_planets() {
    // 18 p = 42 x and 18 p = -42 x: half a tooth from pin to pin.
    let turns = [0.0, 1.0 / 36.0, 0.0, 1.0 / 36.0];
    check_set("24/18/60, 4 planets", &[(24, 18), (-60, 18)], 4, &turns);
}

#[test]
fn a_plain_planet_set_takes_three_planets_at_unequal_places() {
    // Places are whole 84ths, 84 = 24 + 60; 18 p = 42 x: 10 at the second pin, 21 1/2 at the third.
    let places = vec![0.0, 20.0 / 84.0, 43.0 / 84.0];
    let planets = Planets::new(&[(24, 18), (-60, 18)], &[0.0, 0.0, 1.0 / 36.0]);
    check_layout(&Layout::new("24/18/60, unequal places", places, planets));
    let off = [0.0, 20.5 / 84.0, 43.0 / 84.0];
    check_refused("24/18/60, a pin out of place", &[(24, 18), (-60, 18)], &off);
}

/// Nothing here but outlines: the second of five planets is tried in every position of a pitch.
#[test]
fn a_plain_planet_set_refuses_a_fifth_planet_however_it_is_turned() {
    let planes = [(24, 18), (-60, 18)];
    let planets = Planets::new(&planes, &[0.0]);
    let central_turns = planets.central_turns(0.0);
    for turn in steps(20).map(|part| part / 18.0) {
        let overlaps = planets.planes.iter().zip(&central_turns);
        let overlaps =
            overlaps.map(|(plane, &central)| plane.overlap(0.2, turn, central, THINNING));
        let overlap = overlaps.fold(0.0, f64::max);
        assert!(overlap > 0.01, "turned {turn}, only {overlap} overlaps");
    }
    check_refused("24/18/60, 5 planets", &planes, &equal_places(5));
}

#[track_caller]
fn check_set(name: &str, planes: &[(i32, u32)], pins: u32, turns: &[f64]) {
    let planets = Planets::new(planes, turns);
    check_layout(&Layout::new(name, equal_places(pins), planets));
}

const THIRD: f64 = 1.0 / 3.0;
const PARALLEL: [f64; 3] = [0.0; 3];
const RADIAL: [f64; 3] = [0.0, THIRD, 2.0 * THIRD];

const SUNS_26_20_31: [(i32, u32); 3] = [(26, 31), (20, 37), (31, 26)];
const SUNS_27_21_30: [(i32, u32); 3] = [(27, 27), (21, 33), (30, 24)];
const SUNS_28_22_31: [(i32, u32); 3] = [(28, 28), (22, 34), (31, 25)];
const SUNS_31_23_34: [(i32, u32); 3] = [(31, 31), (23, 39), (34, 28)];
const SUNS_61_60: [(i32, u32); 2] = [(61, 59), (60, 60)];
const RINGS_90_87: [(i32, u32); 3] = [(18, 36), (-90, 36), (-87, 33)];

// The turns below were worked out by hand from P p = (P + Z) x (mod 1).

#[test]
fn clusters_with_parallel_marks_go_together() {
    check_set("suns 26/20/31", &SUNS_26_20_31, 3, &PARALLEL);
    check_set("sun 20, ring 76", &[(20, 40), (-76, 16)], 3, &PARALLEL);
    check_set("sun 18, rings 90/87", &RINGS_90_87, 3, &PARALLEL);
    check_set("suns 33/27", &[(33, 27), (27, 33)], 3, &PARALLEL);
    check_set("rings 72/66", &[(-72, 24), (-66, 18)], 3, &PARALLEL);
    check_set("suns 61/60", &SUNS_61_60, 3, &PARALLEL);
}

#[test]
fn clusters_with_radial_marks_go_together() {
    check_set("suns 27/21/30", &SUNS_27_21_30, 3, &RADIAL);
}

#[test]
fn clusters_fitted_by_a_tooth_list_go_together() {
    // t = 0, 1/3, 2/3 at x = 0, 1/3, 2/3, so p = 0, 2/3, 4/3.
    let turns = RADIAL.map(|place| 2.0 * place);
    check_set("suns 28/22/31", &SUNS_28_22_31, 3, &turns);
    let turns = [0.0, 1.0 / 48.0, 0.0, 1.0 / 48.0];
    check_set("sun 30, ring 78", &[(30, 24), (-78, 24)], 4, &turns);
    let turns = [0.0, 0.125, 0.0, 0.125];
    check_set("sun 18, ring 74", &[(18, 36), (-74, 20)], 4, &turns);
}

#[test]
fn long_and_short_pinions_go_together() {
    // Long: 18 p = 48 x = -48 x, so p = 0. Short: 16 q = 40 x = 34 x, so 16 q = 0, 1/3, 2/3.
    let long = Planets::new(&[(30, 18), (-66, 18)], &PARALLEL);
    let short = Planets::new(&[(24, 16)], &RADIAL.map(|pitches| pitches / 16.0));
    let partners = Partners::new(short, (18, 16));
    check_layout(&Layout::new("long and short pinions", equal_places(3), long).with(partners));
}

#[test]
fn sets_that_cannot_go_together_overlap_at_their_best() {
    check_refused("suns 31/23/34, 3 pins", &SUNS_31_23_34, &equal_places(3));
    check_refused("suns 31/23/34, 4 pins", &SUNS_31_23_34, &equal_places(4));
    check_refused("rings 90/87, 4 pins", &RINGS_90_87, &equal_places(4));
}

#[test]
#[should_panic(expected = "should fit")]
fn a_layout_with_a_wrong_turn_is_noticed() {
    check_set("suns 26/20/31", &SUNS_26_20_31, 3, &[0.0, 1.0 / 31.0, 0.0]);
}

#[test]
#[should_panic(expected = "should be refused")]
fn a_set_wrongly_said_to_be_refused_is_noticed() {
    check_refused("suns 26/20/31", &SUNS_26_20_31, &equal_places(3));
}

/// The wrong turns are minima of the largest distance of P d from a whole number, d counted from
/// the right seating; each lies where two gears err alike, and was found by trying all such turns.
#[test]
fn a_wrong_seating_goes_in_when_the_backlash_exceeds_the_margin() {
    let set = |name, planes: &[(i32, u32)], turns: &[f64]| {
        Layout::new(name, equal_places(3), Planets::new(planes, turns))
    };
    let suns = set("suns 27/21/30", &SUNS_27_21_30, &RADIAL);
    check_margin(&suns, 2.0 / 57.0, 3.0 / 19.0);
    let suns = set("suns 26/20/31", &SUNS_26_20_31, &PARALLEL);
    check_margin(&suns, 13.0 / 68.0, 5.0 / 68.0);
    let suns = set("suns 61/60", &SUNS_61_60, &PARALLEL);
    check_margin(&suns, 2.0 / 119.0, 1.0 / 119.0);
}
