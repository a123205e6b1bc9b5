//! The answer to "do the teeth close on these pins".
//!
//! For a person first whether they do and what to change, fault by fault; then a table a mesh and one a gear. In full the
//! ways to share out what is left to choose, the pin circles that would do, and the room between neighbours. For a table
//! program a record a gear.

mod statements;
mod tables;

use crate::fit::{GearFit, ToothFit};
use crate::gearset::Gearset;
use crate::inspection::RemarkKind;
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Records};
use crate::report::render::escape::csv_name;

impl Answer for ToothFit {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let said = Block::Statements(statements::statements(set, self));
        [vec![said], tables::of_screen(set, self), vec![Block::fit_not_strength()]].concat()
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        tables::in_full(set, self)
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some(
            "every way to share out the shifts, where else the pins could stand, roots, walls, the room between neighbours",
        )
    }

    fn is_touched_by(&self, _: RemarkKind) -> bool {
        false
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec![
            "gear",
            "teeth",
            "module",
            "shift",
            "tip_diameter_mm",
            "root_diameter_mm",
            "tip_thickness_mm",
            "form_diameter_mm",
            "faults",
        ];
        Records { fields, rows: self.gears.iter().map(|fit| record(set, fit)).collect() }
    }

    /// No where a mesh does not close, or teeth cannot work so.
    fn outcome(&self) -> Outcome {
        (self.closes && self.sound).into()
    }
}

fn record(set: &Gearset, fit: &GearFit) -> Vec<String> {
    let gear = set.gear(fit.gear);
    let some = |length: Option<f64>| length.map(|length| format!("{length:.6}")).unwrap_or_default();
    let faults: Vec<String> = fit.faults.iter().map(|fault| statements::gear_fault(set, fit, fault)).collect();
    vec![
        csv_name(gear.name()),
        gear.tooth_count().get().to_string(),
        fit.module_mm.to_string(),
        format!("{:.6}", fit.shift),
        format!("{:.6}", fit.tip_diameter_mm),
        format!("{:.6}", fit.root_diameter_mm),
        some(fit.tip_thickness_mm),
        some(fit.form_diameter_mm),
        csv_name(&faults.join("; ")),
    ]
}
