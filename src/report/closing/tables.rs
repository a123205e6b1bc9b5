//! A row a mesh and a row a gear; in full the ways to share out shifts, pin circles, roots and the room of neighbours.

use super::statements::statements;
use crate::fit::{GearFit, MeshFit, PinCircleOrigin, ToothFit};
use crate::gearset::Gearset;
use crate::report::render::document::{Block, Table};
use crate::report::timing;
use crate::report::words::{self, Units, key, mesh};

/// So many meshes, and so many gears, are shown on a screen at most.
const MOST_MESHES: usize = 8;
const MOST_GEARS: usize = 10;

/// So many meshes and gears go on a screen.
struct RowsOnScreen {
    meshes: usize,
    gears: usize,
}

impl RowsOnScreen {
    /// What the statements leave of 40 lines of 80 columns.
    fn new(set: &Gearset, fit: &ToothFit) -> Self {
        /// Lines beside statements and rows: title, captions, borders, notes.
        const OTHERS: usize = 21;
        const COLUMNS: usize = 76;
        const FEWEST: usize = 3;
        let said: usize = statements(set, fit).iter().map(|line| 1 + line.chars().count() / COLUMNS).sum();
        let left = (40 - OTHERS).saturating_sub(said);
        let gears = fit.gears.len().min(MOST_GEARS);
        let meshes = fit.meshes.len().min(MOST_MESHES).min(left.saturating_sub(gears).max(left / 2)).max(FEWEST);
        Self { meshes, gears: gears.min(left.saturating_sub(meshes)).max(FEWEST) }
    }
}

pub(super) fn of_screen(set: &Gearset, fit: &ToothFit) -> Vec<Block> {
    let rows = RowsOnScreen::new(set, fit);
    let meshes = meshes(set, fit).beginning(rows.meshes);
    vec![Block::Table(meshes), Block::Table(gears(set, fit).beginning(rows.gears))]
}

pub(super) fn in_full(set: &Gearset, fit: &ToothFit) -> Vec<Block> {
    let rows = RowsOnScreen::new(set, fit);
    let rest = [meshes(set, fit).rest(rows.meshes), gears(set, fit).rest(rows.gears)];
    let tables = rest.into_iter().flatten().map(Block::Table);
    tables
        .chain([roots(set, fit)])
        .chain(splits(set, fit))
        .chain(circles(set, fit))
        .chain(neighbours(set, fit))
        .collect()
}

fn meshes(set: &Gearset, fit: &ToothFit) -> Table {
    let units = Units::of_set(set);
    let row = |fit: &MeshFit| {
        let length = |length: Option<f64>| length.map_or("-".to_owned(), |length| units.number(length));
        let some =
            |value: Option<f64>, digits: usize| value.map_or("-".to_owned(), |value| format!("{value:.digits$}"));
        let least = fit.root_clearances_mm.map(|both| both.first.min(both.second));
        vec![
            mesh(set, fit.mesh),
            length(fit.center_distance_mm),
            some(fit.working_pressure_angle_degrees, 2),
            format!("{:+.4}", fit.shift_sum),
            some(fit.contact_ratio, 2),
            length(fit.backlash_mm),
            least.map_or("-".to_owned(), |least| units.coarse(least)),
        ]
    };
    let headings = ["mesh", "apart", "angle", "x sum", "contact", "backlash", "root"];
    let caption = format!(
        "Meshes: distance, working angle, sum of shifts, contact ratio, backlash, root clearance; {}",
        units.name()
    );
    Table::new(caption, &headings, fit.meshes.iter().map(row).collect())
}

fn gears(set: &Gearset, fit: &ToothFit) -> Table {
    let units = Units::of_set(set);
    let row = |fit: &GearFit| {
        let some = |length: Option<f64>| length.map_or("-".to_owned(), |length| units.coarse(length));
        let given = if fit.shift_described { " given" } else { "" };
        vec![
            words::gear(set, fit.gear),
            format!("{:+.4}{given}", fit.shift),
            units.number(fit.tip_diameter_mm),
            units.other().number(fit.tip_diameter_mm),
            units.number(fit.root_diameter_mm),
            fit.tip_thickness_mm.map_or("-".to_owned(), |arc| format!("{:.2}", arc / fit.module_mm)),
            some(fit.form_diameter_mm),
        ]
    };
    let [unit, other] = [units, units.other()].map(Units::name);
    let lengths =
        [format!("tips, {unit}"), format!("tips, {other}"), format!("roots, {unit}"), format!("from, {unit}")];
    let headings = ["gear", "shift x", &lengths[0], &lengths[1], &lengths[2], "tip", &lengths[3]];
    let caption = "Gears: diameters, thickness at the tip in modules, diameter that the involute begins at";
    Table::new(caption, &headings, fit.gears.iter().map(row).collect())
}

fn roots(set: &Gearset, fit: &ToothFit) -> Block {
    let row = |fit: &GearFit| {
        let some = |value: Option<f64>| value.map_or("-".to_owned(), |value| format!("{value:.3}"));
        vec![
            words::gear(set, fit.gear),
            some(fit.undercut_below),
            format!("{:.3}", fit.tip_shortened_mm),
            some(fit.form_diameter_mm),
            some(fit.working_flank_from_mm),
            format!("{:.3}", fit.thinning_mm),
            some(fit.wall_mm),
        ]
    };
    let headings = [
        "gear",
        "undercut below x",
        "tips shorter, mm",
        "involute from, mm",
        "works from, mm",
        "thinner, mm",
        "wall, mm",
    ];
    Block::table("Roots, diameters where the flank begins", &headings, fit.gears.iter().map(row).collect())
}

fn splits(set: &Gearset, fit: &ToothFit) -> Vec<Block> {
    let of_part = |part: &crate::fit::SharedShift| {
        let gears = part.ways.iter().find_map(|way| way.shifts.as_ref())?;
        let names: Vec<String> = gears.iter().map(|shift| words::gear(set, shift.gear)).collect();
        let mut headings = vec!["split"];
        headings.extend(names.iter().map(String::as_str));
        let row = |way: &crate::fit::SplitShifts| {
            let mark = if way.taken { ", taken" } else { "" };
            let mut row = vec![format!("{}{mark}", key(&way.split))];
            match &way.shifts {
                Some(shifts) => row.extend(shifts.iter().map(|shift| format!("{:+.4}", shift.shift))),
                None => row.extend(names.iter().map(|_| "-".to_owned())),
            }
            row
        };
        let caption = format!("Ways to share out the shift of {}; none is the stronger", mesh(set, part.mesh));
        Some(Block::table(caption, &headings, part.ways.iter().map(row).collect()))
    };
    fit.splits.iter().filter_map(of_part).collect()
}

fn circles(set: &Gearset, fit: &ToothFit) -> Option<Block> {
    let row = |circle: &crate::fit::PinCircleFit| {
        let window = circle.window_mm.map(|window| format!("{:.3} to {:.3}", window.first, window.second));
        vec![
            words::member(set, circle.planet),
            format!("{:.3}", circle.radius_mm),
            match circle.origin {
                PinCircleOrigin::Described => "described".into(),
                PinCircleOrigin::Mesh => "its first mesh".into(),
            },
            window.unwrap_or_else(|| "none".into()),
            circle.least_shift_mm.map_or("-".into(), |radius| format!("{radius:.3}")),
        ]
    };
    let headings = ["planet", "pins at, mm", "by", "would serve, mm", "least shifts at, mm"];
    Block::table_of_some("Pin circles", &headings, fit.pin_circles.iter().map(row).collect())
}

fn neighbours(set: &Gearset, fit: &ToothFit) -> Option<Block> {
    let row = |gap: &crate::clearance::Gap| {
        let room = gap.millimetres.map_or_else(|| format!("{:.3} modules", gap.modules), |room| format!("{room:.3}"));
        vec![
            words::gear(set, gap.gears.first),
            words::gear(set, gap.gears.second),
            format!("{room}{}", timing::word(gap.tips)),
        ]
    };
    let rows = fit.neighbours.iter().map(row).collect();
    Block::table_of_some("Room between tips that are not in mesh", &["gear", "and", "room, mm"], rows)
}
