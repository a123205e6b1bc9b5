//! The short form of the table: everything turned once, then the held gear turned back with the arm fixed.
//!
//! The held member comes to nothing, and what the others come to is in proportion to their speeds.

use super::{Explained, lines_table};
use crate::exact::fraction;
use crate::gearset::bodies_in_state;
use crate::lesson::{Column, ColumnKind, Expression};
use crate::report::render::document::{Block, Table};
use crate::report::words::arithmetic::Signs;
use crate::report::words::member;
use num_traits::One;

impl Explained<'_> {
    pub(super) fn short_form(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        let Some(table) = &self.lesson.short else { return };
        let held = self.column_name(table, &table.columns[1]);
        let mut rows = vec![
            vec!["all turned once with the arm".to_owned()],
            vec![format!("arm fixed, {held} turned back once")],
            vec!["total".to_owned()],
        ];
        for column in &table.columns {
            let back = Expression::Number(-&column.train_value);
            let minus_one = Expression::Number(fraction(-1, 1));
            let factors = column.path.iter().map(|step| step.factor(self.set));
            let written = if column.path.is_empty() {
                back.clone()
            } else {
                Expression::Product([minus_one].into_iter().chain(factors).collect())
            };
            let sum =
                Expression::Sum(vec![Expression::Number(column.turned_back() + &column.train_value), back.clone()]);
            let total = Expression::Number(column.turned_back());
            rows[0].push(if column.kind == ColumnKind::Tumbling { "-".into() } else { "1".into() });
            rows[1].push(signs.line(&[written, back]));
            rows[2].push(if column.kind == ColumnKind::Tumbling {
                signs.expression(&total)
            } else {
                signs.line(&[sum, total])
            });
        }
        let headings = table.columns.iter().map(|column| self.column_name(table, column));
        blocks.push(Block::Heading("The table in short".into()));
        blocks.push(Block::Table(Table {
            caption: format!("{} comes to nothing, as it must", member(self.set, table.columns[1].member)),
            headings: ["motion".to_owned()].into_iter().chain(headings).collect(),
            rows,
        }));
        self.in_proportion(signs, &table.columns, blocks);
    }

    /// The speeds, as the totals are to that of the input.
    fn in_proportion(&self, signs: &Signs, columns: &[Column], blocks: &mut Vec<Block>) {
        let Some(input) = columns.iter().find(|column| self.turns_as_input(column)).map(Column::turned_back) else {
            return;
        };
        let row = |column: &Column| {
            let share = Expression::Number(column.turned_back()).over(Expression::Number(input.clone()));
            let written = if self.lesson.input_speed.is_one() {
                share
            } else {
                Expression::Product(vec![Expression::Number(self.lesson.input_speed.clone()), share])
            };
            let value = Expression::Number(column.turned_back() / &input * &self.lesson.input_speed);
            [
                signs.line(&[Expression::Symbol(column.sign()), written, value]),
                format!("total of {} over that of the input", member(self.set, column.member)),
            ]
        };
        blocks.push(lines_table("Speeds are as the totals", columns.iter().map(row).collect()));
    }

    fn turns_as_input(&self, column: &Column) -> bool {
        let bodies = bodies_in_state(self.set, &self.lesson.state);
        bodies[column.member.index()] == bodies[self.lesson.state.input.index()]
    }
}
