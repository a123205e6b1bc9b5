//! Do the documents of the project say what is there?
//!
//! Read as plain text: a word between backticks that is written like a path has to exist, and the benchmarks are compared
//! by name, those in `benches/` with the commands that the documents give. What a benchmark measured is not compared, for
//! it is another number on every machine. What the manual and the README show is the matter of `manual.rs`.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

#[track_caller]
fn document(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// Every file and folder of the project, as written from its root with slashes.
fn project() -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut folders = vec![root().to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("the folder is there") {
            let path = entry.expect("it can be listed").path();
            let name = path.strip_prefix(root()).expect("it is below the root").to_string_lossy().replace('\\', "/");
            if name == "target" || name == ".git" {
                continue;
            }
            found.insert(name);
            if path.is_dir() {
                folders.push(path);
            }
        }
    }
    found
}

/// What stands between single backticks in the text outside fenced blocks.
pub(super) fn in_backticks(text: &str) -> Vec<&str> {
    let mut fenced = false;
    let mut found = Vec::new();
    for line in text.lines() {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
        } else if !fenced {
            found.extend(line.split('`').skip(1).step_by(2));
        }
    }
    found
}

/// Whether a word is written like a path of this project.
fn looks_like_path(word: &str) -> bool {
    let of_path = |letter: char| letter.is_ascii_alphanumeric() || "_-./*".contains(letter);
    let has_ending = [".rs", ".md", ".ron", ".toml"].iter().any(|ending| word.ends_with(ending));
    let has_letter = word.contains(|letter: char| letter.is_ascii_alphabetic());
    word.chars().all(of_path) && has_letter && (has_ending || word.contains('/'))
}

/// Whether a path exists; `*` stands for any letters within one name, and a bare file name
/// may be that of a file in any folder.
fn exists(project: &BTreeSet<String>, path: &str) -> bool {
    let path = path.trim_end_matches('/');
    project.iter().any(|known| {
        let known = if path.contains('/') { known } else { known.rsplit('/').next().unwrap_or(known) };
        let (known, path): (Vec<&str>, Vec<&str>) = (known.split('/').collect(), path.split('/').collect());
        known.len() == path.len() && known.iter().zip(path).all(|(known, pattern)| matches_pattern(known, pattern))
    })
}

fn matches_pattern(name: &str, pattern: &str) -> bool {
    match pattern.split_once('*') {
        None => name == pattern,
        Some((before, after)) => {
            name.len() >= before.len() + after.len() && name.starts_with(before) && name.ends_with(after)
        }
    }
}

#[test]
fn paths_in_the_developers_document_exist() {
    let text = document("DEVELOPERS.md");
    let project = project();
    let paths: Vec<&str> = in_backticks(&text).into_iter().filter(|word| looks_like_path(word)).collect();
    assert!(!paths.is_empty(), "the document names no file");
    let missing: Vec<&&str> = paths.iter().filter(|path| !exists(&project, path)).collect();
    assert!(missing.is_empty(), "DEVELOPERS.md names what is not there: {missing:?}");
}

#[test]
fn paths_are_told_from_other_words() {
    for path in ["src/exact/", "main.rs", "tests/published/*.ron", "Cargo.toml", "src/cli"] {
        assert!(looks_like_path(path) && exists(&project(), path), "{path}");
    }
    for path in ["src/no_such_module/", "no_such_file.rs", "tests/*.rs", "gearset/rule.rs"] {
        assert!(looks_like_path(path) && !exists(&project(), path), "{path}");
    }
    for word in ["cargo test", "640/7", "Gearset", "a / b", "crate::exact", "w_A - w_C"] {
        assert!(!looks_like_path(word), "{word}");
    }
}

/// The benchmarks that a text says how to run.
fn benchmarks_named(text: &str) -> BTreeSet<String> {
    let after = text.split("cargo bench --bench ").skip(1);
    let name = |rest: &str| {
        rest.split(|letter: char| !letter.is_ascii_alphanumeric() && letter != '_').next().map(ToOwned::to_owned)
    };
    after.filter_map(name).collect()
}

/// Those that a chapter names with their command, or in a column under it.
fn benchmarks_of_the_manual(text: &str) -> BTreeSet<String> {
    let rows = text.split("| `cargo bench --bench` |").nth(1).unwrap_or_default();
    let rows = rows.lines().skip(2).take_while(|line| line.starts_with('|'));
    let in_column = rows.filter_map(|row| row.split('`').nth(1).map(ToOwned::to_owned));
    in_column.chain(benchmarks_named(text)).filter(|name| !name.is_empty()).collect()
}

#[test]
fn every_benchmark_is_named_with_its_command_and_no_other_is() {
    let benchmarks: BTreeSet<String> = project()
        .iter()
        .filter_map(|path| path.strip_prefix("benches/")?.strip_suffix(".rs").filter(|name| !name.contains('/')))
        .map(ToOwned::to_owned)
        .collect();
    assert!(!benchmarks.is_empty(), "the project has benchmarks");
    assert_eq!(benchmarks_named(&document("DEVELOPERS.md")), benchmarks, "those of DEVELOPERS.md and of benches/");
    let in_manual = benchmarks_of_the_manual(&document("src/manual/exactness.md"));
    assert_eq!(in_manual, benchmarks, "those that the manual tells the numbers of, and of benches/");
    for name in &benchmarks {
        let command = format!("cargo bench --bench {name}");
        let source = document(&format!("benches/{name}.rs"));
        assert!(source.contains(&command), "benches/{name}.rs says how it is run");
    }
}

#[test]
fn benchmarks_are_told_from_the_words_around_them() {
    let found = benchmarks_named("a `cargo bench --bench one` b\ncargo bench --bench two_more, cargo bench");
    assert_eq!(found, BTreeSet::from(["one".to_owned(), "two_more".to_owned()]));
}

#[test]
fn the_first_pages_show_one_matrix() {
    let block =
        |text: &str| text.split("```text\n").nth(1).and_then(|rest| rest.split("```").next()).map(str::to_owned);
    let of_library = document("src/lib.rs")
        .lines()
        .map(|line| line.trim_start_matches("//!"))
        .fold(String::new(), |text, line| text + line.strip_prefix(' ').unwrap_or(line) + "\n");
    let shown = block(&of_library).expect("the first page of the library shows the matrix");
    assert!(shown.lines().count() == 4, "three rows and the names of the columns:\n{shown}");
    assert_eq!(block(&document("DEVELOPERS.md")), Some(shown));
}
