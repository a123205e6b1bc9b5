//! Documents as Markdown with pipe tables.
//!
//! Names and texts are escaped so that none of their letters is taken for a mark-up sign;
//! the result reads as plain text as well.

use super::document::{Block, Document, Fact, Table};
use super::escape;

/// Renders a document as Markdown; nothing in it can be taken for markup of its own.
///
/// # Examples
/// ```
/// use toothmark::report::{Block, Document, markdown};
/// let document = Document { title: "A|B".into(), blocks: vec![Block::Heading("Low".into())] };
/// assert_eq!(markdown(&document), "# A\\|B\n\n## Low\n");
/// ```
pub fn markdown(document: &Document) -> String {
    let mut parts = vec![format!("# {}", escape::markdown(&document.title))];
    for block in &document.blocks {
        parts.push(match block {
            Block::Heading(heading) => format!("## {}", escape::markdown(heading)),
            Block::Statements(statements) => statements
                .iter()
                .map(|statement| format!("- {}", escape::markdown(statement)))
                .collect::<Vec<_>>()
                .join("\n"),
            Block::Paragraph(paragraph) => escape::markdown(paragraph),
            Block::Facts(facts) => facts.iter().map(fact).collect::<Vec<_>>().join("\n"),
            Block::Table(table) => self::table(table),
            Block::Warning(warning) => format!("**Warning:** {}", escape::markdown(warning)),
            Block::Note(note) => format!("Note: {}", escape::markdown(note)),
            Block::Source { language, text } => format!("```{language}\n{text}\n```"),
            Block::Picture(picture) => format!("Picture: {}", escape::markdown(&picture.caption)),
        });
    }
    parts.join("\n\n") + "\n"
}

fn fact(fact: &Fact) -> String {
    format!("- {}: {}", escape::markdown(&fact.subject), escape::markdown(&fact.answer))
}

fn table(table: &Table) -> String {
    let line = |cells: &[String]| {
        let cells: Vec<String> = cells.iter().map(|cell| escape::markdown(cell)).collect();
        format!("| {} |", cells.join(" | "))
    };
    let rule = format!("|{}", " --- |".repeat(table.headings.len()));
    let mut lines =
        if table.caption.is_empty() { vec![] } else { vec![escape::markdown(&table.caption), String::new()] };
    lines.extend([line(&table.headings), rule]);
    lines.extend(table.rows.iter().map(|row| line(row)));
    lines.join("\n")
}
