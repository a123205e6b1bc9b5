//! Is a margin what its definition says? The definition is f(u), the largest distance of any
//! gear from a whole tooth, looked at wherever its slope can change.
//!
//! A margin is the smallest positive local minimum of f; a refused pin comes as close as its
//! least value. For meshed planets, whose f has two unknowns, classes of whole teeth nearest
//! to the turns of a grid are looked at instead: none may be nearer than the margin found,
//! which belongs to a class itself.

use std::collections::{BTreeSet, HashSet};
use std::f64::consts::PI;

use num_integer::Integer;
use num_traits::{Signed, ToPrimitive, Zero};
use proptest::collection::vec;
use proptest::prelude::*;
use toothmark::exact::{ExactFit, Fraction, IntegerMatrix, Target, fraction, nearest_miss};
use toothmark::gearset::{Draft, DraftBacklash, Gearset, Length, Pitch};
use toothmark::timing::{GroupTiming, MeshError, timing};

use crate::support::random::telling_cases;
use crate::support::trains::{cluster, meshed_pair};
use crate::timing::timing_twin::{Row, Small, pins_go_together, rows, small};

/// Where the slope of `f(u) = max |P_i u - o_i|` (to whole teeth) can change, for u in [0, 1): a place `n / d` and f there, as
/// parts of d. With integers alone, for there are thousands; some places more than once.
fn each_kink(counts: &[i64], offsets: &[Small], mut say: impl FnMut([i64; 2], i64)) {
    // Offsets as parts of one number.
    let parts = offsets.iter().fold(1, |parts: i64, offset| parts.lcm(offset.denom()));
    let offsets: Vec<i64> = offsets.iter().map(|offset| offset.numer() * (parts / offset.denom())).collect();
    let mut each = |teeth: i64, offset: i64| {
        let (whole, sign) = (2 * parts * teeth.abs(), teeth.signum());
        for half in 0..2 * teeth.abs() {
            let at = (sign * (half * parts + 2 * offset)).rem_euclid(whole);
            let off = |(&count, &offset): (&i64, &i64)| {
                let past = (count * at - 2 * teeth.abs() * offset).rem_euclid(whole);
                past.min(whole - past)
            };
            say([at, whole], counts.iter().zip(&offsets).map(off).max().expect("some gear"));
        }
    };
    for (i, (&p, &a)) in counts.iter().zip(&offsets).enumerate() {
        each(p, a);
        for (&q, &b) in counts[..i].iter().zip(&offsets) {
            each(p + q, a + b);
            each(p - q, a - b);
        }
    }
}

/// The same in their order, each once.
pub(crate) fn kinks(counts: &[i64], offsets: &[Small]) -> Vec<(Small, Small)> {
    let mut found: Vec<([i64; 2], i64)> = Vec::new();
    each_kink(counts, offsets, |place, value| found.push((place, value)));
    found.sort_unstable_by(|([at, whole], _), ([other, of], _)| (at * of).cmp(&(other * whole)));
    found.dedup_by(|([at, whole], _), ([other, of], _)| *at * *of == *other * *whole);
    found.into_iter().map(|([at, whole], value)| (Small::new(at, whole), Small::new(value, whole))).collect()
}

/// The least f.
fn least_largest(counts: &[i64], offsets: &[Small]) -> Small {
    let mut least = [1, 2];
    each_kink(counts, offsets, |[_, whole], value| {
        if value * least[1] < least[0] * whole {
            least = [value, whole];
        }
    });
    Small::new(least[0], least[1])
}

/// The smallest positive local minimum of f by its definition.
fn slow_margin(counts: &[i64]) -> Option<Small> {
    let values: Vec<Small> = kinks(counts, &vec![Small::zero(); counts.len()]).into_iter().map(|kink| kink.1).collect();
    let number = values.len();
    let lowest = |&at: &usize| {
        let (before, after) = (values[(at + number - 1) % number], values[(at + 1) % number]);
        values[at].is_positive() && values[at] < before && values[at] < after
    };
    (0..number).filter(lowest).map(|at| values[at]).min()
}

pub(crate) fn planet_counts(rows: &[Row]) -> Vec<i64> {
    rows.iter().map(|row| row.planets[0].1).collect()
}

#[track_caller]
fn largest_error_is(margin: Option<&Fraction>, errors: &[MeshError]) {
    let largest = errors.iter().map(|error| error.teeth.abs()).max();
    assert_eq!(largest.as_ref(), margin, "the largest error is the margin: {errors:?}");
}

/// The timing of the only group, if it goes together on more than one pin: there alone a seating can
/// be wrong, for the planet on a single pin has no fellow to differ from. How near what does not assemble comes to it takes
/// long to say, and is asked of it elsewhere.
pub(crate) fn timing_with_fellows(set: &Gearset) -> Option<GroupTiming> {
    if !pins_go_together(set) {
        return None;
    }
    let timing = timing(set).groups.remove(0);
    let alone = timing.pins.len() == 1;
    assert!(!alone || timing.margin.is_none(), "a margin without a fellow: {:?}", timing.margin);
    (timing.assembles && !alone).then_some(timing)
}

#[track_caller]
fn check_margin(set: &Gearset, timing: &GroupTiming) {
    let counts = planet_counts(&rows(set, &set.planet_groups()[0]));
    let found = timing.margin.as_ref();
    largest_error_is(found, &timing.margin_errors);
    assert_eq!(found.map(small), slow_margin(&counts), "margin of {counts:?}");
    let matrix = IntegerMatrix::new(counts.len(), 1, counts.iter().copied());
    let miss = nearest_miss(&matrix, &Target::integers(counts.len()), ExactFit::LeftOut).expect("few classes");
    assert_eq!(found, miss.as_ref().map(|miss| &miss.value), "of {counts:?}");
}

/// The refused pins one by one: the closest seating of the worst has the least largest error there is.
#[track_caller]
fn check_refusals(set: &Gearset, timing: &GroupTiming) {
    let group = &set.planet_groups()[0];
    assert!(!timing.refusals.is_empty(), "a refusal says why");
    let closest = timing.closest.as_ref().expect("a refused group has a closest seating");
    let rows = rows(set, group);
    let counts = planet_counts(&rows);
    let least = |pin: usize| {
        let x = small(&group.spacings()[pin - 1]);
        let offsets: Vec<Small> = rows.iter().map(|row| x * (row.planets[0].1 + row.central)).collect();
        least_largest(&counts, &offsets)
    };
    let refused: Vec<usize> = timing.pins.iter().filter(|pin| pin.turns.is_none()).map(|pin| pin.pin).collect();
    let worst = refused.iter().map(|&pin| least(pin)).max();
    assert_eq!(Some(small(&closest.seating.teeth)), worst, "closest seating of {rows:?}");
    assert_eq!(Some(least(closest.pin)), worst, "it is on the worst pin: {rows:?}");
    largest_error_is(Some(&closest.seating.teeth), &closest.seating.errors);
    for refusal in &timing.refusals {
        assert!(refusal.misfit.is_positive() && refused.contains(&refusal.pin), "{refusal:?}");
        assert!(small(&refusal.misfit) <= least(refusal.pin), "no seating is better than {refusal:?}");
    }
    assert!(refused.iter().all(|pin| timing.refusals.iter().any(|refusal| refusal.pin == *pin)), "every pin says why");
}

/// The combinations of rows in which both planets cancel: of any three rows, and of two in proportion.
pub(crate) fn circuits(rows: &[[i64; 2]]) -> Vec<Vec<(i64, usize)>> {
    let cross = |a: usize, b: usize| rows[a][0] * rows[b][1] - rows[a][1] * rows[b][0];
    let mut circuits = Vec::new();
    for (a, b) in (0..rows.len()).flat_map(|a| (0..a).map(move |b| (a, b))) {
        if cross(a, b) == 0 {
            let column = usize::from(rows[a][0] == 0);
            circuits.push(vec![(rows[b][column], a), (-rows[a][column], b)]);
        }
        circuits.extend((0..b).map(|c| vec![(cross(b, c), a), (cross(c, a), b), (cross(a, b), c)]));
    }
    circuits.retain(|parts| parts.iter().any(|part| part.0 != 0));
    circuits
}

/// The least largest error with the rows moved by so many teeth: that of the worst circuit.
///
/// Each row allows a strip of the plane of both turns; strips of which every three meet meet all at
/// once (Helly 1923, "Über Mengen konvexer Körper mit gemeinschaftlichen Punkten", Jahresbericht der
/// Deutschen Mathematiker-Vereinigung 32, 175-176), and of three strips the circuit tells it.
pub(crate) fn class_value(circuits: &[Vec<(i64, usize)>], moved: &[i64]) -> Small {
    let value = |parts: &Vec<(i64, usize)>| {
        let sum: i64 = parts.iter().map(|&(factor, at)| factor * moved[at]).sum();
        Small::new(sum.abs(), parts.iter().map(|part| part.0.abs()).sum())
    };
    circuits.iter().map(value).max().unwrap_or_default()
}

/// Whether the rows moved by so many teeth are clearly within this play, in teeth.
fn class_fits(circuits: &[Vec<(i64, usize)>], moved: &[i64], play: &[f64]) -> bool {
    let float = |value: i64| value.to_f64().expect("a small number");
    circuits.iter().all(|parts| {
        let sum: i64 = parts.iter().map(|&(factor, at)| factor * moved[at]).sum();
        float(sum.abs()) < (1.0 - 1e-9) * parts.iter().map(|&(factor, at)| float(factor.abs()) * play[at]).sum::<f64>()
    })
}

/// The rows of a pair of planets, and the classes of whole teeth nearest to some turns of both.
fn pair_classes(set: &Gearset) -> (Vec<[i64; 2]>, HashSet<Vec<i64>>) {
    const GRID: i64 = 48;
    let of = |row: &Row, planet| row.planets.iter().filter(|part| part.0 == planet).map(|part| part.1).sum();
    let rows: Vec<[i64; 2]> = rows(set, &set.planet_groups()[0]).iter().map(|row| [of(row, 0), of(row, 1)]).collect();
    let nearest = |value: i64| (2 * value + GRID).div_euclid(2 * GRID);
    let class = |at: i64| rows.iter().map(|row| nearest(row[0] * (at % GRID) + row[1] * (at / GRID))).collect();
    let classes = (0..GRID * GRID).map(class).collect();
    (rows, classes)
}

#[track_caller]
fn check_margin_of_pair(set: &Gearset, timing: &GroupTiming) {
    let (rows, classes) = pair_classes(set);
    let circuits = circuits(&rows);
    let least = classes.iter().map(|moved| class_value(&circuits, moved)).filter(Signed::is_positive).min();
    let Some(margin) = &timing.margin else {
        return assert!(least.is_none_or(|least| least >= Small::new(1, 2)), "{rows:?} has a wrong seating: {least:?}");
    };
    largest_error_is(Some(margin), &timing.margin_errors);
    let found = small(margin);
    assert!(least.is_none_or(|least| found <= least), "{rows:?}: margin {found}, but there is {least:?}");
    // The errors e belong to a class: some turns u make A u - e whole. Its least largest error is the margin.
    let errors: Vec<Fraction> = timing.margin_errors.iter().map(|error| error.teeth.clone()).collect();
    let matrix = IntegerMatrix::new(rows.len(), 2, rows.iter().flatten().copied());
    let turns = toothmark::exact::Congruences::new(&matrix).solve(&errors).expect("the errors of some turns");
    let turned = |row: &[i64; 2]| &turns[0] * fraction(row[0], 1) + &turns[1] * fraction(row[1], 1);
    let moved: Vec<i64> = rows
        .iter()
        .zip(&errors)
        .map(|(row, error)| (turned(row) - error).to_integer().to_i64().expect("a machine word"))
        .collect();
    assert_eq!(class_value(&circuits, &moved), found, "the class of the errors of {rows:?}");
}

/// Gives every mesh a module and a backlash of so many teeth.
pub(crate) fn with_play(draft: &Draft, play: &[f64]) -> Gearset {
    let mut draft = draft.clone();
    for (at, (mesh, play)) in draft.meshes.iter_mut().zip(play).enumerate() {
        let eighths = 8 + i64::try_from(at).expect("it is small and sound");
        mesh.sizes.pitch = Some(Pitch::Module(fraction(eighths, 8)).into());
        let backlash = play * PI * f64::from(i32::try_from(eighths).expect("it is small and sound")) / 8.0;
        let backlash = Length::Millimetres(Fraction::from_float(backlash).expect("it is small and sound"));
        mesh.sizes.backlash = Some(DraftBacklash::AtPitchCircle(backlash).into());
    }
    Gearset::new(draft).expect("it is small and sound")
}

/// The margin of the first group; a draft without one is thrown away.
fn margin_in_teeth(draft: &Draft) -> Result<f64, TestCaseError> {
    let margin = timing(&Gearset::new(draft.clone()).expect("it is sound")).groups.remove(0).margin;
    let teeth = margin.and_then(|margin| margin.to_f64());
    teeth.ok_or_else(|| TestCaseError::reject("no margin"))
}

/// Whether some wrong seating goes in unnoticed; `None` where there is no margin.
fn unnoticed(draft: &Draft, play: &[f64]) -> Option<bool> {
    timing(&with_play(draft, play)).groups[0].within_backlash
}

/// By how much the best wrong class fits, as a turn; below 0 it does not. Every class is met between
/// two neighbouring places where some gear is half a tooth out.
fn slack(counts: &[i64], play: &[f64]) -> f64 {
    let halves = counts.iter().flat_map(|&p| (0..p).map(move |m| Small::new(2 * m + 1, 2 * p)));
    let halves: Vec<Small> = halves.collect::<BTreeSet<_>>().into_iter().collect();
    let float = |value: i64| value.to_f64().expect("a small number");
    let mut best = f64::NEG_INFINITY;
    for pair in halves.windows(2) {
        let u = (pair[0] + pair[1]) / 2;
        let moved: Vec<i64> = counts.iter().map(|&p| (u * p).round().to_integer()).collect();
        if counts.iter().zip(&moved).all(|(p, n)| p * moved[0] == counts[0] * n) {
            continue;
        }
        let ends = |sign: f64| {
            counts.iter().zip(&moved).zip(play).map(move |((&p, &n), play)| (float(n) + sign * play) / float(p))
        };
        best = best.max(ends(1.0).fold(f64::INFINITY, f64::min) - ends(-1.0).fold(f64::NEG_INFINITY, f64::max));
    }
    best
}

proptest! {
    #![proptest_config(telling_cases(120))]

    #[test]
    fn the_margin_is_the_smallest_positive_local_minimum(draft in cluster()) {
        let set = Gearset::new(draft).unwrap();
        let timing = timing_with_fellows(&set);
        prop_assume!(timing.is_some(), "no planet has a fellow");
        check_margin(&set, &timing.unwrap());
    }

    #[test]
    fn meshed_planets_have_no_nearer_wrong_seating_than_their_margin(draft in meshed_pair()) {
        let set = Gearset::new(draft).unwrap();
        let timing = timing_with_fellows(&set);
        prop_assume!(timing.is_some(), "no pair has a fellow");
        check_margin_of_pair(&set, &timing.unwrap());
    }

    #[test]
    fn a_refused_pin_comes_as_close_as_the_best_of_all_turns(draft in cluster()) {
        let set = Gearset::new(draft).unwrap();
        let timing = &timing(&set).groups[0];
        prop_assert_eq!(timing.assembles, timing.closest.is_none(), "a closest seating where none is right");
        prop_assume!(!timing.assembles, "nothing is refused");
        check_refusals(&set, timing);
    }

    #[test]
    fn play_a_little_above_the_margin_lets_it_in_and_a_little_below_does_not(draft in prop_oneof![cluster(), meshed_pair()]) {
        let teeth = margin_in_teeth(&draft)?;
        let play = |factor: f64| vec![teeth * factor; draft.meshes.len()];
        prop_assert_eq!(unnoticed(&draft, &play(1.000_001)), Some(true));
        prop_assert_eq!(unnoticed(&draft, &play(0.999_999)), Some(false));
    }

    #[test]
    fn unequal_play_lets_a_wrong_seating_in_just_when_one_fits(draft in cluster(), factors in vec(0.0f64..3.0, 8), more in 0usize..8) {
        let teeth = margin_in_teeth(&draft)?;
        let set = Gearset::new(draft.clone()).unwrap();
        let mut play: Vec<f64> = factors.iter().take(draft.meshes.len()).map(|factor| (factor * teeth).min(0.45)).collect();
        let slack = slack(&planet_counts(&rows(&set, &set.planet_groups()[0])), &play);
        let found = unnoticed(&draft, &play);
        prop_assume!(slack.abs() > 1e-9, "too near to tell");
        prop_assert_eq!(found, Some(slack > 0.0), "slack {}, play {:?}", slack, play);
        let at = more % play.len();
        play[at] *= 1.5;
        prop_assert!(found == Some(false) || unnoticed(&draft, &play) == found, "more play keeps out");
    }

    #[test]
    fn unequal_play_of_meshed_planets_lets_in_whatever_class_fits(draft in meshed_pair(), factors in vec(0.0f64..3.0, 8)) {
        let teeth = margin_in_teeth(&draft)?;
        let set = Gearset::new(draft.clone()).unwrap();
        let play: Vec<f64> = factors.iter().take(draft.meshes.len()).map(|factor| (factor * teeth).min(0.45)).collect();
        let (rows, classes) = pair_classes(&set);
        let circuits = circuits(&rows);
        let wrong = |moved: &&Vec<i64>| class_value(&circuits, moved).is_positive() && class_fits(&circuits, moved, &play);
        let Some(moved) = classes.iter().find(wrong) else { return Err(TestCaseError::reject("no class fits")) };
        prop_assert_eq!(unnoticed(&draft, &play), Some(true), "{:?} fits {:?} with play {:?}", moved, rows, play);
    }
}
