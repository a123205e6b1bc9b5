//! How much of a table fits on a screen beside what is said above it?
//!
//! A screen has 40 lines of 80 columns. How a terminal breaks cells is estimated: columns that are narrow keep their
//! width, the others share what is left; words do not fill a line to its end.

use super::document::Table;

/// The lines of a screen.
const LINES: usize = 40;

/// Its columns.
const COLUMNS: usize = 80;

/// The lines beside statements and rows: title, caption, headings of two lines, and what is left out.
const LINES_AROUND: usize = 13;

/// What a break between words leaves empty in a line, as a rule.
const LEFT_EMPTY: usize = 4;

impl Table {
    /// As many rows as fit on a screen below these statements, one at least; the caption says of how many.
    pub(in crate::report) fn below(self, statements: &[String]) -> Self {
        let said: usize = statements.iter().map(|statement| statement.len().div_ceil(COLUMNS - LEFT_EMPTY)).sum();
        let most_lines = LINES.saturating_sub(LINES_AROUND + said);
        let widths = self.widths();
        let mut lines = 0;
        let fits = |row: &&Vec<String>| {
            lines += lines_of(row, &widths);
            lines <= most_lines
        };
        let fit = self.rows.iter().take_while(fits).count().max(1);
        self.beginning(fit)
    }

    /// The width that each column gets.
    fn widths(&self) -> Vec<usize> {
        let natural = |column: usize| {
            let cells = self.rows.iter().map(|row| &row[column]).chain([&self.headings[column]]);
            cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
        };
        let mut widths: Vec<usize> = (0..self.headings.len()).map(natural).collect();
        // Each cell has a space at both sides and a line beside it.
        let mut left = COLUMNS.saturating_sub(3 * widths.len() + 1);
        let mut order: Vec<usize> = (0..widths.len()).collect();
        order.sort_by_key(|&column| widths[column]);
        // The narrowest first: each takes at most its part of what is left.
        for (taken, &column) in order.iter().enumerate() {
            let part = left / (order.len() - taken);
            widths[column] = widths[column].min(part).max(1);
            left = left.saturating_sub(widths[column]);
        }
        widths
    }
}

/// The lines that the tallest cell takes.
fn lines_of(row: &[String], widths: &[usize]) -> usize {
    let lines = |(cell, &width): (&String, &usize)| match cell.chars().count() {
        length if length <= width => 1,
        length => length.div_ceil(width.saturating_sub(LEFT_EMPTY).max(1)),
    };
    row.iter().zip(widths).map(lines).max().unwrap_or(1)
}
