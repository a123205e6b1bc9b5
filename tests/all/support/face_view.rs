//! Do the gears themselves fit? Real involute outlines are laid where a timing answer puts them,
//! seen along the main axis: a check of timing that shares none of its arithmetic.
//!
//! A right seating overlaps nowhere, a wrong one somewhere, a refused set however it is turned, and
//! a wrong seating goes in when the backlash exceeds the margin. Places and turns are in turns,
//! counter-clockwise; every set has its standard centre distances.

use std::f64::consts::{PI, TAU};

use crate::support::outlines::{
    AXIS, CLEAR_OVERLAP, EXTERNAL, NO_OVERLAP, Plane, Pose, THINNING, TOOTH_AREA, external_outline, overlap_area,
    polar, steps,
};

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
        let planes = planes.iter().map(|&(central, planet)| Plane { central, planet });
        let (planes, turns) = (planes.collect(), turns.to_vec());
        Self { planes, turns }
    }

    /// The turns of the central gears that mesh with planet 0.
    fn central_turns(&self, place: f64) -> Vec<f64> {
        let turns = self.planes.iter().map(|plane| plane.central_turn(place, self.turns[0]));
        turns.collect()
    }

    /// The largest overlap of one planet with its central gears turned as given, in tooth areas.
    fn overlap(&self, pin: usize, place: f64, central_turns: &[f64], thinning: f64) -> f64 {
        let meshes = self.planes.iter().zip(central_turns);
        let overlaps = meshes.map(|(plane, &central)| plane.overlap(place, self.turns[pin], central, thinning));
        overlaps.fold(0.0, f64::max)
    }

    /// A turn that a planet must notice: one tooth of its first gear, or half of it where a whole
    /// tooth brings every gear back to where it was (or so near that the backlash hides it).
    fn wrong_turn(&self) -> f64 {
        let tooth = 1.0 / self.planes[0].planet();
        let mut pitches = self.planes.iter().map(|plane| plane.planet() * tooth);
        let noticed = |pitches: f64| (pitches - pitches.round()).abs() * PI > 2.0 * THINNING;
        if pitches.any(noticed) { tooth } else { tooth / 2.0 }
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
        Self { name, places, planets, partners: None }
    }

    /// The set with second planets in mesh with the first.
    pub(crate) fn with(self, partners: Partners) -> Self {
        Self { partners: Some(partners), ..self }
    }

    /// The largest overlap of the planet on one pin, and of its partner, with any gear they mesh
    /// with, in tooth areas. The central gears follow planet 0 of each kind.
    pub(crate) fn overlap(&self, pin: usize, thinning: f64) -> f64 {
        let central_turns = self.planets.central_turns(self.places[0]);
        let first = self.planets.overlap(pin, self.places[pin], &central_turns, thinning);
        let second = self.partners.as_ref().map(|partners| self.partner_overlap(partners, pin, thinning));
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
    (0..pins).map(|pin| f64::from(pin) / f64::from(pins)).collect()
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
        assert!(overlap < NO_OVERLAP, "{name}: pin {pin} should fit, {overlap} overlaps");
    }
    for pin in 1..pins {
        let mut wrong = layout.clone();
        wrong.planets.turns[pin] += wrong.planets.wrong_turn();
        let overlap = wrong.overlap(pin, THINNING);
        assert!(overlap > CLEAR_OVERLAP, "{name}: planet {pin} fits wrongly, to {overlap}");
        let mut wrong = layout.clone();
        let Some(partners) = &mut wrong.partners else {
            continue;
        };
        partners.planets.turns[pin] += partners.planets.wrong_turn();
        let overlap = wrong.overlap(pin, THINNING);
        assert!(overlap > CLEAR_OVERLAP, "{name}: partner {pin} fits wrongly, to {overlap}");
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
    assert!(overlap > CLEAR_OVERLAP, "{name}: should be refused ({overlap})");
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
        places.map(|(pin, &place)| wrong.overlap(pin, place, &leaning, thinning)).fold(0.0, f64::max)
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
        meshes.map(|(plane, &central)| plane.tooth_error(place, turn, central).abs()).fold(0.0, f64::max)
    };
    steps(100_000).min_by(|&a, &b| worst_error(a).total_cmp(&worst_error(b))).expect("there are steps")
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
        let overlaps = overlaps.map(|(plane, &central)| plane.overlap(0.2, turn, central, THINNING));
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
    let set =
        |name, planes: &[(i32, u32)], turns: &[f64]| Layout::new(name, equal_places(3), Planets::new(planes, turns));
    let suns = set("suns 27/21/30", &SUNS_27_21_30, &RADIAL);
    check_margin(&suns, 2.0 / 57.0, 3.0 / 19.0);
    let suns = set("suns 26/20/31", &SUNS_26_20_31, &PARALLEL);
    check_margin(&suns, 13.0 / 68.0, 5.0 / 68.0);
    let suns = set("suns 61/60", &SUNS_61_60, &PARALLEL);
    check_margin(&suns, 2.0 / 119.0, 1.0 / 119.0);
}
