//! Does a cluster that is made as its sheet says go in on its pins?
//!
//! The twin knows the condition in space only: a planet gear P and a central gear Z, both signed, mesh on the pin at place
//! x when `P p - (P + Z) x` is whole, p the turn of the gear in space. It turns the cluster by every tooth of its marked
//! gear, each gear off by the index of the sheet.

use num_traits::Signed;
use toothmark::description::{example, read};
use toothmark::exact::{Fraction, fraction, multiple};
use toothmark::fit::{IndexSource, OrderQuestion, OrderedCluster, order};
use toothmark::gearset::Gearset;
use toothmark::timing::{MarkingConvention, timing};

use crate::support::process::{command, run_with};
use crate::support::sets::{read_file, read_set};

/// For a gear of the cluster its signed count and those of its mates.
fn meshes(set: &Gearset, cluster: &OrderedCluster) -> Vec<(Fraction, i64, i64)> {
    let mut found = Vec::new();
    for index in &cluster.index {
        for mesh in set.meshes().iter().filter(|mesh| mesh.gears().contains(&index.gear)) {
            let central = mesh.gears().each().into_iter().find(|&gear| gear != index.gear).expect("it has a mate");
            let signed = [index.gear, central].map(|gear| set.gear(gear).signed_tooth_count());
            found.push((index.turns.clone(), signed[0], signed[1]));
        }
    }
    found
}

/// The turns of a cluster from its own radius with which every gear of it meshes on the pin at a place.
fn seatings(set: &Gearset, cluster: &OrderedCluster, place: &Fraction) -> Vec<Fraction> {
    let meshes = meshes(set, cluster);
    let (first, teeth, central) = &meshes[0];
    assert_eq!(*first, fraction(0, 1), "the marked gear stands in line with itself");
    // P p = (P + Z) x + k: every tooth k.
    let turned =
        (0..teeth.abs()).map(|tooth| (multiple(place, teeth + central) + fraction(tooth, 1)) / fraction(*teeth, 1));
    let fits = |turned: &Fraction| {
        let off = |(index, teeth, central): &(Fraction, i64, i64)| {
            multiple(&(turned + index), *teeth) - multiple(place, teeth + central)
        };
        meshes.iter().all(|mesh| off(mesh).is_integer())
    };
    turned.filter(fits).map(|turned| turned - place).collect()
}

#[track_caller]
fn check_every_pin(name: &str, set: &Gearset) -> Vec<(Option<String>, Vec<usize>)> {
    let answer = order(set, &OrderQuestion::default()).unwrap_or_else(|reason| panic!("{name}: {reason}"));
    let group = &timing(set).groups[0];
    let places = set.planet_groups()[0].spacings();
    let mut pins: Vec<usize> = Vec::new();
    for cluster in &answer.clusters {
        assert_eq!((cluster.pieces, cluster.marks.len()), (cluster.for_pins.len(), 1), "{name}");
        assert_eq!(cluster.convention, MarkingConvention::Individual, "{name}: every pin has a mark of its own");
        assert_eq!(cluster.marks[0].gear, cluster.index[0].gear, "{name}: the index counts from the marked gear");
        let teeth = fraction(set.gear(cluster.index[0].gear).tooth_count().get().into(), 1);
        for (pin, struck) in cluster.for_pins.iter().zip(&cluster.marks[0].teeth) {
            let seatings = seatings(set, cluster, &places[pin - 1]);
            assert!(!seatings.is_empty(), "{name}: class {:?} does not go in on pin {pin}", cluster.class);
            // The struck tooth is the one nearest to the line of centres.
            let off = |turn: &Fraction| {
                let on = turn * &teeth + fraction(*struck, 1);
                let round = &on / &teeth;
                (&on - round.round() * &teeth).abs()
            };
            assert!(seatings.iter().any(|turn| off(turn) <= fraction(1, 2)), "{name} pin {pin}: tooth {struck}");
            pins.push(*pin);
            // A cluster of another class does not go in there: there are as few classes as can be.
            for other in answer.clusters.iter().filter(|other| other.class != cluster.class) {
                assert!(self::seatings(set, other, &places[pin - 1]).is_empty(), "{name}: {:?} on {pin}", other.class);
            }
        }
    }
    pins.sort_unstable();
    assert_eq!(pins, (1..=group.pin_count).collect::<Vec<_>>(), "{name}: one cluster a pin");
    assert!(!group.assembles && answer.clusters.iter().all(|it| it.index_source == IndexSource::Class), "{name}");
    answer.clusters.into_iter().map(|cluster| (cluster.class, cluster.for_pins)).collect()
}

/// Alike clusters of these counts go in where 62 x is whole: not on thirds, on halves but not on quarters.
#[test]
fn clusters_of_different_indexes_go_in_where_alike_ones_do_not() {
    let text = example("cannot-be-trio").expect("it is built in").replace("input:", "pitch: Module(2), input:");
    let class = |letter: &str, pins: &[usize]| (Some(letter.to_owned()), pins.to_vec());
    let at = |pins: &str| read_set(pins, &text.replace("Equal(3)", pins));
    let thirds = check_every_pin("thirds", &at("Equal(3)"));
    assert_eq!(thirds, [class("A", &[1]), class("B", &[2]), class("C", &[3])]);
    let quarters = check_every_pin("quarters", &at("Equal(4)"));
    assert_eq!(quarters, [class("A", &[1, 3]), class("B", &[2, 4])]);
    let uneven = check_every_pin("uneven", &at("Degrees([0, 180, 90])"));
    assert_eq!(uneven, [class("A", &[1, 2]), class("B", &[3])]);
}

/// Every cluster of two or three gears on three to five pins that does not assemble alike, small counts with many common
/// divisors among them.
#[test]
fn every_set_of_classes_goes_in() {
    let mut tried = 0;
    for (first, second) in [((20, 16), (17, 19)), ((21, 18), (22, 17)), ((15, 30), (26, 19)), ((24, 24), (25, 23))] {
        for third in [None, Some((19, 17)), Some((28, 8))] {
            for pins in 3..=5 {
                let pairs = [Some(first), Some(second), third];
                let pairs: Vec<(u16, u16)> = pairs.into_iter().flatten().collect();
                let named = |of: &dyn Fn(usize, (u16, u16)) -> String| {
                    let each: Vec<String> = pairs.iter().enumerate().map(|(at, &pair)| of(at, pair)).collect();
                    each.join(", ")
                };
                let text = format!(
                    "Gearset(title: \"classes\", pitch: Module(2), members: {{\"carrier\": [], {}}}, planets: {{\"cluster\": \
                     (carrier: \"carrier\", pins: Equal({pins}), gears: [{}])}}, meshes: [{}])",
                    named(&|at, (sun, _)| format!("\"drum {at}\": [Sun(\"S{at}\", {sun})]")),
                    named(&|at, (_, gear)| format!("Gear(\"p{at}\", {gear})")),
                    named(&|at, _| format!("(\"S{at}\", \"p{at}\")")),
                );
                let set = read(&text).unwrap_or_else(|faults| panic!("{text}: {faults:?}"));
                if !timing(&set).assembles() {
                    check_every_pin(&text, &set);
                    tried += 1;
                }
            }
        }
    }
    assert!(tried > 15, "{tried}");
}

fn ordered(arguments: &[&str]) -> (i32, String) {
    let mut asked = command(&[&["teeth", "order"], arguments].concat());
    asked.env("COLUMNS", "80");
    let told = run_with(asked, b"");
    (told.code, told.stdout)
}

/// Once a set that does not assemble was told to be made alike as soon as one cluster was measured.
#[test]
fn a_measured_index_does_not_make_alike_clusters_assemble() {
    let text = example("half-works-trio").expect("it is built in").replace("members:", "pitch: Module(2), members:");
    let measured = text.replacen(
        "meshes:",
        "measured: {\"cluster\": (clusters: {\"one\": Index([Teeth(\"b\", \"0.1\")]), \"two\": Index([]), \"three\": Index([])})}, \
         meshes:",
        1,
    );
    for text in [text, measured] {
        let set = read_set("half works", &text);
        let answer = order(&set, &OrderQuestion::default()).expect("its teeth have a size");
        // Sun and ring of the gear a stand against one another, whatever its index.
        assert_eq!(answer.clusters[0].index_source, IndexSource::Refused);
        assert!(answer.clusters[0].index.is_empty() && !answer.can_be_given());
    }
}

/// The classes keep the index that was read of one: each gear of a class stands as far from that of the cluster that was
/// read, and which stood on the third pin, as without it.
#[test]
fn classes_are_told_from_a_measured_cluster() {
    let text = read_file("tests/accepted/clusters-of-two-classes.ron");
    let readings = "Index([Teeth(\"l\", \"0.25\"), Teeth(\"r\", \"-0.1\")])";
    let measured = format!(
        "measured: {{\"cluster\": (clusters: {{\"one\": Index([]), \"two\": Index([]), \"three\": {readings}}})}}, meshes:"
    );
    let measured = text.replacen("meshes:", &measured, 1);
    let like = |name: &str| OrderQuestion { like: Some(name.into()), ..OrderQuestion::default() };
    let clusters = [(text, OrderQuestion::default()), (measured, like("three"))].map(|(text, question)| {
        let set = read_set("two classes", &text);
        let answer = order(&set, &question).expect("its teeth have a size");
        let named = |cluster: &OrderedCluster, name: &str| {
            let gear = set.gear_named(name).expect("it is there");
            cluster.index.iter().find(|index| index.gear == gear).expect("it is told").teeth.clone()
        };
        ["l", "r"].map(|name| [0, 1].map(|class| named(&answer.clusters[class], name)))
    });
    for (gear, read) in [fraction(1, 4), fraction(-1, 10)].iter().enumerate() {
        let [[of_a, of_b], [like_a, like_b]] = [&clusters[0][gear], &clusters[1][gear]];
        assert_eq!(like_b, read, "it is the very cluster that was read");
        assert!((like_a - (read + of_a - of_b)).is_integer(), "{like_a}");
    }
}

/// An index of 0 was told where nobody knows it, and the order given.
#[test]
fn an_index_that_nothing_tells_is_not_ordered() {
    let (code, told) = ordered(&["accepted/clusters-of-two-kinds.ron", "--module", "2", "--full"]);
    assert_eq!(code, 1, "{told}");
    let plain = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(plain.contains("Order no \"first\" yet: whether all planets go in depends on its index"), "{told}");
    assert!(!plain.contains("as listed") && !told.contains("of a tooth"), "{told}");
}

#[test]
fn classes_are_told_on_the_screen_and_on_their_sheets() {
    let uneven = "accepted/clusters-of-two-classes.ron";
    insta::assert_snapshot!("teeth-order-two-classes-full", ordered(&[uneven, "--full"]).1);
    let (code, told) = ordered(&["cannot-be-trio", "--module", "2", "--backlash-limits", "0.1..0.18"]);
    assert_eq!(code, 0, "{told}");
    insta::assert_snapshot!("teeth-order-classes", told);
}
