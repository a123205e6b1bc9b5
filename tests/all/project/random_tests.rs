//! Is nothing lost that a random test found, and does each take its number of cases from one place?

use std::fs;
use std::path::{Path, PathBuf};

use proptest::prelude::*;
use proptest::test_runner::{Config, TestError, TestRunner};

use super::sources::{root, rust_files};
use crate::support::random::cases;

/// The sources of tests, those beside the code among them.
fn with_random_tests() -> Vec<(PathBuf, String)> {
    let mut files = rust_files(&[root().join("src"), root().join("tests/all")]);
    files.retain(|(_, text)| text.contains(concat!("\nproptest", "! {")));
    files
}

#[test]
fn every_random_test_takes_its_number_of_cases_from_one_place() {
    let sources = with_random_tests();
    assert!(sources.len() > 30, "there are random tests");
    for (path, text) in sources {
        for block in text.split(concat!("proptest", "! {\n")).skip(1) {
            let first = block.lines().next().unwrap_or_default().trim();
            let takes = ["cases(", "telling_cases("].map(|call| format!("#![proptest_config({call}"));
            assert!(takes.iter().any(|it| first.starts_with(it)), "{}: {first}", path.display());
        }
    }
}

/// Draws numbers for a test that stands in this source, until one is too large, and gives what was tried.
fn tried(source: &'static str) -> (Vec<u32>, Result<(), TestError<u32>>) {
    let mut runner = TestRunner::new(Config { source_file: Some(source), ..cases(200) });
    let tried = std::cell::RefCell::new(Vec::new());
    let outcome = runner.run(&any::<u32>(), |number| {
        tried.borrow_mut().push(number);
        prop_assert!(number < 1_000_000, "too large");
        Ok(())
    });
    (tried.into_inner(), outcome)
}

/// A failure on another machine, or of last night, was forgotten: the folder of failures was not kept in the repository.
#[test]
fn a_case_that_failed_is_kept_beside_the_tests_and_tried_first() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("random");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(folder.join("all/part")).unwrap();
    fs::write(folder.join("all/main.rs"), "").unwrap();
    fs::write(folder.join("all/part/thing.rs"), "").unwrap();
    let source: &'static str = folder.join("all/part/thing.rs").display().to_string().leak();
    let (first, outcome) = tried(source);
    let failing = *first.iter().find(|&&number| number >= 1_000_000).expect("most numbers are");
    assert!(outcome.is_err(), "{outcome:?}");
    assert!(folder.join("proptest-regressions/part/thing.txt").exists(), "as tests/proptest-regressions/ is");
    assert_eq!(tried(source).0.first(), Some(&failing), "the next run begins with it");
    let ignored = fs::read_to_string(root().join(".gitignore")).unwrap();
    assert!(!ignored.contains("regressions"), "the repository keeps it");
}
