//! Is a set that was put together right or wrong recognised by its marks?
//!
//! The twin seats every cluster by trying every tooth: right ones where all rows fit, a wrong one
//! at the best turn of some choice of teeth, found among all turns at which two gears tie. Its marks
//! are then read as a person would, on some gear, from some side, to some fraction, with the whole
//! set rolled anyhow; the analysis has to find what was done. What marks tell does not depend on a
//! common turn, on equivalent seatings or on the side.

use std::collections::BTreeMap;

use num_integer::Integer;
use num_traits::{Signed, Zero};
use proptest::prelude::*;
use toothmark::description;
use toothmark::exact::{Fraction, fraction, nearest_zero};
use toothmark::gearset::{DraftFound, DraftMark, DraftPins, Gearset, Side};
use toothmark::timing::{ByHand, Explanation, FoundTiming, NearSeating, WayOfMarking, found, timing};

use crate::support::process::{command, run, run_with};
use crate::support::random::telling_cases;
use crate::support::sets::read_example;
use crate::support::trains::{Tape, cluster, tape};
use crate::timing::timing_twin::{Row, Small, off, rows, small};

/// A cluster with two pins or more that go together, and what the twin knows of it.
struct Bench {
    set: Gearset,
    rows: Vec<Row>,
    places: Vec<Small>,
}

impl Bench {
    /// `None` where no two equal pins or more go together.
    fn new(mut draft: toothmark::gearset::Draft, tape: &mut Tape) -> Option<Self> {
        let set = Gearset::new(draft.clone()).expect("sound by construction");
        let counts = timing(&set).groups[0].equal_pin_counts.clone();
        if counts.is_empty() {
            return None;
        }
        draft.planets[0].pins = DraftPins::Equal(tape.pick(&counts).into()).into();
        let set = Gearset::new(draft).expect("other pins");
        let group = &set.planet_groups()[0];
        Some(Self { rows: rows(&set, group), places: group.spacings().iter().map(small).collect(), set })
    }

    fn counts(&self) -> Vec<i64> {
        self.rows.iter().map(|row| row.planets[0].1.abs()).collect()
    }

    fn common(&self) -> i64 {
        self.counts().into_iter().fold(0, |common, count| common.gcd(&count))
    }

    /// Every turn of a cluster against its radius that fits at a place, by trying every tooth.
    fn right_turns(&self, x: Small) -> Vec<Small> {
        let count = self.rows[0].planets[0].1;
        let fits = |t: &Small| self.rows.iter().all(|row| off(t * row.planets[0].1 - x * row.central).is_zero());
        (0..count.abs()).map(|tooth| (x * self.rows[0].central + tooth) / count).filter(fits).collect()
    }

    /// The turns from right of all wrong seatings: for each choice of teeth the turn with the
    /// least of largest errors, of all turns at which two gears tie.
    fn wrong_turns(&self) -> Vec<Small> {
        let counts = self.counts();
        let mut best: BTreeMap<Vec<i64>, (Small, Small)> = BTreeMap::new();
        for sum in counts.iter().flat_map(|a| counts.iter().map(move |b| a + b)) {
            for turn in (0..sum).map(|step| Small::new(step, sum)) {
                let moved: Vec<i64> = counts.iter().map(|&count| (turn * count).round().to_integer()).collect();
                let largest = counts.iter().map(|&count| off(turn * count)).max().expect("a gear");
                let entry = best.entry(moved).or_insert((largest, turn));
                *entry = (*entry).min((largest, turn));
            }
        }
        let is_wrong = |largest: &Small| largest.is_positive() && *largest < Small::new(1, 2);
        best.into_values().filter(|(largest, _)| is_wrong(largest)).map(|(_, turn)| turn).collect()
    }

    fn with_marks(&self, seen: Side, marks: Vec<DraftMark>) -> Gearset {
        let mut draft = self.set.draft().clone();
        let planet = draft.planets[0].name.clone();
        draft.found = Some(DraftFound { seen, planet, marks, beside: vec![], within: None });
        Gearset::new(draft).expect("readings of pins that there are")
    }
}

/// A set put together on the bench: where its marks stand, and how far each cluster is from right.
struct Assembled {
    marks: Vec<Small>,
    wrong: Vec<Small>,
}

fn assemble(bench: &Bench, convention: WayOfMarking, tape: &mut Tape) -> Assembled {
    let choices = bench.wrong_turns();
    let mut wrong = vec![Small::zero(); bench.places.len()];
    if !choices.is_empty() && tape.below(4) > 0 {
        let pin = tape.below(wrong.len());
        wrong[pin] = tape.pick(&choices);
    }
    let rolled = Small::new(tape.between(-50, 50), 97);
    let expected = |tape: &mut Tape, x: Small| match convention {
        WayOfMarking::Alike => tape.pick(&bench.right_turns(x)),
        WayOfMarking::RadialInPlace => Small::zero(),
        WayOfMarking::ParallelInPlace => -x,
        WayOfMarking::EachPin => unreachable!("which tooth that is depends on the gear that is read"),
    };
    let marks: Vec<Small> =
        bench.places.iter().zip(&wrong).map(|(&x, wrong)| expected(tape, x) + wrong + rolled).collect();
    // One mark is brought exactly to its line.
    let line = tape.pick(&marks);
    Assembled { marks: marks.into_iter().map(|mark| mark - line).collect(), wrong }
}

fn large(value: Small) -> Fraction {
    fraction(*value.numer(), *value.denom())
}

/// Reads marks as a person would: on a gear to some part of a tooth, or in half degrees.
fn read(bench: &Bench, assembled: &Assembled, seen: Side, tape: &mut Tape) -> Vec<DraftMark> {
    let planet = &bench.set.draft().planets[0];
    let gears: Vec<(String, i64)> =
        planet.gears.iter().map(|gear| (gear.name.to_string(), *gear.tooth_count)).collect();
    let (gear, count) = tape.pick(&gears);
    let steps = tape.pick(&[1, 1, 2, 3, 9700 * count]);
    let in_degrees = tape.once_in(4);
    let mark = |turn: &Small| {
        let turn = turn - turn.round();
        let turn = if seen == Side::Output { -turn } else { turn };
        if in_degrees {
            DraftMark::degrees(large((turn * 720).round() / 2))
        } else {
            DraftMark::teeth(gear.clone(), large((turn * count * steps).round() / steps))
        }
    };
    assembled.marks.iter().map(mark).collect()
}

/// The parts of a turn by which two values differ, modulo 1/g.
fn apart(bench: &Bench, value: &Fraction) -> Fraction {
    let common = fraction(bench.common(), 1);
    nearest_zero(&(value * &common)).abs() / common
}

/// What was done is among what the explanation says.
#[track_caller]
fn tells_what_was_done(bench: &Bench, found: &FoundTiming, explanation: &Explanation, wrong: &[Small]) {
    let resolution = |pin: usize| found.readings[pin - 1].as_ref().expect("all are read").resolution.clone();
    for pin in &explanation.pins {
        let mut others = explanation.pins.iter().filter(|it| it.in_time && it.pin != pin.pin);
        let is_alone = others.clone().next().is_none();
        if is_alone || !others.clone().all(|other| wrong[other.pin - 1].is_zero()) {
            continue;
        }
        let done = large(wrong[pin.pin - 1]);
        let planet = &pin.planets[0];
        let off = apart(bench, &(&planet.deviation - &done));
        assert!(off <= planet.resolution, "pin {} of {explanation:?}, {wrong:?}", pin.pin);
        if !done.is_zero() && (pin.pin != explanation.reference || others.nth(1).is_some()) {
            let is_it = |turn: &Fraction| apart(bench, &(turn - &done)).is_zero();
            assert!(pin.wrong_seatings.iter().any(|seating| is_it(&seating.turns[0])), "{done} is not in {pin:?}");
        }
    }
    let out: Vec<usize> = explanation.out().map(|(pin, _)| pin.pin).collect();
    let done: Vec<usize> = (1..=wrong.len()).filter(|pin| !wrong[pin - 1].is_zero()).collect();
    assert!(out.len() <= done.len(), "no more are out than were put in wrong: {out:?} and {done:?}");
    let all: Fraction = (1..=wrong.len()).map(resolution).sum();
    let far = done.iter().all(|&pin| apart(bench, &large(wrong[pin - 1])) > &all * fraction(2, 1));
    if far && wrong.len() > 2 {
        assert_eq!(out, done, "what is far from right is found, and nothing else");
    }
}

const CONVENTIONS: [WayOfMarking; 3] =
    [WayOfMarking::Alike, WayOfMarking::RadialInPlace, WayOfMarking::ParallelInPlace];

/// The teeth of the central gear of a row from marked space to marked space, pin to pin.
fn along(bench: &Bench, row: &Row, marks: &[Small]) -> Option<Vec<i64>> {
    let place = |pin: usize| bench.places[pin] * row.central - (marks[pin] - marks[pin].round()) * row.planets[0].1;
    let space = |pin: usize| (place(pin) - place(0)).round().to_integer() * row.central.signum();
    let teeth = row.central.abs();
    let pins = marks.len();
    let stretch = |pin: usize| if pin + 1 < pins { space(pin + 1) - space(pin) } else { teeth - space(pin) };
    let stretches: Vec<i64> = (0..pins).map(stretch).collect();
    stretches.iter().all(|stretch| (0..=teeth).contains(stretch)).then_some(stretches)
}

proptest! {
    #![proptest_config(telling_cases(200))]

    #[test]
    fn what_was_put_together_right_or_wrong_is_found_from_its_marks(draft in cluster(), mut tape in tape(30)) {
        let bench = Bench::new(draft, &mut tape);
        prop_assume!(bench.is_some(), "no equal pins");
        let bench = bench.unwrap();
        let which = tape.below(3);
        let assembled = assemble(&bench, CONVENTIONS[which], &mut tape);
        let seen = tape.pick(&[Side::Input, Side::Output]);
        let marks = read(&bench, &assembled, seen, &mut tape);
        let found = found(&bench.with_marks(seen, marks)).unwrap();
        tells_what_was_done(&bench, &found, &found.explanations[which], &assembled.wrong);
        if assembled.wrong.iter().all(Zero::is_zero) {
            prop_assert!(found.explanations[which].in_time, "{:?}", found);
        }
    }

    #[test]
    fn teeth_counted_from_mark_to_mark_along_a_central_gear_tell_the_same(draft in cluster(), mut tape in tape(30)) {
        let bench = Bench::new(draft, &mut tape);
        prop_assume!(bench.is_some(), "no equal pins");
        let bench = bench.unwrap();
        let assembled = assemble(&bench, WayOfMarking::Alike, &mut tape);
        let row = tape.below(bench.rows.len());
        let stretches = along(&bench, &bench.rows[row], &assembled.marks);
        prop_assume!(stretches.is_some(), "marks that pass one another");
        let mesh = bench.set.mesh(bench.set.planet_groups()[0].meshes()[row]);
        let planet = bench.set.planet_groups()[0].planets()[0];
        let central = mesh.gears().both().into_iter().copied().find(|&gear| bench.set.gear(gear).member() != planet);
        let name = bench.set.gear(central.unwrap()).name().to_owned();
        let mut marks: Vec<DraftMark> =
            stretches.unwrap().into_iter().map(|teeth| DraftMark::along(name.clone(), teeth)).collect();
        let all = found(&bench.with_marks(Side::Input, marks.clone())).unwrap();
        tells_what_was_done(&bench, &all, &all.explanations[0], &assembled.wrong);
        // One stretch that was not counted follows from the others.
        let left_out = tape.below(marks.len());
        if marks.len() > 2 {
            marks[left_out] = DraftMark::Unread;
            prop_assert_eq!(found(&bench.with_marks(Side::Input, marks)).unwrap(), all);
        }
    }

    #[test]
    fn a_common_turn_an_equivalent_seating_and_the_other_side_change_nothing(draft in cluster(), mut tape in tape(30)) {
        let bench = Bench::new(draft, &mut tape);
        prop_assume!(bench.is_some(), "no equal pins");
        let bench = bench.unwrap();
        // Quarter degrees that are never 0: a reading of 0 is taken as exact.
        let degrees: Vec<i64> = bench.places.iter().map(|_| 4 * tape.between(-80, 80) + 1).collect();
        let marks = |shift: &dyn Fn(usize) -> Fraction, sign: i64| -> Vec<DraftMark> {
            let mark = |(pin, &quarters): (usize, &i64)| {
                let turn = fraction(quarters, 4 * 360) + shift(pin);
                DraftMark::degrees(nearest_zero(&turn) * fraction(sign * 360, 1))
            };
            degrees.iter().enumerate().map(mark).collect()
        };
        let judge = |seen, marks| {
            let judged = found(&bench.with_marks(seen, marks)).unwrap();
            let pins = |it: &Explanation| it.pins.iter().map(|pin| {
                (pin.pin, pin.in_time, apart(&bench, &pin.planets[0].deviation), pin.wrong_seatings.len())
            }).collect::<Vec<_>>();
            judged.explanations.iter().map(|it| (it.reference, pins(it))).collect::<Vec<_>>()
        };
        let plain = judge(Side::Input, marks(&|_| fraction(0, 1), 1));
        let common = fraction(2 * tape.between(1, 170), 720);
        prop_assert_eq!(&judge(Side::Input, marks(&|_| common.clone(), 1)), &plain);
        let seatings: Vec<i64> = degrees.iter().map(|_| tape.between(0, bench.common() - 1)).collect();
        prop_assert_eq!(&judge(Side::Input, marks(&|pin| fraction(seatings[pin], bench.common()), 1)), &plain);
        prop_assert_eq!(&judge(Side::Output, marks(&|_| fraction(0, 1), -1)), &plain);
    }

    #[test]
    fn marks_as_found_written_out_read_in_again(draft in cluster(), mut tape in tape(30)) {
        let bench = Bench::new(draft, &mut tape);
        prop_assume!(bench.is_some(), "no equal pins");
        let bench = bench.unwrap();
        let assembled = assemble(&bench, WayOfMarking::Alike, &mut tape);
        let seen = tape.pick(&[Side::Input, Side::Output]);
        let mut marks = read(&bench, &assembled, seen, &mut tape);
        if marks.len() > 2 && tape.below(2) == 0 {
            marks[1] = DraftMark::Unread;
        }
        let mut draft = bench.with_marks(seen, marks).draft().clone();
        draft.found.as_mut().unwrap().within = tape.once_in(2).then(|| fraction(tape.between(1, 9), 7).into());
        let set = Gearset::new(draft.clone()).unwrap();
        let again = description::read(&description::write(&draft));
        prop_assert_eq!(again.as_ref().map(Gearset::found), Ok(set.found()));
        prop_assert_eq!(again, Ok(set));
    }
}

fn judged(name: &str, seen: Side, marks: Vec<DraftMark>) -> FoundTiming {
    let mut draft = read_example(name).draft().clone();
    draft.found = Some(DraftFound { seen, planet: draft.planets[0].name.clone(), marks, beside: vec![], within: None });
    found(&Gearset::new(draft).expect("sound readings")).expect("a cluster")
}

fn teeth(gear: &str, marks: &[i64]) -> Vec<DraftMark> {
    marks.iter().map(|&teeth| DraftMark::teeth(gear, fraction(teeth, 1))).collect()
}

/// The whole teeth by which a seating is off at each mesh.
fn moved(seating: &NearSeating) -> Vec<i64> {
    seating.meshes.iter().map(|mesh| mesh.moved).collect()
}

/// The clusters that are out, if the same tooth of every cluster is marked.
fn out(found: &FoundTiming) -> Vec<usize> {
    found.explanations[0].out().map(|(pin, _)| pin.pin).collect()
}

#[test]
fn the_tooth_list_of_the_railcar_is_in_time_and_a_tooth_off_is_not() {
    let right = judged("inspection-railcar", Side::Input, teeth("d", &[0, -10, 10]));
    assert!(right.in_time && out(&right).is_empty());
    assert!(judged("inspection-railcar", Side::Output, teeth("d", &[0, 10, -10])).in_time);
    let wrong = judged("inspection-railcar", Side::Input, teeth("d", &[0, -10, 9]));
    assert_eq!(out(&wrong), [3]);
    let pin = &wrong.explanations[0].pins[2];
    let planet = &pin.planets[0];
    assert_eq!((&planet.teeth, &planet.target), (&fraction(-4, 3), &fraction(1, 3)));
    assert_eq!((pin.teeth.as_ref(), pin.target.as_ref()), (Some(&planet.teeth), Some(&planet.target)));
    assert_eq!(moved(&pin.wrong_seatings[0]), [-1, -1, -1], "a tooth over at every gear");
    assert_eq!(pin.wrong_seatings[0].largest_error, fraction(11, 63));
}

#[test]
fn the_pin_that_leaves_fewest_out_is_the_reference_and_need_not_be_the_first() {
    let found = judged("inspection-railcar", Side::Input, teeth("d", &[3, -10, 10]));
    assert_eq!((out(&found), found.explanations[0].reference), (vec![1], 2));
    let tied = judged("slipway-screw", Side::Input, teeth("a", &[0, 3, 6]));
    assert_eq!(tied.explanations[0].reference, 1, "of several the first");
}

#[test]
fn marks_to_the_centre_on_the_railcar_can_only_have_been_made_in_place() {
    let found = judged("inspection-railcar", Side::Input, teeth("d", &[0, 0, 0]));
    let in_time: Vec<bool> = found.explanations.iter().map(|it| it.in_time).collect();
    assert_eq!(in_time, [false, true, false, true], "teeth nearest the line are a third of a tooth beside it at most");
    assert!(!found.explanations[0].could_be, "with the same tooth marked the gears could not be in mesh");
    assert!(!found.in_time, "the same tooth is what the answer is about");
}

#[test]
fn of_three_equivalent_seatings_each_is_in_time() {
    for second in [0, 10, 20, -10] {
        assert!(judged("hill-tramway-car", Side::Input, teeth("d", &[0, second, 10])).in_time, "{second}");
    }
    assert!(!judged("hill-tramway-car", Side::Input, teeth("d", &[0, 5, 10])).in_time);
}

#[test]
fn a_wrong_seating_within_the_backlash_is_told_first() {
    let found = judged("trap-gear", Side::Input, teeth("a", &[0, -20, 21]));
    let (pin, seating) = found.explanations[0].unnoticed().next().expect("one goes in unnoticed");
    assert_eq!((pin.pin, moved(seating), seating.by_hand), (3, vec![1, 1], Some(ByHand::Unnoticed)));
    let text = run(&[
        "found",
        "../gearsets/trap-gear.ron",
        "--seen=input",
        "--gear=a",
        "--pin=1=0",
        "--pin=2=-20",
        "--pin=3=21",
    ]);
    let warning = text.stdout.find("Beware: a WRONG seating fits").expect("a warning");
    assert!(warning < text.stdout.find("mark belongs at").expect("a table"), "{}", text.stdout);
    assert_eq!(text.code, 1);
}

/// Once one of two stretches was refused as too few readings, though it gives the other.
#[test]
fn of_two_stretches_along_a_central_gear_one_is_enough() {
    let mut draft = read_example("millrace-winch").draft().clone();
    draft.planets[0].pins = DraftPins::Equal(2).into();
    let (sun, planet) = (draft.members[0].gears[0].name.clone(), draft.planets[0].name.clone());
    assert_eq!(*draft.members[0].gears[0].tooth_count, 24);
    let judged = |teeth: i64| {
        let marks = vec![DraftMark::along(sun.clone(), teeth), DraftMark::Unread];
        let found_marks = DraftFound { seen: Side::Input, planet: planet.clone(), marks, beside: vec![], within: None };
        let set = Gearset::new(toothmark::gearset::Draft { found: Some(found_marks), ..draft.clone() });
        found(&set.expect("enough is read")).expect("a cluster")
    };
    assert!(judged(12).in_time && judged(11).in_time, "eighteen seatings are alike, a tooth apart");
    assert_eq!(judged(12).readings[1].as_ref().map(|reading| reading.turn.clone()), Some(fraction(0, 1)));
    assert_eq!(judged(11).readings[1].as_ref().map(|reading| reading.turn.clone()), Some(fraction(1, 18)));
}

/// Once the teeth of a gear with as many as there are seatings were taken to tell one seating
/// from another, though half a tooth either way is all that there is between two.
#[test]
fn teeth_as_many_as_there_are_seatings_tell_nothing() {
    let set = description::read(
        "Gearset(title: \"t\", members: {\"c\": [], \"s\": [Sun(\"S\", 18)], \"u\": [Sun(\"U\", 80)]},
         planets: {\"k\": (carrier: \"c\", pins: Equal(4), gears: [Gear(\"p\", 6), Gear(\"q\", 36)])},
         meshes: [(\"S\", \"p\"), (\"U\", \"q\")],
         found: (seen: InputSide, planet: \"k\", marks: [Teeth(\"p\", 1), Teeth(\"p\", 2), Teeth(\"p\", -1), Teeth(\"p\", 3)]))",
    );
    let found = found(&set.expect("a sound description")).expect("a cluster");
    let one = &found.explanations[0];
    assert!(one.in_time);
    for pin in &one.pins {
        let moved: Vec<Vec<i64>> = pin.wrong_seatings.iter().map(moved).collect();
        assert_eq!(
            (moved.len(), &pin.planets[0].resolution),
            (6, &fraction(1, 12)),
            "one to three teeth of q either way: {moved:?}"
        );
    }
}

#[test]
fn where_nothing_goes_together_no_marks_are_right() {
    let found = judged("cannot-be-trio", Side::Input, teeth("d", &[0, 0, 0]));
    assert!(found.explanations.is_empty() && !found.in_time);
}

/// The answer to readings on the railcar, kept as a snapshot with its exit code.
#[track_caller]
fn shown(name: &str, arguments: &[&str]) {
    let answer = run(&[&["found", "--full"], arguments].concat());
    let whole = format!("exit code {}\n{}{}", answer.code, answer.stdout, answer.stderr);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("found-{name}"), whole);
    });
}

#[test]
fn what_marks_mean_is_said_in_words() {
    shown("in-time", &["--seen=input", "--gear=d", "--pin=1=0", "--pin=2=-10", "--pin=3=10"]);
    shown("one-out", &["--seen=output", "--gear=d", "--pin=1=0", "--pin=2=10", "--pin=3=-9"]);
    shown("made-in-place", &["--seen=input", "--gear=d", "--pin=1=0", "--pin=2=0", "--pin=3=0"]);
    shown("along", &["--seen=input", "--along=D", "--pin=1=20", "--pin=2=3"]);
    shown("markdown", &["--seen=input", "--pin=1=0deg", "--pin=2=-121deg", "--within=1", "--format=markdown"]);
    let trap = ["../gearsets/trap-gear.ron", "--seen=input", "--gear=a", "--pin=1=0", "--pin=2=-20", "--pin=3=21"];
    shown("within-backlash", &trap);
    shown("within-backlash-csv", &[&trap[..], &["--format=csv"]].concat());
    shown("within-backlash-json", &[&trap[..], &["--format=json"]].concat());
    shown("never-together", &["../gearsets/cannot-be-trio.ron", "--seen=input", "--gear=d", "--pin=1=0", "--pin=2=0"]);
}

#[test]
fn wrong_readings_are_named_each_with_what_to_write() {
    shown("bad-nothing-found", &[]);
    shown(
        "bad-readings",
        &["--seen=input", "--gear=d", "--pin=1=0", "--pin=2=ten", "--pin=1=3", "--pin=0=1", "--pin=3"],
    );
    shown(
        "bad-pins",
        &["--seen=input", "--gear=d", "--pin=1=0", "--pin=2=40", "--pin=4=1", "--pin=7=1", "--within=50"],
    );
    shown("bad-gear", &["--seen=input", "--gear=D", "--pin=1=0", "--pin=2=1"]);
    shown("bad-unknown-gear", &["--seen=input", "--gear=e", "--pin=1=0", "--pin=2=1"]);
    shown("bad-no-gear", &["--seen=input", "--pin=1=0", "--pin=2=1"]);
    shown("bad-round", &["--seen=input", "--along=D", "--pin=1=9", "--pin=2=9", "--pin=3=9"]);
    shown("bad-part-of-a-tooth", &["--seen=input", "--along=D", "--pin=1=9", "--pin=2=8 1/2"]);
    shown("bad-planet", &["--seen=input", "--planet=clutser", "--gear=d", "--pin=1=0"]);
    shown("bad-one-reading", &["--seen=input", "--gear=d", "--pin=1=0"]);
    shown("bad-along-unknown", &["--seen=input", "--along=Q", "--pin=1=9", "--pin=2=9"]);
    shown("bad-along-planet", &["--seen=input", "--along=d", "--pin=1=9", "--pin=2=9"]);
    shown("bad-single-pin", &["../gearsets/hoop-reducer.ron", "--seen=input", "--pin=1=0"]);
}

/// Once "10 clockwise", the very words that the answers use, was refused.
#[test]
fn readings_are_taken_in_the_words_that_answers_use() {
    let base = ["inspection-railcar", "--seen=input", "--gear=d", "--pin=1=0"];
    let asked = |second: &str, third: &str| run(&[&["found"], &base[..], &[second, third]].concat());
    // The list of d 31 on three pins is 0, -10 1/3, 10 1/3: 10 to either side is in time as counted in whole teeth.
    let plain = asked("--pin=2=-10", "--pin=3=10");
    assert_eq!(plain.code, 0, "{}", plain.stderr);
    for (second, third) in [
        ("--pin=2=10 clockwise", "--pin=3=10 counter-clockwise"),
        ("--pin=2=10cw", "--pin=3=10 CCW"),
        ("--pin=2=\u{2212}10", "--pin=3=10 teeth ccw"),
        ("--pin=2=\u{2013}10", "--pin=3=+10"),
        ("--pin=pin 2=10 Clockwise", "--pin=3 = 10 anticlockwise"),
    ] {
        assert_eq!(asked(second, third), plain, "{second} {third}");
    }
    let thirds = asked("--pin=2=-10 1/3", "--pin=3=10 1/3");
    assert_eq!(asked("--pin=2=10 1/3 cw", "--pin=3=10⅓"), thirds);
    let degrees = asked("--pin=2=-120deg", "--pin=3=120deg");
    assert_eq!(degrees.code, 0, "{}", degrees.stdout);
    assert_eq!(asked("--pin=2=\u{2212}120°", "--pin=3=120 degrees ccw"), degrees);
    assert_eq!(asked("--pin=2=120 deg cw", "--pin=3=120,0°"), degrees);
}

#[test]
fn a_reading_with_two_meanings_is_refused_with_both() {
    let asked = |reading: &str| {
        let answer = run(&["found", "inspection-railcar", "--seen=input", "--gear=d", "--pin=1=0", reading]);
        assert_eq!(answer.code, 2, "{reading}: {}", answer.stdout);
        answer.stderr
    };
    for (reading, expected) in [
        ("--pin=2=-10 cw", "has a sign and a sense"),
        ("--pin=2=1,500", "a decimal point is wanted: 1.500? or without the comma: 1500"),
        ("--pin=2:-10", "write 2=-10"),
        ("--pin=2 10 cw", "write 2=\"10 cw\""),
        ("--pin=2=10 left", "is not a reading"),
    ] {
        assert!(asked(reading).contains(expected), "{reading}: {}", asked(reading));
    }
    // Along a central gear teeth are counted from pin to pin, which is neither sense.
    let along = run(&["found", "inspection-railcar", "--seen=input", "--along=D", "--pin=1=9", "--pin=2=9 cw"]);
    assert!(along.stderr.contains("is no whole number of teeth along the central gear"), "{}", along.stderr);
}

/// Once a set without planets was asked which of its planets was meant, with none to choose from.
#[test]
fn readings_of_a_set_without_planets_are_refused_as_such() {
    let text = "Gearset(title: \"t\", members: {\"a\": [], \"b\": []}, controls: {\"clutch\": Clutch(\"a\", \"b\")})";
    let answer = run_with(command(&["found", "-", "--seen=input", "--pin=1=0", "--pin=2=0"]), text.as_bytes());
    assert_eq!(answer.code, 2);
    assert!(answer.stderr.contains("no planets are described"), "{}", answer.stderr);
}

#[test]
fn readings_in_the_description_are_answered_and_arguments_take_their_place() {
    let mut draft = read_example("inspection-railcar").draft().clone();
    let marks = teeth("d", &[0, -10, 9]);
    draft.found = Some(DraftFound { seen: Side::Input, planet: "cluster".into(), marks, beside: vec![], within: None });
    let text = description::write(&draft);
    let asked = |arguments: &[&str]| run_with(command(&[&["found", "-"], arguments].concat()), text.as_bytes());
    assert_eq!(asked(&[]).code, 1);
    let argued = asked(&["--seen=input", "--gear=d", "--pin=1=0", "--pin=2=-10", "--pin=3=10"]);
    assert_eq!((argued.code, argued.stderr.as_str()), (0, ""), "{}", argued.stdout);
    for command_of in ["timing", "ratios", "check"] {
        let other = run_with(command(&[command_of, "-"]), text.as_bytes());
        assert_eq!((other.code, other.stderr.as_str()), (0, ""), "{command_of} goes on as before");
    }
}

/// Once a set with radial marks and one cluster a whole tooth out was answered with half a
/// tooth on the wrong pin: readings of whole teeth one apart touch half-way, and that was
/// taken for agreement, as good as that of two pins that read alike.
#[test]
fn of_pins_that_read_alike_but_for_one_it_is_the_one_that_is_out() {
    for wrong in 1..=3 {
        let marks: Vec<i64> = (1..=3).map(|pin| i64::from(pin == wrong)).collect();
        assert_eq!(out(&judged("hill-tramway-car", Side::Input, teeth("d", &marks))), [wrong], "the one that differs");
    }
}
