//! How long do many files take, and how many requests are answered in a second? `cargo bench --bench requests`.
//!
//! The files and the requests are of the railcar. Beside them stand the same questions put by a process each, as a script
//! would without either. All are measured by turns and the medians told, so that a busy machine slows all.

#![allow(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use serde_json::json;
use toothmark::description::{DEFAULT_EXAMPLE, example};
use toothmark::requests::QuestionRequest;

const ROUNDS: usize = 7;
const FILES: usize = 1_000;
const REQUESTS: usize = 10_000;
/// So many processes are started for the rival, and scaled up.
const PROCESSES: usize = 100;

fn main() {
    let text = example(DEFAULT_EXAMPLE).expect("it is built in");
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("requests");
    fs::create_dir_all(&folder).expect("the folder can be made");
    let paths = (0..FILES).map(|at| folder.join(format!("{at}.ron")));
    let list: Vec<String> = paths
        .map(|path| {
            fs::write(&path, text).expect("it can be written");
            path.display().to_string()
        })
        .collect();
    let names = folder.join("list.txt");
    fs::write(&names, list.join("\n")).expect("it can be written");
    let names = names.display().to_string();
    let lines: Vec<String> = (0..REQUESTS)
        .map(|id| json!({ "id": id, "question": "ratios", "description": text }).to_string() + "\n")
        .collect();
    let mut times: [Vec<f64>; 6] = Default::default();
    for _ in 0..ROUNDS {
        times[0].push(seconds(|| asked(&["ratios", "--files-from", &names], "")));
        times[1].push(seconds(|| asked(&["check", "--files-from", &names], "")));
        times[2].push(seconds(|| asked(&["ratios", "--files-from", &names, "--format", "json"], "")));
        times[3].push(seconds(|| asked(&["answer"], &lines.concat())));
        times[4].push(seconds(|| answered(&lines)));
        times[5].push(seconds(|| (0..PROCESSES).for_each(|at| asked(&["ratios", &list[at]], ""))));
    }
    let [ratios, check, as_json, requests, in_library, processes] = times.map(median);
    let [requests, in_library] = [requests, in_library].map(|time| f64::from(10_000_u16) / time);
    let processes = processes / f64::from(100_u8);
    println!("ratios of 1,000 files:              {ratios:.3} s, as JSON {as_json:.3} s (wanted: 0.5 s)");
    println!("check of 1,000 files:               {check:.3} s (wanted: 0.5 s)");
    println!("a process for each file:            {:.3} s", processes * 1_000.0);
    println!("requests of ratios, one process:    {requests:.0} a second (wanted: 10,000 on one core)");
    println!("the same by the library alone:      {in_library:.0} a second");
    println!("a process for each request:         {:.0} a second", 1.0 / processes);
}

/// Runs the program, which reads this text and whose answer is read as it comes.
fn asked(arguments: &[&str], input: &str) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_toothmark"));
    program.args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped());
    let mut child = program.spawn().expect("the program starts");
    let mut requests = child.stdin.take().expect("it is piped");
    let input = input.to_owned();
    let writer = std::thread::spawn(move || requests.write_all(input.as_bytes()));
    let output = child.wait_with_output().expect("the program ends");
    writer.join().expect("writing does not panic").expect("the program reads all of it");
    assert!(output.status.success() && !output.stdout.is_empty(), "{arguments:?} printed its answers");
}

fn answered(lines: &[String]) {
    for line in lines {
        let request = QuestionRequest::read(line).expect("it is a request");
        assert!(!toothmark::answer(&request).json_line().is_empty(), "there is an answer");
    }
}

fn seconds(work: impl FnOnce()) -> f64 {
    let start = Instant::now();
    work();
    start.elapsed().as_secs_f64()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}
