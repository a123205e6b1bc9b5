//! What comes between the check of a place and the writing: the folder goes, somebody else writes, a signal ends it all.
//!
//! The description is a pipe with a name: once the program reads it the place is checked, and nothing is written before
//! it is read to its end.

use std::fs::{self, File};
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::os::unix::fs::OpenOptionsExt as _;
use std::os::unix::process::ExitStatusExt as _;
use std::process::{Child, Command, Output, Stdio};

use serde_json::Value;

use super::{WRITERS, Writer, assert_told, behind, files};
use crate::support::folder::Folder;
use crate::support::process::command;
use crate::support::sets::read_file;

/// A pipe is opened for writing only if somebody reads already (`O_NONBLOCK` of Linux).
const IF_READ: i32 = 0o4000;

/// A command that waits for its description, with the pipe that it waits at.
struct Waiting {
    child: Child,
    description: File,
}

impl Waiting {
    fn start(writer: &Writer, folder: &Folder, words: &[String]) -> Self {
        let pipe = folder.path("in.ron");
        fs::remove_file(&pipe).expect("it is there");
        make_pipe(&pipe);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let mut child =
            heeding(&words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program starts");
        let description = loop {
            match File::options().write(true).custom_flags(IF_READ).open(&pipe) {
                Ok(description) => break description,
                Err(_) => assert!(child.try_wait().expect("it can be asked").is_none(), "{}: it ended", writer.words),
            }
            std::thread::yield_now();
        };
        Self { child, description }
    }

    /// Gives the description, and waits for what comes of it.
    fn go_on(mut self) -> Output {
        // A command that has ended meanwhile reads no more.
        let _ = self.description.write_all(read_file("gearsets/inspection-railcar.ron").as_bytes());
        drop(self.description);
        self.child.wait_with_output().expect("it ends")
    }

    fn signalled(self, signal: &str) -> Output {
        send(signal, &self.child);
        let ended = self.child.wait_with_output().expect("it ends");
        drop(self.description);
        ended
    }
}

/// A command that every signal ends. Whoever runs the tests in the background may have had some of them ignored, which is
/// handed down, and the tests waited for ever.
fn heeding(words: &[&str]) -> Command {
    behind(r#"exec env --default-signal=HUP,INT,TERM "$0" "$@""#, &command(words))
}

fn make_pipe(path: &str) {
    let made = Command::new("mkfifo").arg(path).status().expect("mkfifo is there");
    assert!(made.success(), "{path}");
}

fn send(signal: &str, child: &Child) {
    let sent = Command::new("kill").args([signal, &child.id().to_string()]).status().expect("kill is there");
    assert!(sent.success(), "{signal}");
}

/// The commands that read a description before they write, and check their place before that.
fn readers() -> impl Iterator<Item = &'static Writer> {
    WRITERS.iter().filter(|writer| writer.words.contains("IN") && writer.replaces == "old")
}

/// The words without `--force`.
fn unforced(writer: &Writer, folder: &Folder) -> Vec<String> {
    writer.words(folder).into_iter().filter(|word| word != "--force").collect()
}

#[test]
fn a_folder_that_goes_away_is_told() {
    for writer in readers() {
        let folder = writer.folder("gone");
        let out = folder.0.join("out");
        fs::remove_file(out.join("old")).expect("it is there");
        let waiting = Waiting::start(writer, &folder, &unforced(writer, &folder));
        fs::remove_dir(&out).expect("nothing is in it");
        let ended = waiting.go_on();
        let told = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(2), "{}: {told}", writer.words);
        assert_told(writer.words, &told, "there is no such folder");
        assert!(!out.exists() && ended.stdout.is_empty() != writer.prints, "{}", writer.words);
    }
}

/// Between the check and the writing an empty file took the place, which stayed there if the rest failed.
#[test]
fn what_somebody_else_writes_meanwhile_is_kept() {
    for writer in readers() {
        let folder = writer.folder("other");
        fs::remove_file(folder.0.join("out/old")).expect("it is there");
        let waiting = Waiting::start(writer, &folder, &unforced(writer, &folder));
        folder.write("out/old", "of somebody else");
        let ended = waiting.go_on();
        let told = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(2), "{}: {told}", writer.words);
        assert_told(writer.words, &told, "there is a file of that name");
        assert_eq!(files(&folder.0.join("out")), [("old".to_owned(), b"of somebody else".to_vec())].into());
        assert_eq!(ended.stdout.is_empty(), !writer.prints, "{}", writer.words);
    }
}

#[test]
fn a_signal_before_the_writing_leaves_the_old_file() {
    let signals = [("-TERM", 15), ("-HUP", 1), ("-INT", 2)];
    for (writer, (signal, number)) in readers().zip(signals.into_iter().cycle()) {
        let folder = writer.folder("signal");
        let before = files(&folder.0.join("out"));
        let ended = Waiting::start(writer, &folder, &writer.words(&folder)).signalled(signal);
        assert_eq!(ended.status.signal(), Some(number), "{}", writer.words);
        assert_eq!(files(&folder.0.join("out")), before, "{}", writer.words);
    }
}

/// A list in a file of its own was written over by the answer about what it names.
#[test]
fn what_a_list_names_is_not_written_over() {
    let folder = Folder::new("faults-list");
    let text = read_file("gearsets/inspection-railcar.ron");
    let mine = folder.write("mine.ron", &text);
    let list = folder.write("list.txt", &format!("{mine}\n"));
    for output in [&mine, &list] {
        for words in [&["ratios", "--save"][..], &["teeth", "order", "-o"], &["sheet", "-o"], &["sheet", "--save"]] {
            let mut command = command(&[words, &[output, "--files-from", &list, "--force"]].concat());
            let refused = command.output().expect("it runs");
            let told = String::from_utf8_lossy(&refused.stderr);
            assert_eq!(refused.status.code(), Some(2), "{words:?}: {told}");
            assert_told(words[0], &told, "is a file that is read here");
            assert_eq!((folder.text("mine.ron"), folder.text("list.txt")), (text.clone(), format!("{mine}\n")));
        }
    }
    // Two options of one command may not name one file either.
    let both = folder.path("both");
    let twice = command(&["sheet", &mine, "-o", &both, "--save", &both, "--force"]).output().expect("it runs");
    assert_told("sheet", &String::from_utf8_lossy(&twice.stderr), "was written just now, by the same command");
    assert!(folder.text("both").starts_with("Gearset("), "what was written first is kept");
}

/// Whether a process takes care of a signal itself, as soon as it does.
fn catches(child: &Child) -> bool {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigCgt:")).unwrap_or("0").trim().to_owned();
    u64::from_str_radix(&mask, 16).is_ok_and(|mask| mask & 0b10 != 0)
}

/// A long search, more words behind it.
fn long_search(further: &[&str]) -> Child {
    let gears = ["D", "L", "R", "d", "l", "r"].map(|gear| format!("--teeth={gear}=12..400"));
    let mut words: Vec<&str> = vec!["search", "--margin=1/40", "--ratio=low=2.8139", "--sums-within=9"];
    words.extend(gears.iter().map(String::as_str));
    words.extend(further);
    let child = command(&words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
    let mut child = child.expect("the program starts");
    while !catches(&child) {
        assert!(child.try_wait().expect("it can be asked").is_none(), "it is still at work");
        std::thread::yield_now();
    }
    child
}

/// A signal ends a search with what it has: the answer is printed and the results are written, into a folder that is made
/// again if it went away meanwhile.
#[test]
fn a_search_that_is_ended_writes_what_it_has() {
    let folder = Folder::new("faults-ended");
    let results = folder.path("results");
    fs::create_dir(&results).expect("it can be made");
    let child = long_search(&["--format=json", "--write", &results]);
    fs::remove_dir(&results).expect("nothing is in it");
    send("-TERM", &child);
    let ended = child.wait_with_output().expect("it ends");
    assert_eq!(ended.status.code(), Some(1), "{}", String::from_utf8_lossy(&ended.stderr));
    let json: Value = serde_json::from_slice(&ended.stdout).expect("it is whole");
    let found = json["results"].as_array().expect("a list").len();
    let written = fs::read_dir(&results).map_or(0, Iterator::count);
    assert_eq!((json["proven"].clone(), written), (Value::Bool(false), found));
}

/// A signal among lines that are told was not heard before the last of them.
#[test]
fn lines_that_are_told_end_at_a_signal_whole() {
    let ranges = ["D=20..22", "L=15..18", "R=20..40", "d=20..40", "l=36..40", "r=20..40"];
    let ranges = ranges.map(|range| format!("--teeth={range}"));
    let mut words: Vec<&str> = vec!["search", "--all", "--lines", "--sums-within=6"];
    words.extend(ranges.iter().map(String::as_str));
    let mut child = command(&words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("it starts");
    let mut output = BufReader::new(child.stdout.take().expect("it is piped"));
    let mut lines = String::new();
    assert_ne!(output.read_line(&mut lines).expect("it is text"), 0, "a first line");
    send("-INT", &child);
    output.read_to_string(&mut lines).expect("it is text");
    let ended = child.wait_with_output().expect("it ends");
    let told = String::from_utf8_lossy(&ended.stderr);
    assert_eq!(ended.status.code(), Some(1), "{told}");
    assert!(told.starts_with("note: broken off: "), "{told}");
    let numbers = lines.lines().map(|line| serde_json::from_str::<Value>(line).expect("every line is whole"));
    let numbers: Vec<Value> = numbers.map(|line| line["result"].clone()).collect();
    assert!(numbers.iter().zip(1..).all(|(number, meant)| *number == meant), "{numbers:?}");
}

/// Of many files those are answered, whole, that were asked about before a signal.
#[test]
fn of_many_files_the_answers_before_a_signal_are_there() {
    let folder = Folder::new("faults-many");
    let pipe = folder.path("never.ron");
    make_pipe(&pipe);
    let words = ["check", "millrace-winch", "inspection-railcar", "--format=json", "trap-gear", &pipe];
    let mut child = heeding(&words).stdout(Stdio::piped()).spawn().expect("it starts");
    let mut output = BufReader::new(child.stdout.take().expect("it is piped"));
    let mut lines = String::new();
    for _ in 0..3 {
        assert_ne!(output.read_line(&mut lines).expect("it is text"), 0, "{lines}");
    }
    send("-HUP", &child);
    assert_eq!(output.read_to_string(&mut lines).expect("it is text"), 0, "nothing more is told");
    assert_eq!(child.wait().expect("it ends").signal(), Some(1));
    for line in lines.lines() {
        assert!(serde_json::from_str::<Value>(line).is_ok(), "{line}");
    }
}

/// Giant trains took seconds without a word. At a terminal it is said that the program is at work, and gone before the answer.
#[test]
fn whoever_waits_at_a_terminal_is_told_that_it_goes_on() {
    let folder = Folder::new("faults-waiting");
    let pipe = folder.path("in.ron");
    make_pipe(&pipe);
    let mut command = Command::new(env!("CARGO_BIN_EXE_toothmark"));
    command.args(["ratios", &pipe]).env("TERM", "xterm").env("NO_COLOR", "1");
    let mut session = rexpect::session::spawn_command(command, Some(60_000)).expect("a terminal can be opened");
    session.exp_string("at work, ").expect("somebody waits");
    fs::write(&pipe, read_file("gearsets/inspection-railcar.ron")).expect("it is read");
    let before = session.exp_string("Works inspection railcar").expect("the answer comes");
    // The line is wiped out before anything else stands there.
    assert!(before.trim_end().ends_with("\u{1b}[2K"), "{before:?}");
    session.exp_eof().expect("it ends");
}
