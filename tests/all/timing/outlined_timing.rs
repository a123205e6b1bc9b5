//! Do the seatings that the library works out keep their gears clear of one another?
//!
//! Every group of planets of the example gearsets and of the vectors is laid out as involute
//! outlines with the turns of its tooth list: nothing may overlap, and with one planet a tooth out
//! something must. Sets that are refused overlap however they are turned, and the margins hold as
//! backlashes. Left out are groups with bevel gears or internal planets, of which there are no
//! outlines, and groups with one pin, which always go together.

use toothmark::exact::{Fraction, fraction, nearest_zero, parse, to_float};
use toothmark::gearset::{DraftPins, Gear, GearKind, Gearset, MemberId, Pair};
use toothmark::timing::{GroupTiming, MeshError, timing};

use crate::support::face_view::{Layout, Partners, Planets, check_layout, check_margin, check_refused, equal_places};
use crate::support::outlines::THINNING;
use crate::support::sets::{file_stems, read_example, timing_of, vectors, with_pins};

/// How many groups of planets of the example gearsets and of the vectors were laid out; it only
/// grows.
const LAID_OUT: [Count; 2] =
    [Count { clusters: 35, meshed_planets: 12, refused: 2 }, Count { clusters: 7, meshed_planets: 0, refused: 0 }];

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Count {
    clusters: usize,
    meshed_planets: usize,
    refused: usize,
}

#[test]
fn the_tooth_lists_of_every_example_lay_the_planets_out_without_overlap() {
    let mut count = Count::default();
    for name in file_stems("gearsets") {
        lay_out(&name, &read_example(&name), &mut count);
    }
    assert_eq!(count, LAID_OUT[0], "the ledger of layouts");
}

#[test]
fn the_tooth_lists_of_the_vectors_lay_the_planets_out_without_overlap() {
    let mut count = Count::default();
    for set in vectors() {
        lay_out(set.title(), &set, &mut count);
    }
    assert_eq!(count, LAID_OUT[1], "the ledger of layouts");
}

/// The places are whole parts of a turn by the spacing divisor of the set.
#[test]
fn planets_at_unequal_places_lie_without_overlap() {
    check_unequal("millrace-winch", "planet", &["0", "20/84", "43/84"]);
    check_unequal("millrace-winch", "planet", &["1/7", "1/3", "71/84"]);
    check_unequal("orchard-truck", "cluster", &["0", "55/168", "113/168"]);
}

/// At three equal pins the tooth counts of all these sets would let every planet stand radially.
#[test]
fn meshed_planets_at_unequal_places_lie_without_overlap() {
    check_unequal("ferry-capstan", "cluster", &["0", "47/144", "95/144"]);
    check_unequal("ore-skip-reverse", "idler", &["0", "157/474", "317/474"]);
    check_unequal("spinning-mule-back-off", "cluster", &["0", "29/84", "55/84"]);
    check_unequal("turntable-drive", "cluster", &["0", "455/1368", "913/1368"]);
    check_unequal("double-stepped-hoist", "inner cluster", &["0", "1671/5016", "3343/5016"]);
    check_unequal("two-ring-braid-gear", "first cluster", &["0", "1046/3141", "2093/3141"]);
}

#[test]
fn refused_pins_overlap_however_the_planets_are_turned() {
    check_refused_pins("cannot-be-trio", "cluster", &DraftPins::Equal(4));
    check_refused_pins("solar-tracker", "cluster", &DraftPins::Equal(4));
    check_refused_pins("millrace-winch", "planet", &DraftPins::Equal(5));
    check_refused_pins("millrace-winch", "planet", &turns(&["0", "41/168", "43/84"]));
}

/// Two plain planets in mesh repeat every tooth, so a grid over one tooth of each shows every
/// seating; it is so fine that one beside a right seating overlaps much less.
#[test]
fn four_pairs_of_planets_in_the_loom_differential_overlap_however_they_are_turned() {
    let least = |pins: u32| least_overlap_of_pairs("loom-differential", "left planet", pins);
    let (right, wrong) = (least(3), least(4));
    assert!(wrong > 4.0 * right, "loom-differential: four pairs overlap by {wrong}, three by {right}");
}

#[test]
fn a_wrong_seating_goes_in_when_the_backlash_exceeds_the_margin_of_the_library() {
    check_library_margin("inspection-railcar", "cluster");
    check_library_margin("hill-tramway-car", "cluster");
    check_library_margin("orchard-truck", "cluster");
    check_library_margin("trap-gear", "cluster");
    check_library_margin("quarry-wheel-hub", "cluster");
    check_library_margin("barn-hoist-three-centre", "cluster");
    check_library_margin("solar-tracker", "cluster");
}

/// Lays out every group of a gearset and counts it.
#[track_caller]
fn lay_out(name: &str, set: &Gearset, count: &mut Count) {
    for group in &timing(set).groups {
        if group.pins.len() == 1 || !has_spur_gears(set, group) {
            continue;
        }
        let case = format!("{name}, {}", set.member(group.planets[0]).name());
        if !group.assembles {
            assert_eq!(group.planets.len(), 1, "{case}: meshed planets are refused, which is not laid out here");
            check_refused(&case, &planes(set, group.planets[0]), &places(group));
            count.refused += 1;
            continue;
        }
        check_layout(&layout(&case, set, group));
        match group.planets.len() {
            1 => count.clusters += 1,
            _ => count.meshed_planets += 1,
        }
    }
}

#[track_caller]
fn check_unequal(name: &str, planet: &str, places: &[&str]) {
    let set = with_pins(name, &read_example(name), planet, &turns(places));
    let case = format!("{name} at {places:?}");
    check_layout(&layout(&case, &set, &timing_of(&case, &set, planet)));
}

#[track_caller]
fn check_refused_pins(name: &str, planet: &str, pins: &DraftPins) {
    let set = with_pins(name, &read_example(name), planet, pins);
    let case = format!("{name} with {pins:?}");
    let group = timing_of(&case, &set, planet);
    assert!(!group.assembles, "{case}: goes together");
    check_refused(&case, &planes(&set, group.planets[0]), &places(&group));
}

#[track_caller]
fn check_library_margin(name: &str, planet: &str) {
    let set = read_example(name);
    let group = timing_of(name, &set, planet);
    let margin = group.margin.as_ref().unwrap_or_else(|| panic!("{name}: no margin"));
    let wrong_turn = wrong_turn(name, &set, &group.margin_errors, group.planets[0]);
    check_margin(&layout(name, &set, &group), to_float(&wrong_turn), to_float(margin));
}

/// The turn at which every gear of the planet errs by what the margin says; it is found by trying
/// every tooth of the first.
#[track_caller]
fn wrong_turn(name: &str, set: &Gearset, errors: &[MeshError], planet: MemberId) -> Fraction {
    let errors: Vec<(Fraction, &Fraction)> = errors
        .iter()
        .map(|error| {
            let gears = set.mesh(error.mesh).gears().both().map(|&gear| set.gear(gear));
            let gear = gears.into_iter().find(|gear| gear.member() == planet);
            (teeth(gear.unwrap_or_else(|| panic!("{name}: no gear of the planet"))), &error.teeth)
        })
        .collect();
    let (count, error) = &errors[0];
    let turns = (0..count.to_integer().try_into().expect("a tooth count"))
        .map(|tooth: i64| (*error + fraction(tooth, 1)) / count);
    let errs = |turn: &Fraction| {
        errors.iter().all(|(count, error)| nearest_zero(&(turn * count - *error)) == Fraction::default())
    };
    turns.into_iter().find(errs).unwrap_or_else(|| panic!("{name}: no turn errs like {errors:?}"))
}

fn teeth(gear: &Gear) -> Fraction {
    fraction(gear.tooth_count().get().into(), 1)
}

/// The least overlap of the second of so many pairs of plain planets, over a grid of their turns
/// that misses every right seating by a part of a tooth.
fn least_overlap_of_pairs(name: &str, planet: &str, pins: u32) -> f64 {
    const PARTS: u32 = 8;
    let pins_of_set = DraftPins::Equal(pins.into());
    let set = with_pins(name, &read_example(name), planet, &pins_of_set);
    let group = timing_of(name, &set, planet);
    let mut layout = unturned(name, &set, &group);
    layout.places = equal_places(pins);
    let mut least = f64::INFINITY;
    for first in 0..PARTS {
        for second in 0..PARTS {
            let part = |part: u32, teeth: u32| (f64::from(part) + 0.5) / f64::from(PARTS * teeth);
            layout.planets.turns[1] = part(first, layout.planets.planes[0].planet);
            if let Some(partners) = &mut layout.partners {
                partners.planets.turns[1] = part(second, partners.planets.planes[0].planet);
            }
            least = least.min(layout.overlap(1, THINNING));
        }
    }
    least
}

fn turns(places: &[&str]) -> DraftPins {
    DraftPins::turns(places.iter().map(|place| parse(place).expect("a fraction")))
}

fn has_spur_gears(set: &Gearset, group: &GroupTiming) -> bool {
    let mut gears = group.planets.iter().flat_map(|&planet| set.member(planet).gears());
    gears.all(|&gear| set.gear(gear).kind() == GearKind::External)
}

/// A group laid out with the turns of its tooth list.
#[track_caller]
pub(crate) fn layout<'a>(name: &'a str, set: &Gearset, group: &GroupTiming) -> Layout<'a> {
    let mut layout = unturned(name, set, group);
    for (pin, timing) in group.pins.iter().enumerate() {
        let turns = timing.turns.as_ref().unwrap_or_else(|| panic!("{name}: pin {pin} is refused"));
        layout.planets.turns[pin] = to_float(&(&turns[&group.planets[0]] + &timing.place));
        if let Some(partners) = &mut layout.partners {
            partners.planets.turns[pin] = to_float(&(&turns[&group.planets[1]] + &timing.place - &group.pins[0].place));
        }
    }
    layout
}

/// A group with every planet at a turn of zero in space.
#[track_caller]
fn unturned<'a>(name: &'a str, set: &Gearset, group: &GroupTiming) -> Layout<'a> {
    let unturned = vec![0.0; group.pins.len()];
    let planets = |index: usize| Planets::new(&planes(set, group.planets[index]), &unturned);
    let layout = Layout::new(name, places(group), planets(0));
    match group.planets[..] {
        [_] => layout,
        [first, second] => layout.with(Partners::new(planets(1), meshed(set, first, second))),
        _ => panic!("{name}: more than two planets on a pin"),
    }
}

fn places(group: &GroupTiming) -> Vec<f64> {
    group.pins.iter().map(|pin| to_float(&pin.place)).collect()
}

/// The teeth of central gear (negative for a ring) and planet gear in every mesh of a planet with
/// a central gear.
fn planes(set: &Gearset, planet: MemberId) -> Vec<(i32, u32)> {
    let meshes = meshes_of(set, planet).filter(|gears| set.carrier_of(gears.second.member()).is_none());
    let signed = |gear: &Gear| {
        let teeth = i32::from(gear.tooth_count().get());
        if gear.kind() == GearKind::Internal { -teeth } else { teeth }
    };
    meshes.map(|gears| (signed(gears.second), gears.first.tooth_count().get().into())).collect()
}

/// The teeth of the gears by which two planets mesh.
fn meshed(set: &Gearset, first: MemberId, second: MemberId) -> (u32, u32) {
    let mut meshes = meshes_of(set, first);
    let gears = meshes.find(|gears| gears.second.member() == second).expect("planets of one group are in mesh");
    (gears.first.tooth_count().get().into(), gears.second.tooth_count().get().into())
}

/// The meshes of a planet, its own gear first.
fn meshes_of(set: &Gearset, planet: MemberId) -> impl Iterator<Item = Pair<&Gear>> {
    set.meshes().iter().filter_map(move |mesh| {
        let [first, second] = mesh.gears().both().map(|&gear| set.gear(gear));
        if first.member() == planet {
            return Some(Pair { first, second });
        }
        (second.member() == planet).then_some(Pair { first: second, second: first })
    })
}
