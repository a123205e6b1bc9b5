//! Documents as text for a terminal or a plain file.
//!
//! Tables fit the given width. Control characters and marks that change the direction of
//! writing are shown as escapes, so that a name from a file cannot move the cursor or
//! hide what it says.

use anstyle::{AnsiColor, Style};
use comfy_table::{ContentArrangement, presets};
use textwrap::core::display_width;

use super::document::{Block, Document, Fact, Table};
use super::escape::visible;

/// How text is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    /// The width in columns that tables and paragraphs keep to.
    pub width: u16,
    /// What lines are drawn with.
    pub lines: Lines,
}

/// What the lines of tables are drawn with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lines {
    /// Box-drawing characters.
    Drawn,
    /// ASCII only.
    Ascii,
}

const HEADING: Style = Style::new().bold();
const WARNING: Style = Style::new().bold().fg_color(Some(anstyle::Color::Ansi(AnsiColor::Yellow)));

/// Renders a document as text with ANSI styles; strip these where they are not wanted.
///
/// # Examples
/// ```
/// use toothmark::report::{Block, Document, Layout, Lines, text};
/// let document = Document { title: "Winch".into(), blocks: vec![Block::Note("turns".into())] };
/// let shown = text(&document, Layout { width: 60, lines: Lines::Ascii });
/// assert!(shown.contains("note: turns"));
/// ```
pub fn text(document: &Document, layout: Layout) -> String {
    let mut parts = vec![styled(HEADING, &wrapped(&visible(&document.title), "", layout))];
    for block in &document.blocks {
        parts.push(match block {
            Block::Heading(heading) => styled(HEADING, &wrapped(&visible(heading), "", layout)),
            Block::Paragraph(paragraph) => wrapped(&visible(paragraph), "", layout),
            Block::Facts(facts) => self::facts(facts, layout),
            Block::Table(table) => self::table(table, layout),
            Block::Warning(warning) => {
                let lines = wrapped(&format!("warning: {}", visible(warning)), "  ", layout);
                lines.replacen("warning:", &styled(WARNING, "warning:"), 1)
            }
            Block::Note(note) => wrapped(&format!("note: {}", visible(note)), "  ", layout),
            Block::Source { text, .. } => visible(text),
            Block::Picture(picture) => wrapped(&format!("picture: {}", visible(&picture.caption)), "  ", layout),
        });
    }
    parts.join("\n\n") + "\n"
}

fn styled(style: Style, text: &str) -> String {
    format!("{style}{text}{style:#}")
}

fn wrapped(text: &str, indent: &str, layout: Layout) -> String {
    let options = textwrap::Options::new(layout.width.into()).subsequent_indent(indent);
    textwrap::fill(text, options)
}

/// Facts under one another, the answers in one column; in a narrow terminal each answer
/// goes below what it answers.
fn facts(facts: &[Fact], layout: Layout) -> String {
    let widest = facts.iter().map(|fact| fact.subject.chars().count()).max().unwrap_or(0);
    let width = usize::from(layout.width);
    let lines = facts.iter().map(|fact| {
        let (subject, answer) = (visible(&fact.subject), visible(&fact.answer));
        if width < widest + 30 {
            let options = textwrap::Options::new(width).initial_indent("  ").subsequent_indent("  ");
            format!("{subject}:\n{}", textwrap::fill(&answer, options))
        } else {
            let indent = " ".repeat(widest + 2);
            let padded = format!("{subject:<widest$}  ");
            let options = textwrap::Options::new(width).initial_indent(&padded).subsequent_indent(&indent);
            textwrap::fill(&answer, options)
        }
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// A table; where it is too narrow for its longest words, a list with one item a row, so
/// that no number is ever cut in two.
fn table(table: &Table, layout: Layout) -> String {
    let rows = if narrowest(table) > usize::from(layout.width) { items(table, layout) } else { drawn(table, layout) };
    if table.caption.is_empty() { rows } else { format!("{}\n{rows}", wrapped(&visible(&table.caption), "", layout)) }
}

/// A table with lines round its cells.
fn drawn(table: &Table, layout: Layout) -> String {
    let mut drawn = comfy_table::Table::new();
    drawn
        .load_style(match layout.lines {
            Lines::Drawn => presets::UTF8_FULL_CONDENSED,
            Lines::Ascii => presets::ASCII_FULL_CONDENSED,
        })
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(layout.width)
        .set_header(table.headings.iter().map(|heading| visible(heading)));
    for row in &table.rows {
        drawn.add_row(row.iter().map(|cell| visible(cell)));
    }
    drawn.to_string()
}

/// The width at which every column just holds its longest word.
fn narrowest(table: &Table) -> usize {
    let longest = |text: &String| visible(text).split_whitespace().map(display_width).max().unwrap_or(0);
    let column = |at: usize| {
        let cells = table.rows.iter().map(|row| &row[at]);
        // A blank on each side of a word, and a line before it.
        cells.chain([&table.headings[at]]).map(longest).max().unwrap_or(0) + 3
    };
    (0..table.headings.len()).map(column).sum::<usize>() + 1
}

/// What a cell holds that has nothing to say.
const NOTHING: &str = "-";

/// The rows of a table as a list, each cell that says something after its heading.
fn items(table: &Table, layout: Layout) -> String {
    let item = |row: &Vec<String>| {
        let told = table.headings.iter().zip(row).filter(|(_, cell)| *cell != NOTHING);
        let lines = told.enumerate().map(|(at, (heading, cell))| {
            let options = textwrap::Options::new(layout.width.into())
                .initial_indent(if at == 0 { "- " } else { "  " })
                .subsequent_indent("    ");
            textwrap::fill(&format!("{}: {}", visible(heading), visible(cell)), options)
        });
        lines.collect::<Vec<_>>().join("\n")
    };
    table.rows.iter().map(item).collect::<Vec<_>>().join("\n")
}
