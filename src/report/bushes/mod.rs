//! The answer to "is a bush good, and what is it to be bored to?".
//!
//! First which bushes to replace and which can stay, with the bore to make; then a row a bush; in full every place that
//! was measured, and the fit hot. Records have a row for each place.

mod statements;
mod tables;

use crate::bench::{BushFit, BushFits, BushPlace};
use crate::gearset::Gearset;
use crate::inspection::RemarkKind;
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::key;

impl Answer for BushFits {
    fn summary(&self, _: &Gearset) -> Vec<Block> {
        let statements = Block::Statements(statements::statements(self));
        let foot =
            Block::Note("fit, not strength: sizes as measured, rings that are round and of one thickness".into());
        let tables = [Some(tables::bushes(self)), on_screen(self)].into_iter().flatten();
        let tables = tables.map(|table| Block::Table(table.beginning(tables::MOST_BUSHES)));
        [statements].into_iter().chain(tables).chain([foot]).collect()
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        let rest = tables::bushes(self).rest(tables::MOST_BUSHES);
        let pressed = if on_screen(self).is_none() { tables::pressed(self) } else { None };
        let rest = rest.into_iter().chain(pressed).map(Block::Table);
        rest.chain([tables::places(self)]).chain(tables::hot(self)).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("what pressing in does to each bush, every place that was measured, every fit when warm")
    }

    fn is_touched_by(&self, _: RemarkKind) -> bool {
        false
    }

    fn records(&self, _: &Gearset) -> Records {
        let fields = vec![
            "bush",
            "place",
            "clearance_least_mm",
            "clearance_most_mm",
            "verdict",
            "finished_bore_least_mm",
            "finished_bore_most_mm",
            "bore_before_pressing_mm",
        ];
        let rows = self.bushes.iter().flat_map(|bush| bush.places.iter().map(move |place| record(bush, place)));
        Records { fields, rows: rows.collect() }
    }

    fn outcome(&self) -> Outcome {
        self.good.into()
    }
}

/// What pressing in does to a single bush; of several it stands in the details.
fn on_screen(answer: &BushFits) -> Option<Table> {
    if answer.bushes.len() == 1 { tables::pressed(answer) } else { None }
}

fn record(bush: &BushFit, place: &BushPlace) -> Vec<String> {
    let size = |mm: f64| format!("{mm:.6}");
    let [least, most] = bush.finished_bore_mm.map_or_else(Default::default, |bore| bore.map(size));
    let before = bush.pressed.as_ref().and_then(|pressed| pressed.bore_before_pressing_mm);
    vec![
        csv_name(&bush.bush),
        place.place.to_string(),
        size(place.clearance_mm[0]),
        size(place.clearance_mm[1]),
        place.verdict.as_ref().map(key).unwrap_or_default(),
        least,
        most,
        before.map(size).unwrap_or_default(),
    ]
}
