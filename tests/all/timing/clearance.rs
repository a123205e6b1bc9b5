//! How much room is between gears that are not in mesh?
//!
//! Against facts worked out by hand, against the closed formula of equal pins, and against the
//! distances between outlines as drawn.

use proptest::prelude::*;
use toothmark::clearance::{Gap, NotPlaced, gaps, gaps_of_equal_pins};
use toothmark::drawing::{Layout, PlacedGear, layout};
use toothmark::exact::fraction;
use toothmark::gearset::{Draft, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, GearId, GearKind, Gearset};
use toothmark::timing::timing;

use crate::support::process::run;
use crate::support::random::cases;
use crate::support::sets::{file_stems, read_example, with_pins};

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

/// Two hoops had minus infinity of room, which was printed, and is no number in JSON. A hoop is a ring at least from its
/// tips to its roots, which with 34 teeth are 16.2342 modules out (opened to keep off the fillets of 30 teeth 2 modules
/// away) and 18.25: on opposite pins, 4 modules apart, it lacks 18.25 + 4 - 16.2342. Worked out by hand.
#[test]
fn hoops_on_several_pins_lack_a_room_that_is_a_number() {
    let two = with_pins("hoop", &read_example("hoop-reducer"), "hoop", &DraftPins::Equal(2));
    let gap = gap_between(&two, "a", "a");
    assert!(gap.is_foul());
    assert_close(gap.modules, 16.2342 - 4.0 - 18.25, 1e-4);
    let shown = run(&["check", "hoop-reducer", "--pins", "2", "--full"]).stdout;
    assert!(shown.contains("overlap by") && !shown.contains("inf "), "{shown}");
}

#[test]
fn on_so_many_equal_pins_there_is_as_much_room_as_when_they_are_described() {
    for stem in file_stems("gearsets") {
        let set = read_example(&stem);
        let [group] = set.planet_groups() else { continue };
        let Some(&planet) = group.planets().first().filter(|_| group.planets().len() == 1) else { continue };
        for pins in 1..=6 {
            let other = with_pins(&stem, &set, set.member(planet).name(), &DraftPins::Equal(pins));
            let described = gaps(&other, &other.planet_groups()[0]);
            assert_eq!(gaps_of_equal_pins(&set, group, pins.try_into().unwrap()), described, "{stem}");
        }
    }
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
fn a_short_planet_behind_the_large_sun_is_no_reason_to_refuse_a_set() {
    // The short planets of the bus stand 5 modules into the large sun, which is why that sun lies beside their face.
    let answer = run(&["timing", "../gearsets/village-bus-automatic.ron", "--full"]);
    assert!(answer.stdout.contains("No room in one plane for B 30 and s 16 on pin 1"), "{}", answer.stdout);
    assert!(!answer.stdout.contains("cannot be built"), "{}", answer.stdout);
    // On 6 pins the short planet, 44.3 degrees ahead of its long one (centres 24, 20 and 17 modules apart), stands
    // 15.7 degrees from the next long one: 7 modules from centre to centre, which 9 + 10 do not leave.
    assert!(answer.stdout.contains("on 6 there is NO room"), "{}", answer.stdout);
}

#[test]
fn timing_tells_which_of_the_equal_pin_counts_have_room() {
    let clear = |name: &str| {
        let json = run(&["timing", &format!("../gearsets/{name}.ron"), "--format", "json"]).stdout;
        let json: serde_json::Value = serde_json::from_str(&json).expect("it is JSON");
        let list = |key: &str| json["groups"][0][key].as_array().expect("a list").clone();
        list("equal_pin_counts").into_iter().zip(list("equal_pins_clear")).collect::<Vec<_>>()
    };
    // Two times 60 sin(180 / N) degrees from pin to pin against tips of 40 + 2 modules across, in half modules.
    for (count, clears) in clear("quarry-wheel-hub") {
        let count = count.as_f64().expect("a number");
        let room = 60.0 * (std::f64::consts::PI / count).sin() - 42.0;
        assert_eq!(clears, serde_json::Value::Bool(room > 0.0), "{count}");
    }
    assert!(clear("bevel-differential").iter().all(|(_, clears)| clears.is_null()));
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

fn meshes(set: &Gearset, pair: [GearId; 2]) -> bool {
    set.mesh_ids().any(|mesh| pair.iter().all(|gear| set.mesh(mesh).gears().both().contains(&gear)))
}

/// The room between two gears where they are nearest, in modules, measured on their places as laid out.
fn measured(set: &Gearset, layout: &Layout, [first, second]: [GearId; 2]) -> f64 {
    let is_ring = |id| set.gear(id).kind() == GearKind::Internal;
    let of = |gear| layout.gears.iter().flatten().filter(move |placed| placed.gear == gear);
    let full = |id: GearId| f64::from(set.gear(id).tooth_count().get()) / 2.0 + 1.0;
    // The tips of a ring are opened where full ones would run into a fillet: they are where they are drawn.
    let drawn = |placed: &PlacedGear| {
        let radius = |point: &[f64; 2]| (point[0] - placed.center[0]).hypot(point[1] - placed.center[1]);
        placed.points.iter().map(radius).fold(f64::INFINITY, f64::min) / placed.form.module
    };
    let tip = |id: GearId| if is_ring(id) { of(id).map(drawn).fold(0.0, f64::max) } else { full(id) };
    let (a, b) = (tip(first), tip(second));
    let mut least = f64::INFINITY;
    for one in of(first) {
        let is_other = |other: &&PlacedGear| one.gear != other.gear || one.pin < other.pin;
        let may_touch = |other: &&PlacedGear| one.pin != other.pin || !meshes(set, [first, second]);
        for other in of(second).filter(is_other).filter(may_touch) {
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
        for (group, timed) in set.planet_groups().iter().zip(timing(&set).groups) {
            let (Ok(gaps), Ok(layout)) = (gaps(&set, group), layout(&set, group, &timed)) else { continue };
            // Where a pin circle is described shifts follow from it, and tips with them.
            let is_plain = layout.is_nominal && set.draft().pin_circles.is_empty();
            for gap in gaps.iter().filter(|_| is_plain) {
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
    #![proptest_config(cases(256))]

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
