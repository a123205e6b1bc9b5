//! The tables of backlash: a row a mesh, a row a pin, a row for each load, and in full every mesh on every pin.

use super::sharing;
use crate::clearance::BacklashSource;
use crate::fit::{
    BacklashOfMesh, BacklashOnPin, BacklashSizes, BacklashSurvey, BacklashVerdict, CarryingContact, GroupBacklash,
    LoadCase, PinStand,
};
use crate::gearset::Gearset;
use crate::report::matching::contacts::{gears, in_turn, is_nothing, later_heading};
use crate::report::matching::sizes::{no_minus_zero, side};
use crate::report::render::document::{Block, Table};
use crate::report::words::{Units, counted, key, member, mesh};
use crate::statics::PowerSense;

/// So many meshes and loads are shown on a screen.
pub(super) const MOST_MESHES: usize = 5;
pub(super) const MOST_LOADS: usize = 4;

/// Every mesh: the least, now, the most.
pub(super) fn meshes(set: &Gearset, answer: &BacklashSurvey) -> Option<Table> {
    let all = answer.groups.iter().flat_map(|group| &group.meshes);
    // Of a mesh whose backlash is not known nothing is told but what changes it.
    let all: Vec<&BacklashOfMesh> =
        all.filter(|found| found.source != BacklashSource::NotKnown || changes(found)).collect();
    let units = Units::of_set(set);
    let is_known = all.iter().any(|found| found.source != BacklashSource::NotKnown);
    let row = |found: &&BacklashOfMesh| {
        let sizes = [&found.least, &found.now, &found.most].map(|sizes| size(units, sizes));
        let start = [mesh(set, found.mesh)].into_iter().chain(sizes);
        start.chain(is_known.then(|| said_of(found))).collect()
    };
    let rows: Vec<Vec<String>> = all.iter().map(row).collect();
    let verdict: &[&str] = if is_known { &["verdict"] } else { &[] };
    let headings = [&["mesh", "least", "now", "most"], verdict].concat();
    let what = if is_known { "Backlash" } else { "What comes to the backlash" };
    let caption = format!("{what} on the worst pin, at the pitch circle, {}", units.of_short_arcs());
    (!rows.is_empty()).then(|| Table::new(caption, &headings, rows))
}

/// Whether pins, bushes or run-out change the backlash of a mesh.
pub(super) fn changes(found: &BacklashOfMesh) -> bool {
    let change = |sizes: &BacklashSizes| sizes.at_pitch_circle_mm - found.as_described.at_pitch_circle_mm;
    is_size(change(&found.least)) || is_size(change(&found.most))
}

/// What becomes of a mesh.
fn said_of(found: &BacklashOfMesh) -> String {
    found.verdict.map_or("?", told).into()
}

fn told(verdict: BacklashVerdict) -> &'static str {
    match verdict {
        BacklashVerdict::Turns => "turns",
        BacklashVerdict::Just => "just turns",
        BacklashVerdict::MayBind => "may bind",
        BacklashVerdict::Binds => "BINDS",
    }
}

fn size(units: Units, sizes: &BacklashSizes) -> String {
    no_minus_zero(units.short_arc(sizes.at_pitch_circle_mm))
}

/// Every pin that stands out of its place; nothing where none does.
pub(super) fn pins(set: &Gearset, answer: &BacklashSurvey) -> Option<Table> {
    let is_off = |pin: &PinStand| is_size(pin.outward_mm) || is_size(pin.ahead_mm);
    let groups = answer.groups.iter().filter(|group| group.pins.iter().any(is_off));
    let rows: Vec<Vec<String>> =
        groups.flat_map(|group| group.pins.iter().map(|pin| of_pin(set, group, pin))).collect();
    let headings = ["pin", "stands", "along its circle", "least backlash now", "at"];
    let caption = format!("Pins, seen from the input side, {}", Units::of_set(set).of_short_arcs());
    (!rows.is_empty()).then(|| Table::new(caption, &headings, rows))
}

/// Whether a length is more than nothing as it is shown.
pub(super) fn is_size(mm: f64) -> bool {
    mm.abs() >= 5e-4
}

fn of_pin(set: &Gearset, group: &GroupBacklash, pin: &PinStand) -> Vec<String> {
    let units = Units::of_set(set);
    let tightest = group.meshes.iter().find(|found| Some(found.mesh) == pin.tightest);
    let now = tightest.map(|found| size(units, &found.pins[pin.pin - 1].now));
    vec![
        format!("{} of {}", pin.pin, member(set, pin.planet)),
        outward(units, pin.outward_mm),
        if is_size(pin.ahead_mm) {
            format!("{} {}", units.short_arc(pin.ahead_mm.abs()), side(pin.ahead_mm))
        } else {
            "-".into()
        },
        now.unwrap_or_default(),
        tightest.map(|found| mesh(set, found.mesh)).unwrap_or_default(),
    ]
}

/// `0.100 (3.9) out`.
fn outward(units: Units, mm: f64) -> String {
    let way = if mm > 0.0 { "out" } else { "in" };
    if is_size(mm) { format!("{} {way}", units.short_arc(mm.abs())) } else { "on its circle".into() }
}

/// For each load of some state which pins carry first, and by how much later the others come; those where all come at
/// once are left out.
pub(super) fn contacts(set: &Gearset, answer: &BacklashSurvey) -> Option<Table> {
    let waits = |contact: &&CarryingContact| !contact.contact.pins.iter().all(is_nothing);
    let shown: Vec<&CarryingContact> = answer.groups.iter().flat_map(loaded).filter(waits).collect();
    if shown.is_empty() {
        return None;
    }
    let caption = "Which pin carries first (who drives turns the planets clockwise, input side)";
    Some(contact_table(set, &shown, caption, short_cases))
}

/// The contacts that some state loads; all where none is known to.
pub(super) fn loaded(group: &GroupBacklash) -> impl Iterator<Item = &CarryingContact> {
    let some_are = group.contacts.iter().any(|contact| !contact.load_cases.is_empty());
    group.contacts.iter().filter(move |contact| !some_are || !contact.load_cases.is_empty())
}

fn contact_table(
    set: &Gearset,
    contacts: &[&CarryingContact],
    caption: &str,
    cases: fn(&[LoadCase]) -> String,
) -> Table {
    let row = |contact: &&CarryingContact| {
        let [first, then] = in_turn(&contact.contact);
        let [pushing, holding] = [&contact.contact.pushing_gears, &contact.contact.holding_gears];
        vec![cases(&contact.load_cases), gears(set, pushing), gears(set, holding), first, then]
    };
    let later = later_heading(contacts.iter().map(|contact| &contact.contact));
    let headings = ["state", "drives", "holds", "first", later];
    Table::new(caption, &headings, contacts.iter().map(row).collect())
}

/// `low in drive; reverse on overrun`.
fn all_cases(cases: &[LoadCase]) -> String {
    let cases: Vec<String> = cases.iter().map(load_case).collect();
    if cases.is_empty() { "-".into() } else { cases.join("; ") }
}

/// The same where it is short, else the number of the states.
fn short_cases(cases: &[LoadCase]) -> String {
    /// Beyond that names crowd out the others.
    const MOST_LETTERS: usize = 24;
    let all = all_cases(cases);
    if all.chars().count() <= MOST_LETTERS {
        return all;
    }
    let of = |power: PowerSense| {
        let count = cases.iter().filter(|case| case.power == power).count();
        (count > 0).then(|| format!("{} {}", counted(count, "state"), key(&power)))
    };
    [PowerSense::Drive, PowerSense::Overrun].into_iter().filter_map(of).collect::<Vec<_>>().join(", ")
}

/// `low in drive`.
pub(super) fn load_case(case: &LoadCase) -> String {
    format!("{} {}", case.state, key(&case.power))
}

/// Every mesh on every pin in all three measures, and every two central gears.
pub(super) fn details(set: &Gearset, group: &GroupBacklash) -> Vec<Block> {
    let mut blocks: Vec<Block> = group.meshes.iter().map(|found| Block::Table(of_mesh(set, found))).collect();
    let all: Vec<&CarryingContact> = group.contacts.iter().collect();
    if !all.is_empty() {
        let caption =
            "Which pin carries first, for each two central gears (who drives turns the planets clockwise, input side)";
        blocks.push(Block::Table(contact_table(set, &all, caption, all_cases)));
    }
    let shares: Vec<Vec<String>> = all.iter().flat_map(|contact| sharing::rows(set, contact)).collect();
    let headings = ["load", "all, N", "each pin, N", "all carry from, N", "worst share"];
    let caption = "What each pin carries, as equal springs between rigid parts";
    blocks.extend(Block::table_of_some(caption, &headings, shares));
    blocks
}

fn of_mesh(set: &Gearset, found: &BacklashOfMesh) -> Table {
    let caption = format!(
        "{}: centre distance {:.3} mm, working angle {:.3} degrees, backlash {} {} mm, rocked by hand up to {} mm",
        mesh(set, found.mesh),
        found.center_distance_mm,
        found.working_pressure_angle_degrees,
        source(found.source),
        no_minus_zero(format!("{:.4}", found.as_described.at_pitch_circle_mm)),
        no_minus_zero(format!("{:.4}", found.rocked_mm)),
    );
    let row = |pin: &BacklashOnPin| {
        let sizes = [
            pin.center_distance_mm,
            pin.least.at_pitch_circle_mm,
            pin.now.at_pitch_circle_mm,
            pin.most.at_pitch_circle_mm,
            pin.now.normal_mm,
            pin.now.at_working_circle_mm,
        ];
        let sizes = sizes.map(|mm| no_minus_zero(format!("{mm:.4}")));
        let verdict = pin.verdict.as_ref().map_or_else(|| "-".into(), key);
        [pin.pin.to_string()].into_iter().chain(sizes).chain([verdict]).collect()
    };
    let headings = ["pin", "distance", "least", "now", "most", "across flanks", "working circle", "verdict"];
    Table::new(caption, &headings, found.pins.iter().map(row).collect())
}

fn source(source: BacklashSource) -> &'static str {
    match source {
        BacklashSource::Described => "as described",
        BacklashSource::Teeth => "of the teeth as they fit",
        BacklashSource::NotKnown => "not known, taken as",
    }
}
