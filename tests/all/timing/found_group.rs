//! Is a planet that meshes with another and was put in wrong recognised by its marks?
//!
//! The twin tries every tooth of both planets: all right turns of a pin, and from them, pin after
//! pin, every way in which readings could share a turn. A set is put together right, with one planet
//! some teeth over, or in a wrong seating, and read as a person would; the analysis has to find what
//! was done. What marks tell does not depend on common turns, on equivalent seatings, on the side
//! or on the order of the planets.

use std::cmp::Reverse;

use num_traits::{Signed, ToPrimitive, Zero};
use proptest::prelude::*;
use toothmark::description;
use toothmark::exact::{Fraction, fraction, nearest_zero};
use toothmark::gearset::{Draft, DraftFound, DraftMark, DraftMarks, DraftPins, Gearset, Side};
use toothmark::timing::{
    ByHand, Explanation, FoundTiming, NoFoundAnswer, SeatingQuestion, WayOfMarking, found, timing, wrong_seatings,
};

use crate::support::process::{command, run, run_with};
use crate::support::random::telling_cases;
use crate::support::sets::read_example;
use crate::support::trains::{Tape, meshed_pair, tape};
use crate::timing::timing_twin::{Row, Small, rows, seatings, small};

/// A long and a short pinion with two pins or more that go together, and what the twin knows of them.
struct Bench {
    set: Gearset,
    rows: Vec<Row>,
    places: Vec<Small>,
    /// The turns of both planets, against the radius of the first pin, that look the same.
    alike: Vec<Vec<Small>>,
}

impl Bench {
    /// `None` where no two or three pins go together, or there are very many seatings.
    fn new(mut draft: Draft, tape: &mut Tape, most_seatings: i64) -> Option<Self> {
        let set = Gearset::new(draft.clone()).ok()?;
        let answer = &timing(&set).groups[0];
        let few = answer.planets.len() == 2 && answer.equivalent_seatings.clone()?.to_i64()? <= most_seatings;
        let counts: Vec<u32> = answer.equal_pin_counts.iter().copied().filter(|&count| count <= 4).collect();
        if counts.is_empty() || !few {
            return None;
        }
        let pins = tape.pick(&counts);
        draft.planets.iter_mut().for_each(|planet| planet.pins = DraftPins::Equal(pins.into()).into());
        let set = Gearset::new(draft).expect("other pins");
        let group = &set.planet_groups()[0];
        let rows = rows(&set, group);
        let alike = seatings(&rows, 2, Small::zero());
        Some(Self { rows, alike, places: group.spacings().iter().map(small).collect(), set })
    }

    /// Every pair of turns against the pin's own radius that fits at a place, by trying every tooth.
    fn right_turns(&self, x: Small) -> Vec<Vec<Small>> {
        seatings(&self.rows, 2, x).into_iter().map(|turns| turns.into_iter().map(|turn| turn - x).collect()).collect()
    }

    /// The gears of a planet of the group that are in mesh.
    fn gears(&self, planet: usize) -> Vec<(String, i64)> {
        let group = &self.set.planet_groups()[0];
        let in_mesh = group.meshes().iter().flat_map(|&mesh| self.set.mesh(mesh).gears().both().map(|&gear| gear));
        let own = in_mesh.map(|gear| self.set.gear(gear)).filter(|gear| gear.member() == group.planets()[planet]);
        own.map(|gear| (gear.name().to_owned(), i64::from(gear.tooth_count().get()))).collect()
    }

    fn name(&self, planet: usize) -> String {
        self.set.member(self.set.planet_groups()[0].planets()[planet]).name().to_owned()
    }

    fn with_marks(&self, seen: Side, mut marks: Vec<(usize, Vec<DraftMark>)>) -> Gearset {
        let mut draft = self.set.draft().clone();
        let (planet, first) = marks.remove(0);
        let beside = marks.into_iter().map(|(planet, marks)| DraftMarks { planet: self.name(planet).into(), marks });
        let (planet, beside) = (self.name(planet), beside.collect());
        draft.found = Some(DraftFound { seen, planet: planet.into(), marks: first, beside, within: None });
        Gearset::new(draft).expect("readings of pins that there are")
    }

    fn judge(&self, seen: Side, marks: Vec<(usize, Vec<DraftMark>)>) -> FoundTiming {
        found(&self.with_marks(seen, marks)).expect("two planets and a few pins")
    }

    /// How far two pairs of turns differ, for the planets asked for, up to right seatings: the least of
    /// the largest parts beyond what is allowed.
    fn is_within(&self, planets: &[usize], apart: &[Small], allowed: &[Small]) -> bool {
        let near = |value: Small| (value - value.round()).abs();
        self.alike.iter().any(|right| {
            planets.iter().zip(apart).zip(allowed).all(|((&at, apart), allowed)| near(apart - right[at]) <= *allowed)
        })
    }
}

fn large(value: Small) -> Fraction {
    fraction(*value.numer(), *value.denom())
}

/// A set put together on the bench: where both marks of each pin stand, and how far each is from right.
struct Assembled {
    marks: Vec<Vec<Small>>,
    wrong: Vec<Vec<Small>>,
}

fn assemble(bench: &Bench, convention: WayOfMarking, tape: &mut Tape) -> Assembled {
    let mut wrong = vec![vec![Small::zero(); 2]; bench.places.len()];
    let pin = tape.below(wrong.len());
    match tape.below(3) {
        0 => {
            // One planet some teeth over, the other as it was.
            let planet = tape.below(2);
            let (_, count) = tape.pick(&bench.gears(planet));
            wrong[pin][planet] = Small::new(tape.between(1, count - 1), count);
        }
        1 => {
            let every = wrong_seatings(&bench.set, &SeatingQuestion::default()).expect("no dial").groups.remove(0);
            if !every.wrong_seatings.is_empty() {
                let sign = tape.pick(&[1, -1]);
                wrong[pin] = tape.pick(&every.wrong_seatings).turns.iter().map(|it| small(&it.turns) * sign).collect();
            }
        }
        _ => {}
    }
    let rolled: Vec<Small> = (0..2).map(|_| Small::new(tape.between(-50, 50), 97)).collect();
    let expected = |tape: &mut Tape, x: Small| match convention {
        WayOfMarking::Alike => tape.pick(&bench.right_turns(x)),
        WayOfMarking::RadialInPlace => tape.pick(&bench.alike),
        WayOfMarking::ParallelInPlace => tape.pick(&bench.alike).into_iter().map(|turn| turn - x).collect(),
        WayOfMarking::EachPin => unreachable!("which tooth that is depends on the gear that is read"),
    };
    let mut marks: Vec<Vec<Small>> = bench.places.iter().map(|&x| expected(tape, x)).collect();
    for (marks, wrong) in marks.iter_mut().zip(&wrong) {
        for (at, mark) in marks.iter_mut().enumerate() {
            *mark += wrong[at] + rolled[at];
        }
    }
    // One mark of each planet is brought exactly to its line before the others of that planet are read.
    for planet in 0..2 {
        let line = tape.pick(&marks)[planet];
        for marks in &mut marks {
            marks[planet] -= line;
        }
    }
    Assembled { marks, wrong }
}

/// Reads the marks of some planets as a person would.
fn read(
    bench: &Bench,
    assembled: &Assembled,
    planets: &[usize],
    seen: Side,
    tape: &mut Tape,
) -> Vec<(usize, Vec<DraftMark>)> {
    let in_degrees = tape.once_in(4);
    let of_planet = |planet: usize, tape: &mut Tape| {
        let (gear, count) = tape.pick(&bench.gears(planet));
        let steps = tape.pick(&[1, 1, 2, 3, 9700 * count]);
        let mark = |marks: &Vec<Small>| {
            let turn = marks[planet] - marks[planet].round();
            let turn = if seen == Side::Output { -turn } else { turn };
            if in_degrees {
                DraftMark::degrees(large((turn * 720).round() / 2))
            } else {
                DraftMark::teeth(gear.clone(), large((turn * count * steps).round() / steps))
            }
        };
        assembled.marks.iter().map(mark).collect()
    };
    planets.iter().map(|&planet| (planet, of_planet(planet, tape))).collect()
}

/// What was done is among what the explanation says.
#[track_caller]
fn tells_what_was_done(bench: &Bench, planets: &[usize], explanation: &Explanation, wrong: &[Vec<Small>]) {
    let none = |wrong: &Vec<Small>| planets.iter().all(|&at| wrong[at].is_zero());
    for pin in &explanation.pins {
        let others: Vec<_> = explanation.pins.iter().filter(|it| it.in_time && it.pin != pin.pin).collect();
        if others.is_empty() || !others.iter().all(|other| none(&wrong[other.pin - 1])) {
            continue;
        }
        let done = &wrong[pin.pin - 1];
        let apart: Vec<Small> =
            pin.planets.iter().zip(planets).map(|(planet, &at)| small(&planet.deviation) - done[at]).collect();
        let allowed: Vec<Small> = pin.planets.iter().map(|planet| small(&planet.resolution)).collect();
        assert!(bench.is_within(planets, &apart, &allowed), "pin {} of {explanation:?}, {wrong:?}", pin.pin);
    }
    let out = explanation.pins.iter().filter(|pin| !pin.in_time);
    assert!(out.clone().count() <= wrong.iter().filter(|wrong| !none(wrong)).count(), "{explanation:?}, {wrong:?}");
    for pin in out.filter(|pin| !none(&wrong[pin.pin - 1])) {
        let moved = planets.iter().filter(|&&at| !wrong[pin.pin - 1][at].is_zero()).count();
        let told = pin.planets.iter().filter(|planet| !planet.in_time).count();
        let fellows = explanation.pins.iter().filter(|it| it.in_time);
        if fellows.clone().all(|it| none(&wrong[it.pin - 1])) {
            assert!(told <= moved, "no more planets than were moved: {explanation:?}, {wrong:?}");
        }
    }
}

/// The pins that agree, by the twin: from one pin on each other is tried in all of its right turns.
fn agreeing(bench: &Bench, found: &FoundTiming, planets: &[usize]) -> Vec<bool> {
    let pins = bench.places.len();
    let expected: Vec<Vec<Small>> = bench.places.iter().map(|&x| bench.right_turns(x).remove(0)).collect();
    let box_of = |pin: usize, exact: &[Option<usize>]| -> Vec<(Small, Small)> {
        let of_planet = |(at, &planet): (usize, &usize)| {
            let reading = found.read[at].readings[pin].as_ref().expect("all are read");
            let half = if exact[at] == Some(pin) { Small::zero() } else { small(&reading.resolution) };
            (small(&reading.turn) - expected[pin][planet], half)
        };
        planets.iter().enumerate().map(of_planet).collect()
    };
    // For each planet any reading of 0 may be the exact one.
    let zeros = |at: usize| {
        let zero = |pin: &usize| found.read[at].readings[*pin].as_ref().is_some_and(|it| it.turn.is_zero());
        let zeros: Vec<Option<usize>> = (0..pins).filter(zero).map(Some).collect();
        if zeros.is_empty() { vec![None] } else { zeros }
    };
    let mut exact: Vec<Vec<Option<usize>>> = vec![Vec::new()];
    for at in 0..planets.len() {
        exact = exact.iter().flat_map(|some| zeros(at).into_iter().map(|pin| [&some[..], &[pin]].concat())).collect();
    }
    let mut best = (0, Reverse(Small::zero()), vec![false; pins]);
    for exact in exact {
        let boxes: Vec<_> = (0..pins).map(|pin| box_of(pin, &exact)).collect();
        for first in 0..pins {
            let share: Vec<Range> = boxes[first].iter().map(|(turn, half)| (turn - half, turn + half)).collect();
            let mut middles = vec![None; pins];
            middles[first] = Some(boxes[first].iter().map(|(turn, _)| *turn).collect());
            let alone: Vec<Small> = found.read.iter().map(|read| small(&read.right_again_after)).collect();
            let mut sharing = Sharing { bench, planets, boxes: &boxes, alone, middles, best };
            sharing.extend(first + 1, &share);
            best = sharing.best;
        }
    }
    best.2
}

/// What a reading, or what several share, leaves open of a turn.
type Range = (Small, Small);

/// The search of the twin: the pins that share turns of both planets.
struct Sharing<'a> {
    bench: &'a Bench,
    planets: &'a [usize],
    boxes: &'a [Vec<Range>],
    /// By how much each planet can be turned alone.
    alone: Vec<Small>,
    /// For each pin that shares the turns, the middles of its readings where they do.
    middles: Vec<Option<Vec<Small>>>,
    best: (usize, Reverse<Small>, Vec<bool>),
}

impl Sharing<'_> {
    /// Takes in the next pins in all of their right turns, or leaves them out.
    fn extend(&mut self, next: usize, share: &[Range]) {
        if next == self.boxes.len() {
            let agrees: Vec<bool> = self.middles.iter().map(Option::is_some).collect();
            let off: Small = (0..share.len()).map(|at| self.least_off(at, share[at])).sum();
            let rank = (agrees.iter().filter(|&&it| it).count(), Reverse(off), agrees);
            self.best = self.best.clone().max(rank);
            return;
        }
        self.extend(next + 1, share);
        for right in &self.bench.alike {
            let mut combined: Vec<Vec<(Range, Small)>> = vec![Vec::new()];
            for (at, &planet) in self.planets.iter().enumerate() {
                let (turn, half) = self.boxes[next][at];
                let meets = meetings(share[at], turn + right[planet], half);
                combined =
                    combined.iter().flat_map(|some| meets.iter().map(|it| [&some[..], &[*it]].concat())).collect();
            }
            for meets in combined {
                let (share, middles): (Vec<Range>, Vec<Small>) = meets.into_iter().unzip();
                self.middles[next] = Some(middles);
                self.extend(next + 1, &share);
                self.middles[next] = None;
            }
        }
    }

    /// How far the middles are off from the best turn that is shared, in parts of what the planet can be
    /// turned alone; a reading as wide as that does not count.
    fn least_off(&self, at: usize, (low, high): Range) -> Small {
        let counts = |pin: &usize| self.boxes[*pin][at].1 * 2 < self.alone[at];
        let of_pin = |pin: usize| self.middles[pin].as_ref().map(|middles| middles[at]);
        let middles: Vec<Small> = (0..self.boxes.len()).filter(counts).filter_map(of_pin).collect();
        let shared = middles.iter().copied().filter(|turn| (low..=high).contains(turn)).chain([low, high]);
        let off = shared.map(|turn| middles.iter().map(|middle| (middle - turn).abs()).sum::<Small>());
        off.min().expect("two sides at least") / self.alone[at]
    }
}

/// What a range has in common with a turn and all that differ from it by whole turns, each with that turn.
fn meetings((low, high): Range, turn: Small, half: Small) -> Vec<(Range, Small)> {
    let mut meets = Vec::new();
    let mut whole = (low - turn - half).ceil();
    while whole <= (high - turn + half).floor() {
        let middle = turn + whole;
        meets.push(((low.max(middle - half), high.min(middle + half)), middle));
        whole += 1;
    }
    meets
}

const CONVENTIONS: [WayOfMarking; 3] =
    [WayOfMarking::Alike, WayOfMarking::RadialInPlace, WayOfMarking::ParallelInPlace];

fn some_planets(tape: &mut Tape) -> Vec<usize> {
    tape.pick(&[vec![0, 1], vec![1, 0], vec![0], vec![1]])
}

proptest! {
    #![proptest_config(telling_cases(120))]

    #[test]
    fn meshed_planets_put_together_right_or_wrong_are_found_from_their_marks(draft in meshed_pair(), mut tape in tape(30)) {
        let bench = Bench::new(draft, &mut tape, 3000);
        prop_assume!(bench.is_some(), "no equal pins");
        let bench = bench.unwrap();
        let (which, planets) = (tape.below(3), some_planets(&mut tape));
        let assembled = assemble(&bench, CONVENTIONS[which], &mut tape);
        let seen = tape.pick(&[Side::Input, Side::Output]);
        let found = bench.judge(seen, read(&bench, &assembled, &planets, seen, &mut tape));
        tells_what_was_done(&bench, &planets, &found.explanations[which], &assembled.wrong);
        if assembled.wrong.iter().flatten().all(Zero::is_zero) {
            prop_assert!(found.explanations[which].in_time, "{:?}", found);
        }
    }

    #[test]
    fn the_pins_that_agree_are_those_that_trying_every_tooth_of_both_planets_finds(
        draft in meshed_pair(), mut tape in tape(30)
    ) {
        let bench = Bench::new(draft, &mut tape, 60);
        prop_assume!(bench.as_ref().is_some_and(|bench| bench.places.len() <= 3), "few pins and seatings");
        let bench = bench.unwrap();
        let planets = some_planets(&mut tape);
        let assembled = assemble(&bench, WayOfMarking::Alike, &mut tape);
        let found = bench.judge(Side::Input, read(&bench, &assembled, &planets, Side::Input, &mut tape));
        let agrees: Vec<bool> = found.explanations[0].pins.iter().map(|pin| pin.in_time).collect();
        prop_assert_eq!(agrees, agreeing(&bench, &found, &planets));
    }

    #[test]
    fn common_turns_equivalent_seatings_sides_and_orders_change_nothing(draft in meshed_pair(), mut tape in tape(40)) {
        let bench = Bench::new(draft, &mut tape, 3000);
        prop_assume!(bench.is_some(), "no equal pins");
        let bench = bench.unwrap();
        // Degrees and a 1009th more: a reading of 0 is taken as exact, and a turn by one of the equivalent seatings, of
        // 1/32 say, must not make one of a reading of -45/1440.
        let degrees: Vec<[i64; 2]> =
            bench.places.iter().map(|_| [0, 1].map(|_| 1009 * tape.between(-80, 80) + 1)).collect();
        let marks = |planets: &[usize], shift: &dyn Fn(usize, usize) -> Fraction, sign: i64| {
            let mark = |pin: usize, planet: usize| {
                let turn = fraction(degrees[pin][planet], 1009 * 360) + shift(pin, planet);
                DraftMark::degrees(nearest_zero(&turn) * fraction(sign * 360, 1))
            };
            let of_planet = |&planet: &usize| (planet, (0..degrees.len()).map(|pin| mark(pin, planet)).collect());
            planets.iter().map(of_planet).collect::<Vec<_>>()
        };
        let judge = |seen, marks| {
            let pin = |it: &toothmark::timing::PinFound| (it.pin, it.in_time, it.wrong_seatings.len());
            let judged = bench.judge(seen, marks);
            judged.explanations.iter().map(|it| (it.reference, it.pins.iter().map(pin).collect::<Vec<_>>())).collect::<Vec<_>>()
        };
        let nothing = |_, _| Fraction::zero();
        let plain = judge(Side::Input, marks(&[0, 1], &nothing, 1));
        let common = [fraction(2 * tape.between(1, 170), 720), fraction(2 * tape.between(1, 170), 720)];
        prop_assert_eq!(&judge(Side::Input, marks(&[0, 1], &|_, planet| common[planet].clone(), 1)), &plain);
        let alike: Vec<Vec<Small>> = degrees.iter().map(|_| tape.pick(&bench.alike)).collect();
        prop_assert_eq!(&judge(Side::Input, marks(&[0, 1], &|pin, planet| large(alike[pin][planet]), 1)), &plain);
        prop_assert_eq!(&judge(Side::Output, marks(&[0, 1], &nothing, -1)), &plain);
        prop_assert_eq!(&judge(Side::Input, marks(&[1, 0], &nothing, 1)), &plain);
    }

    #[test]
    fn marks_of_several_planets_written_out_read_in_again(draft in meshed_pair(), mut tape in tape(30)) {
        let bench = Bench::new(draft, &mut tape, 3000);
        prop_assume!(bench.is_some(), "no equal pins");
        let bench = bench.unwrap();
        let assembled = assemble(&bench, WayOfMarking::Alike, &mut tape);
        let set = bench.with_marks(Side::Output, read(&bench, &assembled, &[1, 0], Side::Output, &mut tape));
        prop_assert_eq!(description::read(&description::write(set.draft())), Ok(set));
    }
}

fn teeth(gear: &str, marks: &[i64]) -> Vec<DraftMark> {
    marks.iter().map(|&teeth| DraftMark::teeth(gear, fraction(teeth, 1))).collect()
}

/// What the marks of some planets of a built-in gearset mean.
fn judged(name: &str, marks: &[(&str, Vec<DraftMark>)]) -> Result<FoundTiming, NoFoundAnswer> {
    let mut draft = read_example(name).draft().clone();
    let beside =
        |(planet, marks): &(&str, Vec<DraftMark>)| DraftMarks { planet: (*planet).into(), marks: marks.clone() };
    let mut read: Vec<DraftMarks> = marks.iter().map(beside).collect();
    let DraftMarks { planet, marks } = read.remove(0);
    draft.found = Some(DraftFound { seen: Side::Input, planet, marks, beside: read, within: None });
    found(&Gearset::new(draft).expect("sound readings"))
}

/// The planets that are out, if the same tooth of every planet is marked: pin, place in the group, teeth.
fn out(found: &FoundTiming) -> Vec<(usize, usize, Fraction)> {
    let place = |planet| found.planets.iter().position(|&it| it == planet).expect("of the group");
    found.explanations[0].out().map(|(pin, it)| (pin.pin, place(it.planet), it.teeth.clone())).collect()
}

#[test]
fn of_a_stepped_planet_and_a_plain_one_only_the_stepped_one_can_be_out_by_teeth() {
    let idler = ("idler", teeth("i", &[0, 5, -7]));
    let right = judged("ferry-capstan", &[("cluster", teeth("large", &[0, 2, -4])), idler.clone()]).unwrap();
    assert!(right.in_time && out(&right).is_empty(), "{right:?}");
    let wrong = judged("ferry-capstan", &[idler, ("cluster", teeth("large", &[0, 2, -3]))]).unwrap();
    let [(pin, planet, teeth)] = &out(&wrong)[..] else { panic!("one is out: {:?}", out(&wrong)) };
    assert_eq!((*pin, *planet, teeth.abs()), (3, 0, fraction(1, 1)));
    let seating = &wrong.explanations[0].pins[2].wrong_seatings[0];
    assert_eq!(seating.largest_error, fraction(1, 5));
    assert_eq!(wrong.explanations[0].reference, 1);
}

#[test]
fn plain_long_and_short_pinions_have_no_wrong_seating_and_whole_teeth_tell_nothing() {
    let set = read_example("village-bus-automatic");
    let planets: Vec<String> =
        set.planet_groups()[0].planets().iter().map(|&id| set.member(id).name().to_owned()).collect();
    let in_mesh = |planet: usize| {
        let id = set.planet_groups()[0].planets()[planet];
        set.gear(set.member(id).gears()[0]).name().to_owned()
    };
    let marks = |planet: usize, marks: &[i64]| (planets[planet].as_str(), teeth(&in_mesh(planet), marks));
    let found = judged("village-bus-automatic", &[marks(0, &[0, 3, 5]), marks(1, &[-2, 4, 1])]).unwrap();
    assert!(found.in_time);
    assert!(found.read.iter().all(|read| read.too_coarse));
}

#[test]
fn two_stepped_planets_tell_which_of_them_is_out() {
    let first = ("first cluster", teeth("a", &[0, -3, 6]));
    let right = judged("two-ring-braid-gear", &[first.clone(), ("second cluster", teeth("d", &[0, -7, -7]))]).unwrap();
    assert!(right.in_time, "{right:?}");
    let wrong = judged("two-ring-braid-gear", &[first, ("second cluster", teeth("d", &[0, -4, -7]))]).unwrap();
    assert_eq!(out(&wrong), [(2, 1, fraction(3, 1))]);
    let other = judged("two-ring-braid-gear", &[("first cluster", teeth("a", &[0, -4, 6]))]).unwrap();
    assert_eq!(out(&other), [(2, 0, fraction(-1, 1))], "one planet that was read is enough");
}

#[test]
fn a_wrong_seating_of_meshed_planets_within_the_backlash_is_told_first() {
    let mut draft = read_example("two-ring-braid-gear").draft().clone();
    draft.pitch = Some(toothmark::gearset::Pitch::Module(fraction(2, 1)).into());
    draft.backlash = Some(toothmark::gearset::Length::Millimetres(fraction(4, 10)).into());
    let text = description::write(&draft);
    let answer = run_with(
        command(&[
            "found",
            "-",
            "--seen=input",
            "--gear=a",
            "--gear=d",
            "--pin=first:1=0",
            "--pin=first:2=0",
            "--pin=first:3=0",
            "--pin=second:1=0",
            "--pin=second:2=0",
            "--pin=second:3=-3",
        ]),
        text.as_bytes(),
    );
    let warning = answer.stdout.find("Beware: a WRONG seating fits").expect("a warning");
    assert!(warning < answer.stdout.find("mark belongs at").expect("a table"), "{}", answer.stdout);
    let set = description::read(&text).unwrap();
    let every = wrong_seatings(&set, &SeatingQuestion::default()).unwrap().groups.remove(0);
    assert!(every.wrong_seatings.iter().any(|seating| seating.by_hand == Some(ByHand::Unnoticed)));
    assert_eq!(answer.code, 1);
}

#[test]
fn planets_of_one_group_are_judged_whichever_was_read_and_those_of_two_not_together() {
    let set = read_example("village-bus-automatic");
    let planet = set.member(set.planet_groups()[0].planets()[0]).name().to_owned();
    let mut draft = set.draft().clone();
    assert_eq!(found(&set), Err(NoFoundAnswer::NothingFound));
    let marks = vec![DraftMark::degrees(fraction(1, 1)); 3];
    draft.found =
        Some(DraftFound { seen: Side::Input, planet: planet.clone().into(), marks, beside: vec![], within: None });
    let one = found(&Gearset::new(draft).unwrap()).unwrap();
    assert_eq!((one.planets.len(), one.read.len(), one.planet), (2, 1, None), "{planet} is judged with its partner");
    let marks = || vec![DraftMark::degrees(fraction(1, 1)); 3];
    let apart = judged("cross-coupled-two-set", &[("first planet", marks()), ("second planet", marks())]);
    assert!(matches!(apart, Err(NoFoundAnswer::OtherGroup { .. })), "{apart:?}");
}

/// The answer to readings, kept as a snapshot with its exit code.
#[track_caller]
fn shown(name: &str, file: &str, arguments: &[&str]) {
    let file = format!("../gearsets/{file}.ron");
    let answer = run(&[&["found", &file, "--seen=input", "--full"], arguments].concat());
    let whole = format!("exit code {}\n{}{}", answer.code, answer.stdout, answer.stderr);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("found-group-{name}"), whole);
    });
}

#[test]
fn what_marks_of_meshed_planets_mean_is_said_in_words() {
    let one = ["--gear=large", "--planet=cluster", "--pin=1=0", "--pin=2=2", "--pin=3=-3"];
    shown("one-planet-read", "ferry-capstan", &one);
    shown("csv", "ferry-capstan", &[&one[..], &["--format=csv"]].concat());
    let both = [
        "--pin=cluster:1=0deg",
        "--pin=cluster:2=12deg",
        "--pin=cluster:3=25deg",
        "--pin=idler:1=3",
        "--pin=idler:3=1",
    ];
    shown("both-read", "ferry-capstan", &both);
    shown("json", "ferry-capstan", &[&both[..], &["--format=json"]].concat());
    shown(
        "plain",
        "village-bus-automatic",
        &["--pin=long:1=0", "--pin=long:2=5", "--pin=short:1=1", "--pin=short:2=1"],
    );
}

#[test]
fn wrong_readings_of_several_planets_are_named() {
    shown("bad-planet", "ferry-capstan", &["--pin=clutser:1=0", "--pin=idler:1=0"]);
    shown("bad-gear", "ferry-capstan", &["--pin=cluster:1=0", "--pin=idler:1=0"]);
    shown("bad-pins", "ferry-capstan", &["--gear=large", "--pin=cluster:1=0", "--pin=cluster:7=1", "--pin=idler:1=0"]);
    shown(
        "bad-groups",
        "cross-coupled-two-set",
        &["--pin=first:1=0deg", "--pin=first:2=1deg", "--pin=second:1=0deg", "--pin=second:2=1deg"],
    );
}

/// Once 99 pins read to ten degrees kept the program busy for minutes.
#[test]
fn readings_that_leave_too_much_open_are_given_up_in_words() {
    let marks = vec!["Degrees(0)"; 99].join(", ");
    let text = format!(
        "Gearset(title: \"t\", members: {{\"A\": [Sun(\"S\", 9900)], \"B\": [Sun(\"T\", 9801)], \"c\": []}},
         planets: {{\"k\": (carrier: \"c\", pins: Equal(99), gears: [Gear(\"a\", 9999), Gear(\"b\", 9998)])}},
         meshes: [(\"S\", \"a\"), (\"T\", \"b\")],
         found: (seen: InputSide, planet: \"k\", marks: [{marks}], within: 10))"
    );
    assert_eq!(found(&description::read(&text).unwrap()), Err(NoFoundAnswer::TooMuchOpen));
    let several = text.replace("Degrees(0)", "Degrees(1)").replace("within: 10", "within: 9");
    assert_eq!(found(&description::read(&several).unwrap()), Err(NoFoundAnswer::TooMuchOpen));
    let answer = run_with(command(&["found", "-"]), text.as_bytes());
    assert_eq!(answer.code, 2);
    assert!(answer.stderr.contains("more open than can be looked at"), "{}", answer.stderr);
    let exact = text.replace(", within: 10", "").replace("Degrees(0)", "Teeth(\"a\", 1)");
    assert!(found(&description::read(&exact).unwrap()).is_ok(), "whole teeth of 99 pins are no trouble");
}

/// Once two pins whose readings of whole teeth only touched half-way were taken for agreement, as good as two that
/// read alike, and the wrong one of three was said to be out.
#[test]
fn of_pins_with_meshed_planets_that_read_alike_but_for_one_it_is_the_one_that_is_out() {
    for wrong in 1..=3 {
        let marks: Vec<String> = (1..=3).map(|pin| format!("Teeth(\"d\", {})", i32::from(pin == wrong))).collect();
        let set = description::read(&format!(
            "Gearset(title: \"t\", members: {{\"c\": [], \"s\": [Sun(\"S\", 24)], \"r\": [Sun(\"R\", 33)], \"t\": [Sun(\"T\", 45)]}},
             planets: {{\"k\": (carrier: \"c\", pins: Equal(3), gears: [Gear(\"d\", 30), Gear(\"q\", 36), Gear(\"p\", 27)]),
             \"idler\": (carrier: \"c\", pins: Equal(3), gears: [Gear(\"i\", 15)])}},
             meshes: [(\"S\", \"q\"), (\"R\", \"p\"), (\"d\", \"i\"), (\"T\", \"i\")],
             found: (seen: InputSide, planet: \"k\", marks: [{}]))",
            marks.join(", ")
        ));
        let found = found(&set.expect("a sound description")).unwrap();
        let pins: Vec<usize> = out(&found).into_iter().map(|(pin, ..)| pin).collect();
        assert_eq!(pins, [wrong], "the one that differs");
    }
}
