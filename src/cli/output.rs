//! Where answers go: standard output, in the width and the characters that it can show.
//!
//! A terminal tells its width, and `COLUMNS` overrides it; a locale without UTF-8 gets
//! ASCII lines; colour only where it is wanted. A reader that closes the pipe ends the
//! program quietly.

use std::io::{self, IsTerminal, Write};
use std::path::Path;

use toothmark::gearset::Gearset;
use toothmark::report::{
    Answer, Block, Document, LineStyle, Records, TextLayout, csv, csv_name, html, json_of_file, markdown, text, visible,
};

use super::common::{AnswerForm, DocumentFormat, Format};
use super::exit::Exit;
use super::message::shown;
use super::place::{OutputPlaces, WrongPlace, reason};
use super::trouble::{Refusal, Trouble};

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

/// What is said of one gearset, ready to be shown.
#[derive(Debug)]
pub(super) struct Said {
    /// The line that names the columns, where the text is the records of one file of several.
    pub(super) columns: Option<String>,
    pub(super) text: String,
    /// What is told beside it.
    pub(super) notes: Vec<String>,
    /// Whether people read it, and not programs.
    pub(super) is_for_people: bool,
    /// Why the description was not saved, where that was asked for: told behind the answer, which is not lost by it.
    pub(super) unsaved: Option<WrongPlace>,
    /// How a program ends that says only this.
    pub(super) exit: Exit,
}

impl Said {
    /// An answer in the form asked for; of one file of several with its name.
    pub(super) fn answer(set: &Gearset, answer: &impl Answer, form: AnswerForm, file: Option<&str>) -> Self {
        let mut columns = None;
        let text = match (file, form.format) {
            (None, _) => rendered(set, answer, Vec::new(), form),
            (Some(file), Format::Json) => json_of_file(file, set, answer),
            (Some(file), Format::Csv) => {
                let (heading, rows) = records_of_file(file, answer.records(set));
                columns = Some(heading);
                rows
            }
            (Some(file), Format::Text) => text(&headed(document(set, answer, Vec::new(), form), file), layout()),
            (Some(file), Format::Markdown) => markdown(&headed(document(set, answer, Vec::new(), form), file)),
        };
        let is_for_people = form.format.is_for_people();
        Self { columns, text, notes: Vec::new(), is_for_people, unsaved: None, exit: answer.outcome().into() }
    }

    /// An answer in the form asked for, or the page that is printed of it, which is of one file alone.
    pub(super) fn printed(
        set: &Gearset,
        answer: &impl Answer,
        form: Option<AnswerForm>,
        page: impl FnOnce() -> Document,
        file: Option<&str>,
    ) -> Result<Self, Refusal> {
        match (form, file) {
            (Some(form), _) => Ok(Self::answer(set, answer, form, file)),
            (None, Some(_)) => Err(one_page()),
            (None, None) => {
                Ok(Self { exit: answer.outcome().into(), ..Self::document(page(), DocumentFormat::Html, None)? })
            }
        }
    }

    /// A document in the form asked for; of one file of several with its name.
    pub(super) fn document(document: Document, format: DocumentFormat, file: Option<&str>) -> Result<Self, Refusal> {
        let document = match file {
            None => document,
            Some(_) if format == DocumentFormat::Html => return Err(one_page()),
            Some(file) => headed(document, file),
        };
        let text = document_text(&document, format);
        let (columns, notes, unsaved) = (None, Vec::new(), None);
        Ok(Self { columns, text, notes, is_for_people: true, unsaved, exit: Exit::Done })
    }

    /// Writes it to a file, whose path is told.
    pub(super) fn write_to(self, mut places: OutputPlaces, path: &Path) -> Result<Exit, Trouble> {
        places.write(path, &self.text)?;
        eprint_notes(self.notes);
        tell_done([path.display().to_string()])?;
        self.unsaved.map_or(Ok(self.exit), |wrong| Err(wrong.into()))
    }
}

fn one_page() -> Refusal {
    Refusal::new(
        "a page for a browser is of one file",
        "ask about one file at a time, or in another form: --format markdown",
    )
}

/// A document headed with the name of its file.
fn headed(document: Document, file: &str) -> Document {
    Document { title: format!("{file}: {}", document.title), blocks: document.blocks }
}

/// The records of a file with its name in the first column: the headings, and the rows.
fn records_of_file(file: &str, Records { mut fields, mut rows }: Records) -> (String, String) {
    fields.insert(0, "file");
    for row in &mut rows {
        row.insert(0, csv_name(file));
    }
    let all = csv(&Records { fields, rows });
    let end = all.find('\n').map_or(all.len(), |end| end + 1);
    (all[..end].to_owned(), all[end..].to_owned())
}

/// Writes a document in the form asked for, in the manner of the terminal where it is text.
pub(super) fn write_document(document: &Document, format: DocumentFormat) -> Result<(), Trouble> {
    write(&document_text(document, format))
}

fn document_text(document: &Document, format: DocumentFormat) -> String {
    match format {
        DocumentFormat::Text => text(document, layout()),
        DocumentFormat::Markdown => markdown(document),
        DocumentFormat::Html => html(document),
    }
}

/// Writes an answer; a reader that has seen enough and closed the pipe is no trouble.
pub(super) fn write(answer: &str) -> Result<(), Trouble> {
    show(answer).map(drop)
}

/// The same, and whether somebody reads on.
pub(super) fn show(answer: &str) -> Result<bool, Trouble> {
    print(answer).map_err(|error| {
        let hint = "look at the disk or the program that reads the answer";
        Trouble::new(format!("the answer could not be written: {}", reason(&error)), hint)
    })
}

/// Writes to standard output; whether somebody reads on.
fn print(answer: &str) -> io::Result<bool> {
    let mut output = anstream::stdout().lock();
    match output.write_all(answer.as_bytes()).and_then(|()| output.flush()) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(false),
        Err(error) => Err(error),
    }
}

/// Tells what was done with files, a line each: that it cannot be told undoes nothing.
pub(super) fn tell_done(lines: impl IntoIterator<Item = String>) -> Result<(), Trouble> {
    print(&as_lines(lines)).map(drop).map_err(|error| {
        let sentence = format!("what was asked for is done, but could not be told: {}", reason(&error));
        Trouble::new(sentence, "look at the files; there is no need to ask again")
    })
}

fn as_lines(lines: impl IntoIterator<Item = String>) -> String {
    lines.into_iter().map(|line| visible(&line) + "\n").collect()
}

/// Writes a line each.
pub(super) fn write_lines(lines: impl IntoIterator<Item = String>) -> Result<(), Trouble> {
    write(&as_lines(lines))
}

/// Remarks that are no part of the answer, on standard error.
pub(super) fn eprint_notes(notes: impl IntoIterator<Item = String>) {
    let lines = notes.into_iter().map(|note| format!("note: {}\n", shown(&note)));
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
