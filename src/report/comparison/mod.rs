//! The answer to "what does one gearset do beside another", for a person.
//!
//! One table a question, one column a gearset, one row for whatever has a name; a row whose cells
//! are not all alike says so in its last column. For other programs see [`self::data`].

mod data;

use num_traits::{Signed, Zero};

use crate::clearance::{Faces, Gap};
use crate::comparison::{Answers, PartChange, TeethChange, changes};
use crate::exact::{Fraction, decimal, fraction};
use crate::gearset::{Gear, Gearset, MemberId, Restraint};
use crate::kinematics::Verdict;
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::timing::word;
use crate::report::words::{counted, list, quoted, with_decimal};
use crate::statics::StateLoads;
use crate::timing::{Convention, GroupTiming, MarginSearch, Meeting};

/// A gearset that is compared.
#[derive(Debug, Clone)]
pub struct Compared {
    /// The letter of its column.
    pub letter: String,
    /// Where it comes from: a file, or what was changed.
    pub source: String,
    /// The gearset.
    pub set: Gearset,
    /// What was worked out of it.
    pub answers: Answers,
}

/// Gearsets side by side; changes are told against the first.
#[derive(Debug, Clone, Copy)]
pub struct Comparison<'a> {
    /// The gearsets, at least one.
    pub sets: &'a [Compared],
}

/// What stands in a column that has no such row.
const ABSENT: &str = "-";

/// What one table shows.
pub(super) struct Question {
    pub(super) caption: &'static str,
    pub(super) rows: Vec<Row>,
}

/// A row before its cells are compared.
pub(super) struct Row {
    /// What it is about.
    pub(super) name: String,
    /// A cell for each gearset.
    pub(super) cells: Vec<String>,
}

/// What one gearset has in a row.
struct Cell {
    /// What the row is about.
    name: String,
    answer: String,
}

impl Comparison<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let titles: Vec<&str> = self.sets.iter().map(|compared| compared.set.title()).collect();
        let one_title = titles.iter().all(|title| *title == titles[0]);
        let source = |compared: &Compared| {
            let source = &compared.source;
            let title = compared.set.title();
            Fact::new(&compared.letter, if one_title { source.clone() } else { format!("{title} ({source})") })
        };
        let mut blocks = vec![Block::Facts(self.sets.iter().map(source).collect())];
        blocks.extend(self.parts());
        let full = self.questions().into_iter().filter(|question| !question.rows.is_empty());
        blocks.extend(full.map(|question| Block::Table(self.table(question))));
        blocks.extend(self.warnings());
        blocks.push(Block::Note(
            "nothing here proves a gear strong enough; torques are without losses, and tips are taken as full".into(),
        ));
        let title = if one_title { titles[0].to_owned() } else { "Gearsets side by side".to_owned() };
        Document { title, blocks }
    }

    /// What is compared, a table each.
    pub(super) fn questions(&self) -> [Question; 7] {
        const RATIOS: &str = "Ratio of each state: input turns per output turn, negative: the output turns backward; \
                              in brackets the change";
        let question = |caption, of: &dyn Fn(&Compared) -> Vec<Cell>| Question { caption, rows: self.rows(of) };
        [
            question("Teeth", &teeth),
            question(RATIOS, &|compared| self.ratios(compared)),
            question("Steps between forward states", &steps),
            question("Going together", &timing),
            question("Room between gears that are not in mesh, tip to tip", &gaps),
            question("Turns of the first gear, seen from the carrier, until the same teeth meet", &meetings),
            question("What bands, clutches and holds take up, for a torque of 1 on the input", &torques),
        ]
    }

    /// The rows of all gearsets, each name once, in the order in which they first appear.
    fn rows(&self, of: &dyn Fn(&Compared) -> Vec<Cell>) -> Vec<Row> {
        let columns: Vec<Vec<Cell>> = self.sets.iter().map(of).collect();
        let mut names: Vec<&String> = Vec::new();
        for cell in columns.iter().flatten() {
            if !names.contains(&&cell.name) {
                names.push(&cell.name);
            }
        }
        let answer = |column: &Vec<Cell>, name: &String| {
            let cell = column.iter().find(|cell| cell.name == *name);
            cell.map_or_else(|| ABSENT.to_owned(), |cell| cell.answer.clone())
        };
        let row = |&name: &&String| Row {
            name: name.clone(),
            cells: columns.iter().map(|column| answer(column, name)).collect(),
        };
        names.iter().map(row).collect()
    }

    fn table(&self, Question { caption, rows }: Question) -> Table {
        let mut headings = vec![String::new()];
        headings.extend(self.sets.iter().map(|compared| compared.letter.clone()));
        headings.push("differs".into());
        let row = |Row { name, cells }: Row| {
            let same = if cells.iter().all(|cell| *cell == cells[0]) { "" } else { "yes" };
            [vec![name], cells, vec![same.to_owned()]].concat()
        };
        Table { caption: caption.to_owned(), headings, rows: rows.into_iter().map(row).collect() }
    }

    fn ratios(&self, compared: &Compared) -> Vec<Cell> {
        let row = |state: &StateLoads| {
            let answer = match &state.motion.verdict {
                Verdict::Drives { ratio, .. } => {
                    format!("{}{}", with_decimal(ratio), self.change(&state.motion.state, ratio).unwrap_or_default())
                }
                Verdict::Locked { .. } => "locked".into(),
                Verdict::Neutral => "neutral".into(),
                Verdict::OutputHeld => "output held".into(),
            };
            Cell { name: state.motion.state.clone(), answer }
        };
        compared.answers.states.iter().map(row).collect()
    }

    /// By how much a ratio differs from that of the first gearset, if it drives the same way there.
    fn change(&self, state: &str, ratio: &Fraction) -> Option<String> {
        let first = self.sets.first()?.answers.states.iter().find(|other| other.motion.state == state)?;
        let quotient = ratio / first.motion.verdict.ratio()?;
        let change = (quotient - fraction(1, 1)) * fraction(100, 1);
        let sign = if change.is_positive() { "+" } else { "" };
        (!change.is_zero()).then(|| format!(" ({sign}{} %)", decimal(&change, 3)))
    }

    /// For each further gearset the parts that it needs.
    fn parts(&self) -> Vec<Block> {
        let Some((first, others)) = self.sets.split_first() else { return Vec::new() };
        let facts = |other: &Compared| {
            let parts: Vec<String> = changes(&first.set, &other.set).iter().map(part).collect();
            let answer = if parts.is_empty() { "no part".to_owned() } else { parts.join("; ") };
            Fact { subject: format!("from {} to {}", first.letter, other.letter), answer }
        };
        let facts: Vec<Fact> = others.iter().map(facts).collect();
        if facts.is_empty() {
            return Vec::new();
        }
        vec![Block::Heading("Parts that change".into()), Block::Facts(facts)]
    }

    fn warnings(&self) -> Vec<Block> {
        let refused = |compared: &&Compared| !compared.answers.timing.iter().all(|group| group.assembles);
        let overlap =
            |compared: &Compared, faces| all_gaps(compared).iter().any(|gap| gap.faces == faces && gap.modules <= 0.0);
        let fouls = |compared: &&Compared| overlap(compared, Faces::Meet);
        let letters = |sets: Vec<&Compared>| list(&sets.iter().map(|set| set.letter.clone()).collect::<Vec<_>>());
        let mut blocks = Vec::new();
        let out: Vec<&Compared> = self.sets.iter().filter(refused).collect();
        if !out.is_empty() {
            blocks.push(Block::Warning(format!(
                "{} cannot be put together as described: toothmark timing says why, and names the ways out",
                letters(out)
            )));
        }
        let foul: Vec<&Compared> = self.sets.iter().filter(fouls).collect();
        if !foul.is_empty() {
            blocks.push(Block::Warning(format!(
                "in {} tips are in one another's way: take fewer pins, or other tooth counts",
                letters(foul)
            )));
        }
        let behind: Vec<&Compared> = self.sets.iter().filter(|set| overlap(set, Faces::InOnePlane)).collect();
        if !behind.is_empty() {
            blocks.push(Block::Warning(format!(
                "in {} gears are in one another's way unless they stand one behind the other along the axis: see the room",
                letters(behind)
            )));
        }
        blocks
    }
}

fn all_gaps(compared: &Compared) -> Vec<&Gap> {
    compared.answers.gaps.iter().flatten().flatten().collect()
}

fn teeth(compared: &Compared) -> Vec<Cell> {
    let set = &compared.set;
    let row = |gear: &Gear| {
        let member = set.member(gear.member()).name();
        Cell { name: format!("{} on {member}", gear.name()), answer: gear.tooth_count().get().to_string() }
    };
    set.gears().iter().map(row).collect()
}

fn steps(compared: &Compared) -> Vec<Cell> {
    let mut rows = Vec::new();
    for steps in &compared.answers.steps {
        rows.extend(
            steps
                .steps
                .iter()
                .map(|step| Cell { name: format!("{} to {}", step.from, step.to), answer: with_decimal(&step.step) }),
        );
        rows.push(Cell { name: "spread, slowest to fastest".into(), answer: with_decimal(&steps.spread) });
    }
    rows
}

/// The name of a group of planets.
pub(super) fn group_name(set: &Gearset, group: &GroupTiming) -> String {
    list(&group.planets.iter().map(|&planet| set.member(planet).name().to_owned()).collect::<Vec<_>>())
}

fn timing(compared: &Compared) -> Vec<Cell> {
    let mut rows = Vec::new();
    for (group, marking) in compared.answers.timing.iter().zip(&compared.answers.marking) {
        let name = group_name(&compared.set, group);
        let mut row = |what: &str, answer: String| rows.push(Cell { name: format!("{name}: {what}"), answer });
        row("pins", group.pins.len().to_string());
        row("goes together", if group.assembles { "yes" } else { "NO" }.into());
        row("marks", marks(marking.convention).into());
        row("spacing divisor", group.spacing_divisor.to_string());
        row("nearest wrong seating", margin(group));
        row("could go in wrong unnoticed", unnoticed(group).into());
    }
    rows
}

fn marks(convention: Convention) -> &'static str {
    match convention {
        Convention::Refused => "none help",
        Convention::OnePin => "none needed: one pin",
        Convention::AnyTooth => "none needed: any tooth will do",
        Convention::Radial => "radial",
        Convention::Parallel => "parallel",
        Convention::Individual => "for each pin its own",
    }
}

fn margin(group: &GroupTiming) -> String {
    match (&group.margin, group.margin_search) {
        (None, _) if !group.assembles => ABSENT.into(),
        (None, MarginSearch::GivenUp) => "not known: too many seatings".into(),
        (None, MarginSearch::Complete) => "none".into(),
        (Some(margin), _) => {
            let arc = group.margin_mm.map(|arc| format!(", {arc:.3} mm")).unwrap_or_default();
            format!("{} of a tooth{arc}", with_decimal(margin))
        }
    }
}

fn unnoticed(group: &GroupTiming) -> &'static str {
    match group.margin.as_ref().map(|_| group.within_backlash) {
        None => ABSENT,
        Some(None) => "not known: no pitch or backlash",
        Some(Some(true)) => "YES",
        Some(Some(false)) => "no",
    }
}

fn gaps(compared: &Compared) -> Vec<Cell> {
    let set = &compared.set;
    let row = |gap: &&Gap| {
        let [first, second] = gap.gears.both().map(|&gear| set.gear(gear).name());
        let name = if first == second { format!("{first} to its neighbour") } else { format!("{first} to {second}") };
        let length = gap.millimetres.map(|length| format!(", {length:.3} mm")).unwrap_or_default();
        let word = word(gap.tips);
        Cell { name, answer: format!("{:.3} modules{length}{word}", gap.modules) }
    };
    all_gaps(compared).iter().map(row).collect()
}

fn meetings(compared: &Compared) -> Vec<Cell> {
    let row = |meeting: &Meeting| {
        let kind = if meeting.common_factor == 1 {
            "hunting".to_owned()
        } else {
            format!("common factor {}", meeting.common_factor)
        };
        Cell { name: compared.set.mesh_name(meeting.mesh), answer: format!("{}, {kind}", meeting.turns.first) }
    };
    compared.answers.marking.iter().flat_map(|group| group.meetings.iter().map(row)).collect()
}

fn torques(compared: &Compared) -> Vec<Cell> {
    let set = &compared.set;
    let torque = |torque: Option<&Fraction>| torque.map_or_else(|| "not determined".to_owned(), with_decimal);
    let mut rows = Vec::new();
    let mut row = |state: &StateLoads, what: &str, answer: String| {
        rows.push(Cell { name: format!("{}: {what}", state.motion.state), answer });
    };
    for (state, described) in compared.answers.states.iter().zip(set.states()) {
        for control in state.controls.iter().filter(|control| control.applied) {
            row(state, set.control(control.control).name(), torque(control.torque.as_ref()));
        }
        for restraint in &described.restraints {
            // The case takes what is left; nothing has to hold it.
            if let Restraint::Held(member) = *restraint
                && member != MemberId::CASE
            {
                let held = format!("{} held", set.member(member).name());
                row(state, &held, torque(state.member(member).torque.as_ref()));
            }
        }
    }
    rows
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
        PartChange::Pins { carrier, planet, count: [before, after], radius } => {
            let pins = format!("the pins of {} on {}", quoted(planet), quoted(carrier));
            let radius = radius.map(|[before, after]| format!(" on a circle of {after:.3} instead of {before:.3}"));
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
