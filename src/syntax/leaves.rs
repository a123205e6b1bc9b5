//! The leaves of a text: names in quotes and whole numbers. How other numbers are written is told beside their types.

use std::ops::Range;

use ron::error::{Error, Position};

use super::flaw::Flaw;
use super::pasted::count_in;
use super::reader::{Form, Reader};
use super::thing::{Element, Inside, nothing_else};
use super::tokens::without_quotes;
use super::tree::{Node, NodeKind};
use super::writer::Writer;

/// A thing that stands for itself, without brackets.
pub(crate) const fn leaf(name: &'static str, example: &'static str) -> Element {
    Element { name, example, rule: "", inside: Inside::Nothing, meant: nothing_else }
}

/// A quoted name; one without quotes is told, and stands for itself meanwhile.
impl Form for String {
    type Value = Self;
    const THING: Element = leaf("a name in quotes", "\"low drum\"");

    fn read(node: &Node, _: &Element, reader: &mut Reader<'_>) -> Option<Self> {
        let written = reader.text(node.place.clone());
        if !matches!(node.kind, NodeKind::Text) {
            reader.leaf_at(node.place.clone(), Flaw::NotAName { found: written.to_owned() });
            return Some(written.to_owned());
        }
        // Most names need no decoding.
        if let Some(plain) = written.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'))
            && !plain.contains('\\')
        {
            return Some(plain.to_owned());
        }
        // Typographic quotes have been told.
        if !written.starts_with(['"', '\'', 'r', 'b']) || written.ends_with(['\u{201c}', '\u{201d}']) {
            return Some(without_quotes(written).to_owned());
        }
        Some(ron::from_str(written).unwrap_or_else(|error| {
            let (place, flaw) = if let Error::InvalidEscape(_) = error.code {
                unknown_escape(written, offset(written, error.span.end))
            } else {
                (0..written.len(), Flaw::NotAName { found: written.to_owned() })
            };
            let start = node.place.start;
            reader.leaf_at(start + place.start..start + place.end, flaw);
            without_quotes(written).to_owned()
        }))
    }

    fn write(value: &Self, out: &mut Writer) {
        out.push(&ron::to_string(value).unwrap_or_else(|_| format!("{value:?}")));
    }
}

fn unknown_escape(written: &str, end: usize) -> (Range<usize>, Flaw) {
    let start = written[..end].rfind('\\').unwrap_or(end);
    let message = format!("{} means nothing in a name", &written[start..end]);
    (start..end, Flaw::shape(message, "write \\\\ for a backslash itself and \\\" for a double quote"))
}

/// The byte offset of a line and column, both from 1, the column in characters.
fn offset(source: &str, position: Position) -> usize {
    let line_start: usize = source.split_inclusive('\n').take(position.line.saturating_sub(1)).map(str::len).sum();
    let rest = &source[line_start..];
    let in_line = rest.char_indices().nth(position.col.saturating_sub(1)).map_or(rest.len(), |(index, _)| index);
    line_start + in_line
}

/// A whole number in digits.
impl Form for i64 {
    type Value = Self;
    const THING: Element = Element { meant: count_in, ..leaf("a whole number", "3") };

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self> {
        let written = reader.text(node.place.clone());
        let digits = written.strip_prefix('-').unwrap_or(written);
        let is_whole = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
        let value = written.parse().ok().filter(|_| is_whole);
        if value.is_none() {
            let written = written.to_owned();
            reader.leaf_at(
                node.place.clone(),
                if is_whole {
                    Flaw::AbsurdCount { written, rule: thing.rule }
                } else {
                    Flaw::NotAWholeNumber { found: written }
                },
            );
        }
        Some(value.unwrap_or_default())
    }

    fn write(value: &Self, out: &mut Writer) {
        out.push(&value.to_string());
    }
}
