//! Are the tooth counts that are named as ways out those that somebody at the bench would take?

use std::collections::BTreeMap;

use toothmark::exact::Fraction;
use toothmark::gearset::Gearset;
use toothmark::timing::timing;

use crate::support::sets::{read_file, read_set};

/// The changes that are named, as names of gears with new counts, and whether each keeps the centre distance.
fn changes(set: &Gearset) -> Vec<(BTreeMap<String, i64>, bool)> {
    let remedies = timing(set).groups.remove(0).remedies.expect("it does not assemble");
    let named = |counts: &BTreeMap<_, i64>| {
        counts.iter().map(|(&gear, &count)| (set.gear(gear).name().to_owned(), count)).collect()
    };
    remedies.tooth_changes.iter().map(|change| (named(&change.tooth_counts), change.keeps_center_distance)).collect()
}

fn one(gear: &str, count: i64) -> BTreeMap<String, i64> {
    BTreeMap::from([(gear.to_owned(), count)])
}

/// On four pins 37 t = 10 and 35 t = 13/2 (mod 1) have no t in common; 36 t = 10 and 35 t = 13/2 have t = 1/2. Once only
/// central gears were tried alone, and the way out by a planet gear was not named.
#[test]
fn a_planet_gear_alone_is_a_way_out() {
    let text = r#"Gearset(title: "t", members: {"c": [], "a": [Sun("A", 40)], "b": [Sun("B", 26)]},
        planets: {"k": (carrier: "c", pins: Equal(4), gears: [Gear("p", 37), Gear("q", 35)])},
        meshes: [("A", "p"), ("B", "q")])"#;
    assert!(changes(&read_set("four pins", text)).contains(&(one("p", 36), false)));
}

/// All meshes of the railcar have 57 teeth in sum. With one more counted on the driven drum, the change back was said to
/// need profile shift to keep the centre distance, of the very count that needs none.
#[test]
fn a_count_that_brings_a_mesh_to_the_distance_of_the_others_needs_no_shift() {
    let railcar = read_file("gearsets/inspection-railcar.ron");
    for (right, wrong, gear, count) in [
        ("Sun(\"D\", 26)", "Sun(\"D\", 27)", "D", 26),
        ("Gear(\"d\", 31)", "Gear(\"d\", 32)", "d", 31),
        ("Sun(\"L\", 20)", "Sun(\"L\", 19)", "L", 20),
    ] {
        assert!(railcar.contains(right));
        let found = changes(&read_set("miscounted", &railcar.replace(right, wrong)));
        assert!(found.contains(&(one(gear, count), true)), "{wrong}: {found:?}");
    }
}

/// A profile shift belongs to the teeth that it is cut with: D 27 shifted by -0.48 modules stands at nearly the 28.5 modules
/// of the other meshes, and D 26 without it at exactly those.
#[test]
fn a_changed_gear_has_no_profile_shift() {
    let railcar = read_file("gearsets/inspection-railcar.ron")
        .replace("Sun(\"D\", 26)", "Sun(\"D\", 27)")
        .replace("    states:", "    profile_shifts: {\"D\": -0.48, \"d\": 0},\n    states:");
    let set = read_set("shifted", &railcar);
    let change = timing(&set).groups.remove(0).remedies.expect("it does not assemble").tooth_changes.remove(0);
    assert!(change.keeps_center_distance);
    let changed = set.with_tooth_counts(change.tooth_counts).expect("a sound change");
    let drum = changed.gear_named("D").expect("it is there");
    assert_eq!((changed.gear(drum).tooth_count().get(), changed.profile_shift(drum)), (26, Fraction::default()));
}
