//! Do the manual and the README say what the program does?
//!
//! Their commands are run, and what they show of an answer is compared with what is printed, 80 columns wide. A fenced
//! block `sh` holds commands, one a line. A block `text` that follows at once is what the last of them prints: all of
//! it, with `text beginning` its first lines, with `text excerpt` lines of it that stand together, found by the first
//! of them. `INSTA_UPDATE=always` puts in its place what is printed now. A block `ron NAME` is a description or a request
//! and is written to the file of that name before what follows is run; the file `mine.ron` is there from the
//! beginning. A block `lines NAME` is a file of lines. `ron part` is a section of a description. Everything else that is fenced is `plain`, or Rust, which rustdoc runs.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use toothmark::description::{DEFAULT_EXAMPLE, example, read};
use toothmark::manual::chapters;

use super::documents::in_backticks;
use super::sources::root;
use crate::support::process::{Run, command, run, run_with};

/// The most columns of a line in a fenced block, so that a terminal shows it as it is.
const WIDEST: usize = 80;

/// A fenced block: the words after its fence, the lines in it, and the place of the first of them.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Fenced {
    words: String,
    lines: Vec<String>,
    /// The number of lines before it.
    start: usize,
    /// Whether only blank lines stand between it and the block before.
    follows: bool,
}

/// The fenced blocks of a text.
fn fenced_blocks(text: &str) -> Vec<Fenced> {
    let mut found: Vec<Fenced> = Vec::new();
    let (mut open, mut blank_since) = (false, false);
    for (at, line) in text.lines().enumerate() {
        if let Some(words) = line.strip_prefix("```") {
            if !open {
                let words = words.to_owned();
                found.push(Fenced { words, lines: Vec::new(), start: at + 1, follows: blank_since });
            }
            (open, blank_since) = (!open, true);
        } else if open {
            found.last_mut().expect("a block is open").lines.push(line.to_owned());
        } else {
            blank_since &= line.is_empty();
        }
    }
    assert!(!open, "the last block is not closed");
    found
}

/// The commands of a block: lines, joined where they end in a stroke, without those that only comment.
fn commands(lines: &[String]) -> Vec<String> {
    let joined = lines.join("\n").replace("\\\n", "");
    joined.lines().filter(|line| !line.trim().is_empty() && !line.starts_with('#')).map(str::to_owned).collect()
}

/// The folder in which the commands of a document are run.
fn folder_for(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("manual-{name}"));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("the folder can be made");
    let text = example(DEFAULT_EXAMPLE).expect("it is built in");
    fs::write(folder.join("mine.ron"), text).expect("it can be written");
    folder
}

/// Runs a line as a shell would; `None` where it is not about the program.
fn run_line(folder: &Path, line: &str) -> Option<Run> {
    let line = line.replacen("cargo run --release --", "toothmark", 1);
    let first = line.split_whitespace().next().unwrap_or_default();
    let runs_here = first == "toothmark" || (first == "parallel" && there_is_gnu_parallel());
    assert!(runs_here || ["cargo", "parallel"].contains(&first), "what is {first:?} in {line:?}?");
    let program = Path::new(env!("CARGO_BIN_EXE_toothmark")).parent().expect("it is in a folder");
    let path = format!("{}:/usr/local/bin:/usr/bin:/bin", program.display());
    let mut shell = Command::new("sh");
    shell.args(["-c", &line]).current_dir(folder).env_clear();
    shell.envs([("PATH", path.as_str()), ("NO_COLOR", "1"), ("LC_ALL", "C.UTF-8"), ("COLUMNS", "80")]);
    runs_here.then(|| run_with(shell, b""))
}

fn there_is_gnu_parallel() -> bool {
    let asked = Command::new("parallel").arg("--version").stdin(Stdio::null()).output();
    let found = asked.is_ok_and(|version| String::from_utf8_lossy(&version.stdout).starts_with("GNU parallel"));
    assert!(found || std::env::var("TOOTHMARK_PARALLEL").as_deref() != Ok("required"), "there is no GNU parallel");
    found
}

/// What a block that shows an answer has to hold, `None` where its first line is not printed any more.
fn expected(block: &Fenced, printed: &str) -> Option<Vec<String>> {
    let printed: Vec<&str> = printed.lines().collect();
    let part = match block.words.as_str() {
        "text" => &printed[..],
        "text beginning" => printed.get(..block.lines.len())?,
        "text excerpt" => {
            let first = block.lines.first()?;
            let at = printed.iter().position(|line| line == first)?;
            printed.get(at..at + block.lines.len())?
        }
        words => panic!("what is a block of {words:?}?"),
    };
    Some(part.iter().map(ToString::to_string).collect())
}

/// A document while it is read from its beginning to its end.
struct Reading<'t> {
    name: &'t str,
    folder: PathBuf,
    /// What the last command printed; `None` where it was not run here.
    printed: Option<String>,
    /// What has to stand in place of a block.
    replacements: Vec<(Fenced, Vec<String>)>,
    /// What is wrong and cannot be put right by that.
    faults: Vec<String>,
}

impl Reading<'_> {
    fn fault(&mut self, block: &Fenced, what: &str) {
        self.faults.push(format!("{}, line {}: {what}", self.name, block.start));
    }

    fn read(&mut self, block: &Fenced) {
        let (kind, rest) = block.words.split_once(' ').unwrap_or((&block.words, ""));
        if let Some(wide) = block.lines.iter().find(|line| line.chars().count() > WIDEST) {
            self.fault(block, &format!("wider than {WIDEST} columns: {wide}"));
        }
        match kind {
            "sh" => self.run(block),
            "text" => self.compare(block),
            "ron" => self.take_description(block, rest),
            "lines" => fs::write(self.folder.join(rest), block.lines.join("\n")).expect("it can be written"),
            "plain" | "" => {}
            _ => self.fault(block, &format!("what is a block of {kind:?}?")),
        }
    }

    /// Runs the commands of a block and keeps what the last of them prints.
    fn run(&mut self, block: &Fenced) {
        self.printed = None;
        for line in commands(&block.lines) {
            let run = run_line(&self.folder, &line);
            if let Some(Run { code: 2.., stderr, .. }) = &run {
                self.fault(block, &format!("{line}\n{stderr}"));
            }
            self.printed = run.map(|run| run.stdout);
        }
    }

    fn compare(&mut self, block: &Fenced) {
        match &self.printed {
            _ if !block.follows => self.fault(block, "no commands before it"),
            None => self.fault(block, "the command before it is not run here"),
            Some(printed) => match expected(block, printed) {
                Some(expected) if expected == block.lines => {}
                Some(expected) => self.replacements.push((block.clone(), expected)),
                None => self.fault(block, "the program does not print its first line"),
            },
        }
    }

    /// A description or a request is written to the file that is named; a `part` belongs into the default gearset.
    fn take_description(&mut self, block: &Fenced, name: &str) {
        let ron = block.lines.join("\n") + "\n";
        let description = if name == "part" { with_part(&ron) } else { ron };
        if !["", "part"].contains(&name) {
            fs::write(self.folder.join(name), &description).expect("it can be written");
        }
        if description.starts_with("Search(") {
            return;
        }
        if let Err(faults) = read(&description) {
            let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
            self.fault(block, &faults.join("\n"));
        }
    }
}

/// The default gearset with a section in place of its own of that name.
fn with_part(part: &str) -> String {
    let whole = example(DEFAULT_EXAMPLE).expect("it is built in");
    let name = part.split(':').next().unwrap_or_default();
    let begins_section = |line: &str| line.starts_with("    ") && !line[4..].starts_with([' ', '}']);
    let mut kept = Vec::new();
    let mut inside = false;
    for line in whole.trim_end().trim_end_matches(')').lines() {
        if begins_section(line) {
            inside = line.trim_start().starts_with(&format!("{name}:"));
        }
        if !inside {
            kept.push(line);
        }
    }
    format!("{}\n{part})\n", kept.join("\n"))
}

/// Runs what a document says is run; answers with the document as it should be, and what is wrong with it.
fn checked(name: &str, text: &str) -> (String, Vec<String>) {
    let (folder, printed) = (folder_for(name), None);
    let mut reading = Reading { name, folder, printed, replacements: Vec::new(), faults: Vec::new() };
    for block in fenced_blocks(text) {
        reading.read(&block);
    }
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for (block, expected) in reading.replacements.into_iter().rev() {
        lines.splice(block.start..block.start + block.lines.len(), expected);
    }
    (lines.join("\n") + "\n", reading.faults)
}

#[track_caller]
fn check_document(path: &str) {
    let text = fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"));
    let (as_printed, faults) = checked(&path.replace('/', "-"), &text);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    if as_printed != text && std::env::var("INSTA_UPDATE").as_deref() == Ok("always") {
        fs::write(root().join(path), as_printed).expect("the document can be written");
    } else {
        let (shown, printed) = text.lines().zip(as_printed.lines()).find(|(a, b)| a != b).unwrap_or_default();
        let advice = "INSTA_UPDATE=always puts in what is printed";
        assert!(as_printed == text, "{path} shows\n{shown}\nand the program prints\n{printed}\n{advice}");
    }
}

#[test]
fn chapters_show_what_the_program_prints() {
    std::thread::scope(|scope| {
        let checks: Vec<_> = chapters()
            .iter()
            .map(|chapter| scope.spawn(move || check_document(&format!("src/manual/{}.md", chapter.name))))
            .collect();
        let failed: Vec<_> =
            checks.into_iter().map(std::thread::ScopedJoinHandle::join).filter(Result::is_err).collect();
        assert!(failed.is_empty(), "{} chapters, named above, are not true", failed.len());
    });
}

#[test]
fn the_readme_shows_what_the_program_prints() {
    check_document("README.md");
}

#[test]
fn the_readme_is_short_and_lists_every_command_by_its_purpose() {
    let readme = fs::read_to_string(root().join("README.md")).expect("the readme is there");
    let lines = readme.lines().count();
    assert!(lines <= 200, "{lines} lines: what is longer belongs into the manual");
    let mut short_help = command(&["-h"]);
    short_help.env("COLUMNS", "80");
    let help = run_with(short_help, b"").stdout;
    let (_, commands) = help.split_once("[COMMAND]\n\n").expect("the usage stands before the commands");
    let (commands, _) = commands.split_once("Options:").expect("the options stand behind them");
    assert!(commands.contains("timing") && readme.contains(commands), "README.md lacks\n{commands}");
}

#[test]
fn every_file_of_the_manual_is_a_chapter_with_a_title_of_its_own() {
    let mut files: Vec<String> = fs::read_dir(root().join("src/manual"))
        .expect("the folder is there")
        .filter_map(|entry| {
            entry.expect("an entry").file_name().into_string().expect("a name").strip_suffix(".md").map(str::to_owned)
        })
        .collect();
    let mut names: Vec<String> = chapters().iter().map(|chapter| chapter.name.to_owned()).collect();
    let mut titles: Vec<&str> = chapters().iter().map(toothmark::manual::Chapter::title).collect();
    files.sort();
    names.sort();
    assert_eq!(files, names);
    titles.sort_unstable();
    assert!(titles.windows(2).all(|pair| pair[0] != pair[1]) && !titles.contains(&""), "{titles:?}");
}

/// A chapter that another document names, as in "`toothmark manual timing`", exists.
#[test]
fn chapters_that_are_named_exist() {
    let mut texts: Vec<String> = chapters().iter().map(|chapter| chapter.text.to_owned()).collect();
    texts.push(fs::read_to_string(root().join("README.md")).expect("the readme is there"));
    let named: Vec<&str> = texts.iter().flat_map(|text| text.split("toothmark manual ").skip(1)).collect();
    assert!(!named.is_empty(), "no chapter is named anywhere");
    for rest in named {
        let name: String = rest.chars().take_while(char::is_ascii_lowercase).collect();
        let known = name.is_empty() || chapters().iter().any(|chapter| chapter.name == name);
        assert!(known, "there is no chapter {name:?}");
    }
}

/// Every section of the mathematics ends with the tests that hold it: names of functions, then the file they are in.
#[test]
fn every_theorem_names_tests_that_exist() {
    let sections: Vec<&str> = chapters()
        .iter()
        .filter(|chapter| chapter.name == "mathematics")
        .flat_map(|chapter| chapter.text.split("\n## ").skip(1))
        .collect();
    assert!(sections.len() >= 5, "{} theorems", sections.len());
    for section in sections {
        let (_, tests) = section.split_once("\nTests: ").unwrap_or_else(|| panic!("no test holds {section}"));
        let (files, names): (Vec<&str>, Vec<&str>) = in_backticks(tests).into_iter().partition(|it| it.contains('/'));
        assert!(!names.is_empty(), "no test is named: {tests}");
        let sources: Vec<String> = files
            .iter()
            .map(|file| fs::read_to_string(root().join(file)).unwrap_or_else(|error| panic!("{file}: {error}")))
            .collect();
        for name in names {
            let found = sources.iter().any(|source| source.contains(&format!("fn {name}(")));
            assert!(found, "{name} is in none of {files:?}");
        }
    }
}

#[test]
fn the_program_shows_a_chapter_or_says_which_is_meant() {
    let contents = run(&["manual"]);
    for chapter in chapters() {
        assert!(contents.stdout.lines().any(|line| line.starts_with(chapter.name) && line.ends_with(chapter.title())));
        assert_eq!(run(&["manual", chapter.name, "--format", "markdown"]).stdout, chapter.text);
        let mut narrow = command(&["manual", chapter.name]);
        narrow.env("COLUMNS", "80");
        let Run { code, stdout, .. } = run_with(narrow, b"");
        assert!(code == 0 && stdout.starts_with(chapter.title()), "{stdout}");
        let wide = stdout.lines().find(|line| line.chars().count() > WIDEST);
        assert_eq!(wide, None, "a line of {}", chapter.name);
    }
    let unknown = run(&["manual", "tming"]);
    assert_eq!((unknown.code, unknown.stdout.as_str()), (2, ""));
    assert!(unknown.stderr.contains("the nearest name is \"timing\""), "{}", unknown.stderr);
}

#[test]
fn blocks_are_compared_with_what_is_printed() {
    let text = "a\n```sh\ntoothmark examples \\\n  millrace-winch\n# not this\n```\n\n```text beginning\nb\n```\nc\n\n```plain\nd\n```\n";
    let blocks = fenced_blocks(text);
    assert_eq!(commands(&blocks[0].lines), ["toothmark examples   millrace-winch"]);
    assert_eq!(blocks.iter().map(|block| block.follows).collect::<Vec<_>>(), [false, true, false]);
    let (corrected, faults) = checked("own-test", text);
    let first = example("millrace-winch").expect("it is built in").lines().next().expect("it has a line");
    assert_eq!((corrected, faults), (text.replace("\nb\n", &format!("\n{first}\n")), Vec::new()));
    assert_eq!(expected(&Fenced { words: "text excerpt".into(), ..blocks[1].clone() }, "a\nc\n"), None);
    let (_, faults) = checked("own-test", "```sh\ntoothmark no-such-command\n```\n");
    assert!(faults.len() == 1 && faults[0].contains("no-such-command"), "{faults:?}");
    for wrong in ["ron\nGearset(", "ron part\njoins: [", "text\nb", "tex\nb", &format!("plain\n{}", "b".repeat(81))] {
        let (_, faults) = checked("own-test", &format!("```{wrong}\n```\n"));
        assert_eq!(faults.len(), 1, "{wrong}: {faults:?}");
    }
}
