//! Does a written description mean what it was written from, and what of a text no one should write?
//!
//! Reading undoes writing, for random trains and for every built-in gearset. Texts are drawn at
//! random, or made from sound ones by damage. Whatever the text, reading it does not panic, and every fault lies within
//! the source, between whole characters.

use proptest::prelude::*;
use toothmark::description::{self, Fault, LineIndex};
use toothmark::gearset::Gearset;

use crate::support::process::{command, run_with};
use crate::support::random::cases;
use crate::support::trains::{Tape, tape, train};

/// Reads a text and looks at the place of every fault.
#[track_caller]
fn faults_have_places(source: &str) {
    let Err(faults) = description::read(source) else { return };
    assert!(!faults.is_empty(), "a refusal without a fault: {source:?}");
    let mut before = 0;
    for fault in &faults {
        place_lies_within(source, fault);
        assert!(before <= fault.place.start, "faults in the order of the source: {faults:?}");
        before = fault.place.start;
        assert!(!fault.to_string().is_empty() && !fault.hint().is_empty(), "a fault has words and a hint: {fault:?}");
    }
}

#[track_caller]
fn place_lies_within(source: &str, fault: &Fault) {
    assert!(source.get(fault.place.clone()).is_some(), "{fault:?} does not lie between characters of {source:?}");
    let index = LineIndex::new(source);
    let place = index.place(fault.place.start);
    let line = index.text(place.line);
    assert!(place.column <= line.chars().count() + 2, "{place:?} is beyond its line {line:?}");
}

/// Damages a text: bytes changed, lines dropped or doubled, brackets removed, the end cut off.
fn damaged(text: &str, tape: &mut Tape) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..tape.between(1, 3) {
        let at = tape.below(bytes.len().max(1)).min(bytes.len());
        match tape.below(7) {
            _ if bytes.is_empty() => {}
            0 => {
                bytes.remove(at);
            }
            1 => bytes[at] = tape.pick(b"\"\\(){}[],:0-/x\n*_\xff\xc3"),
            2 => bytes.insert(at, tape.pick(b"\"\\(){}[],:0-/x\n*_.")),
            3 => bytes.truncate(at),
            4 => {
                let brackets: Vec<usize> = (0..bytes.len()).filter(|&at| b"()[]{}\"".contains(&bytes[at])).collect();
                if !brackets.is_empty() {
                    bytes.remove(tape.pick(&brackets));
                }
            }
            5 => bytes[at..].iter_mut().take(1).for_each(|byte| *byte ^= 1 << tape.below(8)),
            _ => {
                let lines: Vec<&[u8]> = bytes.split(|&byte| byte == b'\n').collect();
                let dropped = tape.below(lines.len());
                let kept = lines.iter().enumerate().filter(|&(line, _)| line != dropped).map(|(_, line)| *line);
                bytes = kept.collect::<Vec<_>>().join(&b'\n');
            }
        }
    }
    bytes
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn a_train_written_out_reads_in_as_the_gearset_built_in_code(draft in train()) {
        let built = Gearset::new(draft.clone());
        prop_assume!(built.is_ok());
        let text = description::write(&draft);
        let read = description::read(&text).map_err(|faults| TestCaseError::fail(format!("{faults:?}\n{text}")))?;
        prop_assert_eq!(Ok(read), built, "{}", text);
    }

    #[test]
    fn no_text_makes_reading_panic(text in "[\\PC\\n\\t\"\\\\(){}\\[\\],:0-9/*]{0,60}") {
        faults_have_places(&text);
        faults_have_places(&format!("Gearset(title: \"é\", members: {{{text}"));
        faults_have_places(&format!("Gearset(title: \"é\", members: {{\"a\": [Sun(\"S\", {text})]}})"));
    }

    #[test]
    fn a_damaged_example_is_read_or_refused_with_places(which in any::<prop::sample::Index>(), mut tape in tape(20)) {
        let example = which.get(description::examples());
        let bytes = damaged(example.text, &mut tape);
        match std::str::from_utf8(&bytes) {
            Ok(text) => faults_have_places(text),
            Err(error) => {
                let faults = description::read_bytes(&bytes).expect_err("bytes that are no text");
                prop_assert_eq!(faults[0].place.start, error.valid_up_to());
            }
        }
    }

    #[test]
    fn a_damaged_train_is_read_or_refused_with_places(draft in train(), mut tape in tape(20)) {
        if let Ok(text) = std::str::from_utf8(&damaged(&description::write(&draft), &mut tape)) {
            faults_have_places(text);
        }
    }
}

#[test]
fn every_built_in_gearset_written_out_reads_in_as_itself() {
    for example in description::examples() {
        let set = description::read(example.text).unwrap_or_else(|faults| panic!("{}: {faults:?}", example.name));
        let text = description::write(set.draft());
        assert_eq!(description::read(&text).as_ref(), Ok(&set), "{}", example.name);
        assert_eq!(description::write(description::read(&text).unwrap().draft()), text, "{}", example.name);
        assert_eq!(description::read_bytes(format!("\u{feff}{text}").as_bytes()), Ok(set), "{}", example.name);
    }
}

#[test]
fn every_example_cut_off_anywhere_is_refused_with_places() {
    let text = description::example(description::DEFAULT_EXAMPLE).unwrap();
    let end = text.trim_end().len();
    for (at, _) in text.char_indices().filter(|&(at, _)| at + 1 < end) {
        assert!(description::read(&text[..at]).is_err(), "cut off at {at}");
        faults_have_places(&text[..at]);
    }
}

#[test]
fn a_pressure_angle_and_profile_shifts_written_out_read_in_as_themselves() {
    let text = r#"Gearset(title: "t", pressure_angle: 14.5, profile_shifts: {"S \"1\"": "-1/3", "p": 0.25},
        members: {"s": [Sun("S \"1\"", 24)], "c": []},
        planets: {"p": (carrier: "c", pins: Equal(3), gears: [Gear("p", 18)])}, meshes: [("S \"1\"", "p")])"#;
    let set = description::read(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let sun = set.gear_named("S \"1\"").expect("it is there");
    assert_eq!((set.pressure_angle().to_string(), set.profile_shift(sun).to_string()), ("29/2".into(), "-1/3".into()));
    assert_eq!(description::read(&description::write(set.draft())), Ok(set));
}

#[test]
fn a_note_of_a_gear_is_repeated_by_check_and_written_out_again() {
    let text = r#"Gearset(title: "t", members: {"s": [Sun("S", 24, (note: "chipped tooth, keep"))],
        "b": [Bevel("B", 24, InputSide, (note: "\u{1b}[31mred"))], "c": []},
        planets: {"p": (carrier: "c", pins: Equal(3), gears: [Gear("p", 18, (note: "say \"when\""))])}, meshes: [("S", "p")],
        joins: [("b", "s")])"#;
    let set = description::read(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let notes: Vec<Option<&str>> = set.gears().iter().map(toothmark::gearset::Gear::note).collect();
    assert_eq!(notes, [Some("chipped tooth, keep"), Some("\u{1b}[31mred"), Some("say \"when\"")]);
    let written = description::write(set.draft());
    assert!(written.contains(r#"Sun("S", 24, (note: "chipped tooth, keep"))"#), "{written}");
    assert_eq!(description::read(&written), Ok(set));
    let shown = run_with(command(&["check", "-"]), text.as_bytes());
    assert_eq!(shown.code, 0, "{}", shown.stderr);
    assert!(shown.stdout.contains("24 teeth (note: \"chipped"), "{}", shown.stdout);
    assert!(!shown.stdout.contains('\u{1b}'), "{}", shown.stdout);
}
