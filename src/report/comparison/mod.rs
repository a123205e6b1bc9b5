//! The answer to "what does one gearset do beside another".
//!
//! One table a question, one column a gearset, one row for whatever has a name; a row whose cells are not all alike
//! says so in its last column. For a table program a record a cell.

mod screen;

use num_traits::{Signed, Zero};

use crate::clearance::{Faces, Tips};
use crate::comparison::{
    ComparedGap, ComparedGear, ComparedGroup, ComparedMeeting, ComparedSet, ComparedState, Comparison, PartChange,
    TeethChange,
};
use crate::exact::{Fraction, decimal};
use crate::gearset::Gearset;
use crate::kinematics::VerdictKind;
use crate::report::answer::Answer;
use crate::report::render::document::{Block, Fact, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::timing::word;
use crate::report::words::{counted, list, quoted, with_decimal};
use crate::timing::{MarginSearch, MarkingConvention};

/// What stands in a column that has no such row.
const ABSENT: &str = "-";

/// What one table shows.
struct ComparedQuestion {
    caption: &'static str,
    /// What stands before the name of a row that stands among those of other questions.
    short: &'static str,
    rows: Vec<ComparedRow>,
}

/// A row before its cells are compared.
struct ComparedRow {
    /// What it is about.
    name: String,
    /// A cell for each gearset.
    cells: Vec<String>,
}

/// What one gearset has in a row: what the row is about, and the answer.
type Cell = (String, String);

impl Answer for Comparison {
    fn title(&self, _: &Gearset) -> String {
        match self.sets.first() {
            Some(first) if has_one_title(self) => first.gearset.clone(),
            _ => "Gearsets side by side".to_owned(),
        }
    }

    fn summary(&self, _: &Gearset) -> Vec<Block> {
        let source = |compared: &ComparedSet| {
            let ComparedSet { column, source, gearset, .. } = compared;
            Fact::new(column, if has_one_title(self) { source.clone() } else { format!("{gearset} ({source})") })
        };
        let mut blocks = screen::summary(self);
        blocks.insert(1.min(blocks.len()), Block::Facts(self.sets.iter().map(source).collect()));
        blocks
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        let full = questions(self).into_iter().filter(|question| !question.rows.is_empty());
        let mut blocks: Vec<Block> = full.map(|question| Block::Table(table(self, question))).collect();
        blocks.push(Block::Note(
            "nothing here proves a gear strong enough; torques are without losses, and tips are taken as full".into(),
        ));
        blocks
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("teeth, steps, timing, room, meetings of teeth and torques side by side, alike or not")
    }

    fn records(&self, _: &Gearset) -> Records {
        let mut rows = Vec::new();
        for question in questions(self) {
            for row in question.rows {
                for (compared, cell) in self.sets.iter().zip(row.cells) {
                    let [name, cell] = [&row.name, &cell].map(|text| csv_name(text));
                    rows.push(vec![question.caption.to_owned(), name, compared.column.clone(), cell]);
                }
            }
        }
        Records { fields: vec!["table", "row", "column", "cell"], rows }
    }
}

fn has_one_title(comparison: &Comparison) -> bool {
    comparison.sets.windows(2).all(|pair| pair[0].gearset == pair[1].gearset)
}

/// What is compared, a table each.
fn questions(comparison: &Comparison) -> [ComparedQuestion; 7] {
    const RATIOS: &str = "Ratio of each state: input turns per output turn, negative: the output turns backward; \
                          in brackets the change";
    let question = |caption, short, of: fn(&ComparedSet) -> Vec<Cell>| ComparedQuestion {
        caption,
        short,
        rows: rows(comparison, of),
    };
    [
        question("Teeth", "", |set| set.gears.iter().map(teeth).collect()),
        question(RATIOS, "ratio of ", |set| set.states.iter().map(ratio).collect()),
        question("Steps between forward states", "", steps),
        question("Assembly", "", |set| set.groups.iter().flat_map(timing).collect()),
        question("Room between gears that are not in mesh, tip to tip", "room of ", |set| {
            set.gaps.iter().map(gap).collect()
        }),
        question(
            "Turns of the first gear, seen from the carrier, until the same teeth meet",
            "teeth meet of ",
            |set| set.meetings.iter().map(meeting).collect(),
        ),
        question("What bands, clutches and holds take up, for a torque of 1 on the input", "torque in ", |set| {
            set.states.iter().flat_map(torques).collect()
        }),
    ]
}

/// The rows of all gearsets, each name once, in the order in which they first appear.
fn rows(comparison: &Comparison, of: fn(&ComparedSet) -> Vec<Cell>) -> Vec<ComparedRow> {
    let columns: Vec<Vec<Cell>> = comparison.sets.iter().map(of).collect();
    let mut names: Vec<&String> = Vec::new();
    for (name, _) in columns.iter().flatten() {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let answer = |column: &Vec<Cell>, name: &String| {
        let cell = column.iter().find(|(other, _)| other == name);
        cell.map_or_else(|| ABSENT.to_owned(), |(_, answer)| answer.clone())
    };
    let row = |&name: &&String| ComparedRow {
        name: name.clone(),
        cells: columns.iter().map(|column| answer(column, name)).collect(),
    };
    names.iter().map(row).collect()
}

fn table(comparison: &Comparison, ComparedQuestion { caption, rows, .. }: ComparedQuestion) -> Table {
    let mut table = table_without_differs(comparison, caption, rows);
    table.headings.push("differs".into());
    for row in &mut table.rows {
        let same = row[2..].iter().all(|cell| *cell == row[1]);
        row.push(if same { "" } else { "yes" }.to_owned());
    }
    table
}

/// A row for whatever has a name, a column for each gearset.
fn table_without_differs(comparison: &Comparison, caption: &str, rows: Vec<ComparedRow>) -> Table {
    let columns = comparison.sets.iter().map(|compared| compared.column.clone());
    let row = |ComparedRow { name, cells }: ComparedRow| [vec![name], cells].concat();
    Table {
        caption: caption.to_owned(),
        headings: std::iter::once(String::new()).chain(columns).collect(),
        rows: rows.into_iter().map(row).collect(),
    }
}

/// What of the gearsets has to be minded, a sentence each.
fn warnings(comparison: &Comparison) -> Vec<String> {
    let of = |is_so: &dyn Fn(&ComparedSet) -> bool| {
        let sets = comparison.sets.iter().filter(|set| is_so(set));
        let columns: Vec<String> = sets.map(|set| set.column.clone()).collect();
        (!columns.is_empty()).then(|| list(&columns))
    };
    let overlap =
        |faces: Faces| move |set: &ComparedSet| set.gaps.iter().any(|it| it.faces == faces && it.tips == Tips::Overlap);
    let refused = of(&|set| set.groups.iter().any(|group| !group.goes_together)).map(|sets| {
        format!("{sets} does not assemble as described: toothmark timing says why, and names the ways out")
    });
    let foul = of(&overlap(Faces::Meet))
        .map(|sets| format!("in {sets} tips are in one another's way: take fewer pins, or other tooth counts"));
    let behind = of(&overlap(Faces::InOnePlane)).map(|sets| {
        format!(
            "in {sets} gears are in one another's way unless they stand one behind the other along the axis: see the room"
        )
    });
    [refused, foul, behind].into_iter().flatten().collect()
}

fn teeth(gear: &ComparedGear) -> Cell {
    (format!("{} on {}", gear.gear, gear.member), gear.teeth.to_string())
}

fn ratio(state: &ComparedState) -> Cell {
    let answer = match (state.verdict, &state.ratio) {
        (VerdictKind::Drives, Some(ratio)) => with_decimal(ratio) + &change(state.change_percent.as_ref()),
        (VerdictKind::Drives, None) => ABSENT.into(),
        (VerdictKind::Locked, _) => "locked".into(),
        (VerdictKind::Neutral, _) => "neutral".into(),
        (VerdictKind::OutputHeld, _) => "output held".into(),
    };
    (state.state.clone(), answer)
}

/// By how much a ratio differs from that of the first gearset, if it drives the same way there.
fn change(percent: Option<&Fraction>) -> String {
    let change = |percent: &Fraction| {
        let sign = if percent.is_positive() { "+" } else { "" };
        format!(" ({sign}{} %)", decimal(percent, 3))
    };
    percent.filter(|percent| !percent.is_zero()).map(change).unwrap_or_default()
}

fn steps(compared: &ComparedSet) -> Vec<Cell> {
    let mut rows = Vec::new();
    for steps in &compared.steps {
        let each =
            steps.steps.iter().map(|step| (format!("step, {} to {}", step.from, step.to), with_decimal(&step.step)));
        rows.extend(each);
        rows.push(("spread, slowest to fastest".into(), with_decimal(&steps.spread)));
    }
    rows
}

fn timing(group: &ComparedGroup) -> [Cell; 6] {
    let name = list(&group.planets);
    [
        ("pins", group.pins.to_string()),
        ("assembles", if group.goes_together { "yes" } else { "NO" }.into()),
        ("marks", marks(group.marks).into()),
        ("spacing divisor", group.spacing_divisor.to_string()),
        ("nearest wrong seating", margin(group)),
        ("could go in wrong unnoticed", unnoticed(group).into()),
    ]
    .map(|(what, answer)| (format!("{name}: {what}"), answer))
}

fn marks(convention: MarkingConvention) -> &'static str {
    match convention {
        MarkingConvention::Refused => "none help",
        MarkingConvention::OnePin => "none needed: one pin",
        MarkingConvention::AnyTooth => "none needed: any tooth will do",
        MarkingConvention::Radial => "radial",
        MarkingConvention::Parallel => "parallel",
        MarkingConvention::Individual => "for each pin its own",
    }
}

fn margin(group: &ComparedGroup) -> String {
    match (&group.margin, group.margin_search) {
        (None, _) if !group.goes_together => ABSENT.into(),
        (None, MarginSearch::GivenUp) => "not known: too many seatings".into(),
        (None, MarginSearch::Complete) => "none".into(),
        (Some(margin), _) => {
            let arc = group.margin_mm.map(|arc| format!(", {arc:.3} mm")).unwrap_or_default();
            format!("{} of a tooth{arc}", with_decimal(margin))
        }
    }
}

fn unnoticed(group: &ComparedGroup) -> &'static str {
    match (&group.margin, group.unnoticed) {
        (None, _) => ABSENT,
        (Some(_), None) => "not known: no pitch or backlash",
        (Some(_), Some(true)) => "YES",
        (Some(_), Some(false)) => "no",
    }
}

fn gap(gap: &ComparedGap) -> Cell {
    let [first, second] = &gap.gears;
    let name = if first == second { format!("{first} to its neighbour") } else { format!("{first} to {second}") };
    let length = gap.millimetres.map(|length| format!(", {length:.3} mm")).unwrap_or_default();
    (name, format!("{:.3} modules{length}{}", gap.modules, word(gap.tips)))
}

fn meeting(meeting: &ComparedMeeting) -> Cell {
    let kind = match meeting.common_factor {
        1 => "hunting".to_owned(),
        factor => format!("common factor {factor}"),
    };
    (meeting.mesh.join(" with "), format!("{}, {kind}", meeting.turns[0]))
}

fn torques(state: &ComparedState) -> Vec<Cell> {
    let row = |what: String, torque: &Option<Fraction>| {
        let answer = torque.as_ref().map_or_else(|| "not determined".to_owned(), with_decimal);
        (format!("{}: {what}", state.state), answer)
    };
    let controls = state.controls.iter().map(|load| row(load.control.clone(), &load.torque));
    controls.chain(state.held.iter().map(|load| row(format!("{} held", load.member), &load.torque))).collect()
}

fn part(change: &PartChange) -> String {
    let of = |member: &str, pieces: usize| match pieces {
        1 => quoted(member),
        _ => format!("{pieces} {}", quoted(member)),
    };
    match change {
        PartChange::Gone { member } => format!("{} goes", quoted(member)),
        PartChange::New { member, pieces } => format!("{} comes", of(member, *pieces)),
        PartChange::Teeth { member, pieces, gears } => {
            let gears: Vec<String> = gears.iter().map(teeth_change).collect();
            format!("{} with {}", of(member, *pieces), list(&gears))
        }
        PartChange::Pins { carrier, planet, count: [before, after], radius, in_millimetres } => {
            let pins = format!("the pins of {} on {}", quoted(planet), quoted(carrier));
            let unit = if *in_millimetres { "mm" } else { "modules" };
            let radius = radius.map(|[before, after]| {
                format!(" on a circle of radius {after:.3} {unit} instead of {before:.3} {unit}")
            });
            let was = if before == after { String::new() } else { format!(" instead of {before}") };
            format!("{pins}: {}{was}{}", counted(*after, "pin"), radius.unwrap_or_default())
        }
    }
}

fn teeth_change(change: &TeethChange) -> String {
    let name = &change.gear;
    match (change.before, change.after) {
        (Some(before), Some(after)) => format!("{name} {after} instead of {before}"),
        (None, Some(after)) => format!("{name} {after} new"),
        (_, None) => format!("{name} gone"),
    }
}
