//! The short form of the table: everything turned once, then the held gear turned back with the arm fixed.

use super::{Explained, lines_table};
use crate::lesson::{BoardLine, Column, ColumnKind};
use crate::report::render::document::{Block, Table};
use crate::report::words::arithmetic::Signs;
use crate::report::words::member;

impl Explained<'_> {
    pub(super) fn short_form(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        let Some(short) = &self.lesson.short else { return };
        let columns = &short.table.columns;
        let held = self.column_name(&short.table, &columns[1]);
        let once = |column: &Column| if column.kind == ColumnKind::Tumbling { "-".into() } else { "1".into() };
        let row = |name: String, cells: Vec<String>| [vec![name], cells].concat();
        let rows = vec![
            row("all turned once with the arm".into(), columns.iter().map(once).collect()),
            row(
                format!("arm fixed, {held} turned back once"),
                short.turned_back.iter().map(|chain| signs.line(chain)).collect(),
            ),
            row("total".into(), short.totals.iter().map(|chain| signs.line(chain)).collect()),
        ];
        let headings = columns.iter().map(|column| self.column_name(&short.table, column));
        blocks.push(Block::Heading("The table in short".into()));
        blocks.push(Block::Table(Table {
            caption: format!("{} comes to nothing, as it must", member(self.set, columns[1].member)),
            headings: ["motion".to_owned()].into_iter().chain(headings).collect(),
            rows,
        }));
        if !short.speeds.is_empty() {
            let line = |(column, line): (&Column, &BoardLine)| {
                let because = format!("total of {} over that of the input", member(self.set, column.member));
                [signs.line(&line.chain), because]
            };
            blocks.push(lines_table("Speeds are as the totals", columns.iter().zip(&short.speeds).map(line).collect()));
        }
    }
}
