//! Two jobs of one unit side by side: what the first left, what the second found and left.

use crate::exact::decimal;
use crate::gearset::Gearset;
use crate::inspection::RemarkKind;
use crate::job::{JobDifference, ReadingChange};
use crate::report::answer::Answer;
use crate::report::render::document::{Block, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::counted;

/// The most changes that are listed on a screen.
const MOST_CHANGES: usize = 24;

impl Answer for JobDifference {
    fn title(&self, _: &Gearset) -> String {
        format!("{}, then {}", self.first, self.second)
    }

    fn summary(&self, _: &Gearset) -> Vec<Block> {
        let table = table(self);
        let table = (!table.rows.is_empty()).then(|| Block::Table(table.beginning(MOST_CHANGES)));
        [Block::Statements(statements(self))].into_iter().chain(table).collect()
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        table(self).rest(MOST_CHANGES).map(Block::Table).into_iter().collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        (self.changes.len() > MOST_CHANGES).then_some("the changes that find no room on a screen")
    }

    fn is_touched_by(&self, _: RemarkKind) -> bool {
        false
    }

    fn records(&self, _: &Gearset) -> Records {
        let row = |change: &ReadingChange| {
            let [before, found, left] =
                [&change.before, &change.found, &change.left].map(|values| csv_name(&values.join("; ")));
            vec![csv_name(&change.about), before, found, left, grown(change)]
        };
        Records {
            fields: vec!["about", "before", "found", "left", "grown"],
            rows: self.changes.iter().map(row).collect(),
        }
    }
}

fn statements(answer: &JobDifference) -> Vec<String> {
    let changed = match answer.changes.len() {
        0 => "Nothing that was read changed".to_owned(),
        count => format!("{} changed", counted(count, "reading")),
    };
    let other = (!answer.one_gearset)
        .then(|| "Beware: the two jobs describe different gearsets; are they of one unit?".to_owned());
    let mirrored = (!answer.one_side).then(|| {
        "Beware: one job was read from the input side, the other from the output side: their marks and angles are mirrored."
            .to_owned()
    });
    [format!("{changed}, {} are alike.", answer.alike)].into_iter().chain(other).chain(mirrored).collect()
}

fn table(answer: &JobDifference) -> Table {
    let row = |change: &ReadingChange| {
        let [before, found, left] = [&change.before, &change.found, &change.left].map(|values| values.join(", "));
        vec![change.about.clone(), before, found, left, grown(change)]
    };
    let headings = ["reading", "as left before", "as found", "as left", "grown by"];
    Table::new("What changed", &headings, answer.changes.iter().map(row).collect())
}

fn grown(change: &ReadingChange) -> String {
    change.grown.as_ref().map(|grown| decimal(grown, 6)).unwrap_or_default()
}
