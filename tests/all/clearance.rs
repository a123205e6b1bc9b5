//! How much room is between gears that are not in mesh?
//!
//! Against facts worked out by hand, against the closed formula of equal pins, and against the
//! distances between outlines as drawn.

use proptest::prelude::*;
use toothmark::clearance::{Gap, NotPlaced, gaps};
use toothmark::drawing::{Layout, layout};
use toothmark::exact::fraction;
use toothmark::gearset::{Draft, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, GearId, GearKind, Gearset};
use toothmark::timing::{Method, timing};

use crate::sets::{file_stems, read_example, with_pins};

/// The gap between two gears by their names.
#[track_caller]
fn gap_between(set: &Gearset, first: &str, second: &str) -> Gap {
    let all = set.planet_groups().iter().flat_map(|group| gaps(set, group).expect("it has pin circles"));
    let mut found = all.filter(|gap| gap.gears.both().map(|&gear| set.gear(gear).name()) == [first, second]);
    found.next().unwrap_or_else(|| panic!("no room between {first} and {second} is told"))
}

#[track_caller]
fn assert_close(found: f64, meant: f64, tolerance: f64) {
    assert!((found - meant).abs() <= tolerance, "{found} is not {meant}");
}

#[test]
fn four_large_clusters_of_a_quarry_hub_pass_close() {
    // 60 sin 45 degrees from pin to pin, less 40 + 2: worked out by hand.
    let hub = read_example("quarry-wheel-hub");
    let four = with_pins("hub", &hub, "cluster", &DraftPins::Equal(4));
    assert_close(gap_between(&four, "large", "large").modules, 0.43, 0.005);
    assert!(gap_between(&hub, "large", "large").modules > 9.9);
}

#[test]
fn a_small_gear_of_a_cluster_fouls_the_sun_beside_its_idler() {
    // The pins at (24 + 27) / 2 modules; tips of 18 and 30 teeth reach 10 and 16: worked out by hand.
    let mule = read_example("spinning-mule-back-off");
    let counts = [("large", 27), ("small", 18), ("i", 18)].map(|(name, count)| (mule.gear_named(name).unwrap(), count));
    let other = mule.with_tooth_counts(counts).unwrap();
    assert_close(gap_between(&other, "B", "small").modules, -0.5, 1e-9);
    assert!(gap_between(&mule, "B", "small").modules > 0.0);
}

#[test]
fn a_set_with_one_pin_has_no_neighbours_and_a_bevel_planet_no_pin_circle() {
    let hoop = read_example("hoop-reducer");
    for gap in hoop.planet_groups().iter().flat_map(|group| gaps(&hoop, group).unwrap()) {
        assert_ne!(gap.gears.first, gap.gears.second, "a gear has no fellow");
    }
    let bevel = read_example("bevel-differential");
    assert!(matches!(gaps(&bevel, &bevel.planet_groups()[0]), Err(NotPlaced::Bevel(_))));
}

/// The room between two gears where they are nearest, in modules, measured on their places as laid out.
fn measured(set: &Gearset, layout: &Layout, [first, second]: [GearId; 2]) -> f64 {
    let is_ring = |id| set.gear(id).kind() == GearKind::Internal;
    let tip = |id: GearId| f64::from(set.gear(id).tooth_count().get()) / 2.0 + if is_ring(id) { -1.0 } else { 1.0 };
    let (a, b) = (tip(first), tip(second));
    let of = |gear| layout.gears.iter().flatten().filter(move |placed| placed.gear == gear);
    let mut least = f64::INFINITY;
    for one in of(first) {
        for other in of(second).filter(|other| one.gear != other.gear || one.pin < other.pin) {
            let distance = (one.center[0] - other.center[0]).hypot(one.center[1] - other.center[1]) / one.form.module;
            least = least.min(match (is_ring(first), is_ring(second)) {
                (false, false) => distance - a - b,
                (true, false) => a - distance - b,
                (false, true) => b - distance - a,
                (true, true) => panic!("two rings side by side"),
            });
        }
    }
    least
}

#[test]
fn rooms_are_those_between_gears_as_laid_out() {
    let mut compared = 0;
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        for (group, timed) in set.planet_groups().iter().zip(timing(&set, Method::Quickest)) {
            let (Ok(gaps), Ok(layout)) = (gaps(&set, group), layout(&set, group, &timed)) else { continue };
            for gap in gaps.iter().filter(|_| layout.is_nominal) {
                let gears = gap.gears.both().map(|&gear| gear);
                if gears.iter().all(|&gear| set.profile_shift(gear) == fraction(0, 1)) {
                    let meant = measured(&set, &layout, gears);
                    assert!((gap.modules - meant).abs() < 1e-6, "{name}: {} is not {meant}", gap.modules);
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 30, "only {compared} rooms were compared");
}

proptest! {
    #[test]
    fn neighbours_on_equal_pins_keep_the_room_of_the_formula(sun in 12_i64..60, planet in 12_i64..60, pins in 2_u32..7) {
        let ring = sun + 2 * planet;
        let mut draft = Draft::default();
        draft.members.push(DraftMember::new("sun", [DraftGear::sun("S", sun)]));
        draft.members.push(DraftMember::new("ring", [DraftGear::ring("R", ring)]));
        draft.members.push(DraftMember::new("carrier", []));
        draft.planets.push(DraftPlanet::new("planet", "carrier", DraftPins::Equal(i64::from(pins)), [DraftGear::planet("P", planet)]));
        draft.meshes.push(DraftMesh::of("S", "P"));
        draft.meshes.push(DraftMesh::of("R", "P"));
        let set = Gearset::new(draft).expect("a plain set");
        let [radius, tip] = [i64::midpoint(sun, planet), planet + 2].map(|whole| f64::from(u32::try_from(whole).unwrap()));
        let radius = if (sun + planet) % 2 == 1 { radius + 0.5 } else { radius };
        let meant = 2.0 * radius * (std::f64::consts::PI / f64::from(pins)).sin() - tip;
        assert_close(gap_between(&set, "P", "P").modules, meant, 1e-9);
    }
}
