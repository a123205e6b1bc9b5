//! Documents as one self-contained HTML page, made to be printed.
//!
//! No script, no font and nothing else is loaded: the page is complete in itself. It is
//! legible in black and white, an empty cell is high enough to write in, and tables, facts
//! and pictures are not torn apart between two sheets of paper.

use super::document::{Block, CaptionedPicture, Document, Fact, Table};
use crate::syntax::markup;

/// A table of more rows than this is broken between two of them, with its headings on every sheet of paper.
const LONG: usize = 30;

const STYLE: &str = "
@page { size: auto; margin: 10mm; }
body { font: 9.5pt/1.25 sans-serif; color: black; background: white; max-width: 190mm; margin: 0 auto; padding: 0 4mm; }
h1 { font-size: 15pt; margin: 0 0 2mm; border-bottom: 0.6mm solid black; }
h2 { font-size: 11.5pt; margin: 4mm 0 1mm; break-after: avoid; }
p { margin: 1mm 0; }
table { border-collapse: collapse; margin: 1mm 0 2mm; width: 100%; break-inside: avoid; }
table.long { break-inside: auto; }
tr { break-inside: avoid; }
caption { text-align: left; font-style: italic; padding-bottom: 0.5mm; }
th, td { border: 0.2mm solid black; padding: 0.5mm 1.5mm; text-align: left; vertical-align: top; }
td:empty { height: 4.6mm; min-width: 16mm; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 0.3mm 4mm; margin: 1mm 0; break-inside: avoid; }
dd { margin: 0; }
.warning { border: 0.6mm solid black; padding: 1mm 2mm; font-weight: bold; break-inside: avoid; }
.note { padding-left: 4mm; text-indent: -3mm; }
.note::before { content: '- '; }
figure { margin: 2mm 0; break-inside: avoid; text-align: center; }
figure svg { max-width: 100%; max-height: 78mm; height: auto; }
figure svg.tall { max-height: 240mm; }
@media print { body { max-width: none; padding: 0; } }
";

/// Renders a document as an HTML page.
///
/// # Examples
/// ```
/// use toothmark::report::{Block, Document, html};
/// let document = Document { title: "<winch>".into(), blocks: vec![Block::Note("turns".into())] };
/// let page = html(&document);
/// assert!(page.contains("<h1>&lt;winch&gt;</h1>") && page.contains("turns"));
/// ```
pub fn html(document: &Document) -> String {
    let title = markup(&document.title);
    let body = html_fragment(document);
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<h1>{title}</h1>\n{body}</body>\n</html>\n"
    )
}

/// The blocks of a document as HTML, to stand on a page of something else; without its title.
///
/// # Examples
/// ```
/// use toothmark::report::{Block, Document, html_fragment};
/// let document = Document { title: "winch".into(), blocks: vec![Block::Paragraph("<turns>".into())] };
/// assert_eq!(html_fragment(&document), "<p>&lt;turns&gt;</p>\n");
/// ```
pub fn html_fragment(document: &Document) -> String {
    document.blocks.iter().map(|block| block_html(block) + "\n").collect()
}

fn block_html(block: &Block) -> String {
    match block {
        Block::Heading(heading) => format!("<h2>{}</h2>", markup(heading)),
        Block::Statements(statements) => {
            let paragraph = |statement: &String| format!("<p class=\"statement\">{}</p>", markup(statement));
            statements.iter().map(paragraph).collect::<Vec<_>>().concat()
        }
        Block::Paragraph(paragraph) => format!("<p>{}</p>", markup(paragraph)),
        Block::Facts(facts) => format!("<dl>{}</dl>", facts.iter().map(fact).collect::<String>()),
        Block::Table(table) => self::table(table),
        Block::Warning(warning) => format!("<p class=\"warning\">Warning: {}</p>", markup(warning)),
        Block::Note(note) => format!("<p class=\"note\">{}</p>", markup(note)),
        Block::Source { text, .. } => format!("<pre>{}</pre>", markup(text)),
        Block::Picture(CaptionedPicture { caption, svg }) => {
            format!("<figure>{svg}<figcaption>{}</figcaption></figure>", markup(caption))
        }
    }
}

fn fact(fact: &Fact) -> String {
    format!("<dt>{}</dt><dd>{}</dd>", markup(&fact.subject), markup(&fact.answer))
}

fn table(table: &Table) -> String {
    let row = |cells: &[String], tag: &str| {
        let cells: Vec<String> = cells.iter().map(|cell| format!("<{tag}>{}</{tag}>", markup(cell))).collect();
        format!("<tr>{}</tr>", cells.concat())
    };
    let rows: String = table.rows.iter().map(|cells| row(cells, "td")).collect();
    let caption = markup(&table.caption);
    let caption = if caption.is_empty() { caption } else { format!("<caption>{caption}</caption>") };
    let class = if table.rows.len() > LONG { " class=\"long\"" } else { "" };
    format!("<table{class}>{caption}<thead>{}</thead><tbody>{rows}</tbody></table>", row(&table.headings, "th"))
}
