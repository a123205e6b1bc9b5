//! Do the speeds of a basic set lie on one straight line against the positions of its lever?
//!
//! Random trains in every state, every pair of members compared with the line through two others;
//! levers that the trade draws; levers merged.

use num_bigint::BigInt;
use num_integer::Integer;
use proptest::prelude::*;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Gearset, MemberId};
use toothmark::kinematics::{Lever, LeverNode, StateMotion, levers, merged_levers, motions};

use crate::support::random::cases;
use crate::support::sets::{read_example, read_set};
use crate::support::trains::train;

fn speed(motion: &StateMotion, member: MemberId) -> Option<Fraction> {
    if member == MemberId::CASE {
        return Some(fraction(0, 1));
    }
    motion.members.iter().find(|found| found.member == member)?.speed.value().cloned()
}

/// The points of position and speed that a state determines, joined members each for itself.
fn points(motion: &StateMotion, nodes: &[LeverNode]) -> Vec<[Fraction; 2]> {
    let members =
        nodes.iter().flat_map(|node| [node.member].into_iter().chain(node.joined.clone()).map(move |it| (node, it)));
    members.filter_map(|(node, member)| Some([node.position.clone(), speed(motion, member)?])).collect()
}

/// Whether all points are on one line: every three have no area between them.
fn on_one_line(points: &[[Fraction; 2]]) -> bool {
    let area = |[a, b, c]: [&[Fraction; 2]; 3]| (&b[0] - &a[0]) * (&c[1] - &a[1]) - (&c[0] - &a[0]) * (&b[1] - &a[1]);
    let same_place = points.iter().all(|a| points.iter().all(|b| a[0] != b[0] || a[1] == b[1]));
    let [first, second] = [points.first(), points.iter().find(|point| point[0] != points[0][0])];
    let (Some(first), Some(second)) = (first, second) else { return same_place };
    same_place && points.iter().all(|point| area([first, second, point]) == fraction(0, 1))
}

/// Positions are the smallest integers in their proportion, from 0 on.
#[track_caller]
fn has_the_smallest_integers(lever: &Lever) {
    let positions: Vec<Fraction> = lever.nodes.iter().map(|node| node.position.clone()).collect();
    assert!(positions.iter().all(|position| position.is_integer()), "{lever:?}");
    assert_eq!(positions.first(), Some(&fraction(0, 1)), "{lever:?}");
    assert!(positions.is_sorted(), "{lever:?}");
    let common = positions.iter().fold(BigInt::from(0), |common, position| common.gcd(position.numer()));
    assert!(common <= BigInt::from(1), "{lever:?}");
}

fn lie_on_lines(set: &Gearset) -> usize {
    let mut seen = 0;
    for motion in motions(set) {
        for lever in levers(set) {
            let mut nodes = lever.nodes.clone();
            nodes.extend(lever.planets.clone());
            let points = points(&motion, &nodes);
            assert!(on_one_line(&points), "{}: {points:?} of {lever:?}", motion.state);
            has_the_smallest_integers(&lever);
            seen += usize::from(points.len() > 2 && !lever.is_stiff);
        }
        for lever in merged_levers(set) {
            let points = points(&motion, &lever.nodes);
            assert!(on_one_line(&points), "{}: {points:?} of {lever:?}", motion.state);
        }
    }
    seen
}

proptest! {
    #![proptest_config(cases(300))]
    #[test]
    fn the_speeds_of_every_random_train_lie_on_its_levers(draft in train()) {
        if let Ok(set) = Gearset::new(draft) {
            lie_on_lines(&set);
        }
    }
}

#[test]
fn the_speeds_of_every_example_lie_on_its_levers() {
    let seen: usize =
        toothmark::description::examples().iter().map(|example| lie_on_lines(&read_example(example.name))).sum();
    assert!(seen > 100, "{seen} levers with speeds");
}

#[test]
fn points_off_a_line_are_found() {
    let point = |x, y| [fraction(x, 1), fraction(y, 1)];
    assert!(on_one_line(&[point(0, 1), point(2, 2), point(4, 3)]));
    assert!(!on_one_line(&[point(0, 1), point(2, 2), point(4, 4)]));
    assert!(!on_one_line(&[point(0, 1), point(0, 2)]));
}

#[track_caller]
fn looks(set: &Gearset, expected: &[&str]) {
    let told = |nodes: &[LeverNode]| {
        let told: Vec<String> =
            nodes.iter().map(|node| format!("{} {}", set.member(node.member).name(), node.position)).collect();
        told.join(", ")
    };
    let levers: Vec<String> = levers(set).iter().map(|lever| told(&lever.nodes)).collect();
    assert_eq!(levers, expected, "{}", set.title());
}

#[test]
fn levers_are_those_that_the_trade_draws() {
    looks(&read_example("bevel-differential"), &["left shaft 0, cage 1, right shaft 2"]);
    // A meshed pair reverses the ring: both central members on one side of the carrier, 36 to 72.
    looks(&read_example("lock-keepers-astern-gear"), &["input shaft 0, ring 1, carrier 2"]);
    looks(&read_example("hill-tramway-car"), &["slow drum 0, driven drum 11, reverse drum 15, flywheel 33"]);
}

#[test]
fn a_pair_on_fixed_axes_is_a_lever_with_the_case() {
    let set = read_set(
        "two shafts",
        r#"Gearset(title: "two shafts", members: {"a": [Sun("A", 20)]},
        planets: {"b": (carrier: "case", pins: Equal(1), gears: [Gear("B", 30)])}, meshes: [("A", "B")],
        states: {"on": Given(input: "a", output: "b")})"#,
    );
    looks(&set, &["a 0, case 3, b 5"]);
    lie_on_lines(&set);
}

#[test]
fn central_gears_that_contradict_one_another_make_a_lever_stiff() {
    let set = read_set(
        "contradiction",
        r#"Gearset(title: "contradiction", members: {"a": [Sun("A", 20), Sun("B", 22)], "c": []},
        planets: {"p": (carrier: "c", pins: Equal(1), gears: [Gear("p", 20), Gear("q", 20)])},
        meshes: [("A", "p"), ("B", "q")], states: {"on": Given(input: "a", output: "c")})"#,
    );
    assert!(levers(&set)[0].is_stiff);
    looks(&set, &["c 0, a 0"]);
    lie_on_lines(&set);
}
