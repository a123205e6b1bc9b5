//! Does a reading go into the file of a job without anything else being changed or lost?

use std::fs;

use proptest::prelude::*;
use toothmark::description;
use toothmark::job::{self, CannotEnter, Job, JobEntry, ReadingSubject};

use crate::support::process::{command, package, run_with};
use crate::support::random::cases;

fn kept() -> String {
    fs::read_to_string(package().join("tests/jobs/version-1.ron")).expect("the file is kept")
}

fn entered(text: &str, typed: &str) -> String {
    let entry = JobEntry::typed(typed).unwrap_or_else(|reason| panic!("{typed}: {reason}"));
    job::enter(text, &[entry], Some("2026-11-29")).unwrap_or_else(|reason| panic!("{typed}: {reason}"))
}

/// Lines of a text that are not lines of another.
fn changed<'a>(text: &'a str, other: &str) -> Vec<&'a str> {
    text.lines().filter(|line| !other.lines().any(|own| own == *line)).collect()
}

#[test]
fn one_reading_changes_one_line_and_keeps_every_comment() {
    let before = kept();
    let after = entered(&before, "float.sun.left=0.4");
    assert_eq!(changed(&before, &after).len(), 1);
    assert_eq!(
        changed(&after, &before),
        ["        \"float.sun\": (wanted: [Millimetres(0.2), Millimetres(0.6)], left: Millimetres(0.4), left_on: \
          \"2026-11-29\", earlier: [(column: Left, values: Millimetres(0.35))]),"]
    );
}

#[test]
fn a_reading_that_is_new_stands_at_the_end_of_the_list() {
    let before = kept();
    let after = entered(&before, "run-out.ring.found=0.07");
    assert_eq!(changed(&before, &after), Vec::<&str>::new());
    let read = job::read(&after).unwrap();
    assert_eq!(read.draft().readings.last().unwrap().path.as_str(), "run-out.ring");
}

#[test]
fn fields_at_the_head_are_entered_by_their_names() {
    let after = entered(&kept(), "by=bench 3");
    assert!(after.contains("    by: \"bench 3\",\n") && !after.contains("bench 2"));
    let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    let blank = job::write(&job::blank(&set));
    let told = job::read(&entered(&blank, "machine=mill 4")).unwrap();
    assert_eq!(told.draft().machine.as_ref().unwrap().as_str(), "mill 4");
}

/// A comment inside the reading itself would be lost, so the reading is left alone.
#[test]
fn a_comment_inside_a_reading_is_not_lost() {
    let entry = JobEntry::typed("backlash.A with b.left=0.1").unwrap();
    let refused = job::enter(&kept(), &[entry], None).unwrap_err();
    assert_eq!(refused, CannotEnter::CommentInside { path: "backlash.A with b".into() });
}

/// `because: r#"a"b"# /* seen twice */` lost its comment: three quotes were taken for an open text.
#[test]
fn a_comment_behind_a_raw_text_is_not_lost() {
    let before = kept().replace(
        "\"note.case\": (left: \"scribed from the output side\")",
        "\"note.case\": (left: r#\"a\"b\"#, /* seen twice */ because: \"x\")",
    );
    let entry = JobEntry::typed("note.case.left=c").unwrap();
    let refused = job::enter(&before, &[entry], None).unwrap_err();
    assert_eq!(refused, CannotEnter::CommentInside { path: "note.case".into() });
}

/// The comment behind the last reading of a list went over to the one that was entered behind it.
#[test]
fn the_comment_behind_the_last_reading_stays_with_it() {
    for (list, last) in [
        ("\"bush.a\": (left: Millimetres(1)), // new\n    ", "\"bush.a\": (left: Millimetres(1)), // new\n"),
        ("\"bush.a\": (left: Millimetres(1)) // new, cold\n    ", "\"bush.a\": (left: Millimetres(1)), // new, cold\n"),
        (" /* none yet */ ", " /* none yet */\n"),
    ] {
        let text = kept();
        let (start, end) = (text.find("readings: {").unwrap() + 11, text.find("    },\n    gearset").unwrap());
        let before = [&text[..start], list, text[end..].trim_start()].concat();
        let after = entered(&before, "bush.x.left=3");
        let behind = "        \"bush.x\": (left: Millimetres(3), left_on: \"2026-11-29\"),\n    },\n    gearset";
        assert!(after.contains(&format!("{last}{behind}")), "{after}");
    }
}

/// `float.ring=1.left=0.3` was told that "float.ring" is nothing that a job records, and to write "float.ring".
#[test]
fn names_may_have_equals_signs_and_dots_in_them() {
    let before =
        kept().replace("\"ring\"", "\"ring=1.left\"").replace("\"b\"", "\"b=2\"").replace("A with b", "A with b=2");
    for (typed, path) in [
        ("float.ring=1.left.left=0.3", "float.ring=1.left"),
        ("count.b=2.found=18", "count.b=2"),
        ("backlash.R with b=2.found=0.1", "backlash.R with b=2"),
        ("note.a.left=b.left=c", "note.a"),
    ] {
        let read = job::read(&entered(&before, typed)).unwrap();
        assert!(read.draft().readings.iter().any(|reading| *reading.path == *path), "{typed}");
    }
}

/// A path with spaces in it, `bush. pin 2`, was entered a second time, and refused as being there twice.
#[test]
fn a_path_with_spaces_in_it_is_found() {
    let before = kept().replace("\"shaft.pin 1\"", "\"shaft. pin 1\"");
    let read = job::read(&entered(&before, "shaft.pin 1.left=15.97")).unwrap();
    let reading = read.reading(ReadingSubject::Shaft, "pin 1").unwrap();
    assert_eq!((reading.left[0].to_string(), reading.earlier.len()), ("15.97 mm".into(), 1));
}

#[test]
fn lines_end_as_they_did() {
    let before = kept().replace('\n', "\r\n");
    for typed in ["run-out.ring.found=0.07", "float.sun.left=0.4", "by=bench 3"] {
        let after = entered(&before, typed);
        assert_eq!(after.matches('\n').count(), after.matches("\r\n").count(), "{typed}");
    }
}

/// What was wanted, with what and how well it was measured was replaced without a trace.
#[test]
fn what_was_wanted_and_measured_with_stays_among_the_earlier() {
    let mut text = kept();
    let typed = ["wanted=0.10..0.14", "wanted=0.10..0.14 mm", "with=feeler gauge", "within=0.02", "with=feeler gauge"];
    for column in typed {
        text = entered(&text, &format!("float.sun.{column}"));
    }
    text = entered(&text, "float.sun.with=dial");
    let read = job::read(&text).unwrap();
    let earlier = &read.reading(ReadingSubject::Float, "sun").unwrap().earlier;
    let told: Vec<(job::ReadingColumn, Vec<String>, Option<String>)> = earlier
        .iter()
        .map(|earlier| {
            let values = earlier.values.iter().map(ToString::to_string).collect();
            (earlier.column, values, earlier.on.as_ref().map(ToString::to_string))
        })
        .collect();
    // What is told twice is no change, and was no change.
    let day = Some("2026-11-29".to_owned());
    assert_eq!(
        told,
        [
            (job::ReadingColumn::Wanted, vec!["0.2 mm".into(), "0.6 mm".into()], day.clone()),
            (job::ReadingColumn::With, vec!["feeler gauge".into()], day),
        ]
    );
    // Version 1 has no words for it.
    assert_eq!(*read.draft().version, 2);
    let before = [
        "    version: 1,",
        "        \"float.sun\": (wanted: [Millimetres(0.2), Millimetres(0.6)], left: Millimetres(0.35)),",
    ];
    assert_eq!(changed(&kept(), &text), before);
}

/// What was not touched is left as it was found, and nobody copies numbers.
#[test]
fn what_was_not_touched_is_left_as_found() {
    let text = entered(&kept(), "bush.pin 1.found=16.04, 16.05");
    let text = entered(&text, "bush.pin 1.left=as found");
    let read = job::read(&text).unwrap();
    let bush = read.reading(ReadingSubject::Bush, "pin 1").unwrap();
    assert_eq!(bush.left, bush.found);
    assert_eq!((bush.left.len(), bush.earlier[0].values.len()), (2, 3));
    let nothing = JobEntry::typed("shaft.pin 1.left=As found").unwrap();
    let refused = job::enter(&kept(), &[nothing], None).unwrap_err();
    assert_eq!(refused, CannotEnter::NothingFound { path: "shaft.pin 1".into() });
}

/// From which side marks are seen could be set with an editor alone.
#[test]
fn the_side_that_marks_are_seen_from_is_entered() {
    use toothmark::gearset::Side;
    for (typed, side) in
        [("seen=input", Side::Input), ("seen = the input side", Side::Input), ("seen=Output side", Side::Output)]
    {
        let after = entered(&kept(), typed);
        assert_eq!(job::read(&after).unwrap().draft().seen, Some(side), "{typed}");
        assert!(changed(&after, &kept()).len() <= 1, "{typed}");
    }
    let without = kept().replace("    seen: OutputSide,\n", "");
    assert_eq!(job::read(&entered(&without, "seen=output")).unwrap().draft().seen, Some(Side::Output));
    assert!(matches!(JobEntry::typed("seen=left").unwrap_err(), CannotEnter::UnknownSide { .. }));
}

/// `3 teeth P` was taken as of a gear "p", and a gear with a digit or a space in its name could not be typed.
#[test]
fn marks_are_read_as_people_type_them() {
    for (typed, shown) in [
        ("10 teeth l clockwise", "10 teeth of l clockwise"),
        ("-10 teeth of l", "10 teeth of l clockwise"),
        ("10 cw l", "10 teeth of l clockwise"),
        ("1 tooth l", "1 tooth of l ccw"),
        ("1/2 P", "0.5 teeth of P ccw"),
        ("0 teeth d 31", "0 teeth of d 31"),
        ("3 31", "3 teeth of 31 ccw"),
        ("120 deg cw", "120 degrees clockwise"),
        ("-120\u{b0}", "120 degrees clockwise"),
    ] {
        let read = job::ValueKind::Mark.typed(typed).unwrap_or_else(|fault| panic!("{typed}: {fault}"));
        assert_eq!(read.to_string(), shown, "{typed}");
    }
    for typed in ["3", "3 teeth", "120 deg l", "l", "", "-10 l cw", "-10 deg cw"] {
        assert!(job::ValueKind::Mark.typed(typed).is_err(), "{typed}");
    }
    let entry = JobEntry::typed("mark.pin 1.left=3 teeth B").unwrap();
    let refused = job::enter(&kept(), &[entry], None).unwrap_err();
    assert_eq!(refused.hint(), "count on b");
}

/// A file that would grow beyond what can be read was told to be changed "with an editor".
#[test]
fn a_file_that_grows_too_large_is_told_as_such() {
    let room = description::LARGEST_FILE - kept().len() - "// \n".len() - 10;
    let full = format!("// {}\n{}", "x".repeat(room), kept());
    let entry = JobEntry::typed("run-out.ring.found=0.07").unwrap();
    let refused = job::enter(&full, &[entry], None).unwrap_err();
    assert_eq!(refused, CannotEnter::TooLarge { path: "run-out.ring".into() });
    assert!(refused.hint().contains("`earlier`"));
}

#[test]
fn what_cannot_be_entered_says_what_to_type() {
    for (typed, hint) in [
        (
            "bush.pin 2.left",
            "write what, of what, in which column and the reading: \"bush.pin 2.left=16.02\"; machine, unit, date, by and \
             seen stand alone: \"seen=output\"",
        ),
        ("bushes.pin 2.left=16", "write \"bush.pin 2.left\""),
        ("bush.pin 2.lft=16", "the columns are wanted, found, left, with, within, because"),
        ("bush.pin 2.left=16,021", "write 16.02, \"0.631 in\""),
        ("bush.pin 2.left=", "write 16.02, \"0.631 in\""),
        ("count.A.found=24.5", "write 26"),
        ("hole.carrier.left=12 x 18", "write \"90 12 x 18\", which is 12 mm wide and 18 mm deep at 90 degrees"),
    ] {
        assert_eq!(JobEntry::typed(typed).expect_err(typed).hint(), hint, "{typed}");
    }
    for typed in
        ["bush.pin 2.left=-1", "count.Z.found=3", "float.sun.wanted=0.6..0.2", "bush.pin 2.within=0", "date=today"]
    {
        let entry = JobEntry::typed(typed).unwrap();
        let refused = job::enter(&kept(), &[entry], None).expect_err(typed);
        assert!(matches!(refused, CannotEnter::Faults(_)), "{typed}: {refused}");
    }
}

#[test]
fn several_values_a_range_and_units_are_read_as_typed() {
    let text = entered(&kept(), "bush.pin 1.left=16.02; 0.631 in, 16.04");
    let text = entered(&text, "clearance.pin 1.wanted=1..2 thou");
    let read = job::read(&text).unwrap();
    let shown = |values: &[toothmark::gearset::Spanned<job::JobValue>]| {
        values.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(shown(&read.reading(ReadingSubject::Bush, "pin 1").unwrap().left), "16.02 mm 0.631 in 16.04 mm");
    assert_eq!(shown(&read.reading(ReadingSubject::Clearance, "pin 1").unwrap().wanted), "0.001 in 0.002 in");
    // Once the unit behind the least was not that of the most.
    let read = job::read(&entered(&text, "clearance.pin 1.wanted=1 thou..2")).unwrap();
    assert_eq!(shown(&read.reading(ReadingSubject::Clearance, "pin 1").unwrap().wanted), "0.001 in 0.002 in");
}

/// An empty folder of this name.
fn folder(name: &str) -> std::path::PathBuf {
    let folder = std::env::temp_dir().join(format!("toothmark-job-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("a folder can be made");
    folder
}

/// How many files that the program wrote beside another are still there.
fn leftovers(folder: &std::path::Path) -> usize {
    let entries = fs::read_dir(folder).expect("the folder can be read").filter_map(Result::ok);
    entries.filter(|entry| entry.file_name().to_string_lossy().starts_with('.')).count()
}

/// A refused reading, a folder that is protected, a link: the file is whole in each case.
#[test]
fn the_file_is_whole_whatever_happens() {
    let folder = folder("whole");
    let path = folder.join("job.ron");
    fs::write(&path, kept()).unwrap();
    let set = |reading: &str| {
        let mut program = command(&["job", "set"]);
        program.arg(&path).arg(reading).args(["--date", "2026-11-29"]);
        run_with(program, b"")
    };
    assert_eq!(set("bush.pin 1.left=nothing").code, 2);
    assert_eq!(fs::read_to_string(&path).unwrap(), kept());
    let done = set("float.sun.left=0.4");
    assert_eq!((done.code, done.stderr.as_str()), (0, ""));
    assert_eq!(fs::read_to_string(&path).unwrap(), entered(&kept(), "float.sun.left=0.4"));
    assert_eq!(leftovers(&folder), 0);
}

/// Of a link what it points to is changed, and the link stays.
#[cfg(unix)]
#[test]
fn a_link_to_a_job_stays_a_link() {
    let folder = folder("link");
    let (path, link) = (folder.join("job.ron"), folder.join("link.ron"));
    fs::write(&path, kept()).unwrap();
    std::os::unix::fs::symlink(&path, &link).unwrap();
    let mut program = command(&["job", "set"]);
    program.arg(&link).args(["float.sun.left=0.4", "--date", "2026-11-29"]);
    assert_eq!(run_with(program, b"").code, 0);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(fs::read_to_string(&path).unwrap().contains("Millimetres(0.4)"));
}

/// Of twenty readings entered at one time, each told as entered, one was in the file.
#[test]
fn readings_entered_at_one_time_are_all_kept() {
    let path = folder("at-once").join("job.ron");
    fs::write(&path, kept()).unwrap();
    std::thread::scope(|scope| {
        for number in 0..12 {
            let path = &path;
            scope.spawn(move || {
                let mut program = command(&["job", "set"]);
                program.arg(path).arg(format!("bush.number {number}.left={number}"));
                assert_eq!(run_with(program, b"").code, 0);
            });
        }
    });
    let text = fs::read_to_string(&path).unwrap();
    assert_eq!(text.matches("\"bush.number ").count(), 12, "{text}");
}

/// Some editors begin a file with a byte order mark: `job` read it and `job set` refused it.
#[test]
fn a_byte_order_mark_stays() {
    let path = folder("mark").join("job.ron");
    fs::write(&path, format!("\u{feff}{}", kept())).unwrap();
    let mut program = command(&["job", "set"]);
    program.arg(&path).args(["float.sun.left=0.4", "--date", "2026-11-29"]);
    let done = run_with(program, b"");
    assert_eq!((done.code, done.stderr.as_str()), (0, ""));
    assert_eq!(fs::read_to_string(&path).unwrap(), format!("\u{feff}{}", entered(&kept(), "float.sun.left=0.4")));
}

/// `job set -` said that there is no such folder.
#[test]
fn nothing_is_entered_into_standard_input() {
    let mut program = command(&["job", "set"]);
    program.args(["-", "float.sun.left=0.4"]);
    let told = run_with(program, kept().as_bytes());
    assert_eq!((told.code, told.stdout.as_str()), (2, ""));
    assert!(told.stderr.contains("a reading is entered into a file") && told.stderr.contains("hint: name the file"));
}

fn a_reading() -> impl Strategy<Value = String> {
    let length = (1_i64..99_999).prop_map(|size| format!("{}.{:03}", size / 1000, size % 1000));
    let of =
        prop::sample::select(vec!["bush.pin 1", "bush.pin 2", "shaft.pin 3", "float.sun", "run-out.a \"quoted\" drum"]);
    let column = prop::sample::select(vec!["found", "left"]);
    (of, column, length).prop_map(|(of, column, length)| format!("{of}.{column}={length}"))
}

proptest! {
    #![proptest_config(cases(100))]

    /// Every value that was ever entered is in the file at the end, in its column or among the earlier ones, in order.
    #[test]
    fn no_reading_ever_vanishes(readings in prop::collection::vec(a_reading(), 1..12)) {
        let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
        let mut text = job::write(&job::blank(&set));
        for reading in &readings {
            text = entered(&text, reading);
        }
        let read: Job = job::read(&text).unwrap();
        for path in ["bush.pin 1", "bush.pin 2", "shaft.pin 3", "float.sun", "run-out.a \"quoted\" drum"] {
            for column in ["found", "left"] {
                let before = format!("{path}.{column}=");
                let typed = readings.iter().filter_map(|reading| reading.strip_prefix(&before));
                let typed: Vec<String> = typed.map(|size| job::ValueKind::Length.typed(size).unwrap().to_string()).collect();
                let kept = values(&read, path, column);
                prop_assert_eq!(typed, kept, "{}{}", before, text);
            }
        }
    }
}

/// The earlier values of a column and the last one.
fn values(job: &Job, path: &str, column: &str) -> Vec<String> {
    let Some(reading) = job.draft().readings.iter().find(|reading| *reading.path == *path) else { return Vec::new() };
    let is_own = |earlier: &&job::DraftEarlier| format!("{:?}", earlier.column).to_lowercase() == column;
    let earlier = reading.earlier.iter().filter(is_own).flat_map(|earlier| &earlier.values);
    let last = if column == "left" { &reading.left } else { &reading.found };
    earlier.chain(last).map(ToString::to_string).collect()
}
