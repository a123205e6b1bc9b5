//! What can bytes, terminals and odd arguments do to the program?
//!
//! Descriptions that no one should write (nested without end, cut in a letter, endless), widths that
//! no terminal has, escapes in names, values that are none: each gets an answer of bounded size or a
//! short message, never a panic. What every problem is called is looked at in `rejected`.

use serde_json::Value;
use toothmark::description::{DEFAULT_EXAMPLE, LARGEST_FILE, example, read_bytes};
use toothmark::tooth_search::RequestSource;

use crate::support::process::{Run, command, package, run, run_with};

/// An answer without a word on standard error.
#[track_caller]
fn answer(arguments: &[&str]) -> String {
    let answer = run(arguments);
    assert_eq!((answer.code, answer.stderr.as_str()), (0, ""), "{arguments:?}");
    answer.stdout
}

fn json_of(text: &str, arguments: &[&str]) -> Value {
    serde_json::from_str(&run_with(command(arguments), text.as_bytes()).stdout).expect("the answer is JSON")
}

#[test]
fn without_a_file_every_command_takes_the_default() {
    let text = example(DEFAULT_EXAMPLE).expect("it is built in");
    for name in ["ratios", "timing", "loads", "check"] {
        assert_eq!(answer(&[name]), run_with(command(&[name, "-"]), text.as_bytes()).stdout, "{name}");
    }
}

/// One simple set, 1 + 60/20 = 4 with the ring held; everything that can become of it.
#[test]
fn every_verdict_is_reached() {
    let train = |given: &str| {
        format!(
            "Gearset(title: \"t\", input: \"s\", output: \"c\", members: {{\"s\": [Sun(\"S\", 20)], \
             \"r\": [Ring(\"R\", 60)], \"c\": []}}, planets: {{\"p\": (carrier: \"c\", pins: Equal(3), \
             gears: [Gear(\"P\", 20)])}}, meshes: [(\"S\", \"P\"), (\"P\", \"R\")], \
             states: {{\"only\": Given({given})}})"
        )
    };
    let cases = [
        ("held: [\"r\"]", "drives", Value::from("4")),
        ("held: [\"r\", \"s\"]", "locked", Value::Null),
        ("", "neutral", Value::Null),
        ("held: [\"c\"]", "output held", Value::Null),
    ];
    for (given, verdict, ratio) in cases {
        let state = &json_of(&train(given), &["ratios", "-", "--format", "json"])["states"][0];
        assert_eq!((&state["verdict"], &state["ratio"]["fraction"]), (&Value::from(verdict), &ratio), "{given}");
    }
}

#[test]
fn csv_has_records_of_one_length() {
    for name in ["ratios", "timing", "loads"] {
        let text = answer(&[name, "--format", "csv"]);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let fields = reader.headers().expect("a heading").len();
        let lengths: Vec<usize> = reader.records().map(|record| record.expect("RFC 4180").len()).collect();
        assert!(!lengths.is_empty() && lengths.iter().all(|&length| length == fields), "{name}: {lengths:?}");
    }
}

#[test]
fn a_speed_that_is_none_is_refused() {
    for rpm in ["", "1e3", "1/0", "1,500", "0x10", "NaN"] {
        let refused = run(&["ratios", "--rpm", rpm]);
        assert_eq!((refused.code, refused.stdout.as_str()), (2, ""), "{rpm:?}");
        assert!(refused.stderr.contains("is not a speed"), "{rpm:?}: {}", refused.stderr);
    }
}

#[test]
fn colour_is_given_when_asked_for_and_never_otherwise() {
    let has_escape = |variables: &[(&str, &str)]| {
        let mut command = command(&["ratios"]);
        command.env_remove("NO_COLOR").envs(variables.iter().copied());
        run_with(command, b"").stdout.contains('\u{1b}')
    };
    assert!(!has_escape(&[("TERM", "xterm-256color"), ("COLORTERM", "truecolor")]), "a pipe is a pipe");
    assert!(!has_escape(&[("NO_COLOR", "1")]), "NO_COLOR is respected");
    // Proves that the checks above look for what would be there.
    assert!(has_escape(&[("CLICOLOR_FORCE", "1")]), "forced colour is there");
}

#[test]
fn a_narrow_terminal_gets_no_longer_lines() {
    for name in ["inspection-railcar", "village-bus-automatic", "cannot-be-trio", "bus-with-range-box"] {
        let text = example(name).expect("it is built in");
        for subcommand in ["ratios", "timing", "loads", "check"] {
            let mut narrow = command(&[subcommand, "-"]);
            narrow.env("COLUMNS", "40");
            let shown = run_with(narrow, text.as_bytes()).stdout;
            let long: Vec<&str> = shown.lines().filter(|line| textwrap::core::display_width(line) > 40).collect();
            assert!(long.is_empty(), "{subcommand} {name}:\n{}", long.join("\n"));
        }
    }
}

#[test]
fn no_width_is_too_odd() {
    let text = example("bus-with-range-box").expect("it is built in");
    for columns in ["20", "1", "0", "-5", "65535", "99999999999", "wide", ""] {
        for subcommand in ["ratios", "timing", "loads", "check"] {
            let mut odd = command(&[subcommand, "-"]);
            odd.env("COLUMNS", columns);
            let Run { code, stdout, stderr } = run_with(odd, text.as_bytes());
            assert_eq!((code, stderr.as_str()), (0, ""), "{subcommand} in {columns:?} columns");
            assert!(!stdout.is_empty(), "{subcommand} in {columns:?} columns");
        }
    }
}

#[test]
fn names_from_arguments_cannot_move_the_cursor() {
    for arguments in [
        ["ratios", "--state=\u{1b}[2J"],
        ["ratios", "--rpm=\u{1b}[2J"],
        ["loads", "--torque=\u{1b}[2J"],
        ["examples", "\u{1b}[2J"],
    ] {
        let mut command = command(&arguments);
        command.env_remove("NO_COLOR").env("CLICOLOR_FORCE", "1");
        let refused = run_with(command, b"");
        assert!(refused.code == 2 && !refused.stderr.contains("\u{1b}[2J"), "{arguments:?}: {}", refused.stderr);
    }
}

/// Characters that a terminal obeys, or that turn the direction of writing, passed into JSON as they were.
#[test]
fn no_character_of_a_file_is_obeyed_in_any_form() {
    let obeyed = ('\u{1}'..='\u{1f}').filter(|letter| !matches!(letter, '\n' | '\r' | '\t'));
    let obeyed = obeyed.chain('\u{7f}'..='\u{9f}').chain('\u{202a}'..='\u{202e}').chain('\u{2066}'..='\u{2069}');
    let obeyed: Vec<char> = obeyed.chain(['\u{200e}', '\u{200f}', '\u{61c}']).collect();
    let title: String = obeyed.iter().map(|letter| letter.escape_unicode().to_string()).collect();
    let text = example("inspection-railcar").expect("it is built in");
    let text = text.replacen("title: \"", &format!("title: \"{title}"), 1).replace("\"D\"", &format!("\"D{title}\""));
    for form in ["text", "markdown", "csv", "json"] {
        for name in ["timing", "ratios", "check", "loads"] {
            let told = run_with(command(&[name, "-", "--format", form, "--full"]), text.as_bytes());
            assert!(told.code < 2, "{name} as {form}: {}", told.stderr);
            assert!(!told.stdout.contains(&obeyed[..]), "{name} as {form}");
        }
    }
    let asked = serde_json::json!({ "id": title, "question": "check", "description": text }).to_string();
    let replied = run_with(command(&["answer"]), asked.as_bytes()).stdout;
    assert!(replied.contains("\"outcome\":\"yes\"") && !replied.contains(&obeyed[..]), "{replied}");
}

#[test]
fn deep_nesting_is_refused_wherever_a_value_belongs() {
    let shapes = [("[", "]"), ("(", ")"), ("{\"a\":", "}"), ("a(", ")"), ("Some(", ")")];
    let places = [
        "title: X, members: {}",
        "title: \"t\", members: X",
        "title: \"t\", members: {X: []}",
        "title: \"t\", members: {\"m\": X}",
        "title: \"t\", members: {\"m\": [Sun(\"S\", X)]}",
        "title: \"t\", members: {}, pitch: X",
        "title: \"t\", members: {}, meshes: [X]",
        "title: \"t\", members: {}, states: {\"s\": Given(turning: {\"m\": X})}",
    ];
    for place in places {
        for (open, close) in shapes {
            let value = format!("{}1{}", open.repeat(10_000), close.repeat(10_000));
            let text = format!("Gearset({})", place.replace('X', &value));
            let Run { code, stdout, stderr } = run_with(command(&["check", "-"]), text.as_bytes());
            assert_eq!((code, stdout.as_str()), (2, ""), "{open} in {place}");
            assert!(stderr.contains("error: ") && stderr.contains("hint: "), "{open} in {place}: {stderr}");
            assert!(stderr.len() < 10_000, "{open} in {place}: a message of {} bytes", stderr.len());
        }
    }
}

#[test]
fn deeply_nested_comments_are_passed_over() {
    let comment = format!("{}1{}", "/*".repeat(10_000), "*/".repeat(10_000));
    let text = format!("Gearset(title: {comment} \"t\", members: {{}} {comment}) {comment}");
    let Run { code, stderr, .. } = run_with(command(&["check", "-"]), text.as_bytes());
    assert_eq!((code, stderr.as_str()), (0, ""));
}

#[test]
fn bytes_that_are_no_description_get_a_short_message() {
    for (name, bytes) in [
        ("zeros", vec![0; 4096]),
        ("cut in a letter", b"Gearset(title: \"K\xc3".to_vec()),
        ("one byte too many", vec![b' '; LARGEST_FILE + 1]),
        ("brackets", vec![b'('; LARGEST_FILE]),
        ("quotes", vec![b'"'; LARGEST_FILE]),
        ("one name", [b"Gearset(title: \"".as_slice(), &vec![b'x'; LARGEST_FILE / 2], b"\")"].concat()),
        ("one bare word", [b"Gearset(title: ".as_slice(), &vec![b'x'; LARGEST_FILE / 2], b", members: {})"].concat()),
    ] {
        let Run { code, stdout, stderr } = run_with(command(&["check", "-"]), &bytes);
        assert_eq!((code, stdout.as_str()), (2, ""), "{name}");
        assert!(stderr.contains("error: ") && stderr.contains("hint: "), "{name}");
        assert!(stderr.len() < 10_000, "{name}: a message of {} bytes", stderr.len());
    }
}

#[cfg(unix)]
#[test]
fn an_endless_file_is_not_read_to_the_end() {
    let refused = run(&["check", "/dev/zero"]);
    assert!(refused.code == 2 && refused.stderr.contains("the file is larger than"), "{}", refused.stderr);
}

/// Kinds of fault that no file in `tests/rejected` shows: both are made by the tests.
const MADE_BY_TESTS: [&str; 2] = ["TooLarge", "NotText"];

#[test]
fn every_kind_of_fault_has_a_file() {
    let files = |folder: &str| {
        let entries = std::fs::read_dir(package().join(folder)).expect("the folder is there");
        entries.map(|entry| std::fs::read(entry.expect("an entry").path()).expect("it can be read"))
    };
    let set = crate::support::sets::read_example("inspection-railcar");
    let of_request =
        |bytes: Vec<u8>| RequestSource::read_bytes(&bytes).and_then(|read| read.request(&set).map(drop)).err();
    let mut kinds: Vec<String> = files("tests/rejected")
        .map(|bytes| read_bytes(&bytes).expect_err("every file has a fault"))
        .chain(files("tests/rejected_requests").filter_map(of_request))
        .flatten()
        .flat_map(|fault| {
            // A flaw of the text stands in brackets behind its kind.
            let words: Vec<String> =
                format!("{:?}", fault.kind).split([' ', '(', '{']).map(ToOwned::to_owned).collect();
            let depth = if words[0] == "Text" { 2 } else { 1 };
            words.into_iter().take(depth).collect::<Vec<_>>()
        })
        .chain(MADE_BY_TESTS.map(ToOwned::to_owned))
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    let mut listed = variants("src/description/fault.rs", "FaultKind");
    listed.extend(variants("src/syntax/flaw.rs", "Flaw"));
    listed.sort_unstable();
    assert_eq!(kinds, listed);
}

/// The variants of an enum, by its source.
fn variants(path: &str, name: &str) -> Vec<String> {
    let source = std::fs::read_to_string(package().join(path)).expect("the source");
    let begin = format!("pub enum {name} {{");
    let body = source.split(&begin).nth(1).and_then(|rest| rest.split("\n}").next()).expect("the enum");
    body.lines()
        .filter_map(|line| line.strip_prefix("    "))
        .filter(|line| line.starts_with(char::is_uppercase))
        .map(|line| line.split([' ', ',', '(', '{']).next().unwrap_or_default().to_owned())
        .collect()
}

#[test]
fn problems_come_in_the_order_of_the_file() {
    let path = package().join("tests/rejected/several-problems-in-file-order.ron");
    let bytes = std::fs::read(path).expect("the file is there");
    let faults = read_bytes(&bytes).expect_err("it has problems");
    assert!(faults.len() >= 14 && faults.is_sorted_by_key(|fault| fault.place.start), "{faults:?}");
}

/// Twenty thousand wrong entries were told one by one, in 5.8 MB.
#[test]
fn of_very_many_faults_the_first_are_shown() {
    let gears: Vec<String> = (0..20_000).map(|gear| format!("Sun(\"S{gear}\", 0)")).collect();
    let text = format!("Gearset(title: \"t\", members: {{\"a\": [\n{}\n]}})", gears.join(",\n"));
    let Run { code, stderr, .. } = run_with(command(&["check", "-"]), text.as_bytes());
    assert_eq!((code, stderr.matches("error: ").count()), (2, 50), "{} bytes", stderr.len());
    assert!(stderr.len() < 20_000, "{} bytes", stderr.len());
    let lines: Vec<usize> = stderr.lines().filter_map(|line| line.trim().strip_prefix("--> ")).map(line_of).collect();
    assert!(lines.len() == 50 && lines.is_sorted() && lines[49] <= 51, "in the order of the file: {lines:?}");
    let last = stderr.lines().next_back().expect("it is said how many there are");
    assert!(last.ends_with(": the first 50 are shown, 19951 more are not"), "{last}");
}

/// The line in `name:line:column`.
fn line_of(place: &str) -> usize {
    place.rsplit(':').nth(1).and_then(|line| line.parse().ok()).expect("a place has a line")
}
