//! The answer to "how much backlash has every mesh, and which pin carries first?".
//!
//! First which pin binds and what to do, or who carries first; then a row a mesh and a row for each load; in full what
//! is left on every pin, in all three measures. Records have a row for each mesh on each pin.

mod screen;
mod sharing;
mod tables;

use crate::fit::{BacklashOfMesh, BacklashOnPin, BacklashSizes, BacklashSurvey, GroupBacklash};
use crate::gearset::Gearset;
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, key};

impl Answer for BacklashSurvey {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let statements = Block::Statements(screen::statements(set, self));
        let meshes = tables::meshes(set, self).map(|table| table.beginning(tables::MOST_MESHES));
        let loads = tables::contacts(set, self).map(|table| table.beginning(tables::MOST_LOADS));
        let tables = meshes.into_iter().chain(loads).map(Block::Table);
        let foot = Block::Note("fit, not strength: rigid parts, as they were measured or described".into());
        [statements].into_iter().chain(tables).chain([foot]).collect()
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let heading = |group: &GroupBacklash| words::group(set, &group.planets, group.carrier, group.pin_count);
        let meshes = tables::meshes(set, self).and_then(|table| table.rest(tables::MOST_MESHES));
        let loads = tables::contacts(set, self).and_then(|table| table.rest(tables::MOST_LOADS));
        let rest = meshes.into_iter().chain(loads).chain(tables::pins(set, self)).map(Block::Table);
        rest.chain(Block::group_by_group(&self.groups, heading, |group| tables::details(set, group))).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("every pin, every mesh on it in three measures")
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec![
            "carrier",
            "mesh_first",
            "mesh_second",
            "pin",
            "center_distance_mm",
            "least_at_pitch_circle_mm",
            "now_at_pitch_circle_mm",
            "most_at_pitch_circle_mm",
            "now_normal_mm",
            "now_at_working_circle_mm",
            "verdict",
            "source",
        ];
        Records { fields, rows: self.groups.iter().flat_map(|group| records_of(set, group)).collect() }
    }

    fn outcome(&self) -> Outcome {
        (!self.binds).into()
    }
}

fn records_of(set: &Gearset, group: &GroupBacklash) -> Vec<Vec<String>> {
    let of_mesh = |mesh: &BacklashOfMesh| mesh.pins.iter().map(|pin| record(set, group, mesh, pin)).collect::<Vec<_>>();
    group.meshes.iter().flat_map(of_mesh).collect()
}

fn record(set: &Gearset, group: &GroupBacklash, mesh: &BacklashOfMesh, pin: &BacklashOnPin) -> Vec<String> {
    let [first, second] = set.mesh(mesh.mesh).gears().each().map(|gear| csv_name(set.gear(gear).name()));
    let size = |mm: f64| format!("{mm:.6}");
    let at_pitch = |sizes: &BacklashSizes| size(sizes.at_pitch_circle_mm);
    vec![
        csv_name(set.member(group.carrier).name()),
        first,
        second,
        pin.pin.to_string(),
        size(pin.center_distance_mm),
        at_pitch(&pin.least),
        at_pitch(&pin.now),
        at_pitch(&pin.most),
        size(pin.now.normal_mm),
        size(pin.now.at_working_circle_mm),
        pin.verdict.as_ref().map(key).unwrap_or_default(),
        key(&mesh.source),
    ]
}
