//! Is anything lost where the machine fails: a full disk, a reader that goes away, a signal, a second program?
//!
//! Every command that writes is a row, every fault a test that goes through the rows. In each cell the file that was there
//! is whole, or the new one is; nothing is left beside it; what was worked out is printed; and the exit code and the first
//! line say what to do. Faults are made by the system itself (`ulimit`, `/dev/full`, pipes, signals) and waited for, not
//! timed.

mod meanwhile;
mod together;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::support::folder::Folder;
use crate::support::process::{Run, command, run, run_with};
use crate::support::sets::read_file;

/// A command that replaces a file.
struct Writer {
    /// Its words; `IN` is a description, `JOB` a job, `PART` a part of a search, `OUT` the file that is replaced, `DIR` the
    /// folder that it is in.
    words: &'static str,
    /// The name of the file that it replaces.
    replaces: &'static str,
    /// Whether it prints an answer, which is not to be lost with the file.
    prints: bool,
}

const fn writer(words: &'static str, replaces: &'static str) -> Writer {
    Writer { words, replaces, prints: false }
}

const fn printing(words: &'static str, replaces: &'static str) -> Writer {
    Writer { words, replaces, prints: true }
}

/// Every command that writes files.
const WRITERS: [Writer; 16] = [
    writer("page IN --force -o OUT", "old"),
    writer("sheet IN --force -o OUT", "old"),
    writer("draw IN --force -o DIR", "print.html"),
    printing("compare IN --force --chart OUT", "old"),
    printing("ratios IN --force --save OUT", "old"),
    writer("sheet IN --force --save OUT", "old"),
    writer("teeth order IN --force -o OUT", "old"),
    printing("bench balance --mass 25kg --rpm 1800 --found 22g@95mm@100deg --seen input --force --picture OUT", "old"),
    writer("job new IN --force -o OUT", "old"),
    writer("job JOB --force -o OUT", "old"),
    writer("job set OUT oil.gearbox.left=SAE30", "job.ron"),
    writer("new 26:31 20:37 31:26 --pins 3 --force -o OUT", "old"),
    writer("problems --seed 1 --count 2 --force -o DIR", "key.txt"),
    writer("completions --force --man DIR", "toothmark.1"),
    printing("search --gearset IN --teeth=L=19..21 --teeth=l=36..38 --force --write DIR", "result-1.ron"),
    printing("merge PART --force --write DIR", "result-1.ron"),
];

impl Writer {
    /// A folder with all that is read, and the old file in a folder of its own.
    fn folder(&self, name: &str) -> Folder {
        let place = WRITERS.iter().position(|other| other.words == self.words).expect("it is one of them");
        let folder = Folder::new(&format!("faults-{name}-{place}"));
        folder.write("in.ron", &read_file("gearsets/inspection-railcar.ron"));
        folder.write("job.ron", &run(&["job", "new", "inspection-railcar"]).stdout);
        if self.words.contains("PART") {
            let part = "search --teeth=L=19..21 --teeth=l=36..38 --part 1/1 --format json";
            folder.write("part.json", &run(&part.split(' ').collect::<Vec<_>>()).stdout);
        }
        fs::create_dir(folder.0.join("out")).expect("it can be made");
        let old = if self.replaces == "job.ron" { folder.text("job.ron") } else { "the old one".to_owned() };
        folder.write(&format!("out/{}", self.replaces), &old);
        folder
    }

    fn words(&self, folder: &Folder) -> Vec<String> {
        let word = |word: &str| match word {
            "IN" => folder.path("in.ron"),
            "JOB" => folder.path("job.ron"),
            "PART" => folder.path("part.json"),
            "DIR" => folder.path("out"),
            "OUT" => folder.path(&format!("out/{}", self.replaces)),
            word => word.to_owned(),
        };
        self.words.split(' ').map(word).collect()
    }

    fn command(&self, folder: &Folder) -> Command {
        command(&self.words(folder).iter().map(String::as_str).collect::<Vec<_>>())
    }

    /// What it prints and writes where nothing fails; paths are those of any folder.
    fn healthy(&self, name: &str) -> (Run, BTreeMap<String, Vec<u8>>) {
        let folder = self.folder(name);
        let done = run_with(self.command(&folder), b"");
        assert!(done.code < 2, "{}: {}", self.words, done.stderr);
        assert_ne!(folder.text(&format!("out/{}", self.replaces)), "the old one", "{}", self.words);
        (done, files(&folder.0.join("out")))
    }
}

/// What a system does not let be tried is told.
#[expect(clippy::print_stderr, reason = "a test that tries nothing has to say so")]
fn skip(why: &str) {
    eprintln!("skipped: {why}");
}

/// The files of a folder by their names.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let there = fs::read_dir(folder).expect("it is there").map(|entry| entry.expect("it can be read"));
    there
        .map(|entry| {
            (entry.file_name().to_string_lossy().into_owned(), fs::read(entry.path()).expect("it can be read"))
        })
        .collect()
}

/// A program that a shell starts after a few words of its own.
fn behind(script: &str, command: &Command) -> Command {
    let mut shell = Command::new("bash");
    shell.args(["-c", &format!("{script}; exec \"$0\" \"$@\"")]).arg(command.get_program()).args(command.get_args());
    shell.current_dir(command.get_current_dir().expect("it has one")).env_clear();
    shell.envs(command.get_envs().filter_map(|(name, value)| Some((name, value?))));
    shell
}

/// The first line says what is wrong, a later one what to do; what was done before is noted above.
#[track_caller]
fn assert_told(words: &str, stderr: &str, meant: &str) {
    let first = stderr.lines().find(|line| !line.starts_with("note: ")).unwrap_or_default();
    assert!(first.starts_with("error: ") && first.contains(meant), "{words}: {stderr}");
    assert!(stderr.contains("hint: "), "{words}: {stderr}");
}

/// `--force` emptied the old file before it wrote the new one, and a full disk left nothing of either.
#[test]
fn a_file_that_cannot_be_written_leaves_the_old_one() {
    for writer in &WRITERS {
        let folder = writer.folder("full");
        let before = files(&folder.0.join("out"));
        // No file may have a byte, and the signal for that is not heard.
        let full = run_with(behind("trap '' XFSZ; ulimit -f 0", &writer.command(&folder)), b"");
        assert_eq!(full.code, 2, "{}: {}", writer.words, full.stderr);
        assert_told(writer.words, &full.stderr, "cannot write");
        assert_eq!(files(&folder.0.join("out")), before, "{}", writer.words);
        if writer.prints {
            let printed = full.stdout.replace("faults-full-", "faults-full-healthy-");
            assert_eq!(printed, writer.healthy("full-healthy").0.stdout, "{}", writer.words);
        }
    }
}

/// A disk of its own that is full, where the system lets one be made for a moment.
#[test]
fn a_disk_that_is_full_is_called_by_its_name() {
    for writer in WRITERS.iter().filter(|writer| writer.words.contains("IN")) {
        let folder = writer.folder("disk");
        let disk = format!(
            "cd '{}' && mount -t tmpfs -o size=8k tmpfs out && echo 'the old one' > out/{} || exit 77",
            folder.0.display(),
            writer.replaces
        );
        let program = format!("(exec \"$0\" \"$@\" > told); code=$?; cat out/{} > kept; exit $code", writer.replaces);
        let mut shell = Command::new("unshare");
        shell.args(["--user", "--map-root-user", "--mount", "bash", "-c", &format!("{disk}; {program}")]);
        let healthy = writer.command(&folder);
        shell.arg(healthy.get_program()).args(healthy.get_args()).env("NO_COLOR", "1").stdout(Stdio::null());
        let Ok(done) = shell.output() else { return skip("there is no unshare") };
        let told = String::from_utf8_lossy(&done.stderr);
        if done.status.code() == Some(77) || told.contains("unshare") {
            return skip(&format!("no disk of its own can be made: {told}"));
        }
        // What fits on the disk all the same is written, whole.
        assert!(!folder.text("kept").is_empty(), "{}: {told}", writer.words);
        if done.status.code() == Some(2) {
            assert_told(writer.words, &told, "the disk is full");
        } else {
            assert_ne!(folder.text("kept"), "the old one\n", "{}: {told}", writer.words);
        }
    }
}

/// A reading was entered, and whoever read that the answer could not be written entered it again.
#[test]
fn what_is_written_stays_where_it_cannot_be_told() {
    for writer in &WRITERS {
        let (_, written) = writer.healthy("told-healthy");
        let folder = writer.folder("told");
        let full = fs::File::options().write(true).open("/dev/full").expect("it is there");
        let mut command = writer.command(&folder);
        let done = command.stdout(full).stderr(Stdio::piped()).output().expect("it runs");
        let told = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(2), "{}: {told}", writer.words);
        // Some print an answer of their own beside what they write.
        let prints = writer.prints || writer.words.contains("--save") || writer.words.starts_with("new");
        let meant = if prints { "the answer could not be written" } else { "what was asked for is done" };
        assert_told(writer.words, &told, meant);
        let left = files(&folder.0.join("out"));
        // An answer that cannot be printed ends some commands before they write: then the old file is there.
        let is_old = left.get(writer.replaces).is_some_and(|text| text == b"the old one");
        assert!(is_old && writer.prints || left.keys().eq(written.keys()), "{}: {:?}", writer.words, left.keys());
        assert!(left.values().all(|text| !text.is_empty()), "{}", writer.words);
    }
}

/// Whoever has seen enough of what is printed gets the files all the same.
#[test]
fn a_reader_that_closes_loses_no_file() {
    for writer in &WRITERS {
        let (healthy, written) = writer.healthy("closed-healthy");
        let folder = writer.folder("closed");
        let mut child =
            writer.command(&folder).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("it starts");
        drop(child.stdout.take());
        let done = child.wait_with_output().expect("it ends");
        let told = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(healthy.code), "{}: {told}", writer.words);
        let left = files(&folder.0.join("out"));
        assert!(left.keys().eq(written.keys()), "{}: {:?}", writer.words, left.keys());
        assert!(left.values().all(|text| text != b"the old one" && !text.is_empty()), "{}", writer.words);
    }
}

/// Takes from root what lets it write anywhere.
const NO_OVERRIDE: &str =
    r#"[ "$(id -u)" != 0 ] || exec setpriv --bounding-set=-dac_override,-dac_read_search "$0" "$@""#;

/// Nothing is written into a folder that is protected; told before the work.
#[test]
fn a_folder_that_is_protected_is_told_before_the_work() {
    use std::os::unix::fs::PermissionsExt as _;
    for writer in &WRITERS {
        let folder = writer.folder("protected");
        let out = folder.0.join("out");
        let before = files(&out);
        fs::set_permissions(&out, fs::Permissions::from_mode(0o555)).expect("it is ours");
        let mut writes = Command::new("touch");
        writes.arg(out.join("try")).current_dir(&folder.0);
        let is_protected = run_with(behind(NO_OVERRIDE, &writes), b"").code != 0;
        let refused = is_protected.then(|| run_with(behind(NO_OVERRIDE, &writer.command(&folder)), b""));
        fs::set_permissions(&out, fs::Permissions::from_mode(0o755)).expect("it is ours");
        let Some(refused) = refused else { return skip("root may write anywhere") };
        assert_eq!((refused.code, refused.stdout.as_str()), (2, ""), "{}", writer.words);
        assert_told(writer.words, &refused.stderr, "you have no permission");
        assert_eq!(files(&out), before, "{}", writer.words);
    }
}

/// Commands that only print say that they could not, each in its own words.
#[test]
fn an_answer_that_cannot_be_printed_is_told() {
    let asked = ["ratios", "check inspection-railcar millrace-winch", "search --teeth=L=19..21", "examples", "manual"];
    for words in asked {
        let full = fs::File::options().write(true).open("/dev/full").expect("it is there");
        let mut command = command(&words.split(' ').collect::<Vec<_>>());
        let done = command.stdout(full).stderr(Stdio::piped()).output().expect("it runs");
        let told = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(2), "{words}: {told}");
        assert_told(words, &told, "the answer could not be written: the disk is full");
    }
}
