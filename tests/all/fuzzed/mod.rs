//! Does what the fuzzers have come across, and is kept in `tests/corpus`, do no harm?
//!
//! The fuzzers are in `fuzz/` and need a nightly compiler; what they have kept is run here, by the same functions.

mod targets;

use std::fs;
use std::panic::catch_unwind;
use std::path::Path;

use crate::support::process::package;

/// Runs every file that is kept for a target, and names the one that does harm.
fn replay(name: &str, target: fn(&[u8])) {
    let folder = package().join("tests/corpus").join(name);
    let entries = fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let paths: Vec<_> = entries.map(|entry| entry.expect("it can be listed").path()).collect();
    assert!(!paths.is_empty(), "nothing is kept in {}", folder.display());
    let does_harm = |path: &&Path| {
        let bytes = fs::read(path).expect("it can be read");
        catch_unwind(|| target(&bytes)).is_err()
    };
    let harmful: Vec<&Path> = paths.iter().map(AsRef::as_ref).filter(does_harm).collect();
    assert!(harmful.is_empty(), "{harmful:?}");
}

#[test]
fn kept_descriptions_do_no_harm() {
    replay("description", targets::description);
}

#[test]
fn kept_requests_of_a_search_do_no_harm() {
    replay("search", targets::search);
}

#[test]
fn kept_jobs_do_no_harm() {
    replay("job", targets::job);
}

#[test]
fn kept_parts_of_a_search_do_no_harm() {
    replay("parts", targets::parts);
}

#[test]
fn kept_questions_do_no_harm() {
    replay("question", targets::question);
}

#[test]
fn kept_values_do_no_harm() {
    replay("values", targets::values);
}
