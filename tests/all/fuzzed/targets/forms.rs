//! An answer in every form, each of which has to be sound for whoever reads it.

use serde_json::Value;
use toothmark::gearset::Gearset;
use toothmark::report::{Answer, Document, Extent, LineStyle, TextLayout, csv, html, markdown, text};

/// Writes an answer in every form.
pub(super) fn show(set: &Gearset, answer: &impl Answer) {
    for extent in [Extent::Screen, Extent::Full] {
        show_document(&answer.document(set, extent));
    }
    let records = answer.records(set);
    let fields = records.fields.len();
    assert!(records.rows.iter().all(|row| row.len() == fields), "records of one length: {records:?}");
    let table = csv(&records);
    assert_no_controls("CSV", &table);
    let json = answer.json(set);
    let read: Result<Value, _> = serde_json::from_str(&json);
    assert!(read.is_ok(), "an answer in JSON is JSON: {read:?} of\n{json}");
    assert_no_controls("JSON", &json);
}

/// Writes a document in every form.
pub(super) fn show_document(document: &Document) {
    for (width, lines) in [(100, LineStyle::Drawn), (20, LineStyle::Ascii)] {
        let shown = text(document, TextLayout { width, lines });
        assert!(!shown.is_empty(), "a document has a title");
    }
    assert_no_controls("Markdown", &markdown(document));
    let page = html(document);
    assert_no_controls("HTML", &page);
}

/// A picture is XML that can be read.
pub(super) fn assert_picture(svg: &str) {
    let read = roxmltree::Document::parse(svg);
    assert!(read.is_ok(), "a picture is XML: {read:?} of\n{svg}");
}

/// No sign from a file may move the cursor of a terminal.
fn assert_no_controls(form: &str, written: &str) {
    let control = written.chars().find(|letter| letter.is_control() && !['\n', '\r'].contains(letter));
    assert_eq!(control, None, "{form} holds no control characters:\n{written}");
}
