//! Documents as text for a terminal or a plain file.
//!
//! Tables fit the given width. Control characters and marks that change the direction of
//! writing are shown as escapes, so that a name from a file cannot move the cursor or
//! hide what it says.

use anstyle::{AnsiColor, Style};
use comfy_table::{ColumnConstraint, ContentArrangement, Width, presets};
use textwrap::core::display_width;

use super::document::{Block, Document, Fact, Table};
use crate::syntax::visible;

/// How text is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TextLayout {
    /// The width in columns that tables and paragraphs keep to.
    pub width: u16,
    /// What lines are drawn with.
    pub lines: LineStyle,
}

/// What the lines of tables are drawn with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineStyle {
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
/// use toothmark::report::{Block, Document, TextLayout, LineStyle, text};
/// let document = Document { title: "Winch".into(), blocks: vec![Block::Note("turns".into())] };
/// let shown = text(&document, TextLayout { width: 60, lines: LineStyle::Ascii });
/// assert!(shown.contains("note: turns"));
/// ```
pub fn text(document: &Document, layout: TextLayout) -> String {
    let mut parts = vec![styled(HEADING, &wrapped(&visible(&document.title), "", layout))];
    for block in &document.blocks {
        parts.push(match block {
            Block::Heading(heading) => styled(HEADING, &wrapped(&visible(heading), "", layout)),
            Block::Statements(statements) => self::statements(statements, layout),
            Block::Paragraph(paragraph) => wrapped(&visible(paragraph), "", layout),
            Block::Facts(facts) => self::facts(facts, layout),
            Block::Table(table) => self::table(table, layout),
            Block::Warning(warning) => {
                let lines = wrapped(&format!("warning: {}", visible(warning)), "  ", layout);
                lines.replacen("warning:", &styled(WARNING, "warning:"), 1)
            }
            Block::Note(note) => wrapped(&format!("note: {}", visible(note)), "  ", layout),
            Block::Source { text, .. } => text.lines().map(visible).collect::<Vec<_>>().join("\n"),
            Block::Picture(picture) => wrapped(&format!("picture: {}", visible(&picture.caption)), "  ", layout),
        });
    }
    parts.join("\n\n") + "\n"
}

fn styled(style: Style, text: &str) -> String {
    format!("{style}{text}{style:#}")
}

fn wrapped(text: &str, indent: &str, layout: TextLayout) -> String {
    let options = textwrap::Options::new(layout.width.into()).subsequent_indent(indent);
    textwrap::fill(text, options)
}

/// Statements under one another, what does not fit on a line indented.
fn statements(statements: &[String], layout: TextLayout) -> String {
    statements.iter().map(|statement| wrapped(&visible(statement), "  ", layout)).collect::<Vec<_>>().join("\n")
}

/// Facts under one another, the answers in one column; in a narrow terminal each answer
/// goes below what it answers.
fn facts(facts: &[Fact], layout: TextLayout) -> String {
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
/// that no number is ever cut in two. On a narrow terminal a list as well where that takes fewer lines than the rows, for
/// then cells are cut to a word or two a line.
fn table(table: &Table, layout: TextLayout) -> String {
    /// A terminal with fewer columns is narrow.
    const NARROW: u16 = 64;
    /// The lines round the rows, and the headings.
    const AROUND: usize = 4;
    let as_list = || items(table, layout);
    let rows = if narrowest(table) > usize::from(layout.width) {
        as_list()
    } else {
        let drawn = drawn(table, layout);
        let shorter = (layout.width < NARROW).then(as_list);
        shorter.filter(|list| list.lines().count() + AROUND < drawn.lines().count()).unwrap_or(drawn)
    };
    if table.caption.is_empty() { rows } else { format!("{}\n{rows}", wrapped(&visible(&table.caption), "", layout)) }
}

/// A table with lines round its cells.
fn drawn(table: &Table, layout: TextLayout) -> String {
    let mut drawn = comfy_table::Table::new();
    drawn
        .load_style(match layout.lines {
            LineStyle::Drawn => presets::UTF8_FULL_CONDENSED,
            LineStyle::Ascii => presets::ASCII_FULL_CONDENSED,
        })
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(layout.width)
        .set_header(table.headings.iter().map(|heading| visible(heading)));
    for row in &table.rows {
        drawn.add_row(row.iter().map(|cell| visible(cell)));
    }
    for (column, word) in drawn.column_iter_mut().zip(longest_words(table)) {
        let width = u16::try_from(word + BLANKS).unwrap_or(u16::MAX);
        column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(width)));
    }
    drawn.to_string()
}

/// The width at which every column just holds its longest word, with the lines between.
fn narrowest(table: &Table) -> usize {
    longest_words(table).map(|word| word + BLANKS + 1).sum::<usize>() + 1
}

/// A blank on each side of a word.
const BLANKS: usize = 2;

/// The width of the longest word of each column.
fn longest_words(table: &Table) -> impl Iterator<Item = usize> + '_ {
    let longest = |text: &String| visible(text).split_whitespace().map(display_width).max().unwrap_or(0);
    (0..table.headings.len()).map(move |at| {
        let cells = table.rows.iter().map(|row| &row[at]);
        cells.chain([&table.headings[at]]).map(longest).max().unwrap_or(0)
    })
}

/// What a cell holds that has nothing to say.
const NOTHING: &str = "-";

/// The rows of a table as a list, each cell that says something after its heading.
fn items(table: &Table, layout: TextLayout) -> String {
    let item = |row: &Vec<String>| {
        let told = table.headings.iter().zip(row).filter(|(_, cell)| *cell != NOTHING);
        let lines = told.enumerate().map(|(at, (heading, cell))| {
            let options = textwrap::Options::new(layout.width.into())
                .initial_indent(if at == 0 { "- " } else { "  " })
                .subsequent_indent("    ");
            // A column without a heading speaks for itself.
            let subject = if heading.is_empty() { String::new() } else { format!("{}: ", visible(heading)) };
            textwrap::fill(&format!("{subject}{}", visible(cell)), options)
        });
        lines.collect::<Vec<_>>().join("\n")
    };
    table.rows.iter().map(item).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tables whose cells were cut to a word a line took twice the lines of a list.
    #[test]
    fn a_narrow_terminal_shows_a_list_where_that_is_shorter() {
        let row = |state: &str, meshes: &str| vec![state.to_owned(), meshes.to_owned(), "-".to_owned()];
        let headings = ["state", "teeth under load", "roll idle"];
        let long = "D with d 16.76, L with l 20, R with r 31, S with s 12.5, T with t 11, U with u 9";
        let table = Table::new("", &headings, vec![row("low", long), row("direct", "-")]);
        let shown = |width: u16| super::table(&table, TextLayout { width, lines: LineStyle::Ascii });
        assert!(shown(40).starts_with("- state: low\n  teeth under load: D with d 16.76, L\n"), "{}", shown(40));
        assert!(shown(100).starts_with("+-"), "{}", shown(100));
        // Cells that fit on a line each stay in a table.
        let table = Table::new("", &headings, vec![row("low", "D with d"), row("direct", "-")]);
        let shown = super::table(&table, TextLayout { width: 48, lines: LineStyle::Ascii });
        assert!(shown.starts_with("+-"), "{shown}");
    }

    /// A column without a heading once began the list with a colon: `- : fits`.
    #[test]
    fn a_column_without_a_heading_has_no_colon_in_a_list() {
        let row = ["fits".to_owned(), "9 DP, 20 degrees".to_owned()].to_vec();
        let table = Table::new("", &["", "teeth"], vec![row]);
        assert_eq!(
            items(&table, TextLayout { width: 40, lines: LineStyle::Ascii }),
            "- fits\n  teeth: 9 DP, 20 degrees"
        );
    }

    /// A table that just fitted was laid out with a column narrower than its longest word, and a number was cut in
    /// two: `0.0228` above `602`.
    #[test]
    fn no_word_is_cut_in_a_table_that_just_fits() {
        let headings = ["a", "some words", "number", "words"].map(String::from).to_vec();
        let cells = ["1", "as they were and are", "43/1881 = 0.0228602", "a word or two"].map(String::from).to_vec();
        let table = Table { caption: String::new(), headings, rows: vec![cells] };
        let least = narrowest(&table);
        for width in least..least + 30 {
            let layout = TextLayout { width: u16::try_from(width).unwrap(), lines: LineStyle::Ascii };
            let shown = super::table(&table, layout);
            assert!(shown.contains("0.0228602"), "{width}:\n{shown}");
            assert!(shown.lines().all(|line| line.len() <= width), "{width}:\n{shown}");
        }
    }
}
