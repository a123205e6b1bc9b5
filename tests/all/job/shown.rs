//! Does a person see what the record has, where it belongs: on the screen, and on the sheet of paper?

use std::fs;
use std::path::PathBuf;

use crate::support::process::{Run, command, run_with};

/// The file of a job about two suns of 22 and 16 on a cluster of 29 and 35, which goes in with its marks parallel.
struct Record {
    path: PathBuf,
}

impl Record {
    fn new(name: &str, more: &[&str]) -> Self {
        let path = std::env::temp_dir().join(format!("toothmark-shown-{name}-{}.ron", std::process::id()));
        let mut program = command(&["job", "new", "22:29", "16:35", "28:23", "--pins", "3", "--date", "2026-11-20"]);
        program.args(more).arg("--force").arg("-o").arg(&path);
        let begun = run_with(program, b"");
        assert_eq!(begun.code, 0, "{}", begun.stderr);
        Self { path }
    }

    #[track_caller]
    fn enter(&self, readings: &[&str]) -> Run {
        let mut program = command(&["job", "set"]);
        program.arg(&self.path).args(readings).args(["--date", "2026-11-22"]);
        let done = run_with(program, b"");
        assert_eq!(done.code, 0, "{}", done.stderr);
        done
    }

    fn asked(&self, arguments: &[&str]) -> String {
        let mut program = command(&["job"]);
        program.arg(&self.path).args(arguments);
        run_with(program, b"").stdout
    }
}

impl Drop for Record {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.path);
    }
}

/// The cells of every row of a sheet.
fn rows(sheet: &str) -> Vec<Vec<String>> {
    let cells = |row: &str| -> Vec<String> {
        let cells = row.split("<td>").skip(1);
        cells.map(|cell| cell.split("</td>").next().unwrap_or_default().to_owned()).collect()
    };
    sheet.split("<tr>").skip(1).map(cells).collect()
}

/// A mark read on P35 stood in the row of P29, which reads best, and a minus said no sense to anybody.
#[test]
fn a_mark_stands_in_the_row_of_its_gear_with_its_sense() {
    let record = Record::new("marks", &["--seen", "output"]);
    record.enter(&["mark.pin 2.found=12 teeth P35 ccw", "mark.pin 2.left=-120 deg", "mark.pin 3.found=-10 teeth P29"]);
    let sheet = record.asked(&["--format", "html"]);
    let row = |pin: &str, gear: &str| {
        let rows = rows(&sheet);
        let own = rows.into_iter().find(|cells| cells.len() == 8 && cells[0] == pin && cells[1].starts_with(gear));
        own.unwrap_or_else(|| panic!("{pin} {gear}: {sheet}"))[6..].to_vec()
    };
    assert_eq!(row("2", "P35"), ["12 teeth of P35 ccw", ""]);
    assert_eq!(row("2", "P29"), ["", "120 degrees clockwise"]);
    assert_eq!(row("3", "P29"), ["10 teeth of P29 clockwise", ""]);
    assert!(sheet.contains("as found and as left seen from the output side"));
}

/// Of planets without marks, and of such as do not go together, a mark that was read was nowhere on the sheet.
#[test]
fn every_reading_is_on_the_sheet() {
    for (set, mark) in [(&["millrace-winch"][..], "2 teeth of p ccw"), (&["cannot-be-trio"], "2 teeth of")] {
        let path = std::env::temp_dir().join(format!("toothmark-every-{}-{}.ron", set[0], std::process::id()));
        let mut program = command(&["job", "new"]);
        program.args(set).arg("--force").arg("-o").arg(&path);
        assert_eq!(run_with(program, b"").code, 0);
        let record = Record { path };
        let gear = if set[0] == "millrace-winch" { "p" } else { "d" };
        record.enter(&[&format!("mark.pin 1.found=2 teeth {gear}")]);
        let sheet = record.asked(&["--format", "html"]);
        assert!(rows(&sheet).iter().flatten().any(|cell| cell.starts_with(mark)), "{sheet}");
    }
}

/// What stood there before is on the paper that is filed.
#[test]
fn what_was_there_before_is_on_the_sheet() {
    let record = Record::new("before", &[]);
    record.enter(&["float.sun 22.wanted=0.2..0.6", "float.sun 22.with=feeler", "float.sun 22.left=0.7"]);
    record.enter(&[
        "float.sun 22.wanted=0.2..0.8",
        "float.sun 22.with=dial",
        "float.sun 22.left=0.5",
        "count.P29.found=28",
    ]);
    record.enter(&["count.P29.found=29", "mark.pin 1.left=0 teeth P29", "mark.pin 1.because=own scribe"]);
    let sheet = record.asked(&["--format", "html"]);
    let remarks = "dial; before: 0.2 to 0.6 mm wanted until 2026-11-22; before: feeler until 2026-11-22; before: 0.7 mm as \
                   left on 2026-11-22";
    for (first, last) in [
        ("end float, sun 22", remarks),
        ("cluster", "before: 28 as found on 2026-11-22"),
        ("the mark, pin 1", "own scribe"),
    ] {
        let is_it =
            |cells: &&Vec<String>| cells.first().is_some_and(|cell| cell == first) && cells.last().unwrap() == last;
        assert!(rows(&sheet).iter().find(is_it).is_some(), "{first}: {sheet}");
    }
}

/// Nobody types a command on paper.
#[test]
fn the_sheet_does_not_say_how_a_reading_is_entered() {
    let record = Record::new("paper", &[]);
    record.enter(&["float.sun 22.found=0.4"]);
    assert!(record.asked(&[]).contains("toothmark job set FILE"));
    let sheet = record.asked(&["--format", "html"]);
    assert!(sheet.contains("What the record says") && !sheet.contains("toothmark job set"));
}

/// Dust and springs were warned of on the sheet, and not where a lining or a spring is to be read.
#[test]
fn cautions_stand_at_what_is_still_to_be_done() {
    let set = |name: &str, readings: &[&str]| {
        let path = std::env::temp_dir().join(format!("toothmark-caution-{name}-{}.ron", std::process::id()));
        let mut program = command(&["job", "new", "inspection-railcar", "--force", "-o"]);
        program.arg(&path);
        assert_eq!(run_with(program, b"").code, 0);
        let record = Record { path };
        record.enter(readings);
        let said = record.asked(&[]);
        (said.contains("lining dust: treat it as asbestos"), said.contains("clutch springs are under load"))
    };
    assert_eq!(set("dust", &["oil.gearbox.left=new"]), (true, false));
    let springs = ["spring.main.wanted=50", "spring.main.found=48"];
    assert_eq!(set("springs", &springs), (true, true));
    let done = ["low band", "reverse band"]
        .map(|band| [format!("band.{band}.because=not fitted"), format!("lining.{band}.because=not fitted")])
        .concat();
    assert_eq!(set("done", &done.iter().map(String::as_str).collect::<Vec<_>>()), (false, false));
}

/// Marks that were read before it was said from where are seen from there from then on, and that is told.
#[test]
fn turning_the_view_of_marks_is_told() {
    let record = Record::new("turned", &[]);
    assert_eq!(record.enter(&["seen=output"]).stderr, "");
    record.enter(&["mark.pin 1.found=0 teeth P29"]);
    assert_eq!(record.enter(&["seen=output"]).stderr, "");
    assert!(record.enter(&["seen=input"]).stderr.contains("taken as seen from the side named now"));
}

/// A mark 10 teeth clockwise from one side is 10 teeth counter-clockwise from the other: two jobs were compared in silence.
#[test]
fn jobs_read_from_two_sides_are_not_compared_in_silence() {
    let (input, output) = (Record::new("from-input", &[]), Record::new("from-output", &["--seen", "output"]));
    let compared = |one: &Record, other: &Record| {
        let mut program = command(&["job", "diff"]);
        program.arg(&one.path).arg(&other.path);
        run_with(program, b"").stdout
    };
    assert!(compared(&input, &output).contains("mirrored"), "{}", compared(&input, &output));
    assert!(!compared(&output, &output).contains("mirrored"));
}
