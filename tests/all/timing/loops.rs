//! Loops of meshes through planets of two kinds: does the library know when they close?
//!
//! Checked against one kind of planets that is described as two, and against involute
//! outlines: with the first planet in mesh with sun and ring, the second is turned through
//! one tooth in fine steps, and must somewhere lie clear of both just when the loop closes.

use proptest::prelude::*;
use toothmark::exact::{Fraction, fraction, to_float};
use toothmark::gearset::{Draft, DraftPins, Gearset};
use toothmark::timing::{Closure, timing};

use crate::support::outlines::{CLEAR_OVERLAP, NO_OVERLAP, Plane, THINNING};
use crate::support::random::cases;

/// A sun of 24, a ring of 60 and a plain planet of each kind.
fn plain(kinds: &[(u32, Vec<Fraction>)]) -> Gearset {
    let kind = |(at, (count, _)): (usize, &(u32, Vec<Fraction>))| {
        format!("\"planet {at}\": (carrier: \"carrier\", pins: Equal(1), gears: [Gear(\"p{at}\", {count})]),")
    };
    let planets: String = kinds.iter().enumerate().map(kind).collect();
    let meshes: Vec<String> = (0..kinds.len()).map(|at| format!("(\"S\", \"p{at}\"), (\"R\", \"p{at}\")")).collect();
    let text = format!(
        "Gearset(title: \"t\", members: {{\"sun\": [Sun(\"S\", 24)], \"ring\": [Ring(\"R\", 60)], \"carrier\": []}},
            planets: {{{planets}}}, meshes: [{}])",
        meshes.join(", ")
    );
    let mut draft: Draft = toothmark::description::read(&text).expect("a sound description").draft().clone();
    for (planet, (_, places)) in draft.planets.iter_mut().zip(kinds) {
        planet.pins = DraftPins::turns(places.clone()).into();
    }
    Gearset::new(draft).expect("places that differ")
}

fn goes_together(set: &Gearset) -> bool {
    timing(set).assembles()
}

/// The overlap, in tooth areas, of the second planet with sun and ring, at its best turn: one of a hundred to a tooth, of
/// which only those near the one that overlaps the sun least in ten are looked at.
fn least_overlap(first: u32, second: u32, place: f64) -> f64 {
    const STEPS: u32 = 100;
    let [sun, ring] = [24, -60];
    let turned = |central: i32| Plane { central, planet: first }.central_turn(0.0, 0.0);
    let overlap = |central: i32, step: u32| {
        let turn = f64::from(step) / f64::from(STEPS * second);
        Plane { central, planet: second }.overlap(place, turn, turned(central), THINNING)
    };
    let coarse = (0..STEPS).step_by(10).map(|step| (overlap(sun, step), step)).min_by(|a, b| a.0.total_cmp(&b.0));
    let near = coarse.expect("there are ten").1 + STEPS;
    // Overlap with the sun grows from its least to either side, up to half a tooth.
    (near - 10..=near + 10).fold(f64::INFINITY, |least, step| {
        let with_sun = overlap(sun, step);
        if with_sun >= least { least } else { least.min(with_sun.max(overlap(ring, step))) }
    })
}

#[track_caller]
fn check_by_outlines(first: u32, second: u32, place: &Fraction) -> bool {
    let set = plain(&[(first, vec![fraction(0, 1)]), (second, vec![place.clone()])]);
    let closes = goes_together(&set);
    let overlap = least_overlap(first, second, to_float(place));
    let case = format!("planets of {first} and {second}, {place} of a turn apart: overlap {overlap}");
    assert!(if closes { overlap < NO_OVERLAP } else { overlap > CLEAR_OVERLAP }, "closes: {closes}, {case}");
    closes
}

#[test]
fn a_loop_closes_just_where_outlines_of_both_kinds_lie_clear() {
    for (first, second) in [(18, 18), (18, 17), (17, 18), (19, 17)] {
        // Every 84th of a turn would do for planets that are alike.
        let places = (20..22).map(|at| fraction(at, 168));
        let closed = places.filter(|place| check_by_outlines(first, second, place)).count();
        assert_eq!(closed, 1, "planets of {first} and {second} half a step apart: of 2 places one closes");
    }
}

/// An error once: each kind goes together by itself, and so the whole was said to; sun and
/// ring would have had to be half a tooth elsewhere for the second kind.
#[test]
fn planets_of_two_kinds_half_a_tooth_apart_are_refused() {
    let half = |start: Fraction| vec![start.clone(), start + fraction(1, 2)];
    let set = plain(&[(18, half(fraction(0, 1))), (18, half(fraction(1, 8)))]);
    let groups = timing(&set).groups;
    assert!(groups.iter().all(|group| group.pins_assemble() && !group.assembles));
    // Half a tooth, shared by four meshes.
    assert_eq!((groups[0].loops[0].closes, &groups[0].loops[0].misfit), (Closure::Misses, &Some(fraction(1, 8))));
}

#[test]
fn clusters_of_two_kinds_depend_on_how_their_gears_are_indexed() {
    let cluster = |name: &str, gears: &str| format!("\"{name}\": (carrier: \"c\", pins: Equal(1), gears: [{gears}])");
    let [one, other] =
        [cluster("one", "Gear(\"p\", 18), Gear(\"q\", 20)"), cluster("other", "Gear(\"u\", 18), Gear(\"v\", 20)")];
    let text = format!(
        "Gearset(title: \"t\", members: {{\"a\": [Sun(\"A\", 24)], \"b\": [Sun(\"B\", 22)], \"c\": []}},
            planets: {{{one}, {other}}}, meshes: [(\"A\", \"p\"), (\"B\", \"q\"), (\"A\", \"u\"), (\"B\", \"v\")])"
    );
    let set = toothmark::description::read(&text).expect("a sound description");
    for group in timing(&set).groups {
        assert!(group.assembles);
        assert_eq!(group.loops.iter().map(|closed| closed.closes).collect::<Vec<_>>(), [Closure::DependsOnIndex]);
    }
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn one_kind_of_planets_described_as_two_goes_together_as_before(
        places in prop::collection::btree_set(0i64..336, 2..6),
        split in 1usize..5,
        fine in prop::bool::ANY,
    ) {
        let parts = if fine { 336 } else { 84 * 4 / 2 };
        let mut places: Vec<Fraction> = places.into_iter().map(|at| fraction(at % parts, parts)).collect();
        places.dedup();
        let split = split.min(places.len() - 1);
        prop_assume!(split > 0 && places.iter().all(|a| places.iter().filter(|b| a == *b).count() == 1));
        let (left, right) = places.split_at(split);
        let whole = plain(&[(18, places.clone())]);
        let parted = plain(&[(18, left.to_vec()), (18, right.to_vec())]);
        prop_assert_eq!(goes_together(&whole), goes_together(&parted), "{:?} | {:?}", left, right);
    }
}
