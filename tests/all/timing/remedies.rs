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

/// A train of plain sets in a row, each of sun, planet and ring on so many pins.
fn row_of_sets(sets: &[[i64; 3]]) -> String {
    let each = |text: &dyn Fn(usize, [i64; 3]) -> String| {
        sets.iter().enumerate().map(|(at, &set)| text(at, set)).collect::<Vec<_>>().join(", ")
    };
    let members = each(&|at, [sun, planet, _]| {
        let ring = sun + 2 * planet;
        format!(r#""s{at}": [Sun("S{at}", {sun})], "r{at}": [Ring("R{at}", {ring})], "c{at}": []"#)
    });
    let planets = each(&|at, [_, planet, pins]| {
        format!(r#""p{at}": (carrier: "c{at}", pins: Equal({pins}), gears: [Gear("P{at}", {planet})])"#)
    });
    let meshes = each(&|at, _| format!(r#"("S{at}", "P{at}"), ("R{at}", "P{at}")"#));
    let joins: Vec<String> = (1..sets.len()).map(|at| format!(r#"("c{}", "s{at}")"#, at - 1)).collect();
    format!(
        r#"Gearset(title: "row", members: {{{members}}}, planets: {{{planets}}}, meshes: [{meshes}], joins: [{}])"#,
        joins.join(", ")
    )
}

/// Two carriers with planets on one sun.
fn on_one_sun(sun: i64) -> String {
    format!(
        r#"Gearset(title: "one sun", members: {{"s": [Sun("S", {sun})], "a": [Ring("A", 65)], "b": [Ring("B", 59)], "c": [], "d": []}},
        planets: {{"p": (carrier: "c", pins: Equal(4), gears: [Gear("P", 20)]), "q": (carrier: "d", pins: Equal(3), gears: [Gear("Q", 17)])}},
        meshes: [("S", "P"), ("A", "P"), ("S", "Q"), ("B", "Q")])"#
    )
}

/// Of a change only the groups with a changed gear are asked anew; here every change of one gear is put into the whole
/// gearset, and that is asked.
#[test]
fn changes_are_those_with_which_the_whole_gearset_assembles() {
    let rows: [&[[i64; 3]]; 5] = [
        &[[24, 18, 5]],
        &[[24, 18, 3], [27, 20, 4], [30, 21, 3]],
        &[[24, 18, 5], [27, 20, 4], [30, 21, 3]],
        &[[25, 20, 3], [24, 18, 3]],
        &[[2, 30, 4], [24, 18, 4]],
    ];
    let texts = rows.iter().map(|row| row_of_sets(row)).chain([19, 20, 21, 22].map(on_one_sun));
    let (mut named, mut hopeless) = (0, 0);
    for text in texts {
        let set = read_set("a train", &text);
        for group in timing(&set).groups {
            let Some(remedies) = group.remedies else { continue };
            let found: Vec<&BTreeMap<_, i64>> =
                remedies.tooth_changes.iter().map(|change| &change.tooth_counts).collect();
            let assembles = |counts: &BTreeMap<_, i64>| {
                set.with_tooth_counts(counts.clone()).is_ok_and(|changed| timing(&changed).assembles())
            };
            assert!(found.iter().all(|counts| assembles(counts)), "{text}: {found:?}");
            let count = |gear| i64::from(set.gear(gear).tooth_count().get());
            let own = set.planet_groups().iter().find(|own| own.planets() == group.planets).expect("it is one of them");
            let gears: Vec<_> = own.meshes().iter().flat_map(|&mesh| set.mesh(mesh).gears().each()).collect();
            let of_size = |size: i64| -> Vec<BTreeMap<_, i64>> {
                let changes =
                    gears.iter().flat_map(|&gear| [size, -size].map(|by| BTreeMap::from([(gear, count(gear) + by)])));
                changes.filter(&assembles).collect()
            };
            // The smallest of these are named, if nothing smaller is.
            let smallest = (1..=3).map(of_size).find(|changes| !changes.is_empty()).unwrap_or_default();
            let size = |counts: &BTreeMap<_, i64>| counts.iter().map(|(&gear, new)| (new - count(gear)).abs()).max();
            let least = found.iter().filter_map(|counts| size(counts)).min();
            if smallest.first().is_some_and(|first| least >= size(first)) {
                assert!(smallest.iter().all(|counts| found.contains(&counts)), "{text}: {found:?}, {smallest:?}");
            }
            assert!(smallest.is_empty() || !found.is_empty(), "{text}");
            named += found.len();
            hopeless += usize::from(found.is_empty());
        }
    }
    assert!(named > 10 && hopeless > 1, "{named} named, {hopeless} groups without a way out");
}
