//! The manual as documents: a chapter laid out for a terminal, and the list of chapters.
//!
//! Chapters are written in a part of Markdown: headings, paragraphs, lists of one level, pipe tables, fenced blocks,
//! and `**` round what is bold. Each of these is a block of a document; what is fenced stays as it stands.

use super::render::document::{Block, Document, Fact, Table};
use crate::manual::{Chapter, chapters};

/// Fenced lines up to this width are indented, so that they stand apart from running text.
const INDENTED_UP_TO: usize = 76;
const INDENT: &str = "    ";

/// A chapter as a document.
///
/// # Examples
/// ```
/// use toothmark::manual::chapter;
/// use toothmark::report::chapter_document;
/// let chapter = chapter("timing").unwrap();
/// assert_eq!(chapter_document(chapter).title, chapter.title());
/// ```
pub fn chapter_document(chapter: &Chapter) -> Document {
    let mut lines: Vec<&'static str> = chapter.text.lines().skip(1).collect();
    let mut blocks = Vec::new();
    while let Some(&line) = lines.first() {
        blocks.extend(if line.is_empty() {
            lines.remove(0);
            None
        } else if let Some(heading) = line.strip_prefix("## ") {
            lines.remove(0);
            Some(Block::Heading(plain(heading)))
        } else if let Some(words) = line.strip_prefix("```") {
            lines.remove(0);
            let block = fenced_block(words, &beginning(&mut lines, |line| line != "```"));
            lines.drain(..lines.len().min(1));
            Some(block)
        } else if line.starts_with("- ") {
            Some(Block::Statements(items(&beginning(&mut lines, |line| !line.is_empty()))))
        } else if line.starts_with('|') {
            Some(table(&beginning(&mut lines, |line| line.starts_with('|'))))
        } else {
            Some(Block::Paragraph(plain(&beginning(&mut lines, |line| !line.is_empty()).join(" "))))
        });
    }
    Document { title: chapter.title().to_owned(), blocks }
}

/// Takes the lines at the beginning for which something holds.
fn beginning<'t>(lines: &mut Vec<&'t str>, holds: impl Fn(&str) -> bool) -> Vec<&'t str> {
    let end = lines.iter().position(|line| !holds(line)).unwrap_or(lines.len());
    lines.drain(..end).collect()
}

/// The chapters of the manual, a line each.
pub fn manual_contents() -> Document {
    let line = |chapter: &Chapter| Fact::new(chapter.name, chapter.title());
    Document {
        title: "The manual: toothmark manual CHAPTER".to_owned(),
        blocks: vec![Block::Facts(chapters().iter().map(line).collect())],
    }
}

/// Text without the signs of what is bold.
fn plain(text: &str) -> String {
    text.replace("**", "")
}

fn fenced_block(words: &'static str, lines: &[&str]) -> Block {
    let narrow = lines.iter().all(|line| line.chars().count() <= INDENTED_UP_TO);
    let indent = if narrow { INDENT } else { "" };
    let indented = |line: &&str| if line.is_empty() { String::new() } else { format!("{indent}{line}") };
    let text = lines.iter().map(indented).collect::<Vec<_>>().join("\n");
    Block::Source { language: words.split(' ').next().unwrap_or_default(), text }
}

/// The items of a list, each with the lines that go on with it.
fn items(lines: &[&str]) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    for line in lines {
        match items.last_mut() {
            Some(item) if !line.starts_with("- ") => *item = format!("{item} {}", plain(line.trim_start())),
            _ => items.push(plain(line)),
        }
    }
    items
}

/// A pipe table: headings, the rule beneath them, rows.
fn table(lines: &[&str]) -> Block {
    let cells = |line: &&str| line.trim_matches('|').split('|').map(|cell| plain(cell.trim())).collect::<Vec<_>>();
    let headings = lines.first().map(cells).unwrap_or_default();
    let mut rows: Vec<Vec<String>> = lines.iter().skip(2).map(cells).collect();
    for row in &mut rows {
        row.resize(headings.len(), String::new());
    }
    Block::Table(Table { caption: String::new(), headings, rows })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_block_is_read() {
        let text = "# Title\n\nSome **bold**\nwords.\n\n## Part\n- one\n  more\n- two\n\n```sh\na  b\n```\n\n| a | b |\n\
                    | --- | --: |\n| 1 | 2 |\n";
        let document = chapter_document(&Chapter { name: "chapter", text });
        assert_eq!(document.title, "Title");
        let cells = |cells: [&str; 2]| cells.map(str::to_owned).to_vec();
        assert_eq!(
            document.blocks,
            [
                Block::Paragraph("Some bold words.".into()),
                Block::Heading("Part".into()),
                Block::Statements(vec!["- one more".into(), "- two".into()]),
                Block::Source { language: "sh", text: "    a  b".into() },
                Block::Table(Table {
                    caption: String::new(),
                    headings: cells(["a", "b"]),
                    rows: vec![cells(["1", "2"])]
                }),
            ]
        );
    }
}
