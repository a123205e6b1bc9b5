//! Where answers go: standard output, in the width and the characters that it can show.
//!
//! A terminal tells its width, and `COLUMNS` overrides it; a locale without UTF-8 gets
//! ASCII lines; colour only where it is wanted. A reader that closes the pipe ends the
//! program quietly.

use std::io::{self, IsTerminal, Write};

use toothmark::gearset::Gearset;
use toothmark::report::{Answer, Block, Document, LineStyle, TextLayout, csv, html, markdown, text, visible};

use super::common::{AnswerForm, DocumentFormat, Format};
use super::exit::Exit;
use super::trouble::Trouble;

/// The width for output that goes to no terminal.
const PIPED_WIDTH: u16 = 100;

/// The narrowest width that tables are laid out for.
const NARROWEST: u16 = 20;

/// Writes an answer in the form asked for, and says how the program ends by it.
pub(super) fn answer(set: &Gearset, answer: &impl Answer, form: AnswerForm) -> Result<Exit, Trouble> {
    answer_with(set, answer, Vec::new(), form)
}

/// The same; for people something else stands behind it.
pub(super) fn answer_with(
    set: &Gearset,
    answer: &impl Answer,
    further: Vec<Block>,
    form: AnswerForm,
) -> Result<Exit, Trouble> {
    write(&rendered(set, answer, further, form))?;
    Ok(answer.outcome().into())
}

/// An answer in the form asked for; for people something else stands behind it.
pub(super) fn rendered(set: &Gearset, answer: &impl Answer, further: Vec<Block>, form: AnswerForm) -> String {
    match form.format {
        Format::Csv => csv(&answer.records(set)),
        Format::Json => answer.json(set),
        Format::Text => text(&document(set, answer, further, form), layout()),
        Format::Markdown => markdown(&document(set, answer, further, form)),
    }
}

/// What people read of an answer: as much as was asked for, and what more there is.
fn document(set: &Gearset, answer: &impl Answer, further: Vec<Block>, form: AnswerForm) -> Document {
    let Document { title, blocks } = answer.document(set, form.extent());
    let more = answer.left_out(set, form.extent()).map(|it| Block::Paragraph(format!("--full shows also {it}")));
    Document { title, blocks: [blocks, more.into_iter().collect(), further].concat() }
}

/// Writes a document in the form asked for, in the manner of the terminal where it is text.
pub(super) fn write_document(document: &Document, format: DocumentFormat) -> Result<(), Trouble> {
    match format {
        DocumentFormat::Text => write(&text(document, layout())),
        DocumentFormat::Markdown => write(&markdown(document)),
        DocumentFormat::Html => write(&html(document)),
    }
}

/// Writes an answer; a reader that has seen enough and closed the pipe is no trouble.
pub(super) fn write(answer: &str) -> Result<(), Trouble> {
    let mut output = anstream::stdout().lock();
    match output.write_all(answer.as_bytes()).and_then(|()| output.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Trouble::new(
            format!("the answer could not be written: {error}"),
            "look at the disk or the program that reads the answer",
        )),
        _ => Ok(()),
    }
}

/// Writes a line each, such as the paths of what was written.
pub(super) fn write_lines(lines: impl IntoIterator<Item = String>) -> Result<(), Trouble> {
    write(&lines.into_iter().map(|line| visible(&line) + "\n").collect::<String>())
}

/// Remarks that are no part of the answer, on standard error.
pub(super) fn eprint_notes(notes: impl IntoIterator<Item = String>) {
    let lines = notes.into_iter().map(|note| format!("note: {}\n", visible(&note)));
    // Nothing can be done where standard error itself is closed.
    let _ = anstream::stderr().lock().write_all(lines.collect::<String>().as_bytes());
}

fn layout() -> TextLayout {
    let asked = std::env::var("COLUMNS").ok().and_then(|columns| columns.trim().parse().ok());
    let terminal = || {
        let size = terminal_size::terminal_size().filter(|_| io::stdout().is_terminal());
        size.map(|(width, _)| width.0)
    };
    let width = asked.or_else(terminal).unwrap_or(PIPED_WIDTH).max(NARROWEST);
    TextLayout { width, lines: if shows_unicode() { LineStyle::Drawn } else { LineStyle::Ascii } }
}

/// Whether the locale says that characters beyond ASCII can be shown.
fn shows_unicode() -> bool {
    let set = |name: &str| std::env::var(name).ok().filter(|value| !value.is_empty());
    let locale = set("LC_ALL").or_else(|| set("LC_CTYPE")).or_else(|| set("LANG")).unwrap_or_default();
    let locale = locale.to_ascii_lowercase();
    let dumb = set("TERM").is_some_and(|terminal| terminal == "dumb");
    !dumb && (locale.contains("utf-8") || locale.contains("utf8"))
}
