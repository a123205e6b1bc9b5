//! What is a person told first of marks that were found, and is it true however marks are made, numbered and counted?

use toothmark::description::{self, examples};
use toothmark::exact::{Fraction, fraction, multiple, nearest_integer};
use toothmark::gearset::{DraftFound, DraftMark, DraftMarks, Gearset, MemberId, Side};
use toothmark::timing::{FoundTiming, GroupTiming, MadeMarks, OtherWayRound, found_as_made, marking, timing};

use crate::support::process::{Run, run};
use crate::support::sets::read_example;

/// What is printed of the railcar, on one line.
#[track_caller]
fn said(arguments: &[&str]) -> String {
    let answer: Run = run(&[&["found", "inspection-railcar", "--seen=input"], arguments].concat());
    assert!(answer.code < 2, "{}", answer.stderr);
    answer.stdout.lines().map(str::trim_start).collect::<Vec<_>>().join(" ")
}

/// The set with readings of planets, each with its marks.
fn with_marks(set: &Gearset, seen: Side, mut read: Vec<(MemberId, Vec<DraftMark>)>) -> Gearset {
    let mut draft = set.draft().clone();
    let name = |planet: MemberId| set.member(planet).name().to_owned().into();
    let (planet, marks) = read.remove(0);
    let beside = read.into_iter().map(|(planet, marks)| DraftMarks { planet: name(planet), marks }).collect();
    draft.found = Some(DraftFound { seen, planet: name(planet), marks, beside, within: None });
    Gearset::new(draft).expect("a reading for each pin")
}

/// 31 teeth of d in a third of a turn are 10 1/3, and so far from its line belongs the mark of pin 3, the other way that
/// of pin 2. Whole teeth are read: 9 is one tooth short.
#[test]
fn the_first_line_is_the_order_to_carry_out() {
    let one_out = said(&["--gear=d", "--pin=1=0", "--pin=2=-10", "--pin=3=9"]);
    let order = "Pin 3: turn its cluster 1 tooth of d 31 counter-clockwise, seen from the input side (or set its mark 10 1/3 \
                 teeth counter-clockwise of its line to the centre).";
    let title = "Works inspection railcar, two speeds and reverse  ";
    assert!(one_out.strip_prefix(title).is_some_and(|text| text.starts_with(order)), "{one_out}");
    // A reading that is good to a third of a tooth leaves a whole tooth to turn as well.
    let finely = said(&["--gear=d", "--pin=1=0", "--pin=2=-10 1/3", "--pin=3=9 1/3"]);
    assert!(finely.contains(order), "{finely}");
}

/// Once it could be "turn its cluster 11/36 tooth of d 31", which nobody can count: teeth are ordered whole, and what is
/// no whole number of them in degrees.
#[test]
fn an_order_is_whole_teeth_or_degrees() {
    let (mut in_teeth, mut in_degrees) = (0, 0);
    for read in (70..170).step_by(7) {
        let text = said(&["--gear=d", "--pin=1=0deg", "--pin=2=-120deg", &format!("--pin=3={read}deg")]);
        for order in text.split("turn its cluster ").skip(1) {
            let (amount, unit) = order.split_once(' ').expect("a number and its unit");
            if unit.starts_with("degree") {
                in_degrees += 1;
            } else {
                assert!(amount.parse::<u32>().is_ok() && unit.starts_with('t'), "{text}");
                in_teeth += 1;
            }
        }
    }
    assert!(in_teeth > 0 && in_degrees > 0, "{in_teeth} in teeth, {in_degrees} in degrees");
}

/// Once who numbered the pins as they are counted from the output side read -10 and 10 as 10 and -10 on a set that is
/// right, and was told "NO, whichever way the marks were made".
#[test]
fn pins_numbered_from_the_other_side_are_noticed() {
    let mirrored = said(&["--gear=d", "--pin=1=0", "--pin=2=10", "--pin=3=-10"]);
    assert!(mirrored.contains("Turn nothing yet: read the other way round this set is in time."), "{mirrored}");
    assert!(mirrored.find("Turn nothing yet") < mirrored.find("Pin 2: turn"), "{mirrored}");
    // The place of each pin stands beside its number, counter-clockwise in the view named.
    assert!(mirrored.contains("│ 2   ┆ 120 deg"), "{mirrored}");
    let right = said(&["--gear=d", "--pin=1=0", "--pin=2=-10", "--pin=3=10"]);
    assert!(!right.contains("the other way round"), "{right}");
    let neither = said(&["--gear=d", "--pin=1=0", "--pin=2=3", "--pin=3=-10"]);
    assert!(!neither.contains("the other way round"), "{neither}");
}

/// The groups of the built-in gearsets that assemble on two pins or more.
fn assembling() -> Vec<(&'static str, Gearset, GroupTiming)> {
    let mut all = Vec::new();
    for example in examples() {
        let set = read_example(example.name);
        let groups = timing(&set).groups.into_iter().filter(|group| group.pins.len() > 1 && group.pins_assemble());
        all.extend(groups.map(|group| (example.name, set.clone(), group)));
    }
    assert!(all.len() > 20, "{} groups", all.len());
    all
}

/// How far each planet of a pin is turned by the list, in turns.
fn listed(group: &GroupTiming, planet: MemberId) -> Vec<Fraction> {
    group.pins.iter().map(|pin| pin.turns.as_ref().expect("it assembles")[&planet].clone()).collect()
}

fn teeth_of(set: &Gearset, planet: MemberId) -> (String, i64) {
    let own = |gear: &toothmark::gearset::GearId| set.gear(*gear).member() == planet;
    let gear = set.meshes().iter().find_map(|mesh| mesh.gears().both().into_iter().copied().find(own));
    let gear = set.gear(gear.expect("a planet in mesh"));
    (gear.name().to_owned(), gear.tooth_count().get().into())
}

#[test]
fn a_right_set_numbered_or_counted_from_the_other_side_is_in_time_the_other_way_round() {
    let mut noticed = [0; 3];
    for (name, set, group) in assembling() {
        let planet = group.planets[0];
        let (gear, count) = teeth_of(&set, planet);
        let turns = listed(&group, planet);
        let read = |way: OtherWayRound| {
            let mut turns = turns.clone();
            if way != OtherWayRound::Sign {
                // Counted the other way round pin 1 stays and the last is the second.
                turns[1..].reverse();
            }
            if way != OtherWayRound::Numbering {
                turns = turns.into_iter().map(|turn| -turn).collect();
            }
            let marks = turns.iter().map(|turn| DraftMark::teeth(gear.clone(), multiple(turn, count))).collect();
            let set = with_marks(&set, Side::Input, vec![(planet, marks)]);
            found_as_made(&set, Some(MadeMarks::SameTooth)).expect("few pins")
        };
        for (at, way) in [OtherWayRound::Numbering, OtherWayRound::Sign, OtherWayRound::Both].into_iter().enumerate() {
            let answer = read(way);
            assert!(answer.in_time || answer.in_time_if.contains(&way), "{name}, {way:?}: {:?}", answer.in_time_if);
            noticed[at] += usize::from(!answer.in_time);
        }
    }
    assert!(noticed[0] > 0 && noticed[1] > 0, "{noticed:?}");
}

/// Once marks made as `marks` says, on each pin its own tooth, were judged as if they were on the same tooth.
#[test]
fn marks_struck_as_told_and_read_back_are_in_time() {
    let (mut struck, mut apart) = (0, 0);
    for (name, set, group) in assembling() {
        let told = marking(&set).groups.into_iter().find(|it| it.planets == group.planets).expect("the same groups");
        for marks in &told.marks {
            // Each mark stands as far off its line as the tooth that was marked.
            let off_line = |seen: Side, off: &Fraction| {
                if seen == Side::Output && !set.is_bevel(marks.planet) { -off } else { off.clone() }
            };
            for seen in [Side::Input, Side::Output] {
                let gear = set.gear(marks.gear).name();
                let read = marks.pins.iter().map(|it| DraftMark::teeth(gear, off_line(seen, &it.off_line))).collect();
                let set = with_marks(&set, seen, vec![(marks.planet, read)]);
                let answer = found_as_made(&set, Some(MadeMarks::EachPin)).expect("few pins");
                assert!(answer.explanations.iter().all(|it| it.in_time), "{name}, {gear} from {seen:?}");
                struck += 1;
            }
            apart += usize::from(marks.pins.iter().any(|it| it.tooth != 0));
        }
    }
    assert!(struck > 20 && apart > 0, "{struck} struck, {apart} on teeth of their own");
}

/// The same tooth of every planet stands where the list says, and marks all struck to the centre stand there again.
#[test]
fn how_the_marks_were_made_is_taken_at_its_word() {
    for (name, set, group) in assembling() {
        let planet = group.planets[0];
        let (gear, count) = teeth_of(&set, planet);
        let judge = |teeth: &dyn Fn(&Fraction) -> Fraction, made: MadeMarks| -> FoundTiming {
            let marks = listed(&group, planet).iter().map(|turn| DraftMark::teeth(gear.clone(), teeth(turn))).collect();
            found_as_made(&with_marks(&set, Side::Input, vec![(planet, marks)]), Some(made)).expect("few pins")
        };
        let list = |turn: &Fraction| multiple(turn, count);
        let beside = |turn: &Fraction| list(turn) - Fraction::from(nearest_integer(&list(turn)));
        let is_right = |answer: &FoundTiming| answer.explanations.iter().any(|it| it.in_time);
        assert!(is_right(&judge(&list, MadeMarks::SameTooth)), "{name}");
        assert!(is_right(&judge(&beside, MadeMarks::EachPin)), "{name}");
        assert!(is_right(&judge(&|_| fraction(0, 1), MadeMarks::InPlace)), "{name}");
    }
    let zeros = ["--gear=d", "--pin=1=0", "--pin=2=0", "--pin=3=0"];
    assert!(said(&zeros).contains("In time only if the marks were made in place"), "{}", said(&zeros));
    assert!(said(&zeros).contains("Stand the clusters side by side"), "how to tell");
    let made = |made: &str| said(&[&zeros[..], &[made]].concat());
    assert!(made("--made=in-place").contains("nothing has to be turned"), "{}", made("--made=in-place"));
    assert!(
        made("--made=same-tooth").contains("Pin 2: turn its cluster 11 teeth of d 31"),
        "{}",
        made("--made=same-tooth")
    );
    assert!(!made("--made=same-tooth").contains("Not sure how"), "it is known");
}

/// Between two marks nine teeth apart eight are unmarked, and those are what people count.
#[test]
fn unmarked_teeth_are_one_less_from_mark_to_mark() {
    let rest = |text: String| text.split_once("│ 1 ").expect("a table").1.to_owned();
    let counted = said(&["--unmarked=D", "--pin=1=8", "--pin=2=8", "--pin=3=7"]);
    let along = said(&["--along=D", "--pin=1=9", "--pin=2=9", "--pin=3=8"]);
    assert_eq!(rest(counted), rest(along));
    // D has 26 teeth: 8, 8 and 7 add up to three less.
    let mistaken =
        run(&["found", "inspection-railcar", "--seen=input", "--along=D", "--pin=1=8", "--pin=2=8", "--pin=3=7"]);
    assert_eq!(mistaken.code, 2);
    let hint = mistaken.stderr.replace('\n', " ");
    assert!(hint.contains("these look like the unmarked teeth between the marks"), "{hint}");
    let other =
        run(&["found", "inspection-railcar", "--seen=input", "--unmarked=D", "--pin=1=9", "--pin=2=9", "--pin=3=8"]);
    assert!(
        other.stderr.replace('\n', " ").contains("these look like the teeth from mark to mark"),
        "{}",
        other.stderr
    );
    let neither =
        run(&["found", "inspection-railcar", "--seen=input", "--along=D", "--pin=1=8", "--pin=2=8", "--pin=3=8"]);
    assert!(!neither.stderr.contains("look like"), "24 are neither 26 nor 23: {}", neither.stderr);
}

/// Once "something was miscounted" came before the seating that fits, or in its place.
#[test]
fn the_seating_that_fits_is_named_before_anything_is_doubted() {
    let text = said(&["--gear=d", "--pin=1=0", "--pin=2=2", "--pin=3=7"]);
    // Pin 2 belongs at -10 1/3 and pin 3 at 10 1/3: read to half a tooth they are 12 over and 3 short.
    let seating = text.find("pin 2 is off by 12 ccw on d 31").expect("the seating of pin 2");
    assert!(text[seating..].contains("pin 3 is off by 3 clockwise on d 31"), "{text}");
    let doubt = text.find("something was miscounted").expect("no gears could be like that");
    assert!(seating < doubt, "{text}");
    let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    let marks = [0, 2, 7].map(|teeth| DraftMark::teeth("d", fraction(teeth, 1))).into();
    let planet = set.planet_groups()[0].planets()[0];
    let answer = found_as_made(&with_marks(&set, Side::Input, vec![(planet, marks)]), None).expect("a cluster");
    let turns: Vec<String> = answer.explanations[0].out().map(|(_, it)| it.turn_by_teeth.to_string()).collect();
    assert_eq!(turns, ["-12", "3"], "whole teeth of d");
}

/// A mark 9.67 teeth clockwise that belongs 10 1/3 teeth counter-clockwise is 11 of the 31 teeth from there clockwise,
/// and not 127.703 degrees, though decimals leave 1/300 of a tooth.
#[test]
fn a_third_of_a_tooth_in_decimals_still_counts_in_teeth() {
    let told = run(&["found", "--seen=input", "--gear=d", "--pin=1=0", "--pin=2=-10.33", "--pin=3=-9.67"]);
    assert!(told.stdout.contains("Pin 3: turn its cluster 11 teeth of d 31 clockwise"), "{}", told.stdout);
}
