//! In which line and column is a byte of a source, and what stands in that line?
//!
//! Lines end at a line feed; a carriage return before it belongs to the line break. Columns
//! are counted in characters, as editors count them.

use std::fmt::{self, Display, Formatter};

/// Where the lines of a source begin.
///
/// # Examples
/// ```
/// use toothmark::description::{LineAndColumn, LineIndex};
/// let index = LineIndex::new("Gearset(\n  title: 3");
/// assert_eq!(index.place(11), LineAndColumn { line: 2, column: 3 });
/// assert_eq!(index.text(2), "  title: 3");
/// ```
#[derive(Debug, Clone)]
pub struct LineIndex<'a> {
    source: &'a str,
    starts: Vec<usize>,
}

/// A place that a person can go to in an editor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LineAndColumn {
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
}

impl LineAndColumn {
    /// The place before the first character.
    pub(crate) const BEGINNING: Self = Self { line: 1, column: 1 };

    /// The place behind a text that begins here.
    pub(crate) fn after(self, text: &str) -> Self {
        text.chars().fold(self, |Self { line, column }, letter| match letter {
            '\n' => Self { line: line + 1, column: 1 },
            _ => Self { line, column: column + 1 },
        })
    }
}

/// As editors and compilers write it: `3:14`.
impl Display for LineAndColumn {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}:{}", self.line, self.column)
    }
}

impl<'a> LineIndex<'a> {
    /// Looks through a source once.
    pub fn new(source: &'a str) -> Self {
        let starts = std::iter::once(0).chain(source.match_indices('\n').map(|(newline, _)| newline + 1)).collect();
        Self { source, starts }
    }

    /// The line and column of a byte; of the end of the source for one beyond it.
    pub fn place(&self, offset: usize) -> LineAndColumn {
        let line = self.line(offset);
        let before = self.source.get(self.starts[line - 1]..offset.min(self.source.len())).unwrap_or_default();
        LineAndColumn { line, column: before.chars().count() + 1 }
    }

    /// The number, from 1, of the line that a byte is in.
    pub(crate) fn line(&self, offset: usize) -> usize {
        self.starts.partition_point(|&start| start <= offset)
    }

    /// The byte at which a line, from 1, begins.
    ///
    /// # Panics
    /// If there is no such line.
    pub fn start(&self, line: usize) -> usize {
        self.starts[line - 1]
    }

    /// A line, from 1, without its line break.
    ///
    /// # Panics
    /// If there is no such line.
    pub fn text(&self, line: usize) -> &'a str {
        let end = self.starts.get(line).copied().unwrap_or(self.source.len());
        self.source[self.starts[line - 1]..end].trim_end_matches(['\n', '\r'])
    }
}
