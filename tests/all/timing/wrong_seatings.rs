//! Are all wrong seatings listed, each once, with its errors and the play it leaves?
//!
//! For a cluster the twin walks along f(u), the largest distance of any gear from a whole
//! tooth, from kink to kink, and takes every positive minimum. For meshed planets it goes to
//! every corner of the cells into which the lines of half a tooth cut the plane of both
//! turns: every class below half a tooth is a cell, and every cell has a corner. Play is
//! looked for by narrowing down the turns at which most is left.

use std::collections::{BTreeMap, BTreeSet};

use num_integer::Integer;
use num_traits::{Signed, ToPrimitive, Zero};
use proptest::collection::vec;
use proptest::prelude::*;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Draft, Gearset, Length, Pitch};
use toothmark::kinematics::motions;
use toothmark::timing::{
    ByHand, DialReading, DialReadingProblem, EASE_BY_FORCE, SeatingQuestion, SeatingsAnswer, WrongSeating,
    backlash_at_pitch_circle, tight_spots, with_dial_readings, wrong_seatings,
};

use crate::support::random::telling_cases;
use crate::support::sets::{file_stems, read_example, read_set};
use crate::support::trains::{cluster, meshed_pair, train};
use crate::timing::margin_twin::{circuits, class_value, kinks, planet_counts, timing_with_fellows, with_play};
use crate::timing::timing_twin::{Row, Small, rows, small};

/// The wrong seatings of the first group within so many teeth; `None` where none are looked for.
fn listed(set: &Gearset, within: &Fraction) -> Option<Vec<WrongSeating>> {
    let question = SeatingQuestion { within: within.clone(), ..SeatingQuestion::default() };
    let group = wrong_seatings(set, &question).expect("no dial").groups.remove(0);
    match group.answer {
        SeatingsAnswer::Listed => Some(group.wrong_seatings),
        SeatingsAnswer::OnePin | SeatingsAnswer::DoesNotGoTogether => None,
        SeatingsAnswer::TooMany => panic!("small sets have few wrong seatings"),
    }
}

fn half() -> Fraction {
    fraction(1, 2)
}

/// Every positive local minimum of f in one period 1/g: its place and its value.
fn slow_minima(counts: &[i64]) -> Vec<(Small, Small)> {
    let common = counts.iter().fold(0, |common, count| count.gcd(&common));
    let kinks = kinks(counts, &vec![Small::zero(); counts.len()]);
    let number = kinks.len();
    let lowest = |&at: &usize| {
        let (before, after) = (kinks[(at + number - 1) % number].1, kinks[(at + 1) % number].1);
        kinks[at].1.is_positive() && kinks[at].1 < before && kinks[at].1 < after
    };
    (0..number).filter(lowest).map(|at| kinks[at]).filter(|minimum| minimum.0 < Small::new(1, common)).collect()
}

/// Whether not every mesh of the first group has a pitch, or all have the same.
fn of_one_pitch(set: &Gearset) -> bool {
    let pitch = |&mesh: &_| set.mesh(mesh).pitch().map(Pitch::circular_pitch);
    let pitches: Option<Vec<f64>> = set.planet_groups()[0].meshes().iter().map(pitch).collect();
    pitches.is_none_or(|pitches| pitches.iter().all(|pitch| (pitch - pitches[0]).abs() < 1e-9))
}

#[track_caller]
fn check_table(set: &Gearset, within: &Fraction) {
    let Some(found) = listed(set, within) else { return };
    let counts = planet_counts(&rows(set, &set.planet_groups()[0]));
    let period = Small::new(1, counts.iter().fold(0, |common, count| count.gcd(&common)));
    let mut expected = slow_minima(&counts);
    let mirrored: BTreeSet<(Small, Small)> = expected.iter().map(|&(u, value)| (period - u, value)).collect();
    assert_eq!(mirrored, expected.iter().copied().collect(), "turning back mirrors turning on: {counts:?}");
    expected.retain(|&(u, value)| u < period / 2 && value <= small(within));
    expected.sort_by_key(|&(u, value)| (value, u));
    let mut table: Vec<(Small, Small)> =
        found.iter().map(|seating| (small(&seating.turns[0].turns), small(&seating.largest_error))).collect();
    check_order(set, &found);
    if !of_one_pitch(set) {
        table.sort_by_key(|&(u, value)| (value, u));
    }
    assert_eq!(table, expected, "the whole table of {counts:?} within {within}");
    for seating in &found {
        for (mesh, count) in seating.meshes.iter().zip(&counts) {
            let turned = &seating.turns[0].turns * fraction(*count, 1);
            assert_eq!(turned, &mesh.error + fraction(mesh.teeth, 1), "teeth and error: {mesh:?}");
        }
        largest_is_stated(seating);
    }
}

/// Of one pitch the least wrong comes first, else what goes in with the least backlash.
#[track_caller]
fn check_order(set: &Gearset, found: &[WrongSeating]) {
    if of_one_pitch(set) {
        assert!(found.is_sorted_by_key(|seating| &seating.largest_error), "the least wrong first: {found:?}");
    } else {
        let needed = |seating: &WrongSeating| seating.goes_in_from_mm.expect("every pitch is given");
        let in_order = |pair: &[WrongSeating]| needed(&pair[0]) <= needed(&pair[1]) + 2e-9;
        assert!(found.windows(2).all(in_order), "that with the least backlash first: {found:?}");
    }
}

#[track_caller]
fn largest_is_stated(seating: &WrongSeating) {
    let largest = seating.meshes.iter().map(|mesh| mesh.error.abs()).max();
    assert_eq!(largest.as_ref(), Some(&seating.largest_error), "{seating:?}");
}

/// The rows of a pair as numbers: of the first planet, of the second.
fn pair_rows(rows: &[Row]) -> Vec<[i64; 2]> {
    let of = |row: &Row, planet| row.planets.iter().filter(|part| part.0 == planet).map(|part| part.1).sum();
    rows.iter().map(|row| [of(row, 0), of(row, 1)]).collect()
}

/// The corners where rows i and j are both half a tooth out, in one turn of both planets.
fn corners(one: [i64; 2], other: [i64; 2]) -> Vec<[Small; 2]> {
    let determinant = one[0] * other[1] - one[1] * other[0];
    if determinant == 0 {
        return Vec::new();
    }
    let step = one[0].gcd(&one[1]);
    let halves = |number: i64| (0..number).map(|teeth| Small::new(2 * teeth + 1, 2));
    let corner =
        |(a, b): (Small, Small)| [(a * other[1] - b * one[1]) / determinant, (b * one[0] - a * other[0]) / determinant];
    halves(step).flat_map(|a| halves(determinant.abs() / step).map(move |b| (a, b))).map(corner).collect()
}

/// Every class of a pair with an error above 0 and below half a tooth, once for both mirror images: what
/// each circuit says of it, and the error.
fn slow_classes(rows: &[[i64; 2]]) -> BTreeMap<Vec<i64>, Small> {
    let circuits = circuits(rows);
    let mut classes = BTreeMap::new();
    for (i, j) in (0..rows.len()).flat_map(|i| (0..i).map(move |j| (i, j))) {
        for corner in corners(rows[i], rows[j]) {
            let mut cells: Vec<Vec<i64>> = vec![Vec::new()];
            for row in rows {
                let turned = corner[0] * row[0] + corner[1] * row[1];
                let (below, above) = ((turned - Small::new(1, 2)).ceil(), (turned + Small::new(1, 2)).floor());
                let choices = BTreeSet::from([below.to_integer(), above.to_integer()]);
                cells =
                    cells.iter().flat_map(|cell| choices.iter().map(|&teeth| [&cell[..], &[teeth]].concat())).collect();
            }
            for moved in cells {
                let value = class_value(&circuits, &moved);
                if value.is_positive() && value < Small::new(1, 2) {
                    classes.insert(class_name(&circuits, &moved), value);
                }
            }
        }
    }
    classes
}

/// What tells one class from another, the same for its mirror image.
fn class_name(circuits: &[Vec<(i64, usize)>], moved: &[i64]) -> Vec<i64> {
    let sum = |parts: &Vec<(i64, usize)>| parts.iter().map(|&(factor, at)| factor * moved[at]).sum();
    let name: Vec<i64> = circuits.iter().map(sum).collect();
    let mirrored: Vec<i64> = name.iter().map(|sum: &i64| -sum).collect();
    name.max(mirrored)
}

#[track_caller]
fn check_table_of_pair(set: &Gearset) {
    let Some(found) = listed(set, &half()) else { return };
    let group_rows = rows(set, &set.planet_groups()[0]);
    let rows = pair_rows(&group_rows);
    let circuits = circuits(&rows);
    let mut table = BTreeMap::new();
    for seating in &found {
        largest_is_stated(seating);
        let signs = group_rows.iter().map(|row| row.planets[0].1.signum());
        let meshes = || seating.meshes.iter().zip(signs.clone());
        let moved: Vec<i64> = meshes().map(|(mesh, sign)| sign * mesh.teeth).collect();
        for ((mesh, sign), row) in meshes().zip(&rows) {
            let turned = &seating.turns[0].turns * fraction(row[0], 1) + &seating.turns[1].turns * fraction(row[1], 1);
            let said = (&mesh.error + fraction(mesh.teeth, 1)) * fraction(sign, 1);
            assert_eq!(turned, said, "teeth and error of {mesh:?} in {rows:?}");
        }
        let before = table.insert(class_name(&circuits, &moved), small(&seating.largest_error));
        assert_eq!(before, None, "each class once: {seating:?} of {rows:?}");
    }
    assert_eq!(table, slow_classes(&rows), "the whole table of {rows:?}");
    check_order(set, &found);
    if let Some(middle) = found.get(found.len() / 2) {
        let within = listed(set, &middle.largest_error).expect("as before");
        let expected = found.iter().filter(|seating| seating.largest_error <= middle.largest_error);
        assert!(within.iter().eq(expected), "up to and with {}: {rows:?}", middle.largest_error);
    }
}

/// The sizes of the meshes of a set, in millimetres.
struct Rooms {
    pitches: Vec<f64>,
    backlash: Vec<f64>,
}

impl Rooms {
    fn of(set: &Gearset) -> Self {
        let pitches = set.meshes().iter().map(|mesh| mesh.pitch().expect("given").circular_pitch());
        let backlash = set.meshes().iter().map(|mesh| mesh.backlash().expect("given").millimetres());
        Self { pitches: pitches.collect(), backlash: backlash.collect() }
    }

    /// The play left in every mesh with the rows turned so.
    fn left(&self, rows: &[[i64; 2]], moved: &[i64], turns: [f64; 2]) -> Vec<f64> {
        let errors = errors(rows, moved, turns).into_iter().zip(&self.pitches).zip(&self.backlash);
        errors.map(|((error, pitch), backlash)| backlash - pitch * error).collect()
    }

    /// The arc of the error of every mesh with the rows turned so, below zero. No mesh takes up more than half a tooth,
    /// whatever its backlash, so what is more is out of the question, the farther the more.
    fn needed(&self, rows: &[[i64; 2]], moved: &[i64], turns: [f64; 2]) -> Vec<f64> {
        let errors = errors(rows, moved, turns);
        let beyond = errors.iter().copied().fold(0.0, f64::max) - 0.5;
        if beyond > 1e-12 {
            return vec![-100.0 - beyond; rows.len()];
        }
        errors.iter().zip(&self.pitches).map(|(error, pitch)| -pitch * error).collect()
    }
}

/// How far every row is off in teeth, without its sign.
fn errors(rows: &[[i64; 2]], moved: &[i64], turns: [f64; 2]) -> Vec<f64> {
    let error = |row: &[i64; 2], teeth| float(row[0]) * turns[0] + float(row[1]) * turns[1] - float(teeth);
    rows.iter().zip(moved).map(|(row, &teeth)| error(row, teeth).abs()).collect()
}

fn float(value: i64) -> f64 {
    value.to_f64().expect("a small number")
}

fn least(play: &[f64]) -> f64 {
    play.iter().copied().fold(f64::INFINITY, f64::min)
}

/// The place from `low` to `high` where a function that rises and then falls is highest.
fn highest(low: f64, high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..85 {
        let third = (high - low) / 3.0;
        if of(low + third) < of(high - third) { low += third } else { high -= third }
    }
    // A step may lie between the two.
    if of(low) < of(high) { high } else { low }
}

/// What is left in every mesh where the tightest has most, found by narrowing down the turns
/// round those where the largest error is least.
fn settled(left: impl Fn([f64; 2]) -> Vec<f64>, near: &[f64]) -> Vec<f64> {
    const FAR: f64 = 0.6;
    let second = |u: f64| match near {
        [_, w] => highest(w - FAR, w + FAR, |w| least(&left([u, w]))),
        _ => 0.0,
    };
    let u = highest(near[0] - FAR, near[0] + FAR, |u| least(&left([u, second(u)])));
    left([u, second(u)])
}

/// Compares the play of the first few seatings.
#[track_caller]
fn check_play(set: &Gearset, most: usize) {
    let Some(found) = listed(set, &half()) else { return };
    let (rooms, group_rows) = (Rooms::of(set), rows(set, &set.planet_groups()[0]));
    let rows = &pair_rows(&group_rows);
    for seating in found.iter().take(most) {
        let sense = |row: &Row| row.planets[0].1.signum();
        let moved: Vec<i64> =
            seating.meshes.iter().zip(&group_rows).map(|(mesh, row)| sense(row) * mesh.teeth).collect();
        let turns: Vec<f64> = seating.turns.iter().map(|it| it.turns.to_f64().expect("a float")).collect();
        let (said, from) = (seating.least_play_mm.expect("sizes"), seating.goes_in_from_mm.expect("sizes"));
        let slow = settled(|turns| rooms.left(rows, &moved, turns), &turns);
        assert!((said - least(&slow)).abs() < 1e-9, "{said} left instead of {slow:?}: {seating:?} of {rows:?}");
        let slow_from = -least(&settled(|turns| rooms.needed(rows, &moved, turns), &turns));
        assert!((from - slow_from).abs() < 1e-9, "from {from} instead of {slow_from}: {seating:?} of {rows:?}");
        let play: Vec<f64> = seating.meshes.iter().map(|mesh| mesh.play_left_mm.expect("sizes")).collect();
        assert!((least(&play) - said).abs() < 1e-9, "the tightest mesh has the least: {seating:?}");
        // The turn of one planet alone is never in doubt, and with it the play of every mesh.
        let near = play.iter().zip(&slow).all(|(play, slow)| (play - slow).abs() < 1e-6);
        assert!(turns.len() > 1 || near, "{play:?} instead of {slow:?}: {seating:?} of {rows:?}");
        check_felt(seating, said);
    }
}

#[track_caller]
fn check_felt(seating: &WrongSeating, least_play: f64) {
    let felt = match least_play {
        _ if least_play.abs() < 1e-8 || (least_play + EASE_BY_FORCE).abs() < 1e-8 => return,
        _ if least_play > 0.0 => ByHand::Unnoticed,
        _ if least_play > -EASE_BY_FORCE => ByHand::WithForce,
        _ => ByHand::WillNotEnter,
    };
    assert_eq!(seating.by_hand, Some(felt), "{seating:?}");
}

/// What timing says in one word is what the table says line by line.
#[track_caller]
fn check_against_margin(set: &Gearset) {
    let Some(timing) = timing_with_fellows(set) else { return };
    let found = listed(set, &half()).expect("these go together");
    let least = found.iter().map(|seating| &seating.largest_error).min();
    assert_eq!(least, timing.margin.as_ref(), "the least error is the margin");
    if timing.margin.is_none() {
        return;
    }
    let easiest = found.iter().map(|seating| seating.by_hand.expect("sizes everywhere")).min();
    assert_eq!(timing.by_hand, easiest, "{timing:?}");
    assert_eq!(timing.within_backlash, Some(easiest == Some(ByHand::Unnoticed)), "{timing:?}");
    let least = found.iter().filter_map(|seating| seating.goes_in_from_mm).fold(f64::INFINITY, f64::min);
    let margin_least = timing.least_backlash_mm.expect("a pitch everywhere");
    assert!((least - margin_least).abs() < 1e-9, "from {least} on, timing says {margin_least}");
}

/// Whole teeth and error by the name of a mesh.
type MeshesByName = BTreeMap<String, (i64, Fraction)>;

/// What a seating is, whatever the order of the meshes.
fn relabelled(set: &Gearset, seatings: &[WrongSeating]) -> Vec<(Vec<Fraction>, MeshesByName)> {
    let mesh_name = |id| set.mesh(id).gears().both().map(|&gear| set.gear(gear).name()).join(" with ");
    let meshes = |seating: &WrongSeating| {
        seating.meshes.iter().map(|mesh| (mesh_name(mesh.mesh), (mesh.teeth, mesh.error.clone()))).collect()
    };
    let turns = |seating: &WrongSeating| seating.turns.iter().map(|it| it.turns.clone()).collect();
    seatings.iter().map(|seating| (turns(seating), meshes(seating))).collect()
}

fn draft_with_play(draft: &Draft, factors: &[f64]) -> Gearset {
    let play: Vec<f64> = draft.meshes.iter().zip(factors.iter().cycle()).map(|(_, factor)| *factor).collect();
    with_play(draft, &play)
}

proptest! {
    #![proptest_config(telling_cases(100))]

    #[test]
    fn every_positive_minimum_of_a_cluster_is_listed_once(draft in cluster(), parts in 1i64..=20) {
        let set = Gearset::new(draft).unwrap();
        prop_assume!(listed(&set, &half()).is_some_and(|found| !found.is_empty()), "nothing can be wrong");
        check_table(&set, &half());
        check_table(&set, &fraction(parts, 40));
    }

    #[test]
    fn a_cluster_leaves_the_play_that_narrowing_down_finds(draft in cluster(), factors in vec(0.0f64..0.3, 1..6)) {
        let set = draft_with_play(&draft, &factors);
        prop_assume!(listed(&set, &half()).is_some_and(|found| !found.is_empty()), "nothing can be wrong");
        check_play(&set, usize::MAX);
    }

    #[test]
    fn the_table_agrees_with_the_margin(draft in prop_oneof![cluster(), meshed_pair()], factors in vec(0.0f64..0.3, 1..6)) {
        let set = draft_with_play(&draft, &factors);
        prop_assume!(timing_with_fellows(&set).is_some_and(|timing| timing.margin.is_some()), "nothing can be wrong");
        check_against_margin(&set);
    }

    #[test]
    fn the_order_of_the_meshes_changes_nothing(draft in prop_oneof![cluster(), meshed_pair()]) {
        let set = Gearset::new(draft.clone()).unwrap();
        let found = listed(&set, &half());
        prop_assume!(found.is_some(), "nothing is listed");
        let mut turned_round = draft;
        turned_round.meshes.reverse();
        let reversed = Gearset::new(turned_round).unwrap();
        let again = listed(&reversed, &half()).unwrap();
        prop_assert_eq!(relabelled(&set, &found.unwrap()), relabelled(&reversed, &again));
    }

    #[test]
    fn a_spot_on_a_central_gear_passes_as_fast_as_that_gear_turns_against_the_carrier(draft in train()) {
        let set = Gearset::new(draft).unwrap();
        let told = check_tight_spots(&set);
        prop_assume!(told > 0, "no speed is determined");
    }
}

proptest! {
    #![proptest_config(telling_cases(30))]

    #[test]
    fn meshed_planets_leave_the_play_that_narrowing_down_finds(draft in meshed_pair(), factors in vec(0.0f64..0.3, 1..6)) {
        let set = draft_with_play(&draft, &factors);
        prop_assume!(listed(&set, &half()).is_some_and(|found| !found.is_empty()), "nothing can be wrong");
        check_play(&set, 2);
    }

    #[test]
    fn every_class_of_meshed_planets_is_listed_once(draft in meshed_pair()) {
        let set = Gearset::new(draft).unwrap();
        prop_assume!(listed(&set, &half()).is_some_and(|found| !found.is_empty()), "nothing can be wrong");
        check_table_of_pair(&set);
    }
}

/// How many rates were compared with the speeds of the central gear and the carrier.
#[track_caller]
fn check_tight_spots(set: &Gearset) -> usize {
    let motions = motions(set);
    let mut told = 0;
    for group in set.planet_groups() {
        for (motion, spots) in motions.iter().zip(tight_spots(set, group, &motions)) {
            let speed = |id: toothmark::gearset::MemberId| match motion.members.iter().find(|it| it.member == id) {
                None => Some(Fraction::zero()),
                Some(found) => found.speed.value().cloned(),
            };
            for rhythm in &spots.meshes {
                let Some(gear) = rhythm.central_gear else { continue };
                let against = speed(set.gear(gear).member()).zip(speed(group.carrier()));
                let (Some((central, carrier)), Some(passes)) = (against, &rhythm.passes_one_pin) else { continue };
                assert_eq!(*passes, (central - carrier).abs(), "{} in {}", set.gear(gear).name(), spots.state);
                let counts =
                    set.mesh(rhythm.mesh).gears().both().map(|&id| i64::from(set.gear(id).tooth_count().get()));
                let own = i64::from(set.gear(gear).tooth_count().get());
                let again = passes * fraction(own, counts[0].lcm(&counts[1]));
                assert_eq!(rhythm.same_teeth, Some(again), "{} in {}", set.gear(gear).name(), spots.state);
                told += 1;
            }
        }
    }
    told
}

#[test]
fn every_example_has_the_table_of_its_clusters() {
    let mut tables = 0;
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        if set.planet_groups()[0].planets().len() == 1 {
            check_table(&set, &half());
            tables += usize::from(listed(&set, &half()).is_some_and(|found| !found.is_empty()));
        }
        check_tight_spots(&set);
    }
    assert!(tables >= 14, "only {tables} tables were compared");
}

/// 27, 33 and 24 teeth: 6/57 of a turn would be 2 6/19, 3 9/19 ... worked out by hand at 2/57: gear 27 is
/// 54/57 on, 3/57 short of one tooth; 33 is 66/57 on, 9/57 beyond one; 24 is 48/57 on, 9/57 short of one.
#[test]
fn a_seating_worked_out_by_hand_has_its_teeth_and_errors() {
    let set = read_set(
        "three suns",
        r#"Gearset(title: "t", members: {"c": [], "a": [Sun("A", 27)], "b": [Sun("B", 21)], "d": [Sun("D", 30)]},
        planets: {"p": (carrier: "c", pins: Equal(3), gears: [Gear("p", 27), Gear("q", 33), Gear("r", 24)])},
        meshes: [("A", "p"), ("B", "q"), ("D", "r")])"#,
    );
    let first = &listed(&set, &half()).expect("three pins go together")[0];
    let meshes: Vec<(i64, String)> = first.meshes.iter().map(|mesh| (mesh.teeth, mesh.error.to_string())).collect();
    assert_eq!(first.turns[0].turns, fraction(2, 57), "the turn");
    assert_eq!(meshes, [(1, "-1/19".into()), (1, "3/19".into()), (1, "-3/19".into())], "teeth and errors");
}

/// Fifty gears of 9900 teeth and more: nearly everything nearly fits.
#[test]
fn more_seatings_than_can_be_looked_at_are_not_listed_but_the_nearest_are() {
    let each = |text: &dyn Fn(i64) -> String| (0..50).map(text).collect::<Vec<_>>().join(", ");
    let text = format!(
        r#"Gearset(title: "t", members: {{"c": [], {}}}, meshes: [{}],
        planets: {{"p": (carrier: "c", pins: Turns([0, "1/2"]), gears: [{}])}})"#,
        each(&|at| format!("\"m{at}\": [Sun(\"S{at}\", {})]", 9_973 - at)),
        each(&|at| format!("(\"S{at}\", \"p{at}\")")),
        each(&|at| format!("Gear(\"p{at}\", {})", 9_973 - at)),
    );
    let set = read_set("fifty gears", &text);
    let found = wrong_seatings(&set, &SeatingQuestion::default()).unwrap().groups.remove(0);
    assert_eq!((found.answer, found.wrong_seatings.len()), (SeatingsAnswer::TooMany, 0));
    let nearest = listed(&set, &fraction(1, 300)).expect("few are so near");
    let errors: Vec<String> = nearest.iter().map(|seating| seating.largest_error.to_string()).collect();
    assert_eq!(errors, ["49/19897"], "as timing says");
}

/// No built-in gearset has planets with internal teeth on several pins.
#[test]
fn internal_teeth_are_counted_in_the_sense_in_which_their_planet_turns() {
    let text = toothmark::description::example("hoop-reducer").expect("built in");
    let text = text
        .replace("Equal(1)", "Turns([0, \"1/2\"])")
        .replace("Internal(\"b\", 32)", "Gear(\"b\", 31)")
        .replace("title:", "pitch: Module(2), backlash: Millimetres(0.3), title:");
    let set = read_set("two hoops", &text);
    let counts = [34, 31];
    let found = listed(&set, &half()).expect("two hoops go together at half a turn");
    let table: Vec<(Small, Small)> =
        found.iter().map(|seating| (small(&seating.turns[0].turns), small(&seating.largest_error))).collect();
    let mut expected = slow_minima(&counts);
    expected.retain(|&(u, _)| u < Small::new(1, 2));
    expected.sort_by_key(|&(u, value)| (value, u));
    assert!(!expected.is_empty(), "34 and 31 do not fit everywhere");
    assert_eq!(table, expected, "the whole table of two hoops");
    for mesh in found.iter().flat_map(|seating| seating.meshes.iter().zip(counts).map(move |it| (seating, it))) {
        let (seating, (mesh, count)) = mesh;
        assert_eq!(&seating.turns[0].turns * fraction(count, 1), &mesh.error + fraction(mesh.teeth, 1), "{mesh:?}");
    }
    check_play(&set, usize::MAX);
}

fn millimetres(numerator: i64, denominator: i64) -> Length {
    Length::Millimetres(fraction(numerator, denominator))
}

/// A reading on the trap gear, whose gear A has 61 teeth.
#[track_caller]
fn reads(pitch: Pitch, reading: Length, radius: Length, expected: &Length) {
    let mut draft = read_example("trap-gear").draft().clone();
    draft.pitch = Some(pitch.into());
    let set = Gearset::new(draft).expect("sound");
    let gear = set.gear_named("A").expect("it is there");
    let reading = DialReading { gear, reading, radius };
    let (mesh, backlash) = backlash_at_pitch_circle(&set, &reading).expect("one mesh");
    assert_eq!(&backlash, expected, "{reading:?}");
    let with = with_dial_readings(&set, &[reading]).expect("sound");
    let given: Vec<_> = with.mesh_ids().map(|id| with.mesh(id).backlash().cloned()).collect();
    let other = set.mesh(set.mesh_ids().find(|&id| id != mesh).expect("two")).backlash().cloned();
    assert_eq!(given, [Some(expected.clone()), other], "only the mesh that was measured changes");
}

#[test]
fn a_dial_reading_is_scaled_to_the_pitch_circle() {
    // At the pitch radius, 61 mm, it is the backlash itself; at twice the radius it shows twice as much.
    reads(Pitch::Module(fraction(2, 1)), millimetres(1, 10), millimetres(61, 1), &millimetres(1, 10));
    reads(Pitch::Module(fraction(2, 1)), millimetres(1, 5), millimetres(122, 1), &millimetres(1, 10));
    reads(Pitch::Module(fraction(2, 1)), millimetres(0, 1), millimetres(50, 1), &millimetres(0, 1));
    // 10 teeth an inch of diameter: the pitch radius is 3.05 in; 0.006 in at 6.1 in are 0.003 in, 0.0762 mm.
    let inches = |numerator, denominator| Length::Inches(fraction(numerator, denominator));
    reads(Pitch::Diametral(fraction(10, 1)), inches(6, 1000), inches(61, 10), &millimetres(762, 10_000));
}

#[test]
fn a_dial_reading_that_tells_nothing_is_refused() {
    let set = read_example("millrace-winch");
    let refused = |gear: &str, reading: Length, radius: Length| {
        let gear = set.gear_named(gear).expect("it is there");
        with_dial_readings(&set, &[DialReading { gear, reading, radius }]).expect_err("it tells nothing")
    };
    let planet = set.gears()[2].name().to_owned();
    let problem = refused(&planet, millimetres(1, 10), millimetres(20, 1));
    assert_eq!(problem, DialReadingProblem::NotOneMesh { gear: planet, meshes: 2 }, "it meshes with sun and ring");
    let sun = set.gears()[0].name().to_owned();
    assert_eq!(refused(&sun, millimetres(1, 10), millimetres(0, 1)), DialReadingProblem::NoRadius);
    assert_eq!(refused(&sun, millimetres(-1, 10), millimetres(9, 1)), DialReadingProblem::NegativeReading);
    let absurd = refused(&sun, millimetres(100_000, 1), millimetres(1, 100_000));
    assert!(matches!(absurd, DialReadingProblem::Absurd { .. } | DialReadingProblem::NoPitch { .. }), "{absurd:?}");
}
