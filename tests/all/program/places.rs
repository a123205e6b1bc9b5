//! Is anything lost where the program writes files?
//!
//! What is there is kept unless `--force` is given, what is read is kept in any case, by whatever path it is named;
//! of two outputs none takes the place of the other, and what was found is printed also where it cannot be written.

use std::fs;

use crate::support::folder::Folder;
use crate::support::process::{Run, run};
use crate::support::sets::read_file;

#[track_caller]
fn assert_refused(run: &Run, meant: &str) {
    assert_eq!((run.code, run.stdout.as_str()), (2, ""), "{}", run.stderr);
    assert!(run.stderr.contains(meant) && run.stderr.contains("hint: "), "{}", run.stderr);
}

/// A search that is short, of the gearset in a file.
fn search<'a>(gearset: &'a str, further: &[&'a str]) -> Run {
    let asked = ["search", "--gearset", gearset, "--teeth=L=19..21", "--teeth=l=36..38", "--format", "json"];
    run(&[&asked[..], further].concat())
}

/// `compare --chart` wrote over whatever was there, the description that it read included.
#[test]
fn a_file_that_is_read_is_never_written_over() {
    let folder = Folder::new("places-read");
    let text = read_file("gearsets/inspection-railcar.ron");
    let [mine, other, part] = ["mine.ron", "result-1.ron", "part.json"].map(|name| folder.write(name, &text));
    let round_about = folder.path("../places-read/./mine.ron");
    fs::hard_link(&mine, folder.0.join("twin.svg")).expect("one disk");
    let twin = folder.path("twin.svg");
    for output in [&mine, &round_about, &twin] {
        for command in [
            &["compare", &mine, "--chart", output][..],
            &["compare", &mine, &other, "--chart", output],
            &["page", &mine, "-o", output],
            &["sheet", &mine, "-o", output],
        ] {
            assert_refused(&run(command), "is a file that is read here");
            assert_refused(&run(&[command, &["--force"]].concat()), "is a file that is read here");
        }
    }
    assert_refused(&search(&other, &["--write", &folder.path("."), "--force"]), "is a file that is read here");
    let merge = ["merge", &part, &other, "--write", &folder.path(""), "--force"];
    assert_refused(&run(&merge), "is a file that is read here");
    for name in folder.names() {
        assert_eq!(folder.text(&name), text, "{name}");
    }
}

#[cfg(unix)]
#[test]
fn a_link_to_a_file_that_is_read_is_not_replaced_and_another_link_is() {
    let folder = Folder::new("places-links");
    let mine = folder.write("mine.ron", &read_file("gearsets/inspection-railcar.ron"));
    let elsewhere = folder.write("elsewhere", "kept");
    for (target, name) in [(&mine, "to-mine.svg"), (&elsewhere, "away.svg")] {
        std::os::unix::fs::symlink(target, folder.0.join(name)).expect("it can be made");
    }
    let to = |name: &str| run(&["compare", &mine, "--chart", &folder.path(name), "--force"]);
    assert_refused(&to("to-mine.svg"), "is a file that is read here");
    assert_eq!(to("away.svg").code, 0);
    assert_eq!(folder.text("elsewhere"), "kept");
    assert!(folder.text("away.svg").contains("<svg"), "the link is replaced");
}

#[test]
fn what_is_there_is_kept_before_any_work_and_replaced_with_force() {
    let folder = Folder::new("places-kept");
    let there = folder.write("there", "mine");
    for command in [&["compare", "--chart", &there][..], &["page", "-o", &there], &["sheet", "-o", &there]] {
        assert_refused(&run(command), "is there already");
        assert_eq!(folder.text("there"), "mine", "{command:?}");
        let forced = run(&[command, &["--force"]].concat());
        assert_eq!((forced.code, forced.stdout.is_empty()), (0, false), "{command:?}: {}", forced.stderr);
        assert_ne!(folder.text("there"), "mine", "{command:?}");
        folder.write("there", "mine");
    }
    let sheet = folder.path("sheet.html");
    assert_eq!(run(&["sheet", "-o", &sheet]).stdout.trim(), sheet);
    assert_eq!(folder.text("sheet.html"), run(&["sheet"]).stdout, "a file and standard output get the same");
    assert_refused(&run(&["page", "-o", &folder.path("none/page.html")]), "there is no such folder");
    assert_refused(&run(&["sheet", "-o", &folder.path("there/sheet.html")]), "there is a file of that name");
    assert_eq!(folder.names(), ["sheet.html", "there"], "nothing else is left");
}

/// Two paths of one file were told apart by their letters, and the key took the place of the questions.
#[test]
fn two_outputs_in_one_file_are_refused() {
    let folder = Folder::new("places-two");
    fs::create_dir(folder.0.join("inner")).expect("it can be made");
    let questions = folder.path("s.txt");
    let mut keys = vec![folder.path("s.txt"), folder.path("./s.txt"), folder.path("inner/../s.txt")];
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(&folder.0, folder.0.join("loop")).expect("it can be made");
        keys.push(folder.path("loop/s.txt"));
    }
    for key in &keys {
        for force in [&[][..], &["--force"]] {
            let one = ["problems", "--seed", "1", "--questions", &questions, "--key", key];
            assert_refused(&run(&[&one, force].concat()), "are one and the same file");
        }
    }
    assert!(!folder.0.join("s.txt").exists(), "nothing was written");
    let made = folder.path("new/further/key.txt");
    let two = run(&["problems", "--seed", "1", "--questions", &questions, "--key", &made]);
    assert_eq!((two.code, two.stdout), (0, format!("{questions}\n{made}\nseed 1\n")), "{}", two.stderr);
}

/// A search into a folder with `result-3.ron` in it ran to its end, wrote two results, and was lost; its hint named
/// `--force`, which there was not.
#[test]
fn a_folder_with_results_is_refused_before_the_search_and_replaced_with_force() {
    let folder = Folder::new("places-results");
    let gearset = folder.write("mine.ron", &read_file("gearsets/inspection-railcar.ron"));
    let results = folder.path("results");
    let written = search(&gearset, &["--write", &results]);
    assert_eq!((written.code, written.stderr.as_str()), (0, ""), "{}", written.stdout);
    let found = fs::read_dir(&results).expect("it was made").count();
    assert!(found >= 3, "{found} results");
    let result = |number: usize| folder.0.join(format!("results/result-{number}.ron"));
    let first = fs::read_to_string(result(1)).expect("it was written");
    for number in 1..=found {
        fs::remove_file(result(number)).expect("it was written");
    }
    fs::write(result(3), "mine").expect("it can be written");
    fs::write(result(found + 7), "mine").expect("it can be written");
    let refused = search(&gearset, &["--write", &results]);
    assert_refused(&refused, "result-3.ron\" is there already");
    assert!(refused.stderr.contains("--force"), "{}", refused.stderr);
    assert!(!result(1).exists() && fs::read_to_string(result(3)).is_ok_and(|text| text == "mine"));
    let forced = search(&gearset, &["--write", &results, "--force"]);
    assert_eq!((forced.code, &forced.stdout), (0, &written.stdout), "{}", forced.stderr);
    let left = format!("note: {} was left by an earlier search\n", result(found + 7).display());
    assert_eq!(forced.stderr, left);
    assert_eq!(fs::read_to_string(result(1)).expect("it was written"), first);
    assert_ne!(fs::read_to_string(result(3)).expect("it was written"), "mine");
}

/// Writing fails in the middle where files may have no bytes: what a shell calls `ulimit -f`.
#[cfg(unix)]
#[test]
fn what_was_found_is_printed_also_where_it_cannot_be_written() {
    let folder = Folder::new("places-full");
    let program = env!("CARGO_BIN_EXE_toothmark");
    let limited = |arguments: &[&str]| {
        let script = "trap '' XFSZ; ulimit -f 0; exec \"$0\" \"$@\"";
        let mut command = std::process::Command::new("sh");
        command.args(["-c", script, program]).args(arguments).env("NO_COLOR", "1");
        crate::support::process::run_with(command, b"")
    };
    let teeth = ["--teeth=L=19..21", "--teeth=l=36..38"];
    let chart = folder.path("chart.svg");
    let results = folder.path("results");
    for (plain, output) in
        [(&["compare"][..], ["--chart", &chart]), (&[&["search"], &teeth[..]].concat(), ["--write", &results])]
    {
        let printed = run(plain).stdout;
        let failed = limited(&[plain, &output].concat());
        assert_eq!(failed.code, 2, "{plain:?}: {}", failed.stderr);
        assert!(failed.stderr.contains("cannot write"), "{}", failed.stderr);
        assert!(failed.stdout.lines().eq(printed.lines()), "{plain:?}:\n{}", failed.stdout);
    }
    let problems = limited(&["problems", "--seed", "5", "-o", &results]);
    assert_eq!((problems.code, problems.stdout.as_str()), (2, "seed 5\n"), "{}", problems.stderr);
    assert!(problems.stderr.contains("nothing was written before it"), "{}", problems.stderr);
    assert_eq!(folder.names(), ["results"]);
    assert_eq!(fs::read_dir(&results).expect("it was made").count(), 0, "no half file is left");
}
