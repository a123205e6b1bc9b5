//! Files of jobs: every version that there was is read, every fault is told with its place.

use std::fs;

use toothmark::job::{self, JOB_VERSION, ReadingSubject};

use crate::support::process::{package, run};

/// A file of every version is kept as it was written then.
#[test]
fn every_version_that_there_was_is_still_read() {
    for version in 1..=JOB_VERSION {
        let path = package().join(format!("tests/jobs/version-{version}.ron"));
        let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path:?}: {error}"));
        let read = job::read(&text).unwrap_or_else(|faults| panic!("{faults}"));
        assert_eq!(job::read(&job::write(read.draft())).as_ref(), Ok(&read), "version {version}");
        let answer = run(&["job", &format!("jobs/version-{version}.ron"), "--full"]);
        assert!(answer.code < 2, "{}", answer.stderr);
    }
}

/// Files that are kept: of version 1, and of what came with version 2.
const KEPT: [&str; 3] = ["version-1", "version-2", "version-2-with-angles"];

/// The files that are kept have a reading of every subject and a value of every kind.
#[test]
fn the_files_that_are_kept_say_everything_once() {
    let read = KEPT.map(|name| {
        let text = fs::read_to_string(package().join(format!("tests/jobs/{name}.ron"))).unwrap();
        let read = job::read(&text).unwrap_or_else(|faults| panic!("{name}: {faults}"));
        assert_eq!(job::read(&job::write(read.draft())).as_ref(), Ok(&read), "{name}");
        read
    });
    for subject in ReadingSubject::ALL {
        assert!(read.iter().any(|job| job.readings().any(|(own, _, _)| own == subject)), "{subject:?}");
    }
}

#[test]
fn every_rejected_job_gets_its_message() {
    let entries = fs::read_dir(package().join("tests/rejected_jobs")).expect("the folder can be read");
    let names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    assert!(names.len() >= 20, "only {} files", names.len());
    for name in names {
        let path = format!("rejected_jobs/{name}");
        let answer = run(&["job", &path]);
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{name}: {}", answer.stderr);
        assert!(answer.stderr.contains(&format!("{path}:")) && answer.stderr.contains("hint: "), "{}", answer.stderr);
        insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
            insta::assert_snapshot!(format!("rejected-job-{}", name.trim_end_matches(".ron")), answer.stderr);
        });
    }
}

/// What is missing or too large was told to be no description, and a missing job was taken for a built-in gearset.
#[test]
fn what_is_no_job_is_told_to_be_none() {
    let large = std::env::temp_dir().join(format!("toothmark-large-job-{}", std::process::id()));
    fs::write(&large, "x".repeat(toothmark::description::LARGEST_FILE + 1)).unwrap();
    let path = large.display().to_string();
    for (asked, words) in [
        (&["job", "millrace-winc"][..], "toothmark job new mine.ron"),
        (&["job", "set", "26-winch.ron", "by=me"], "toothmark job new mine.ron"),
        (&["job", "jobs"], "not a job"),
        (&["job", &path], "a job never is"),
    ] {
        let answer = run(asked);
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{asked:?}");
        assert!(answer.stderr.contains(words) && !answer.stderr.contains("description"), "{asked:?} {}", answer.stderr);
    }
    fs::remove_file(large).unwrap();
}

/// The record sent people to `toothmark found`, which did not know the marks of the job.
#[test]
fn marks_of_a_job_are_those_that_found_is_asked_about() {
    let path = std::env::temp_dir().join(format!("toothmark-found-{}.ron", std::process::id()));
    let path = path.display().to_string();
    assert_eq!(run(&["job", "new", "inspection-railcar", "--force", "-o", &path]).code, 0);
    let marks = ["mark.pin 1.found=0 teeth d", "mark.pin 2.found=-10 teeth d", "mark.pin 3.found=9 teeth d"];
    assert_eq!(run(&[&["job", "set", &path][..], &marks].concat()).code, 0);
    let answer = run(&["found", &path]);
    assert_eq!((answer.code, answer.stderr.as_str()), (1, ""));
    assert!(answer.stdout.contains("pin 3"), "{}", answer.stdout);
    assert_eq!(run(&["job", "set", &path, "mark.pin 3.found=10 teeth d"]).code, 0);
    assert_eq!(run(&["found", &path]).code, 0);
    fs::remove_file(path).unwrap();
}

/// Whatever asks about a gearset takes the file of a job as well: the description is in it.
#[test]
fn a_job_answers_questions_about_its_gearset() {
    for asked in [&["timing"][..], &["ratios"], &["bench", "neutral"]] {
        let answer = run(&[asked, &["jobs/version-1.ron"]].concat());
        assert_eq!(answer.code, 0, "{asked:?}: {}", answer.stderr);
        assert!(answer.stdout.starts_with("Invented winch\n"), "{asked:?}: {}", answer.stdout);
    }
}
