//! Do all commands say the same of what a hand notices at a seating?
//!
//! A random gearset gets a backlash by which one of its wrong seatings goes in unnoticed, with force or not at all, and
//! is put together in that seating. What the list of wrong seatings says of it, what is told of the marks, and what the
//! timing says of the one that goes in most easily, has to be the same; likewise with any backlash, however unequal.

use num_traits::ToPrimitive;
use proptest::collection::vec;
use proptest::prelude::*;
use serde_json::Value;
use toothmark::description::example;
use toothmark::exact::{Fraction, fraction, nearest_zero};
use toothmark::gearset::{
    Draft, DraftBacklash, DraftFound, DraftMark, DraftMarks, DraftPins, Gearset, Length, Pitch, Side,
};
use toothmark::timing::{
    ByHand, EASE_BY_FORCE, FoundTiming, NearSeating, SeatingQuestion, WrongSeating, found, timing, wrong_seatings,
};

use crate::support::process::{command, run_with};
use crate::support::random::telling_cases;
use crate::support::trains::{Tape, cluster, meshed_pair, tape};

/// The draft on equal pins that go together, with a module for every mesh; `None` where there are no such pins.
fn on_fellow_pins(mut draft: Draft, modules: &[i64], tape: &mut Tape) -> Option<Draft> {
    let counts = timing(&Gearset::new(draft.clone()).ok()?).groups.remove(0).equal_pin_counts;
    let counts: Vec<u32> = counts.into_iter().filter(|&count| count <= 4).collect();
    if counts.is_empty() {
        return None;
    }
    let pins = tape.pick(&counts);
    draft.planets.iter_mut().for_each(|planet| planet.pins = DraftPins::Equal(pins.into()).into());
    for (mesh, &module) in draft.meshes.iter_mut().zip(modules.iter().cycle()) {
        mesh.sizes.pitch = Some(Pitch::Module(fraction(module, 2)).into());
    }
    Some(draft)
}

fn with_backlash(draft: &Draft, backlash: impl Fn(usize) -> f64) -> Gearset {
    let mut draft = draft.clone();
    for (at, mesh) in draft.meshes.iter_mut().enumerate() {
        let backlash = Length::Millimetres(Fraction::from_float(backlash(at)).expect("a finite length"));
        mesh.sizes.backlash = Some(DraftBacklash::AtPitchCircle(backlash).into());
    }
    Gearset::new(draft).expect("sound with any backlash")
}

/// The wrong seatings of the first group.
fn listed(set: &Gearset) -> Vec<WrongSeating> {
    wrong_seatings(set, &SeatingQuestion::default()).expect("no dial").groups.remove(0).wrong_seatings
}

/// What is told of the marks of a set with the planets of one pin turned as in a wrong seating, all others as listed.
fn judged(set: &Gearset, seating: &WrongSeating, pin: usize) -> FoundTiming {
    let group = &timing(set).groups[0];
    let degrees = |turn: &Fraction| DraftMark::degrees(nearest_zero(turn) * fraction(360, 1));
    let marks_of = |(at, &planet): (usize, &toothmark::gearset::MemberId)| {
        let marks = group.pins.iter().map(|it| {
            let right = &it.turns.as_ref().expect("these pins go together")[&planet];
            degrees(&if it.pin == pin { right + &seating.turns[at].turns } else { right.clone() })
        });
        DraftMarks { planet: set.member(planet).name().to_owned().into(), marks: marks.collect() }
    };
    let mut read: Vec<DraftMarks> = group.planets.iter().enumerate().map(marks_of).collect();
    let DraftMarks { planet, marks } = read.remove(0);
    let mut draft = set.draft().clone();
    draft.found =
        Some(DraftFound { seen: Side::Input, planet, marks, beside: read, within: Some(fraction(1, 10).into()) });
    found(&Gearset::new(draft).expect("readings of pins that there are")).expect("few pins")
}

/// The same whole teeth and errors, or those of the mirror image: a class is told by its errors.
fn is_same(near: &NearSeating, listed: &WrongSeating) -> bool {
    let errors = || near.meshes.iter().map(|mesh| &mesh.error).zip(listed.meshes.iter().map(|mesh| &mesh.error));
    errors().all(|(near, listed)| near == listed) || errors().all(|(near, listed)| *near == -listed)
}

/// Whatever is told of the marks is what the list says, seating by seating; the seating that they are in is told.
#[track_caller]
fn check_found(set: &Gearset, every: &[WrongSeating], seating: &WrongSeating, pin: usize) {
    let found = judged(set, seating, pin);
    let mut told = false;
    for near in found.explanations.iter().flat_map(|it| &it.pins).flat_map(|it| &it.wrong_seatings) {
        let listed = every.iter().find(|listed| is_same(near, listed)).expect("it is one of those listed");
        assert_eq!((near.by_hand, &near.largest_error), (listed.by_hand, &listed.largest_error), "{near:?}");
        assert_eq!(near.within_backlash, listed.by_hand.map(|by_hand| by_hand == ByHand::Unnoticed), "{near:?}");
        assert_eq!(near.could_be, listed.by_hand != Some(ByHand::WillNotEnter), "{near:?}");
        check_near(near.least_backlash_mm, listed.goes_in_from_mm);
        told |= is_same(near, seating);
    }
    assert!(told, "{seating:?} is not told in {found:?}");
    // It is out by itself, so that gears could be in mesh like that as far as it goes in, or another that is as near.
    if seating.by_hand.is_some_and(ByHand::goes_in) {
        assert!(found.explanations[0].could_be, "{seating:?} in {found:?}");
    }
}

/// What the timing says is what the list says of the seating that goes in most easily.
#[track_caller]
fn check_timing(set: &Gearset, every: &[WrongSeating]) {
    let group = timing(set).groups.remove(0);
    let easiest = every.iter().map(|seating| seating.by_hand.expect("sizes everywhere")).min();
    assert_eq!(group.by_hand, easiest, "the timing against the list of wrong seatings");
    let from = every.iter().filter_map(|seating| seating.goes_in_from_mm).fold(f64::INFINITY, f64::min);
    check_near(group.least_backlash_mm, Some(from));
}

#[track_caller]
fn check_near(one: Option<f64>, other: Option<f64>) {
    let near = one.zip(other).is_some_and(|(one, other)| (one - other).abs() < 1e-9);
    assert!(near, "{one:?} and {other:?}");
}

proptest! {
    #![proptest_config(telling_cases(60))]

    #[test]
    fn a_seating_goes_in_as_its_play_says_whoever_is_asked(
        draft in prop_oneof![cluster(), meshed_pair()], module in 1i64..=8, wanted in 0..3usize, part in 1i64..99,
        mut tape in tape(30),
    ) {
        let draft = on_fellow_pins(draft, &[module], &mut tape);
        prop_assume!(draft.is_some(), "no pins go together");
        let draft = draft.unwrap();
        let every = listed(&with_backlash(&draft, |_| 0.0));
        prop_assume!(!every.is_empty() && every.len() < 400, "nothing can be wrong, or very much");
        let chosen = tape.below(every.len());
        let from = every[chosen].goes_in_from_mm.expect("a pitch everywhere");
        // Of one pitch the worst mesh takes as much as it is out by; near half a tooth the next seating begins.
        prop_assume!(every[chosen].largest_error < fraction(9, 20), "too near to the next");
        let part = part.to_f64().unwrap() / 100.0;
        let (wanted, backlash) = [
            (ByHand::Unnoticed, from + 0.04 * part * from),
            (ByHand::WithForce, from - EASE_BY_FORCE * part),
            (ByHand::WillNotEnter, from - EASE_BY_FORCE * (1.0 + part)),
        ][wanted];
        prop_assume!(backlash >= 0.0, "it needs less than force takes up");
        let set = with_backlash(&draft, |_| backlash);
        let every = listed(&set);
        prop_assert_eq!(every[chosen].by_hand, Some(wanted), "{} mm for one that goes in from {}", backlash, from);
        check_timing(&set, &every);
        check_found(&set, &every, &every[chosen], 1 + tape.below(2));
    }

    #[test]
    fn with_any_backlash_all_say_the_same(
        draft in prop_oneof![cluster(), meshed_pair()], modules in vec(1i64..=8, 4), backlash in vec(0.0f64..0.7, 4),
        mut tape in tape(30),
    ) {
        let draft = on_fellow_pins(draft, &modules, &mut tape);
        prop_assume!(draft.is_some(), "no pins go together");
        let draft = draft.unwrap();
        // Parts of a tooth, also of more than half of one, or less than force takes up.
        let scale = tape.pick(&[1.0, 0.2, 0.05]);
        let pitch = |at: usize| modules[at % 4].to_f64().unwrap() / 2.0 * std::f64::consts::PI;
        let set = with_backlash(&draft, |at| backlash[at % 4] * scale * pitch(at));
        let every = listed(&set);
        prop_assume!(!every.is_empty() && every.len() < 400, "nothing can be wrong, or very much");
        check_timing(&set, &every);
        check_found(&set, &every, &tape.pick(&every), 1 + tape.below(2));
    }
}

fn railcar_with(backlash: &str) -> String {
    let railcar = example("inspection-railcar").expect("built in");
    railcar.replacen("title:", &format!("backlash: Millimetres({backlash}), title:"), 1)
}

/// Once one command said of a seating that it would bind, and another of the same that it goes in with force: the
/// railcar's cluster a tooth over on every gear, for which 1.34 mm of backlash are 0.03 mm too little.
#[test]
fn what_goes_in_with_force_is_said_to_by_whoever_is_asked() {
    for asked in [
        vec!["wrong", "-", "--within=11/63", "--full"],
        vec!["found", "-", "--seen=input", "--gear=d", "--pin=1=0", "--pin=2=-10", "--pin=3=9", "--full"],
    ] {
        let mut wide = command(&asked);
        wide.env("COLUMNS", "250");
        let answer = run_with(wide, railcar_with("1.34").as_bytes()).stdout;
        assert!(answer.contains("with force, tight all round") && !answer.contains("would bind"), "{answer}");
    }
}

#[test]
fn every_command_says_of_the_railcar_what_its_list_of_wrong_seatings_says() {
    for (backlash, expected) in [("0.52", "will not enter"), ("0.55", "with force"), ("0.58", "unnoticed")] {
        let text = railcar_with(backlash);
        let json = |arguments: &[&str]| -> Value {
            let answer = run_with(command(&[arguments, &["--format=json"]].concat()), text.as_bytes());
            serde_json::from_str(&answer.stdout).unwrap_or_else(|error| panic!("{error}: {}", answer.stderr))
        };
        let wrong = json(&["wrong", "-"]);
        let least_wrong = &wrong["groups"][0]["wrong_seatings"][0];
        assert_eq!(least_wrong["by_hand"], expected, "{backlash} mm");
        let goes_in = expected == "unnoticed";
        assert_eq!(json(&["timing", "-"])["groups"][0]["within_backlash"], goes_in, "{backlash} mm");
        assert_eq!(json(&["compare", "-"])["sets"][0]["groups"][0]["unnoticed"], goes_in, "{backlash} mm");
        // Six teeth over on d, from 10 counter-clockwise: 68.8 degrees.
        let found = json(&["found", "-", "--seen=input", "--pin=1=0deg", "--pin=2=-120deg", "--pin=3=188.8deg"]);
        let told = &found["explanations"][0]["pins"][2]["wrong_seatings"][0];
        assert_eq!(
            (&told["by_hand"], &told["largest_error"]),
            (&least_wrong["by_hand"], &least_wrong["largest_error"])
        );
        assert_eq!(told["could_be"], expected != "will not enter", "{backlash} mm");
        assert_eq!(found["explanations"][0]["could_be"], told["could_be"], "{backlash} mm");
    }
}
