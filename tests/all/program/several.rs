//! Is each of many files answered as if it were alone, in order, and is none lost behind one that is broken?
//!
//! The twin is the program itself, run for each file by itself.

use std::fs;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::Stdio;

use serde_json::Value;
use toothmark::description::examples;

use crate::support::process::{Run, command, run, run_with};

/// A new folder for the files of a test.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("several").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("it can be made");
    folder
}

fn written(folder: &Path, name: &str, text: impl AsRef<[u8]>) -> String {
    let path = folder.join(name);
    fs::write(&path, text).expect("it can be written");
    path.display().to_string()
}

/// What the program prints of one file alone, as JSON.
fn alone(question: &[&str], file: &str) -> (i32, Value) {
    let answer = run(&[question, &[file, "--format", "json"]].concat());
    (answer.code, serde_json::from_str(&answer.stdout).unwrap_or_default())
}

/// The lines of a JSON answer about several files.
fn lines(answer: &Run) -> Vec<Value> {
    answer.stdout.lines().map(|line| serde_json::from_str(line).expect("a line is JSON")).collect()
}

#[test]
fn hundreds_of_files_are_answered_in_order_whatever_is_broken_between_them() {
    const FILES: usize = 400;
    let folder = folder("hundreds");
    let built_in: Vec<_> = examples().iter().collect();
    let is_broken = |at: usize| at % 7 == 3;
    let paths: Vec<String> = (0..FILES)
        .map(|at| {
            let text = if is_broken(at) { "Gearset(title: 7)" } else { built_in[at % built_in.len()].text };
            written(&folder, &format!("{at}.ron"), text)
        })
        .collect();
    let list = written(&folder, "list.txt", paths.join("\n"));
    for question in [&["ratios"][..], &["timing"], &["ratios", "--rpm", "900"]] {
        let answer = run(&[question, &["--files-from", &list, "--format", "json"]].concat());
        assert_eq!(answer.code, 2, "{question:?}");
        let told = answer.stderr.matches("2 problems in ").count();
        let broken: Vec<&String> = (0..FILES).filter(|&at| is_broken(at)).map(|at| &paths[at]).collect();
        assert_eq!(told, broken.len(), "{question:?}: {}", answer.stderr);
        // Troubles come in order as well.
        let places = broken.iter().map(|path| answer.stderr.find(&format!("{path}:1:")).expect("it is told"));
        assert!(places.is_sorted(), "{}", answer.stderr);
        let sound: Vec<&String> = (0..FILES).filter(|&at| !is_broken(at)).map(|at| &paths[at]).collect();
        let answers = lines(&answer);
        let files: Vec<&str> = answers.iter().map(|line| line["file"].as_str().expect("a name")).collect();
        assert_eq!(files, sound, "{question:?}");
        for line in &answers[..built_in.len()] {
            let (code, answer) = alone(question, line["file"].as_str().expect("a name"));
            let outcome = if code == 0 { "yes" } else { "no" };
            assert_eq!((&line["answer"], &line["outcome"]), (&answer, &Value::from(outcome)), "{question:?}");
        }
    }
}

#[test]
fn the_worst_of_all_files_decides_how_the_program_ends() {
    let [yes, no, wrong] = ["inspection-railcar", "cannot-be-trio", "no-such-gearset"];
    for (files, code) in
        [(&[yes, yes][..], 0), (&[yes, no], 1), (&[no, yes, yes], 1), (&[wrong, no, yes], 2), (&[no, wrong], 2)]
    {
        assert_eq!(run(&[&["timing"], files].concat()).code, code, "{files:?}");
    }
}

/// People read a heading a file, table programs one line of headings.
#[test]
fn every_form_names_the_file_of_each_answer() {
    let files = ["inspection-railcar", "millrace-winch"];
    for question in ["ratios", "check", "marks", "loads", "motion", "explore", "wrong", "formula", "explain"] {
        for format in ["text", "markdown"] {
            let several = run(&[question, files[0], files[1], "--format", format]).stdout;
            let [first, second] = files.map(|file| {
                let own = run(&[question, file, "--format", format]).stdout;
                match own.strip_prefix("# ") {
                    None => format!("{file}: {own}"),
                    Some(own) => format!("# {file}: {own}"),
                }
            });
            assert_eq!(several, format!("{first}\n{second}"), "{question}");
        }
        if question == "explain" {
            continue;
        }
        let several = run(&[question, files[0], files[1], "--format", "csv"]).stdout;
        let own = files.map(|file| run(&[question, file, "--format", "csv"]).stdout);
        let columns = own[0].lines().next().expect("headings");
        let mut expected = vec![format!("file,{columns}")];
        for (file, own) in files.iter().zip(&own) {
            let mut own = own.lines();
            assert_eq!(own.next(), Some(columns), "{question}");
            expected.extend(own.map(|row| format!("{file},{row}")));
        }
        assert_eq!(several.lines().collect::<Vec<_>>(), expected, "{question}");
    }
}

#[test]
fn a_list_may_come_from_any_system_and_tells_what_is_wrong_by_its_line() {
    let folder = folder("list");
    let railcar = examples()[0].text;
    let own = written(&folder, "own.ron", railcar);
    let list = format!("\u{feff}{own}\r\n\r\n  \n{}\r\nnot-there.ron\r\n-\r\n{own}\r\n-\r\n", folder.display());
    let path = written(&folder, "list.txt", &list);
    let asked = ["ratios", "--files-from", &path, "--format", "json"];
    let answer = run_with(command(&asked), railcar.as_bytes());
    let files: Vec<Value> = lines(&answer).iter().map(|line| line["file"].clone()).collect();
    assert_eq!((answer.code, files), (2, vec![own.clone().into(), "standard input".into(), own.clone().into()]));
    for told in [
        format!("{path}:4: {:?} is a folder, not a description", folder.display().to_string()),
        format!("{path}:5: cannot read \"not-there.ron\": there is no such file"),
        format!("{path}:8: standard input is read already"),
    ] {
        assert!(answer.stderr.contains(&told), "{told}\n{}", answer.stderr);
    }
    assert_eq!(answer.stderr.matches("error: ").count(), 3, "{}", answer.stderr);

    // The list itself from standard input, where no description can come from any more.
    let asked = ["ratios", "--files-from", "-", "--format", "json"];
    let answer = run_with(command(&asked), format!("{own}\n-\n").as_bytes());
    assert!(answer.stderr.contains("standard input:2: standard input is read already"), "{}", answer.stderr);
    assert_eq!((answer.code, lines(&answer).len()), (2, 1));
    // A list of one is a list.
    assert_eq!(lines(&run_with(command(&asked), own.as_bytes())).len(), 1);
    // What a refused question says is told with the file that it is about.
    let refused = run(&["ratios", "inspection-railcar", "millrace-winch", "--state", "low"]);
    let told = "error: millrace-winch: there is no state \"low\"";
    assert!(refused.code == 2 && refused.stderr.contains(told), "{}", refused.stderr);
}

#[test]
fn a_list_that_is_none_is_refused_whole() {
    let folder = folder("no-list");
    let no_text = written(&folder, "no-text", b"own.ron\n\xff\xfe\n");
    let nul = written(&folder, "nul", "own.ron\nother.ron\0\n");
    let empty = written(&folder, "empty", "\n \r\n");
    let whole = folder.display().to_string();
    let missing = folder.join("missing").display().to_string();
    for (list, told) in [
        (&no_text, format!("{no_text}:2: the line is no text")),
        (&nul, format!("{nul}:2: the line is no text")),
        (&empty, format!("{empty} names no file")),
        (&whole, format!("{whole:?} is a folder, not a list of files")),
        (&missing, format!("cannot read {missing:?}: there is no such file")),
    ] {
        let refused = run(&["check", "--files-from", list]);
        assert_eq!((refused.code, refused.stdout.as_str()), (2, ""), "{list}");
        assert!(refused.stderr.contains(&told) && refused.stderr.contains("hint: "), "{told}\n{}", refused.stderr);
    }
    let both = run(&["check", "inspection-railcar", "--files-from", &empty]);
    assert!(both.code == 2 && both.stderr.contains("cannot be used with"), "{}", both.stderr);
}

/// A file, a folder and a page are of one gearset.
#[test]
fn what_is_made_of_one_gearset_refuses_several() {
    let out = folder("out").join("x");
    let out = out.to_str().expect("text");
    let two = ["inspection-railcar", "millrace-winch"];
    for (asked, told) in [
        (&["ratios", "--save", out][..], "what is saved is of one gearset, and 2 files are asked about"),
        (&["sheet"], "a job sheet is of one gearset"),
        (&["draw", "-o", out], "a folder of pictures is of one gearset"),
        (&["job", "new"], "the record of a job is of one gearset"),
        (&["teeth", "order", "-o", out, "--module=2"], "a file for an order is of one gearset"),
        (&["teeth", "order", "--format=html", "--module=2"], "a page for a browser is of one file"),
        (&["explain", "--format=html"], "a page for a browser is of one file"),
    ] {
        let refused = run(&[asked, &two].concat());
        assert_eq!((refused.code, refused.stdout.as_str()), (2, ""), "{asked:?}");
        assert!(refused.stderr.contains(told) && refused.stderr.contains("hint: "), "{asked:?}: {}", refused.stderr);
        assert!(!Path::new(out).exists(), "{asked:?}");
    }
    // A list of one names one.
    let list = written(&folder("one"), "list.txt", "millrace-winch\n");
    let sheet = run(&["sheet", "--files-from", &list]);
    assert_eq!((sheet.code, sheet.stdout), (0, run(&["sheet", "millrace-winch"]).stdout));
}

/// Questions of teeth, of the bench and of jobs as well, which take a file and no gears.
#[test]
fn questions_of_the_bench_take_several_files() {
    let folder = folder("bench");
    let job = run(&["job", "new", "inspection-railcar"]).stdout;
    let [one, other] = ["one.ron", "other.ron"].map(|name| written(&folder, name, &job));
    for question in [
        &["job"][..],
        &["bench", "bands"],
        &["bench", "bushes"],
        &["bench", "clutch"],
        &["bench", "float", "--wanted=0.2..0.6"],
        &["bench", "neutral"],
        &["teeth", "close"],
        &["teeth", "backlash", "--backlash=0.1"],
        &["teeth", "order"],
        &["teeth", "identify"],
        &["match"],
        &["found"],
    ] {
        let (code, own) = alone(question, &one);
        let answer = run(&[question, &[&one, &other, "--format=json"]].concat());
        assert_eq!(answer.code, code, "{question:?}");
        let expected = if code == 2 { vec![] } else { vec![(&one, &own), (&other, &own)] };
        let lines = lines(&answer);
        let found: Vec<_> =
            lines.iter().map(|line| (line["file"].as_str().unwrap_or_default(), &line["answer"])).collect();
        let expected: Vec<_> = expected.into_iter().map(|(file, answer)| (file.as_str(), answer)).collect();
        assert_eq!(found, expected, "{question:?}: {}", answer.stderr);
    }
}

/// Who has read enough ends it all, however many files there are to come.
#[test]
fn a_reader_that_closes_ends_it_quietly() {
    let list = "inspection-railcar\n".repeat(20_000);
    let folder = folder("closed");
    let path = written(&folder, "list.txt", list);
    let mut child = command(&["ratios", "--files-from", &path, "--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut first = String::new();
    // The reader is dropped behind the first line.
    BufReader::new(child.stdout.take().expect("it is piped")).read_line(&mut first).expect("a line comes");
    let ended = child.wait_with_output().expect("the program ends");
    assert_eq!((ended.status.code(), String::from_utf8_lossy(&ended.stderr).as_ref()), (Some(0), ""));
}
