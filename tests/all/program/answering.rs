//! Does `answer` say to a request what the command of that name prints, and to anything else what is wrong with it?
//!
//! The twin is the command itself, with the same options as arguments.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::Stdio;

use proptest::prelude::*;
use serde_json::{Map, Value, json};
use toothmark::description::{examples, read};
use toothmark::requests::QuestionRequest;

use crate::support::process::{Run, command, run, run_with};
use crate::support::random::cases;

/// What is answered to these lines.
fn answered(lines: &[u8]) -> (Run, Vec<Value>) {
    let answer = run_with(command(&["answer"]), lines);
    let replies = answer.stdout.lines().map(|line| serde_json::from_str(line).expect("a reply is JSON")).collect();
    (answer, replies)
}

/// The reply to one request.
fn reply(request: &Value) -> Value {
    let (answer, mut replies) = answered(format!("{request}\n").as_bytes());
    assert_eq!((answer.code, answer.stderr.as_str(), replies.len()), (0, "", 1), "{request}");
    replies.remove(0)
}

/// What the command says: its answer and outcome, or its first trouble.
fn said(question: &str, gearset: Option<&str>, options: &Map<String, Value>) -> Result<(Value, &'static str), String> {
    let mut arguments: Vec<String> = question.split(' ').map(str::to_owned).collect();
    arguments.extend(gearset.map(str::to_owned));
    arguments.extend(["--format", "json"].map(str::to_owned));
    for (name, value) in options {
        let values = value.as_array().cloned().unwrap_or_else(|| vec![value.clone()]);
        for value in values {
            let name = name.replace('_', "-");
            arguments.push(match (&value, value.as_str()) {
                (_, Some(text)) => format!("--{name}={text}"),
                (Value::Bool(_), None) => format!("--{name}"),
                (number, None) => format!("--{name}={number}"),
            });
        }
    }
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let Run { code, stdout, stderr } = run(&words);
    let answer = || serde_json::from_str(&stdout).expect("the answer is JSON");
    match code {
        0 => Ok((answer(), "yes")),
        1 => Ok((answer(), "no")),
        _ => Err(stderr.lines().next().unwrap_or_default().trim_start_matches("error: ").to_owned()),
    }
}

/// Holds a reply against what the command says.
fn compare(question: &str, gearset: Option<&str>, options: &Map<String, Value>) {
    let mut request = json!({ "id": question, "question": question, "options": options });
    if let Some(name) = gearset {
        request["description"] = name.into();
    }
    let reply = reply(&request);
    assert_eq!(reply["id"], question, "{request}");
    match said(question, gearset, options) {
        Ok((answer, outcome)) => {
            assert_eq!((&reply["answer"], &reply["outcome"]), (&answer, &outcome.into()), "{request}");
        }
        Err(told) => {
            assert_eq!((&reply["answer"], &reply["line"]), (&Value::Null, &1.into()), "{request}");
            let message = reply["errors"][0]["message"].as_str().expect("a sentence");
            // A refused value is told with its option in both, as it is called there.
            let message = message
                .split_once(": ")
                .filter(|(name, _)| options.contains_key(*name))
                .map_or(message.to_owned(), |(name, rest)| format!("--{}: {rest}", name.replace('_', "-")));
            assert_eq!(message, told, "{request}");
        }
    }
}

/// Every question with options that some gearsets take and others refuse.
const ASKED: &[(&str, &str)] = &[
    ("check", "{}"),
    ("check", r#"{"turned": "low drum held: flywheel 45 for driven drum 16"}"#),
    ("timing", r#"{"pins": 4}"#),
    ("timing", r#"{"with": "L=21,l=36", "backlash": "0.1mm"}"#),
    ("marks", "{}"),
    ("found", "{}"),
    ("found", r#"{"seen": "input", "pin": ["1=0deg", "2=33deg"], "within": 0.5}"#),
    ("found", r#"{"seen": "output", "gear": "d", "made": "same-tooth", "pin": ["1=0", "2=3 cw"]}"#),
    ("wrong", r#"{"within": "1/10", "ease": "0.002in"}"#),
    ("wrong", r#"{"reading": [0.2, 0.1], "radius": [60, 50], "gear": ["D", "L"]}"#),
    ("match", "{}"),
    ("ratios", r#"{"rpm": 1500.5}"#),
    ("ratios", r#"{"state": "low"}"#),
    ("ratios", r#"{"held": ["ring"], "input": "sun", "output": "carrier"}"#),
    ("formula", r#"{"notation": "tex", "member": ["carrier"]}"#),
    ("formula", r#"{"notation": "mathml"}"#),
    ("explore", r#"{"from": 2, "to": "5/2", "at_once": 1}"#),
    ("loads", r#"{"torque": "30 lb ft", "mesh_efficiency": 0.98}"#),
    ("loads", r#"{"with_speed": "ring=-1/2", "input": "sun"}"#),
    ("motion", r#"{"rpm": 1500, "torque": 30, "limit": [900, "ring=400"]}"#),
    ("motion", r#"{"heard": "low", "not_heard": ["direct"], "rpm": 900}"#),
    ("teeth close", r#"{"module": 2.5, "split": "equal-sliding"}"#),
    ("teeth order", r#"{"module": 2.5, "backlash_limits": "0.08..0.15", "keep": "L,D"}"#),
    ("teeth backlash", r#"{"dp": 10, "backlash": "4 thou", "clearance": ["3 thou"], "pin": "2=out:0.05mm"}"#),
    ("teeth backlash", r#"{"module": 2, "backlash": 0.1, "stiffness": 20000, "tooth_force": 3000}"#),
    ("teeth identify", "{}"),
    ("bench neutral", r#"{"rpm": 900}"#),
    ("bench bands", r#"{"wrap": 330, "drum": 190, "friction": 0.12, "pull": "600 N"}"#),
    ("bench bushes", r#"{"bore": "16.02", "shaft": "15.97", "allowed": "0.02..0.06"}"#),
    ("bench clutch", r#"{"finger": "20.9,21.4,20.6", "wanted": 20.64, "pitch": 1.27}"#),
    (
        "bench float",
        r#"{"space": 41.37, "parts": "12.02,25.40,0.85", "washers": "1.25,1.25,1.55", "wanted": "0.2..0.6"}"#,
    ),
    ("bench balance", r#"{"mass": "25kg", "part": "flywheel", "engine_rpm": 1800}"#),
    // Values and names that are none.
    ("ratios", r#"{"rpm": "fast"}"#),
    ("timing", r#"{"with": "no such gear=20"}"#),
    ("loads", r#"{"torque": -3}"#),
];

fn options(text: &str) -> Map<String, Value> {
    serde_json::from_str(text).expect("options are an object")
}

/// Once for each question; the rest is drawn below.
#[test]
fn every_question_is_answered_as_its_command_answers_it() {
    for (question, text) in ASKED {
        compare(question, Some("inspection-railcar"), &options(text));
    }
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn a_reply_is_what_the_command_prints(gearset in 0..examples().len(), asked in 0..ASKED.len()) {
        let (question, text) = ASKED[asked];
        compare(question, Some(examples()[gearset].name), &options(text));
    }
}

/// Without a description a question is about the default gearset, or about what its options say.
#[test]
fn a_question_may_name_no_description() {
    for (question, text) in [
        ("ratios", "{}"),
        ("teeth identify", r#"{"teeth": 27, "span": ["3=21.896", "4=30.228"]}"#),
        ("teeth identify", r#"{"teeth": 27, "ring": true, "pins": "4.5=86.21", "pressure_angle": 20}"#),
        ("bench bands", r#"{"wrap": 330, "drum": 190, "lining": 5, "gap": 0.5}"#),
        ("bench bushes", r#"{"bore": "16.02", "shaft": "15.97", "allowed": "0.02..0.06"}"#),
        ("bench balance", r#"{"chart": true}"#),
        ("bench float", r#"{"float": 0.6, "washers": "1.25,1.25,1.55", "wanted": "0.2..0.6"}"#),
    ] {
        compare(question, None, &options(text));
    }
    // The gears on a pin are a description as well, and its notes are told.
    let stack = json!({ "question": "ratios", "description": "20:30:80 22:28:78 24:26:76" });
    let reply = reply(&stack);
    let printed = run(&["ratios", "20:30:80", "22:28:78", "24:26:76", "--format", "json"]);
    assert_eq!(reply["answer"], serde_json::from_str::<Value>(&printed.stdout).expect("JSON"));
    assert_eq!(format!("note: {}\n", reply["notes"][0].as_str().expect("a note")), printed.stderr);
}

/// A description as its text, whose faults are told where they stand in it.
#[test]
fn faults_of_a_description_are_told_with_their_places() {
    let text = examples()[0].text.replace("20)", "x)");
    let reply = reply(&json!({ "id": null, "question": "check", "description": text }));
    let faults = read(&text).expect_err("x is no count");
    let told = faults.iter().map(|fault| {
        let place = json!({ "line": fault.start.line, "column": fault.start.column });
        json!({ "message": fault.to_string(), "hint": fault.hint(), "place": place })
    });
    assert_eq!(reply, json!({ "id": null, "line": 1, "errors": told.collect::<Vec<_>>() }));
    // Of very many the first are told, and how many there are besides.
    let many = format!(
        "Gearset(title: \"t\", input: \"s\", output: \"c\", members: {{{}}})",
        "\"s\": [Sun(\"S\", x)], ".repeat(90)
    );
    let errors = self::reply(&json!({ "question": "check", "description": many }))["errors"].clone();
    let errors = errors.as_array().expect("a list");
    let last = errors[50]["message"].as_str().expect("a sentence");
    assert!(errors.len() == 51 && last.ends_with(" more problems are not told"), "{last}");
}

/// Lines that are no requests, and what is said to them.
const NO_REQUESTS: &[(&str, &str)] = &[
    ("nonsense", "the request is no JSON: expected ident at column 2"),
    ("{\"question\": \"ratios\"", "the request is no JSON: EOF while parsing an object at column 21"),
    ("[]", "the request is no JSON object"),
    ("{}", "the request names no question"),
    (r#"{"question": 7}"#, "question is no text"),
    (r#"{"question": "ratio"}"#, "there is no question \"ratio\""),
    (r#"{"id": [1, {"a": null}], "question": "ratios", "options": {"rmp": 900}}"#, "there is no option \"rmp\""),
    (r#"{"question": "ratios", "options": []}"#, "options is no object"),
    (r#"{"question": "ratios", "descriptoin": "x"}"#, "there is no key \"descriptoin\""),
    (r#"{"question": "ratios", "options": {"rpm": [900]}}"#, "rpm: a value that is no text and no number"),
    (
        r#"{"question": "teeth identify", "options": {"teeth": 27, "ring": "yes"}}"#,
        "ring: a value that is neither true nor false",
    ),
    (r#"{"question": "timing", "options": {"module": 2, "dp": 10}}"#, "module and dp cannot be given together"),
    (r#"{"question": "found", "options": {"pin": "1=0"}}"#, "pin is given without seen"),
    (
        r#"{"question": "ratios", "file": "no-such-file.ron"}"#,
        "cannot read \"no-such-file.ron\": there is no such file",
    ),
    (r#"{"question": "ratios", "file": "-"}"#, "standard input has the requests"),
    (r#"{"question": "ratios", "file": "a.ron", "description": "b"}"#, "a description and a file are given"),
    (
        r#"{"question": "teeth identify", "description": "millrace-winch", "options": {"teeth": 27}}"#,
        "a description and a gear of its own are asked about",
    ),
    ("\u{0}", "the request is no JSON: expected value at column 1"),
];

#[test]
fn a_line_that_is_no_request_is_told_and_the_next_is_answered() {
    let asked = br#"{"question": "ratios", "description": "millrace-winch"}"#;
    let mut lines: Vec<(Vec<u8>, &str)> =
        NO_REQUESTS.iter().map(|(line, told)| (line.as_bytes().to_vec(), *told)).collect();
    lines.push((b"{\"question\": \"\xff\xfe\"}".to_vec(), "the line is not UTF-8"));
    lines.push((vec![b'['; 1_000_000], "the request is no JSON: recursion limit exceeded at column 128"));
    lines.push((vec![b'x'; 26_000_000], "the line is longer than 25231360 bytes"));
    // Behind each stand a sound request, a blank line and one of another system, which count and are passed over.
    let input = lines.iter().flat_map(|(line, _)| [&line[..], asked, b"", b"\r", b""].join(&b'\n'));
    let (answer, replies) = answered(&input.collect::<Vec<u8>>());
    assert_eq!((answer.code, answer.stderr.as_str()), (0, ""));
    assert_eq!(replies.len(), 2 * lines.len());
    for (at, (pair, (_, told))) in replies.chunks(2).zip(&lines).enumerate() {
        assert_eq!(pair[0]["errors"][0]["message"], *told, "{}", pair[0]);
        assert_eq!(pair[0]["line"], 4 * at + 1, "{}", pair[0]);
        assert!(!pair[0]["errors"][0]["hint"].as_str().expect("a hint").is_empty());
        assert_eq!((&pair[1]["outcome"], &pair[1]["line"]), (&"yes".into(), &Value::Null), "{told}");
    }
    assert_eq!(replies[2 * 6]["id"], json!([1, { "a": null }]));
}

/// The record of a job is a description too, and has a question of its own.
/// Of a key that was given twice the later won without a word.
#[test]
fn a_key_that_is_given_twice_is_refused_with_its_place() {
    for (line, key, column) in [
        (r#"{"id": 7, "question": "ratios", "question": "check"}"#, "question", 42),
        (r#"{"id": 7, "question": "ratios", "options": {"rpm": 900, "rpm": 1000}}"#, "rpm", 61),
    ] {
        let (answer, replies) = answered(format!("\n{line}\n").as_bytes());
        assert_eq!((answer.code, replies.len()), (0, 1), "{}", answer.stderr);
        let message = format!("the key {key:?} is given twice at column {column}");
        assert_eq!((&replies[0]["errors"][0]["message"], &replies[0]["id"]), (&json!(message), &json!(7)), "{line}");
        assert_eq!(replies[0]["line"], 2);
    }
}

/// A question of a megabyte came back in the message, whole.
#[test]
fn what_is_endless_comes_back_without_its_middle() {
    let replied = reply(&json!({ "question": "x".repeat(1_000_000) }));
    let message = replied["errors"][0]["message"].as_str().expect("it is refused");
    assert!(message.contains("xxx ... xxx") && message.len() < 400, "{} bytes", message.len());
    let long = "x".repeat(100_000);
    for words in [&["check", &long][..], &[&long], &["check", &format!("--{long}")], &["search", "--teeth", &long]] {
        let refused = run(words);
        assert_eq!((refused.code, refused.stdout.as_str()), (2, ""), "{}", refused.stderr.len());
        assert!(refused.stderr.contains("xxx ... ") && refused.stderr.len() < 2_000, "{} bytes", refused.stderr.len());
    }
    let digits = run(&["timing", &format!("30:{}:78", "2".repeat(5_000))]);
    assert!(digits.code == 2 && digits.stderr.len() < 2_000, "{} bytes", digits.stderr.len());
}

#[test]
fn a_job_is_judged_as_its_command_judges_it() {
    let job = run(&["job", "new", "inspection-railcar", "--date", "2026-11-29"]).stdout;
    let printed = run_with(command(&["job", "-", "--format", "json"]), job.as_bytes());
    let outcome = if printed.code == 0 { "yes" } else { "no" };
    let answer: Value = serde_json::from_str(&printed.stdout).expect("JSON");
    assert_eq!(
        reply(&json!({ "question": "job", "description": job })),
        json!({ "outcome": outcome, "answer": answer })
    );
    for (description, told) in [
        (Value::Null, "it is not said which job is asked about"),
        ("millrace-winch".into(), "a gearset is described, which is no job"),
        (job.replace("Job(", "Jub(").into(), "Jub"),
    ] {
        let errors = reply(&json!({ "question": "job", "description": description }))["errors"].clone();
        assert!(errors[0]["message"].as_str().is_some_and(|message| message.contains(told)), "{errors}");
    }
}

/// A file is read where the program runs; the library reads none.
#[test]
fn a_file_is_read_by_the_program_alone() {
    let request = json!({ "question": "ratios", "file": "../gearsets/millrace-winch.ron" });
    let by_name = json!({ "question": "ratios", "description": "millrace-winch" });
    assert_eq!(reply(&request), reply(&by_name));
    let read = QuestionRequest::read(&request.to_string()).expect("it is a request");
    assert_eq!(toothmark::answer(&read).errors[0].message, "a file is named, and no files are read here");
}

/// A process that asks and waits has its answer before it asks again.
#[test]
fn who_asks_and_waits_is_answered_at_once() {
    let mut child =
        command(&["answer"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("the program starts");
    let mut requests = child.stdin.take().expect("it is piped");
    let mut answers = BufReader::new(child.stdout.take().expect("it is piped")).lines();
    for id in 0..20 {
        // In two pieces, as a pipe may hand it on.
        write!(requests, "{{\"id\": {id}, ").expect("it reads");
        requests.flush().expect("it reads");
        writeln!(requests, "\"question\": \"timing\"}}").expect("it reads");
        let answer = answers.next().expect("an answer comes").expect("it is text");
        assert_eq!(serde_json::from_str::<Value>(&answer).expect("JSON")["id"], id);
    }
    drop(requests);
    assert!(answers.next().is_none() && child.wait().expect("it ends").success());
}

/// One in twenty has an answer, the others a value that is none.
#[test]
fn ten_thousand_requests_are_answered_in_order() {
    let is_sound = |id: usize| id % 20 == 3;
    let request = |id: usize| {
        let rpm = if is_sound(id) { json!(id) } else { json!("fast") };
        let name = examples()[id / 20 % examples().len()].name;
        json!({ "id": id, "question": "ratios", "description": name, "options": { "rpm": rpm } }).to_string()
    };
    let lines: Vec<String> = (0..10_000).map(request).collect();
    let (answer, replies) = answered(lines.join("\n").as_bytes());
    assert_eq!((answer.code, replies.len()), (0, 10_000));
    for (id, reply) in replies.iter().enumerate() {
        assert_eq!(reply["id"], id);
        let expected = if is_sound(id) { (id.to_string().into(), Value::Null) } else { (Value::Null, (id + 1).into()) };
        assert_eq!((reply["answer"]["input_rpm"]["fraction"].clone(), reply["line"].clone()), expected, "{reply}");
    }
}

#[test]
fn a_reader_that_closes_ends_it_quietly() {
    let mut child = command(&["answer"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut requests = child.stdin.take().expect("it is piped");
    let writer = std::thread::spawn(move || {
        // The program ends before it has read all of them.
        (0..100_000).find(|_| requests.write_all(b"{\"question\": \"loads\"}\n").is_err())
    });
    let mut first = String::new();
    BufReader::new(child.stdout.take().expect("it is piped")).read_line(&mut first).expect("an answer comes");
    let ended = child.wait_with_output().expect("the program ends");
    assert_eq!((ended.status.code(), String::from_utf8_lossy(&ended.stderr).as_ref()), (Some(0), ""));
    assert!(writer.join().expect("it does not panic").is_some());
}

/// Both schemas against what is asked and answered here.
#[test]
fn requests_and_replies_meet_their_schemas() {
    let [request, reply_schema] = ["request", "answer"].map(|name| {
        let schema: Value = serde_json::from_str(&run(&["schema", name]).stdout).expect("a schema is JSON");
        jsonschema::validator_for(&schema).expect("it is a schema")
    });
    for (question, text) in ASKED {
        let asked = json!({ "id": 1, "question": question, "description": "millrace-winch", "options": options(text) });
        assert!(request.is_valid(&asked), "{asked}");
        let reply = reply(&asked);
        assert!(reply_schema.is_valid(&reply), "{reply}");
    }
    for wrong in [
        json!({ "question": "ratio" }),
        json!({ "question": "ratios", "options": { "turned": "x" } }),
        json!({ "question": "ratios", "description": 7 }),
        json!({ "options": {} }),
    ] {
        assert!(!request.is_valid(&wrong), "{wrong}");
    }
}
