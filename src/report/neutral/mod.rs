//! The answer to "the output turns in neutral: what drags?".
//!
//! First the test and what each speed of the output means, then the speeds of all drums with the output held; in full
//! every two bodies that could stick, those as well that nobody described as touching. Records have a row for every two.

use crate::bench::{DragOutcome, DragPlace, DragRow, HeldOutputSpeed, NeutralTest};
use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId};
use crate::inspection::RemarkKind;
use crate::report::answer::Answer;
use crate::report::render::document::{Block, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, key, member, quoted, rounded};

/// The most speeds of the output that are listed on a screen.
const MOST_SPEEDS: usize = 14;

impl Answer for NeutralTest {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let meeting = by_output(self.rows.iter().filter(|row| !row.at.is_empty()));
        let caption = "What the output does, and what drags then; with the sense of the input or against it";
        let rows = meeting.iter().map(|alike| speed_row(set, self, alike)).collect();
        let table = Table::new(caption, &headings(self), rows).beginning(MOST_SPEEDS);
        vec![Block::Statements(statements(set, self)), Block::Table(table), held(set, self)]
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let all = by_output(self.rows.iter());
        let rows = all.iter().map(|alike| speed_row(set, self, alike)).collect();
        vec![Block::table("Every two bodies, whether or not they are described as touching", &headings(self), rows)]
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("every two bodies, whether or not they are described as touching")
    }

    fn is_touched_by(&self, remark: RemarkKind) -> bool {
        remark == RemarkKind::DoesNotAssemble
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec!["first", "second", "outcome", "output", "output_decimal", "output_rpm", "at"];
        Records { fields, rows: self.rows.iter().map(|row| record(set, row)).collect() }
    }
}

fn record(set: &Gearset, row: &DragRow) -> Vec<String> {
    let [first, second] = row.stuck.map(|body| csv_name(set.member(body).name()));
    let at: Vec<String> = row.at.iter().map(|place| place_name(set, *place)).collect();
    let number = |value: &Option<Fraction>| value.as_ref().map(rounded).unwrap_or_default();
    let exactly = row.output.as_ref().map(ToString::to_string).unwrap_or_default();
    vec![
        first,
        second,
        key(&row.outcome),
        exactly,
        number(&row.output),
        number(&row.output_rpm),
        csv_name(&at.join("; ")),
    ]
}

/// How the test is done, and what its result means.
fn statements(set: &Gearset, test: &NeutralTest) -> Vec<String> {
    let [input, output] = [test.input, test.output].map(|id| member(set, id));
    let state =
        test.state.as_ref().map_or_else(|| "with nothing applied".to_owned(), |name| format!("in {}", quoted(name)));
    let meeting = || test.rows.iter().filter(|row| !row.at.is_empty());
    let shows = meeting().any(|row| row.outcome != DragOutcome::StaysFree);
    let unseen = meeting().filter(|row| row.outcome == DragOutcome::StaysFree).count();
    let told = [
        Some(format!("Turn {input} {state} and watch {output}: it has to stand, or to be stopped by a finger.")),
        shows.then(|| {
            "If it turns, its speed says what drags; a speed between two of these is a drag that slips.".into()
        }),
        (!shows)
            .then(|| format!("No single drag can turn {output} here, it takes two: feel every part below by hand.")),
        (shows && unseen > 0)
            .then(|| format!("{unseen} of the drags below do not show in {output}: feel those parts by hand.")),
        Some(
            "Beware: take the load off first; a wheel is jacked up and its axle on stands, the others chocked. Nobody \
             cranks by hand before the neutral is proved free. Cold oil drags as well: test warm."
                .to_owned(),
        ),
    ];
    told.into_iter().flatten().collect()
}

/// Rows with one outcome and one speed together, in their order.
fn by_output<'a>(rows: impl Iterator<Item = &'a DragRow>) -> Vec<Vec<&'a DragRow>> {
    let mut alike: Vec<Vec<&DragRow>> = Vec::new();
    for row in rows {
        match alike.last_mut() {
            Some(last) if last[0].outcome == row.outcome && last[0].output == row.output => last.push(row),
            _ => alike.push(vec![row]),
        }
    }
    alike
}

fn headings(test: &NeutralTest) -> Vec<&'static str> {
    let speed = if test.input_rpm.is_some() { "rpm" } else { "per turn of the input" };
    vec!["the output turns", speed, "then this drags"]
}

fn speed_row(set: &Gearset, test: &NeutralTest, alike: &[&DragRow]) -> Vec<String> {
    let first = alike[0];
    let what = match first.outcome {
        DragOutcome::Forward => "with the input",
        DragOutcome::Backward => "against it",
        DragOutcome::Stands => "not at all: held",
        DragOutcome::StaysFree => "freely, as it likes",
        DragOutcome::Locks => "not at all: locked",
    };
    let speed = match (&first.output, &first.output_rpm) {
        (Some(_), Some(rpm)) if test.input_rpm.is_some() => rounded(rpm),
        (Some(speed), _) => words::with_decimal(speed),
        (None, _) => "-".to_owned(),
    };
    let drags: Vec<String> = alike.iter().map(|row| drag(set, row)).collect();
    vec![what.to_owned(), speed, drags.join("; ")]
}

/// What drags: the control, or the two bodies where they meet.
fn drag(set: &Gearset, row: &DragRow) -> String {
    let [first, second] = row.stuck.map(|body| set.member(body).name());
    let bodies = match row.stuck {
        [_, MemberId::CASE] => format!("{first} on the case"),
        _ if row.at.contains(&DragPlace::Pin) => format!("{first} on its pin"),
        _ => format!("{first} on {second}"),
    };
    let controls = row.at.iter().filter(|place| matches!(place, DragPlace::Control(_)));
    let names: Vec<String> = controls.map(|place| place_name(set, *place)).collect();
    let elsewhere = row.at.len() > names.len();
    match (&names[..], elsewhere) {
        ([], _) => bodies,
        (names, false) => names.join(" or "),
        (names, true) => format!("{} or {bodies}", names.join(" or ")),
    }
}

fn place_name(set: &Gearset, place: DragPlace) -> String {
    match place {
        DragPlace::Control(control) => set.control(control).name().to_owned(),
        DragPlace::Pin => "pin".to_owned(),
        DragPlace::Bearing => "bearing".to_owned(),
    }
}

/// The speeds of everything on the main axis with the output held.
fn held(set: &Gearset, test: &NeutralTest) -> Block {
    let row = |found: &HeldOutputSpeed| {
        let speed = match (&found.rpm, &found.speed) {
            (Some(rpm), _) => rounded(rpm),
            (None, Some(speed)) => words::with_decimal(speed),
            (None, None) => "free".to_owned(),
        };
        vec![set.member(found.member).name().to_owned(), speed]
    };
    let speed = if test.input_rpm.is_some() { "rpm" } else { "per turn of the input" };
    let caption = format!("With {} held, everything else has to run at", member(set, test.output));
    Block::table(caption, &["part", speed], test.output_held.iter().map(row).collect())
}
