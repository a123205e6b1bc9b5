//! The reader's complaints about the shape of the text, in the user's words.
//!
//! The RON reader stops at the first place where the text cannot be a description; its
//! error is turned into a [`Fault`] that says what is expected there.

use std::ops::Range;

use ron::error::{Error, Position, SpannedError};

use super::fault::{Fault, FaultKind};
use crate::gearset::nearest_name;

pub(super) fn fault(source: &str, error: &SpannedError) -> Fault {
    let start = offset(source, error.span.start);
    let end = offset(source, error.span.end).max(start);
    let (message, hint) = words(&error.code);
    let place = if matches!(error.code, Error::ExpectedStringEnd) { opening_quote(source, start) } else { start..end };
    Fault { place, kind: FaultKind::Shape { message, hint } }
}

/// The byte offset of a line and column, both from 1, the column in characters.
fn offset(source: &str, position: Position) -> usize {
    let line_start: usize = source.split_inclusive('\n').take(position.line.saturating_sub(1)).map(str::len).sum();
    let rest = &source[line_start..];
    let in_line = rest.char_indices().nth(position.col.saturating_sub(1)).map_or(rest.len(), |(index, _)| index);
    line_start + in_line
}

/// A string without an end is at fault where it opens, not where the file ends.
fn opening_quote(source: &str, near: usize) -> Range<usize> {
    let quote = source[..near].rfind('"').unwrap_or(near);
    quote..(quote + 1).min(source.len())
}

#[expect(clippy::wildcard_enum_match_arm, reason = "the enum is foreign and may grow")]
fn words(error: &Error) -> (String, String) {
    let example = || "toothmark examples prints complete descriptions to start from".to_owned();
    match error {
        Error::ExpectedNamedStructLike(name) if *name == "Gearset" => {
            ("a description begins with Gearset(".into(), example())
        }
        Error::ExpectedDifferentStructName { expected, found } => {
            (format!("{found} stands where {expected} belongs"), format!("write {expected}("))
        }
        Error::NoSuchStructField { expected, found, .. } => {
            (format!("there is no field {found:?} here"), nearest_of(expected, found))
        }
        Error::NoSuchEnumVariant { expected, found, .. } => {
            (format!("{found} is not known here"), nearest_of(expected, found))
        }
        Error::MissingStructField { field, .. } => {
            (format!("the field {field:?} is missing before this place"), format!("add {field}: ..."))
        }
        Error::DuplicateStructField { field, .. } => {
            (format!("the field {field:?} is given twice"), "leave one of the two out".into())
        }
        Error::ExpectedComma | Error::ExpectedArrayEnd | Error::ExpectedMapEnd | Error::ExpectedStructLikeEnd => (
            "a comma is missing before this place, or a bracket is not closed".into(),
            "separate entries by commas and close every bracket that was opened".into(),
        ),
        Error::ExpectedStringEnd => {
            ("the quote that opens here is never closed".into(), "put a double quote at the end of the name".into())
        }
        Error::ExpectedMap => ("an opening brace belongs here".into(), "write { \"name\": ..., }".into()),
        Error::ExpectedArray => ("an opening square bracket belongs here".into(), "write [ ..., ]".into()),
        Error::ExpectedMapColon => {
            ("a colon belongs between a name and what belongs to it".into(), "write \"name\": ...".into())
        }
        Error::Eof => {
            ("the file ends in the middle of the description".into(), "close every bracket that was opened".into())
        }
        Error::TrailingCharacters => {
            ("something stands after the end of the description".into(), "one file holds one Gearset(...)".into())
        }
        Error::ExceededRecursionLimit => {
            ("brackets are nested too deep".into(), "a description has at most half a dozen levels".into())
        }
        Error::ExpectedDifferentLength { found, .. } => {
            (format!("{found} entries in these brackets are too many or too few"), example())
        }
        Error::Message(message) => (message.clone(), example()),
        other => (uncapitalized(&other.to_string()), example()),
    }
}

fn nearest_of(expected: &[&'static str], found: &str) -> String {
    let known = expected.join(", ");
    match nearest_name(expected.iter().copied(), found) {
        Some(name) => format!("write {name}; known here: {known}"),
        None => format!("known here: {known}"),
    }
}

fn uncapitalized(message: &str) -> String {
    let mut letters = message.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
