//! `new`: the same description from questions on a terminal and from arguments, sound, and nothing half written.

use std::path::PathBuf;

use crate::support::process::run;

const BY_ARGUMENTS: [&str; 14] = [
    "26:31",
    "20:37",
    "31:26",
    "--pins=3",
    "--module=2.5",
    "--input=carrier",
    "--output=sun 26",
    "--band=low drum band=low drum",
    "--clutch=clutch=flywheel,driven drum",
    "--name=carrier=flywheel",
    "--name=sun 26=driven drum",
    "--name=sun 20=low drum",
    "--name=sun 31=reverse drum",
    "--title=Railcar",
];

/// An empty folder for one test.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("new-{name}"));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("the folder of the build can be written");
    folder
}

#[test]
fn arguments_make_a_sound_description_with_comments() {
    let file = folder("arguments").join("mine.ron").display().to_string();
    let written = run(&[&["new"], &BY_ARGUMENTS[..], &["-o", &file]].concat());
    assert_eq!(written.code, 0, "{}", written.stderr);
    let text = std::fs::read_to_string(&file).unwrap();
    assert_eq!(text.lines().filter(|line| line.trim_start().starts_with("//")).count(), 6);
    let checked = run(&["check", &file]);
    assert!(checked.code == 0 && checked.stdout.contains("The description is sound"), "{}", checked.stdout);
    // The low band of the railcar: 481/171, by hand from (1 + 20 31/(37 26)) with the drum of 20 held.
    let ratios = run(&["ratios", &file, "--format", "csv"]);
    assert!(ratios.stdout.contains("low drum band,drives,481/171"), "{}", ratios.stdout);
    let again = run(&[&["new"], &BY_ARGUMENTS[..], &["-o", &file]].concat());
    assert!(again.code == 2 && again.stderr.contains("is there already"), "{}", again.stderr);
}

#[test]
fn long_and_short_pinions_are_told_by_arguments() {
    let file = folder("pinions").join("mine.ron").display().to_string();
    let arguments = ["new", "35:20:76", "--short-pinion", "28:18", "--pins", "3", "-o", &file];
    let written = run(&arguments);
    assert_eq!(written.code, 0, "{}", written.stderr);
    // Ring held, the sun of the short pinion drives the carrier: 1 - R/s, since two planets turn the sense twice.
    let asked =
        run(&["ratios", &file, "--held", "ring 76", "--input", "sun 28", "--output", "carrier", "--format", "csv"]);
    assert!(asked.stdout.contains("drives,-12/7"), "{}{}", asked.stdout, asked.stderr);
}

#[test]
fn without_a_terminal_it_is_said_what_to_type() {
    for (arguments, told) in [
        (&["new"][..], "questions can be asked on a terminal only"),
        (&["new", "26:31", "--pins=3", "--band=low=sun 26"], "not what drives and what is driven"),
        (&["new", "26:31"], "it is not said how many pins there are"),
        (&["new", "26:31", "--pins=3", "--band=low"], "is not a name with its member"),
        (
            &["new", "26:31", "--pins=3", "--input=carrier", "--output=sun 26", "--band=low=sun 27"],
            "there is no member \"sun 27\"",
        ),
        (&["new", "26:31", "--pins=3", "--clutch=direct=carrier"], "is not a clutch"),
        (&["new", "26:3x", "--pins=3"], "\"3x\" is not a number of teeth"),
    ] {
        let refused = run(arguments);
        assert!(refused.code == 2 && refused.stderr.contains(told), "{arguments:?}: {}", refused.stderr);
    }
}

#[cfg(unix)]
mod on_a_terminal {
    use std::process::Command;

    use rexpect::session::{PtySession, spawn_command};

    use super::{BY_ARGUMENTS, folder};
    use crate::support::process::run;

    /// How long an answer of the program may take on a slow machine, in milliseconds.
    const PATIENCE: Option<u64> = Some(60_000);

    fn interview(folder: &std::path::Path, arguments: &[String]) -> PtySession {
        let mut command = Command::new(env!("CARGO_BIN_EXE_toothmark"));
        command.arg("new").args(arguments).current_dir(folder).env("TERM", "xterm").env("COLUMNS", "200");
        spawn_command(command, PATIENCE).expect("a terminal can be opened")
    }

    /// Waits for a question and answers it.
    fn answer(session: &mut PtySession, question: &str, text: &str) {
        session.exp_string(question).unwrap_or_else(|error| panic!("{question}: {error}"));
        session.send_line(text).expect("the program still listens");
    }

    #[test]
    fn questions_lead_to_the_description_that_arguments_make_with_a_way_back() {
        let folder = folder("interview");
        let mut session = interview(&folder, &[]);
        for (question, text) in [
            ("How many gears", "3"),
            ("teeth has gear 1 of 3", "31"),
            ("the sun that gear 1 of 3, with 31 teeth", "25"),
            ("the ring that gear 1 of 3", "back"),
            ("the sun that gear 1 of 3, with 31 teeth", "26"),
            ("the ring that gear 1 of 3", ""),
            ("teeth has gear 2 of 3", "37"),
            ("the sun that gear 2 of 3", "20"),
            ("the ring that gear 2 of 3", ""),
            ("teeth has gear 3 of 3", "26"),
            ("the sun that gear 3 of 3", "31"),
            ("the ring that gear 3 of 3", ""),
            ("Long and short pinions", ""),
            ("How many pins", "3"),
            ("that carries the pins called", "flywheel"),
            ("with the sun 26 called", "driven drum"),
            ("with the sun 20 called", "low drum"),
            ("with the sun 31 called", "reverse drum"),
            ("have a band or brake", "low drum"),
            ("does a clutch couple", "flywheel, driven drum"),
            ("drives?", "flywheel"),
            ("is driven?", "driven drum"),
            ("What is the pitch", "2.5"),
            ("What is the backlash", ""),
            ("What is the gearset", "Railcar"),
            ("to which file", "mine.ron"),
        ] {
            answer(&mut session, question, text);
        }
        session.exp_string("Next: toothmark timing mine.ron").unwrap();
        session.exp_eof().unwrap();
        let asked = std::fs::read_to_string(folder.join("mine.ron")).unwrap();
        assert_eq!(asked, run(&[&["new"], &BY_ARGUMENTS[..]].concat()).stdout);
    }

    #[test]
    fn what_is_interrupted_leaves_nothing_and_is_taken_up_again() {
        let folder = folder("interrupted");
        let mut session = interview(&folder, &[]);
        answer(&mut session, "How many gears", "1");
        answer(&mut session, "teeth has the planet", "twenty");
        session.exp_string("write the teeth as counted").unwrap();
        answer(&mut session, "teeth has the planet", "24");
        answer(&mut session, "the sun that the planet", "30");
        answer(&mut session, "the ring that the planet", "78");
        session.exp_string("Long and short pinions").unwrap();
        session.send_control('c').unwrap();
        session.exp_string("nothing is written; to go on from here: toothmark new --ask 30:24:78").unwrap();
        assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 0);
        let mut session = interview(&folder, &["--ask".into(), "30:24:78".into()]);
        answer(&mut session, "How many gears", "1");
        answer(&mut session, "Long and short pinions", "");
        session.exp_string("How many pins").unwrap();
    }
}
