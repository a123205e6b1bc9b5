//! The reader's complaints about the shape of the text, in the user's words.
//!
//! The RON reader stops at the first place where the text cannot be a description. Its
//! error says what kind of thing is wrong; what belongs there, and what is found instead,
//! is told from the [`Surroundings`] of the place.

use std::ops::Range;

use ron::error::{Error, Position, SpannedError};

use super::fault::Fault;
use super::surroundings::Surroundings;
use super::tokens::{TokenKind, Tokens};
use super::wording::{Complaint, belongs, colon, enumerated, forms, separation, wrong_length};
use crate::gearset::nearest_name;

pub(super) fn fault(source: &str, error: &SpannedError) -> Fault {
    let start = offset(source, error.span.start);
    let end = offset(source, error.span.end).max(start);
    let around = Surroundings::of(source, if reader_stands_behind(&error.code) { start } else { end });
    let Complaint { kind, place } = complaint(source, &around, start..end, &error.code);
    Fault::new(place.unwrap_or_else(|| place_of(&around, end)), kind)
}

/// The byte offset of a line and column, both from 1, the column in characters.
fn offset(source: &str, position: Position) -> usize {
    let line_start: usize = source.split_inclusive('\n').take(position.line.saturating_sub(1)).map(str::len).sum();
    let rest = &source[line_start..];
    let in_line = rest.char_indices().nth(position.col.saturating_sub(1)).map_or(rest.len(), |(index, _)| index);
    line_start + in_line
}

/// The token that is found; at the end of the file the place after the last one.
fn place_of(around: &Surroundings<'_>, end: usize) -> Range<usize> {
    match (&around.found, &around.before) {
        (Some(found), _) => found.place.clone(),
        (None, Some(before)) => before.place.end..before.place.end,
        (None, None) => end..end,
    }
}

/// Whether the reader has gone past what it complains of.
fn reader_stands_behind(error: &Error) -> bool {
    matches!(
        error,
        Error::NoSuchEnumVariant { .. }
            | Error::NoSuchStructField { .. }
            | Error::DuplicateStructField { .. }
            | Error::ExpectedDifferentStructName { .. }
            | Error::ExpectedChar
            | Error::ExpectedByteLiteral
            | Error::ExpectedFloat
            | Error::ExpectedInteger
            | Error::FloatUnderscore
            | Error::IntegerOutOfBounds
            | Error::InvalidIntegerDigit { .. }
            | Error::UnderscoreAtBeginning
            | Error::ExpectedAttribute
            | Error::ExpectedAttributeEnd
    )
}

#[expect(clippy::wildcard_enum_match_arm, reason = "the enum is foreign and may grow; the rest is one sentence")]
fn complaint(source: &str, around: &Surroundings<'_>, span: Range<usize>, error: &Error) -> Complaint {
    match error {
        Error::NoSuchStructField { expected, found, .. } => unknown_field(around, expected, found),
        Error::NoSuchEnumVariant { expected, found, .. } => unknown_word(around, expected, found),
        Error::MissingStructField { field, .. } => missing_field(around, field),
        Error::DuplicateStructField { field, .. } => {
            Complaint::new(format!("the field {field:?} is given twice"), "leave one of the two out")
        }
        Error::ExpectedComma | Error::ExpectedArrayEnd | Error::ExpectedMapEnd | Error::ExpectedStructLikeEnd => {
            separation(around)
        }
        Error::ExpectedDifferentLength { found, .. } => wrong_length(around, *found),
        Error::ExpectedMapColon => colon(around),
        Error::ExpectedStringEnd | Error::UnclosedBlockComment => unclosed(source),
        Error::InvalidEscape(_) => unknown_escape(source, span.end),
        Error::UnexpectedChar(_) if source[span.start..].starts_with('/') => slash(source, span.start),
        Error::Eof if around.before_text() == "/" => {
            slash(source, around.before.as_ref().map_or(span.start, |before| before.place.start))
        }
        Error::TrailingCharacters => {
            Complaint::new("something stands after the end of the description", "one file holds one Gearset(...)")
        }
        Error::ExceededRecursionLimit => {
            Complaint::new("brackets are nested too deep", "a description has at most half a dozen levels")
        }
        Error::NoSuchExtension(_) | Error::ExpectedAttribute | Error::ExpectedAttributeEnd => setting(source),
        _ => belongs(around),
    }
}

fn missing_field(around: &Surroundings<'_>, field: &str) -> Complaint {
    let example = around.field(field).map_or("...", |thing| thing.write);
    let of = around.within().map_or(String::new(), |thing| format!(" of {}", thing.name));
    Complaint::new(format!("the field {field:?}{of} is missing before this place"), format!("add {field}: {example}"))
}

fn unknown_field(around: &Surroundings<'_>, known: &[&'static str], found: &str) -> Complaint {
    let of = around.within().map_or("nothing here", |thing| thing.name);
    let nearest = nearest_name(known.iter().copied(), found).map_or(String::new(), |name| format!("write {name}; "));
    let hint = format!("{nearest}the fields are {}", enumerated(known, "and"));
    Complaint::new(format!("{of} has no field {found:?}"), hint)
}

fn unknown_word(around: &Surroundings<'_>, known: &[&'static str], found: &str) -> Complaint {
    let wanted = around.wanted();
    let of = wanted.map_or(String::new(), |thing| format!(" for {}", thing.name));
    let hint = match (nearest_name(known.iter().copied(), found), wanted) {
        (Some(nearest), _) => format!("write {nearest}; the words are {}", enumerated(known, "and")),
        (None, Some(wanted)) => format!("write {}", forms(wanted, "")),
        (None, None) => format!("the words are {}", enumerated(known, "and")),
    };
    Complaint::new(format!("{found} is not one of the words{of}"), hint)
}

/// A quote or comment without an end is at fault where it opens, not where the file ends.
fn unclosed(source: &str) -> Complaint {
    let opening = Tokens::of(source).find(|token| token.kind == TokenKind::Unclosed);
    let start = opening.map_or(source.len(), |token| token.place.start);
    if source[start..].starts_with("/*") {
        let hint = "write */ where the comment ends, or // before a comment of one line";
        return Complaint::new("the comment that opens here is never closed", hint).at(start..start + 2);
    }
    let end = source[start..].find('"').map_or(start, |quote| start + quote + 1);
    let marks = source[start..end].matches('#').count();
    let hint = match marks {
        0 => "put a double quote at the end of the name".to_owned(),
        _ => format!("put \"{} at the end of the name", "#".repeat(marks)),
    };
    Complaint::new("the quote that opens here is never closed", hint).at(start..end)
}

fn unknown_escape(source: &str, end: usize) -> Complaint {
    let start = source[..end].rfind('\\').unwrap_or(end);
    let escape = &source[start..end];
    Complaint::new(
        format!("{escape} means nothing in a name"),
        "write \\\\ for a backslash itself and \\\" for a double quote",
    )
    .at(start..end)
}

/// A slash outside quotes opens a comment, or is a fraction that lacks its quotes.
fn slash(source: &str, slash: usize) -> Complaint {
    let (left, right) = (source[..slash].trim_end(), source[slash + 1..].trim_start());
    let above = &left[left.trim_end_matches(|letter: char| letter.is_ascii_digit() || letter == '-').len()..];
    let below = &right[..right.len() - right.trim_start_matches(|letter: char| letter.is_ascii_digit()).len()];
    if above.trim_start_matches('-').is_empty() || below.is_empty() {
        let hint = "write // before a comment, and a fraction in quotes, such as \"5/2\"";
        return Complaint::new("a slash stands alone", hint).at(slash..slash + 1);
    }
    let place = left.len() - above.len()..source.len() - right.len() + below.len();
    Complaint::new("the quotes round this fraction are missing", format!("write \"{above}/{below}\"")).at(place)
}

/// Settings of the reader before the description.
fn setting(source: &str) -> Complaint {
    let start = source.find('#').unwrap_or(0);
    let end = start + source[start..].find(['\n', '\r']).unwrap_or(source.len() - start);
    let hint = "leave this line out; nothing but comments stands before Gearset(";
    Complaint::new("a description needs no settings of the reader", hint).at(start..end)
}
