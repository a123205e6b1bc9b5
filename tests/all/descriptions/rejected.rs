//! Descriptions with something wrong: every message, and nothing that panics or hangs.
//!
//! One tiny file a problem in `tests/rejected/`, named after it, its message kept as a
//! snapshot; what looks wrong and is legal in `tests/accepted/`.

use std::collections::HashSet;

use toothmark::description::{self, FaultKind, Flaw};

use crate::support::process::{command, package, run, run_with};

/// The files of a folder of `tests`, by name, in order.
fn files(folder: &str) -> Vec<String> {
    let entries = std::fs::read_dir(package().join("tests").join(folder)).expect("the folder can be read");
    let mut names: Vec<String> =
        entries.map(|entry| entry.expect("an entry").file_name().into_string().expect("a plain name")).collect();
    names.sort();
    names
}

#[test]
fn every_rejected_file_gets_its_message() {
    let names = files("rejected");
    assert!(names.len() >= 495, "only {} files", names.len());
    for name in names {
        let path = format!("rejected/{name}");
        let answer = run(&["check", &path]);
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{name}");
        assert!(answer.stderr.starts_with("error: "), "{name}: {}", answer.stderr);
        assert!(answer.stderr.contains("hint: "), "{name}: {}", answer.stderr);
        assert!(answer.stderr.contains(&format!("{path}:")), "{name}: {}", answer.stderr);
        let harmless = |letter: char| letter == '\n' || !letter.is_control();
        assert!(answer.stderr.chars().all(harmless), "{name}: {:?}", answer.stderr);
        insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
            insta::assert_snapshot!(format!("rejected-{}", name.trim_end_matches(".ron")), answer.stderr);
        });
    }
}

/// What a first-time writer slips on, with the text to be written at its place, told by hand.
const PASTED: &[(&str, &str)] = &[
    ("angle-in-degrees", "14.5"),
    ("angle-mixed-fraction", "14.5"),
    ("angle-quotes", "\"Winch\""),
    ("angle-vulgar-fraction", "14.5"),
    ("angle-with-degree-sign", "14.5"),
    ("annulus", "Ring(\"R\", 60)"),
    ("apply-without-list", "[\"ring band\"]"),
    ("backlash-american", "Millimetres(0.1)"),
    ("backlash-decimal-comma", "Millimetres(0.1)"),
    ("backlash-in-inches", "Inches(0.004)"),
    ("backlash-in-inches-with-strokes", "Inches(0.004)"),
    ("backlash-in-millimetres", "Millimetres(0.1)"),
    ("backlash-in-quotes", "Millimetres(0.1)"),
    ("backlash-in-thousandths", "Inches(0.004)"),
    ("backlash-mm-word", "Millimetres(0.1)"),
    ("backlash-other-unit-in-brackets", "Inches(0.004)"),
    ("backlash-unit-in-brackets", "Millimetres(0.1)"),
    ("backquotes", "\"Winch\""),
    ("brake", "Band(\"ring\")"),
    ("colon-for-comma-in-gear", "Sun(\"S\", 24)"),
    ("comma-for-colon", "title: \"Winch\""),
    ("count-before-name", "Sun(\"S\", 22)"),
    ("count-before-name-of-planet", "Gear(\"p\", 18)"),
    ("count-before-name-without-quotes", "Sun(\"S\", 24)"),
    ("dash-comment", "// my winch"),
    ("dp-as-word", "DiametralPitch(10)"),
    ("dp-before-number", "DiametralPitch(10)"),
    ("dp-behind-number", "DiametralPitch(10)"),
    ("efficiency-comma", "0.98"),
    ("equals-for-colon", "title: \"Winch\""),
    ("equals-for-colon-of-member", "\"sun\": [Sun(\"S\", 24)]"),
    ("gear-in-braces", "[Sun(\"S\", 24)]"),
    ("gear-on-member", "Sun(\"S\", 24)"),
    ("gear-outside-list", "[Sun(\"S\", 24)]"),
    ("hash-comment", "// my winch"),
    ("hash-comment-behind", "// counted twice"),
    ("hash-comment-first", "// my winch"),
    ("held-without-list", "[\"ring\"]"),
    ("internal-gear", "Ring(\"R\", 60)"),
    ("letter-o-for-zero", "60"),
    ("list-in-parentheses-of-names", "[\"ring band\"]"),
    ("lower-case-kind", "Ring(\"R\", 60)"),
    ("mesh-alone", "[(\"S\", \"p\")]"),
    ("meshes-in-braces", "[(\"S\", \"p\"), (\"R\", \"p\")]"),
    ("meshes-with-colon", "[(\"S\", \"p\"), (\"R\", \"p\")]"),
    ("minus-sign-true", "-0.25"),
    ("module-as-field", "pitch: Module(2.5)"),
    ("module-short", "Module(2.5)"),
    ("module-with-colon", "Module(2.5)"),
    ("module-with-decimal-comma", "Module(2.5)"),
    ("module-with-equals", "Module(2.5)"),
    ("module-with-unit-alone", "Module(2.5)"),
    ("module-with-unit-and-space", "Module(2.5)"),
    ("module-with-unit-in-brackets", "Module(2.5)"),
    ("module-without-brackets", "Module(2.5)"),
    ("percent", "0.98"),
    ("percent-in-quotes", "0.98"),
    ("pins-degrees-of-spacing", "Equal(3)"),
    ("pins-equal-lower-case", "Equal(3)"),
    ("pins-in-list", "Equal(3)"),
    ("pins-in-words", "Equal(3)"),
    ("pins-list-of-degrees", "Degrees([0, 120, 240])"),
    ("pins-number-alone", "Equal(3)"),
    ("pins-word", "Equal(3)"),
    ("planet-gear-word", "Gear(\"p\", 18)"),
    ("planet-gears-without-list", "[Gear(\"p\", 18)]"),
    ("planet-in-wrong-brackets", "(carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", 18)])"),
    ("single-quotes-name", "\"sun\""),
    ("speed-in-words", "\"1/2\""),
    ("state-as-list", "Apply([\"ring band\"])"),
    ("state-as-name", "Apply([\"ring band\"])"),
    ("teeth-as-field", "Sun(\"S\", 24)"),
    ("teeth-in-quotes-with-word", "24"),
    ("teeth-in-words", "24"),
    ("teeth-with-letter", "24"),
    ("teeth-with-z", "24"),
    ("typographic-quote-closes-only", "\"Winch\""),
    ("typographic-quote-opens-only", "\"Winch\""),
    ("typographic-quotes-low", "\"Winch\""),
    ("typographic-single-quotes", "\"Winch\""),
    ("unquoted-name-with-space", "\"ring band\""),
    ("upper-case-kind", "Ring(\"R\", 60)"),
    ("wrap-in-degrees", "Degrees(330)"),
];

#[test]
fn what_a_slip_should_be_is_told_and_mends_it_when_pasted() {
    assert!(PASTED.len() >= 60, "only {}", PASTED.len());
    for (name, meant) in PASTED {
        let path = package().join("tests/rejected").join(format!("{name}.ron"));
        let text = std::fs::read_to_string(path).expect("the file");
        let faults = description::read(&text).expect_err("it is refused");
        let [fault] = faults.as_slice() else { panic!("{name} has not one fault:\n{faults}") };
        assert_eq!(fault.hint(), format!("write {meant}"), "{name}");
        let mut mended = text.clone();
        mended.replace_range(fault.place.clone(), meant);
        if let Err(faults) = description::read(&mended) {
            panic!("{name} is not mended by {meant}:\n{faults}\n{mended}");
        }
    }
}

#[test]
fn every_accepted_file_is_sound() {
    for name in files("accepted") {
        let answer = run(&["check", &format!("accepted/{name}")]);
        assert_eq!(answer.code, 0, "{name}: {}", answer.stderr);
    }
}

/// A clearance that may have one value only is a narrow one, not one upside down.
#[test]
fn a_clearance_may_be_allowed_from_and_to_the_same_length() {
    let upside_down = include_str!("../../rejected/bearing-clearance-upside-down.ron");
    let of_one = upside_down.replacen("Millimetres(0.06)", "Millimetres(0.02)", 1);
    assert!(description::read(upside_down).is_err());
    let read = description::read(&of_one);
    assert!(read.is_ok(), "{:?}", read.err());
}

#[test]
fn every_rule_is_broken_by_some_file() {
    let broken: HashSet<String> = files("rejected")
        .iter()
        .filter_map(|name| std::fs::read(package().join("tests/rejected").join(name)).ok())
        .filter_map(|bytes| description::read_bytes(&bytes).err())
        .flatten()
        .filter_map(|fault| {
            let FaultKind::Rule(rule) = fault.kind else { return None };
            // Written as the theme with the rule in brackets.
            format!("{rule:?}").split([' ', '(', ')']).nth(1).map(ToOwned::to_owned)
        })
        .collect();
    let mut count = 0;
    for theme in ["found", "index", "mesh", "name", "planet", "reading", "size", "usage"] {
        let path = package().join(format!("src/gearset/rule/{theme}.rs"));
        let rules = std::fs::read_to_string(path).expect("the rules");
        let listed = rules.split("Rule {\n").nth(1).and_then(|rest| rest.split("\n}").next()).expect("the list");
        for line in listed.lines().map(str::trim).filter(|line| line.starts_with(char::is_uppercase)) {
            let name = line.split([' ', ',', '{']).next().expect("a name");
            assert!(broken.contains(name), "no file in tests/rejected breaks the rule {name}");
            count += 1;
        }
    }
    assert!(count >= 54, "only {count} rules were found");
}

/// What is on standard input is refused, with this in the message.
#[track_caller]
fn refused(input: &[u8], expected: &str) {
    let answer = run_with(command(&["check", "-"]), input);
    assert_eq!(answer.code, 2, "{}", answer.stderr);
    assert!(answer.stderr.contains(expected), "{}", answer.stderr);
    assert!(answer.stderr.contains("hint: "), "{}", answer.stderr);
}

#[test]
fn what_is_no_text_is_refused() {
    refused(b"", "the file is empty");
    refused(b" \n\t\n", "the file is empty");
    refused(b"Gearset(title: \"a\xff\")", "not UTF-8");
    refused(&[0xff, 0xfe, b'G', 0], "not UTF-8");
    refused(&vec![b' '; 100 * 1024 * 1024], "larger than");
}

#[test]
fn deep_nesting_is_refused() {
    for bracket in ["[", "(", "{"] {
        let deep = bracket.repeat(10_000);
        refused(format!("Gearset(title: {deep}").as_bytes(), "error: ");
        refused(format!("Gearset(title: \"t\", members: {{\"a\": [Sun(\"s\", {deep}").as_bytes(), "error: ");
        refused(deep.as_bytes(), "error: ");
    }
}

#[test]
fn twenty_thousand_problems_are_all_reported() {
    let meshes = (0..20_000).map(|index| format!("(\"a{index}\", \"b\"),\n")).collect::<Vec<_>>().concat();
    let text = format!("Gearset(title: \"t\", members: {{\"c\": [Sun(\"b\", 20)]}}, meshes: [\n{meshes}])");
    refused(text.as_bytes(), "20000 problems");
}

/// Whatever is wrong with a text, each fault has its place in it and says so in words of
/// the trade, none of which are those of the reader of the file format.
#[track_caller]
fn told_in_plain_words(source: &str) {
    const FOREIGN: [&str; 9] =
        ["struct", "enum", "variant", "identifier", "Text", "char ", "parse", "literal", "extension"];
    for fault in description::read(source).err().into_iter().flatten() {
        let (told, place) = (format!("{fault}; {}", fault.hint()), fault.place);
        assert!(source.get(place.clone()).is_some(), "{place:?} of {source:?}");
        if let FaultKind::Text(Flaw::Shape { .. }) = fault.kind {
            let foreign = FOREIGN.iter().find(|word| told.contains(**word));
            assert_eq!(foreign, None, "{told}: {source}");
        }
    }
}

#[test]
fn every_slip_of_the_pen_is_told_in_plain_words() {
    for name in ["bevel-differential", "hill-tramway-car"] {
        let example = description::example(name).expect("an example");
        let begin = example.find("Gearset(").expect("its beginning");
        for (at, letter) in example.char_indices().skip(begin) {
            let (before, after) = (&example[..at], &example[at + letter.len_utf8()..]);
            told_in_plain_words(before);
            told_in_plain_words(&format!("{before}{after}"));
            for slip in ["(", "]", "}", "\"", "'", ",", ":", "/", "/*", "#", "-", "\\", "x", "7", " ", "é", "\0"] {
                told_in_plain_words(&format!("{before}{slip}{letter}{after}"));
            }
        }
    }
}

#[test]
fn folders_and_missing_files_are_refused() {
    let folder = run(&["check", "rejected"]);
    assert_eq!(folder.code, 2);
    assert!(folder.stderr.contains("is a folder"), "{}", folder.stderr);
    let missing = run(&["check", "no-such-file.ron"]);
    assert_eq!(missing.code, 2);
    assert!(missing.stderr.contains("there is no such file"), "{}", missing.stderr);
}

/// A tooth count or number of pins that could not be read stood as the largest number there is, and became a length:
/// measured clusters for `Equal("3")` pins ended with "capacity overflow", and those for a thousand million pins took
/// 48 gigabytes.
#[test]
fn an_unreadable_number_of_pins_is_told_and_nothing_is_made_of_it() {
    let of = |pins: &str| {
        format!(
            "Gearset(title: \"t\", members: {{\"a\": [Sun(\"A\", 30)], \"c\": []}}, planets: {{\"p\": (carrier: \"c\", \
             pins: {pins}, gears: [Gear(\"d\", 30)])}}, meshes: [(\"A\", \"d\")], measured: {{\"p\": (central: \
             [Teeth(\"A\", 0.1)])}})"
        )
    };
    for pins in ["Equal(\"3\")", "Equal(1000000000)", "Equal(99999999999999999999)", "Equal(-1)", "Turns([x])"] {
        let faults = description::read(&of(pins)).expect_err("no such pins");
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert!(told.len() <= 2 && told.iter().all(|told| told.len() < 200), "{pins}: {told:?}");
    }
}

/// The places of the numbers that stand without quotes and outside comments.
fn numbers(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(letter) = text[at..].chars().next() {
        let rest = &text[at..];
        let length = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if letter == '"' {
            rest[1..].find('"').map_or(rest.len(), |end| end + 2)
        } else if letter.is_ascii_digit() {
            let length = rest.find(|letter: char| !letter.is_ascii_digit() && letter != '.').unwrap_or(rest.len());
            found.push(at..at + length);
            length
        } else {
            letter.len_utf8()
        };
        at += length;
    }
    found
}

/// Rules complained of what stood in for a number that could not be read, such as too few clusters for its pins.
#[test]
fn a_number_that_cannot_be_read_is_told_once_and_no_rule_complains_of_it() {
    let mut seen = 0;
    for example in description::examples() {
        for place in numbers(example.text) {
            let text = format!("{}x{}", &example.text[..place.start], &example.text[place.end..]);
            let faults = description::read(&text).expect_err("x is no number");
            assert_eq!(faults.len(), 1, "{}: {}", example.name, faults);
            assert_eq!(faults[0].place, place.start..place.start + 1, "{}: {}", example.name, faults);
            seen += 1;
        }
    }
    assert!(seen > 250, "only {seen} numbers");
}
