//! Two programs at one folder, clocks that disagree, memory that is refused.

use std::fs;
use std::os::unix::process::ExitStatusExt as _;
use std::process::{Child, Stdio};

use serde_json::Value;

use super::behind;
use crate::support::folder::Folder;
use crate::support::process::{command, run, run_with};
use crate::support::sets::read_file;

/// Of two readings that were entered at one time the one that was written first was lost.
#[test]
fn readings_that_are_entered_at_once_are_all_in_the_file() {
    let folder = Folder::new("faults-at-once");
    let job = folder.write("job.ron", &run(&["job", "new", "inspection-railcar"]).stdout);
    let readings: Vec<String> = (1..=3)
        .flat_map(|pin| [format!("bush.pin {pin}.left=16.0{pin}"), format!("bush.pin {pin}.found=15.9{pin}")])
        .collect();
    let start = |reading: &String| {
        let mut command = command(&["job", "set", &job, reading]);
        command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("it starts")
    };
    let children: Vec<Child> = readings.iter().map(start).collect();
    for child in children {
        let done = child.wait_with_output().expect("it ends");
        assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    }
    let written = folder.text("job.ron");
    for reading in &readings {
        let (_, value) = reading.split_once('=').expect("it has a value");
        assert!(written.contains(value), "{reading} in\n{written}");
    }
    assert_eq!(folder.names(), ["job.ron"]);
}

/// Two searches write into one folder: each answer is printed unless it is refused before the work, and no file is of both.
#[test]
fn two_searches_in_one_folder_lose_neither_answer() {
    let folder = Folder::new("faults-searches");
    let results = folder.path("results");
    let asked = ["search", "--teeth=L=19..21", "--teeth=l=36..38", "--write", &results];
    let alone = run(&asked[..3]).stdout;
    let start = |_| command(&asked).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("it starts");
    let children: Vec<Child> = (0..2).map(start).collect();
    let ended: Vec<_> = children.into_iter().map(|child| child.wait_with_output().expect("it ends")).collect();
    let codes: Vec<_> = ended.iter().map(|it| it.status.code()).collect();
    assert!(codes.contains(&Some(0)), "{codes:?}");
    for done in &ended {
        let told = String::from_utf8_lossy(&done.stderr);
        let is_refused = done.stdout.is_empty() && told.contains("is there already");
        assert!(is_refused || done.stdout == alone.as_bytes(), "{told}");
        assert!(done.status.code() == Some(0) || told.starts_with("error: "), "{told}");
    }
    let written = fs::read_dir(&results).expect("it was made").map(|entry| entry.expect("it can be read").path());
    let mut written: Vec<_> = written.collect();
    written.sort();
    assert!(written.len() >= 3, "{written:?}");
    for path in &written {
        assert_eq!(run(&["check", &path.display().to_string()]).code, 0, "{path:?}");
    }
}

/// The date of a reading is that of the bench, wherever that is, and a clock that was set back loses no reading.
#[test]
fn readings_are_kept_whatever_the_clock_says() {
    let folder = Folder::new("faults-clock");
    let job = folder.write("job.ron", &run(&["job", "new", "inspection-railcar", "--date", "2026-11-29"]).stdout);
    // These two never have one date.
    let dates = ["AAA-14", "BBB+12"].map(|zone| {
        let mut here = command(&["job", "new", "inspection-railcar"]);
        here.env("TZ", zone);
        let begun = run_with(here, b"").stdout;
        begun.split("date: \"").nth(1).and_then(|rest| rest.split('"').next()).expect("it has a date").to_owned()
    });
    assert!(dates[0] > dates[1], "{dates:?}");
    for (date, value) in [("2026-11-29", "16.01"), ("1999-01-01", "16.02"), ("2026-11-30", "16.03")] {
        let reading = format!("bush.pin 2.left={value}");
        assert_eq!(run(&["job", "set", &job, &reading, "--date", date]).code, 0, "{date}");
    }
    let written = folder.text("job.ron");
    for kept in ["16.01", "16.02", "16.03", "1999-01-01"] {
        assert!(written.contains(kept), "{kept} in\n{written}");
    }
}

/// A search of very many results took 15 GB; now it ends at its bound with what it has, where the system gives no more than a
/// little more.
#[test]
fn a_search_ends_at_its_bound_on_memory_with_what_it_has() {
    let folder = Folder::new("faults-memory");
    let old = folder.write("result-1.ron", &read_file("gearsets/inspection-railcar.ron"));
    let words = format!(
        "search --all --count none --sums-within=6 --teeth=D=20..40 --teeth=L=15..18 --teeth=R=20..40 --teeth=d=20..40 \
         --teeth=l=36..40 --teeth=r=20..40 --memory 2MB --threads 2 --format json --write {} --force",
        folder.0.display()
    );
    let asked = command(&words.split(' ').collect::<Vec<_>>());
    // A gigabyte of addresses, of which threads and their stacks take most.
    let done = run_with(behind("ulimit -v 1000000", &asked), b"");
    assert_eq!(done.code, 1, "{}", done.stderr);
    let json: Value = serde_json::from_str(&done.stdout).expect("it is whole");
    assert_eq!((json["memory_reached"].as_str(), json["proven"].as_bool()), (Some("ended"), Some(false)));
    let found = json["results"].as_array().expect("a list").len();
    assert!((20..200).contains(&found), "{found} results");
    assert_eq!(folder.names().len(), found);
    assert_ne!(fs::read_to_string(old).expect("it is there"), read_file("gearsets/inspection-railcar.ron"));
}

/// Where even the beginning is refused the program ends, with words and without the old file.
#[test]
fn memory_that_is_refused_ends_the_program_and_no_file() {
    let folder = Folder::new("faults-refused");
    let old = folder.write("old", "the old one");
    let asked = command(&["page", "inspection-railcar", "--force", "-o", &old]);
    let mut limit = 4_000;
    loop {
        let done = behind(&format!("ulimit -v {limit}"), &asked).output().expect("bash is there");
        if done.status.success() {
            break;
        }
        // With less than the system needs to load it no program gets to say a word.
        let was_loaded = done.status.signal() != Some(11);
        assert!(!was_loaded || !done.stderr.is_empty(), "{limit} kB: {:?}", done.status);
        assert_eq!((folder.text("old").as_str(), folder.names().len()), ("the old one", 1), "{limit} kB");
        limit *= 2;
        assert!(limit < 10_000_000, "{}", String::from_utf8_lossy(&done.stderr));
    }
    assert!(folder.text("old").contains("<html"), "with memory enough it is written");
}
