//! Sentences on what belongs at a place and is not there.
//!
//! Each gives what is wrong and what to write instead, in the words of the shape; nothing here depends on what the text
//! is about.

use std::ops::Range;

use super::flaw::Flaw;
use super::thing::{Alternative, Element, Inside};

/// What a bracket is called, and the one that closes it.
pub(super) fn bracket_of(opening: char) -> (&'static str, char) {
    match opening {
        '(' => ("round bracket", ')'),
        '[' => ("square bracket", ']'),
        _ => ("brace", '}'),
    }
}

/// What stands at a place, as it goes into a sentence.
pub(super) fn found(source: &str, place: Range<usize>) -> String {
    let text = &source[place];
    match stray(text) {
        Some(letter) => {
            let name = match letter {
                '\u{a0}' | '\u{202f}' => ", a no-break space",
                '\u{200b}' | '\u{200c}' | '\u{200d}' | '\u{2060}' | '\u{feff}' => ", which is invisible",
                _ => "",
            };
            format!("the character U+{:04X}{name}", u32::from(letter))
        }
        None if text.is_empty() => "the end of the file".to_owned(),
        None => shortened(text),
    }
}

/// A piece of the source, so much of it as a sentence bears.
pub(super) fn shortened(text: &str) -> String {
    const MOST: usize = 40;
    let line = text.lines().next().unwrap_or_default();
    match line.char_indices().nth(MOST) {
        Some((end, _)) => format!("{}...", &line[..end]),
        None if line.len() < text.len() => format!("{line}..."),
        None => line.to_owned(),
    }
}

/// A character that no text has outside quotes; it may be invisible.
pub(super) fn stray(text: &str) -> Option<char> {
    let letter = text.chars().next()?;
    (text.len() == letter.len_utf8() && !letter.is_ascii_graphic() && !letter.is_alphanumeric()).then_some(letter)
}

/// Several things in a sentence.
pub(super) fn enumerated<T: AsRef<str>>(things: &[T], last: &str) -> String {
    let things: Vec<&str> = things.iter().map(AsRef::as_ref).collect();
    match things.split_last() {
        Some((end, [])) => (*end).to_owned(),
        Some((end, rest)) => format!("{} {last} {end}", rest.join(", ")),
        None => String::new(),
    }
}

/// Entries that are not separated; the wanted thing is one that has fallen apart, being without quotes.
pub(super) fn missing_comma(
    source: &str,
    place: Range<usize>,
    (start, line): (usize, usize),
    wanted: Option<&Element>,
) -> Flaw {
    let (name, closing) = bracket_of(source[start..].chars().next().unwrap_or('('));
    let here = found(source, place);
    let one_entry = match wanted {
        Some(Element { inside: Inside::Nothing, name, example, .. }) => format!("; {name} is written as in {example}"),
        _ => String::new(),
    };
    Flaw::shape(
        format!("a comma is missing before {here}, or the {name} that opens in line {line} is not closed"),
        format!("separate entries by commas and write {closing} after the last{one_entry}"),
    )
}

/// A quote that opens and is not closed, as it is written with the marks of plain text.
pub(super) fn unclosed_quote(opening: &str) -> Flaw {
    let marks = opening.matches('#').count();
    let hint = match marks {
        0 => "put a double quote at the end of the name".to_owned(),
        _ => format!("put \"{} at the end of the name", "#".repeat(marks)),
    };
    Flaw::shape("the quote that opens here is never closed", hint)
}

/// A slash outside quotes: the fraction that it is in, where it is in one.
pub(super) fn slash_or_fraction(source: &str, slash: usize) -> (Range<usize>, Option<String>) {
    let (left, right) = (source[..slash].trim_end(), source[slash + 1..].trim_start());
    let above = &left[left.trim_end_matches(|letter: char| letter.is_ascii_digit() || letter == '-').len()..];
    let below = &right[..right.len() - right.trim_start_matches(|letter: char| letter.is_ascii_digit()).len()];
    if above.trim_start_matches('-').is_empty() || below.is_empty() {
        return (slash..slash + 1, None);
    }
    let place = left.len() - above.len()..source.len() - right.len() + below.len();
    (place, Some(format!("{above}/{below}")))
}

/// One thing belongs where another is found.
pub(super) fn belongs(thing: &Element, source: &str, place: Range<usize>) -> Flaw {
    let text = &source[place.clone()];
    let hint = if stray(text).is_some() { "leave this character out".to_owned() } else { instead_of(thing, text) };
    Flaw::shape(format!("{} belongs here, not {}", thing.name, found(source, place)), hint)
}

/// What to write for a thing, with what is found in it where it can be kept.
fn instead_of(wanted: &Element, found: &str) -> String {
    match wanted.inside {
        Inside::Nothing if wanted.example.starts_with('"') => {
            in_double_quotes(found).unwrap_or_else(|| format!("write {}, such as {}", wanted.name, wanted.example))
        }
        Inside::Nothing => format!("write {}, such as {}", wanted.name, wanted.example),
        Inside::Kinds(kinds) => {
            let words: Vec<&str> = kinds.iter().map(|kind| kind.word).collect();
            unquoted(found, &words).unwrap_or_else(|| format!("write {}", forms(kinds, found)))
        }
        Inside::Fields(_) | Inside::Entries { .. } | Inside::List(_) | Inside::Named(_) => {
            format!("write {}", wanted.example)
        }
    }
}

/// Every form of a thing that has several; with the number found in those that hold one.
pub(super) fn forms(kinds: &[Alternative], found: &str) -> String {
    let is_digit = |letter: char| letter.is_ascii_digit();
    let is_number = found.starts_with(is_digit) && found.parse::<f64>().is_ok();
    let with_number = |kind: &Alternative| {
        let (word, number) = kind.thing.example.split_once('(')?;
        (is_number && number.starts_with(is_digit)).then(|| format!("{word}({found})"))
    };
    let mut forms: Vec<String> = kinds.iter().filter_map(with_number).collect();
    if forms.is_empty() {
        forms = kinds.iter().map(|kind| kind.thing.example.to_owned()).collect();
    }
    enumerated(&forms, "or")
}

/// The hint for a word of the shape that stands in quotes.
pub(super) fn unquoted(found: &str, known: &[&str]) -> Option<String> {
    let bare = found.trim_matches(['"', '\'']);
    known.contains(&bare).then(|| format!("write {bare} without quotes"))
}

/// The hint for a name in single quotes.
pub(super) fn in_double_quotes(found: &str) -> Option<String> {
    let name = found.strip_prefix('\'')?.strip_suffix('\'')?;
    Some(format!("write {name:?}"))
}

/// Fewer entries than are needed.
pub(super) fn too_few(thing: &Element, needed: usize, things: &[Element], found: usize) -> Flaw {
    let missing: Vec<&str> = things[..needed].iter().skip(found).map(|entry| entry.name).collect();
    let verb = if missing.len() == 1 { "is" } else { "are" };
    Flaw::shape(
        format!(
            "{} has {} in its brackets, not {found}: {} {verb} missing",
            thing.name,
            counted(needed, things.len()),
            enumerated(&missing, "and")
        ),
        all_entries(thing, needed, things),
    )
}

/// More entries than are taken.
pub(super) fn too_many(thing: &Element, needed: usize, things: &[Element]) -> Flaw {
    let number = counted(needed, things.len());
    let message = format!("{} has {number} in its brackets, and this is one more", thing.name);
    Flaw::shape(message, all_entries(thing, needed, things))
}

fn counted(needed: usize, most: usize) -> String {
    match (needed, most) {
        (1, 1) => "1 entry".to_owned(),
        _ if needed < most => format!("{needed} or {most} entries"),
        _ => format!("{most} entries"),
    }
}

fn all_entries(thing: &Element, needed: usize, things: &[Element]) -> String {
    let names: Vec<&str> = things[..needed].iter().map(|entry| entry.name).collect();
    format!("write {}, such as {}", enumerated(&names, "and"), thing.example)
}
