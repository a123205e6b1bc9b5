//! How large is the project, and how is it shaped?
//!
//! `cargo test --test all figures -- --nocapture` prints a table; with `MEASURED` set to the folder of another checkout
//! it is that one's. What may not grow is asserted.

use std::collections::BTreeMap;
use std::path::PathBuf;

use super::imports::circles_of;
use super::sources::{Source, root, sources, sources_of, tokens_outside_tests};

/// What is measured of the sources.
#[derive(Debug)]
struct Figures {
    /// Lines of all sources.
    lines: usize,
    /// Of these, lines that are neither blank nor comments.
    code_lines: usize,
    /// Comments that are no documentation.
    comment_lines: usize,
    /// Closures that are given a name.
    named_closures: usize,
    files: usize,
    report_files: usize,
    /// The lengths of all functions in lines, in rising order.
    functions: Vec<usize>,
    /// The names that several types have.
    shared_type_names: Vec<String>,
    circles: Vec<String>,
}

impl Figures {
    fn of(sources: &[Source]) -> Self {
        let lines = || sources.iter().flat_map(|source| source.text.lines()).map(str::trim_start);
        let is_comment = |line: &str| line.starts_with("//");
        let is_plain = |line: &str| is_comment(line) && !line.starts_with("///") && !line.starts_with("//!");
        let mut functions: Vec<usize> = sources.iter().flat_map(|source| function_lengths(&source.text)).collect();
        functions.sort_unstable();
        Self {
            lines: lines().count(),
            code_lines: lines().filter(|line| !line.is_empty() && !is_comment(line)).count(),
            comment_lines: lines().filter(|line| is_plain(line)).count(),
            named_closures: lines().filter(|line| names_a_closure(line)).count(),
            files: sources.len(),
            report_files: sources.iter().filter(|source| source.path.starts_with("report")).count(),
            functions,
            shared_type_names: shared_type_names(sources),
            circles: circles_of(sources),
        }
    }

    #[expect(clippy::print_stdout, reason = "the table is what is asked for")]
    fn print(&self) {
        let in_a_thousand = |count: usize| count * 1000 / self.code_lines;
        let quantile = |part: usize| self.functions[(self.functions.len() - 1) * part / 100];
        println!("lines of src                         {}", self.lines);
        println!("  of these code                      {}", self.code_lines);
        println!("plain comments in 1000 lines of code {}", in_a_thousand(self.comment_lines));
        println!("named closures in 1000               {}", in_a_thousand(self.named_closures));
        println!("files                                {}", self.files);
        println!("files of report                      {}", self.report_files);
        println!("functions, half / 90 % / longest     {} / {} / {}", quantile(50), quantile(90), quantile(100));
        println!("names that several types have        {}", self.shared_type_names.len());
        println!("circles of imports                   {}", self.circles.len());
        for shared in &self.shared_type_names {
            println!("  several types: {shared}");
        }
        for circle in &self.circles {
            println!("  circle: {circle}");
        }
    }
}

/// Whether a line gives a closure a name.
fn names_a_closure(line: &str) -> bool {
    let Some((_, value)) = line.strip_prefix("let ").and_then(|line| line.split_once(" = ")) else { return false };
    value.trim_start_matches("move ").starts_with('|')
}

/// The lines of every function of a formatted source, from its name to the brace that closes it.
fn function_lengths(text: &str) -> Vec<usize> {
    let lines: Vec<&str> = text.lines().collect();
    let indent = |line: &str| line.len() - line.trim_start().len();
    let begins = |line: &str| {
        let words: Vec<&str> = line.split_whitespace().take_while(|word| *word != "fn").collect();
        let is_prefix = |word: &&str| ["const", "unsafe", "async"].contains(word) || word.starts_with("pub");
        line.split_whitespace().any(|word| word == "fn") && words.iter().all(is_prefix)
    };
    let length = |(at, line): (usize, &&str)| {
        let end = lines[at..].iter().position(|other| {
            let closes = other.trim_start() == "}" && indent(other) == indent(line);
            closes || (indent(other) == indent(line) && (other.ends_with(" }") || other.ends_with(';')))
        });
        end.map_or(1, |end| end + 1)
    };
    lines.iter().enumerate().filter(|(_, line)| begins(line)).map(length).collect()
}

/// The names that two or more types of the sources have, with their number; a macro's `$name` is none, and associated
/// types, which stand inside braces, are told apart by what they belong to.
fn shared_type_names(sources: &[Source]) -> Vec<String> {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for source in sources {
        let tokens = tokens_outside_tests(&source.text);
        let mut depth = 0_usize;
        for pair in tokens.windows(2) {
            match pair[0].as_str() {
                "{" => depth += 1,
                "}" => depth -= 1,
                "type" if depth > 0 => {}
                "struct" | "enum" | "trait" | "type" if pair[1] != "$" => {
                    *counts.entry(pair[1].clone()).or_default() += 1;
                }
                _ => {}
            }
        }
    }
    counts.into_iter().filter(|&(_, count)| count > 1).map(|(name, count)| format!("{name} {count}")).collect()
}

#[test]
fn no_name_belongs_to_two_types() {
    let shared = shared_type_names(&sources());
    assert!(shared.is_empty(), "give the less used type the full term for what it is: {shared:?}");
    let source = |text: &str| Source { path: PathBuf::new(), text: text.to_owned() };
    let twice = [source("struct A { a: i32 }\ntrait T { type B; }\nstruct $name"), source("type A = i64;\nenum B {}")];
    assert_eq!(shared_type_names(&twice), ["A 2"]);
}

#[test]
fn no_import_renames() {
    for source in sources() {
        let tokens = tokens_outside_tests(&source.text);
        for (at, _) in tokens.iter().enumerate().filter(|(_, token)| *token == "use") {
            let import = tokens[at..].split(|token| token == ";").next().unwrap_or_default();
            let renames = import.windows(2).any(|pair| pair[0] == "as" && pair[1] != "_");
            assert!(!renames, "{}: {}", source.path.display(), import.join(" "));
        }
    }
}

#[test]
fn figures() {
    let checkout = std::env::var_os("MEASURED").map_or_else(|| root().to_owned(), PathBuf::from);
    let figures = Figures::of(&sources_of(&checkout));
    figures.print();
    assert!(figures.functions.len() > 1000, "only {} functions are seen", figures.functions.len());
}

#[test]
fn functions_are_measured_from_their_name_to_their_brace() {
    let text = "fn one() {\n    if so {\n    }\n}\n\nimpl A {\n    pub(crate) const fn two() -> A { A }\n    fn three(\n        a: A,\n    ) {\n    }\n}\n";
    assert_eq!(function_lengths(text), [4, 1, 4]);
    assert!(names_a_closure("let mut f = move |x| x;") && !names_a_closure("let f = a | b;"));
}
