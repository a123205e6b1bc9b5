//! Sentences on what belongs at a place and is not there, made from its surroundings.
//!
//! Each gives what is wrong and what to write instead; nothing here depends on the file
//! format's own reader.

use std::ops::Range;

use super::fault::FaultKind;
use super::grammar::{Inside, Thing};
use super::surroundings::Surroundings;
use super::tokens::TokenKind;

/// What is wrong and what to write instead, with the place if it is not the token found.
#[derive(Debug)]
pub(super) struct Complaint {
    pub(super) kind: FaultKind,
    pub(super) place: Option<Range<usize>>,
}

impl Complaint {
    pub(super) fn new(message: impl Into<String>, hint: impl Into<String>) -> Self {
        FaultKind::Shape { message: message.into(), hint: hint.into() }.into()
    }

    pub(super) fn at(self, place: Range<usize>) -> Self {
        Self { place: Some(place), ..self }
    }
}

impl From<FaultKind> for Complaint {
    fn from(kind: FaultKind) -> Self {
        Self { kind, place: None }
    }
}

/// One thing belongs where another is found.
pub(super) fn belongs(around: &Surroundings<'_>) -> Complaint {
    let found = found(around);
    let wrong = misplaced(around, &found);
    if stray(around).is_some() { Complaint::new(wrong.kind.to_string(), "leave this character out") } else { wrong }
}

fn misplaced(around: &Surroundings<'_>, found: &str) -> Complaint {
    if let Some(kind) = around.kind_before() {
        let message = format!("{} is followed by {found} instead of its round brackets", kind.word());
        return Complaint::new(message, format!("write {}", kind.write));
    }
    if around.bracket().is_none() {
        return FaultKind::NoBeginning { found: found.to_owned() }.into();
    }
    match (around.within(), around.wanted()) {
        (Some(Thing { inside: Inside::Fields(fields), name, .. }), _) if around.wants_key() => {
            let known: Vec<&str> = fields.iter().map(|&(field, _)| field).collect();
            let hint = unquoted(around.found_text(), &known)
                .unwrap_or_else(|| format!("the fields of {name} are {}", enumerated(&known, "and")));
            Complaint::new(format!("the name of a field belongs here, not {found}"), hint)
        }
        (Some(outer), _) if around.wants_key() => {
            let hint = in_double_quotes(around.found_text())
                .unwrap_or_else(|| format!("write {}, such as {}", outer.name, outer.write));
            Complaint::new(format!("a name in quotes belongs here, not {found}"), hint)
        }
        (_, Some(wanted)) => Complaint::new(
            format!("{} belongs here, not {found}", wanted.name),
            instead_of(wanted, around.found_text()),
        ),
        // Nothing belongs in a bracket that should not have been opened.
        _ => separation(around),
    }
}

/// What to write for a thing, with what is found in it where it can be kept.
fn instead_of(wanted: &Thing, found: &str) -> String {
    match wanted.inside {
        Inside::Nothing if wanted.write.starts_with('"') => {
            in_double_quotes(found).unwrap_or_else(|| format!("write {}, such as {}", wanted.name, wanted.write))
        }
        Inside::Nothing => format!("write {}, such as {}", wanted.name, wanted.write),
        Inside::Kinds(kinds) => {
            let words: Vec<&str> = kinds.iter().map(|&(word, _)| word).collect();
            unquoted(found, &words).unwrap_or_else(|| format!("write {}", forms(wanted, found)))
        }
        Inside::Fields(_) | Inside::Entries { .. } | Inside::List(_) | Inside::Named(_) => {
            format!("write {}", wanted.write)
        }
    }
}

/// Every form of a thing that has several; with the number found in those that hold one.
pub(super) fn forms(wanted: &Thing, found: &str) -> String {
    let Inside::Kinds(kinds) = wanted.inside else { return wanted.write.to_owned() };
    let is_digit = |letter: char| letter.is_ascii_digit();
    let is_number = found.starts_with(is_digit) && found.parse::<f64>().is_ok();
    let with_number = |write: &str| {
        let (word, number) = write.split_once('(')?;
        (is_number && number.starts_with(is_digit)).then(|| format!("{word}({found})"))
    };
    let mut forms: Vec<String> = kinds.iter().filter_map(|(_, kind)| with_number(kind.write)).collect();
    if forms.is_empty() {
        forms = kinds.iter().map(|(_, kind)| kind.write.to_owned()).collect();
    }
    enumerated(&forms, "or")
}

/// The hint for a word of the grammar that stands in quotes.
fn unquoted(found: &str, known: &[&str]) -> Option<String> {
    let bare = found.trim_matches(['"', '\'']);
    known.contains(&bare).then(|| format!("write {bare} without quotes"))
}

/// The hint for a name in single quotes.
fn in_double_quotes(found: &str) -> Option<String> {
    let name = found.strip_prefix('\'')?.strip_suffix('\'')?;
    Some(format!("write {name:?}"))
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

/// Entries that are not separated, brackets that are not closed, or one entry too many.
pub(super) fn separation(around: &Surroundings<'_>) -> Complaint {
    let is_surplus = around.before_text() == "," && !matches!(around.found_text(), "" | ")" | "]" | "}");
    if is_surplus
        && let Some(thing) = around.within()
        && let Inside::Entries { things, needed } = thing.inside
    {
        let message =
            format!("{} has {} in its brackets, and this is one more", thing.name, counted(needed, things.len()));
        return Complaint::new(message, all_entries(thing));
    }
    let Some((opening, closing)) = around.bracket() else { return belongs(around) };
    let bracket = match closing {
        ')' => "round bracket",
        ']' => "square bracket",
        _ => "brace",
    };
    let opened = format!("the {bracket} that opens in line {}", around.line_of(opening));
    match around.found_text() {
        "" => Complaint::new(format!("{opened} is never closed"), format!("write {closing} where it ends")),
        found @ (")" | "]" | "}") => Complaint::new(
            format!("{opened} is not closed before this {found}"),
            format!("write {closing} where it ends, or leave this {found} out"),
        ),
        "," => Complaint::new(
            format!("nothing stands between this comma and {opened}"),
            "leave the comma out, or write what belongs before it",
        ),
        _ => {
            let commas = format!("separate entries by commas and write {closing} after the last{}", one_entry(around));
            Complaint::new(
                format!("a comma is missing before {}, or {opened} is not closed", found(around)),
                missing_quote(around).unwrap_or(commas),
            )
        }
    }
}

/// What to do where one entry has fallen apart, being without quotes.
fn one_entry(around: &Surroundings<'_>) -> String {
    match around.wanted() {
        Some(Thing { inside: Inside::Nothing, name, write }) if around.begun_without_quotes() => {
            format!("; {name} is written as in {write}")
        }
        _ => String::new(),
    }
}

/// Fewer entries than are needed.
pub(super) fn wrong_length(around: &Surroundings<'_>, found: usize) -> Complaint {
    let Some(thing) = around.within() else { return belongs(around) };
    let Inside::Entries { things, needed } = thing.inside else { return belongs(around) };
    let missing: Vec<&str> = things[..needed].iter().skip(found).map(|entry| entry.name).collect();
    let verb = if missing.len() == 1 { "is" } else { "are" };
    let message = format!(
        "{} has {} in its brackets, not {found}: {} {verb} missing",
        thing.name,
        counted(needed, things.len()),
        enumerated(&missing, "and")
    );
    Complaint::new(message, all_entries(thing))
}

fn counted(needed: usize, most: usize) -> String {
    match (needed, most) {
        (1, 1) => "1 entry".to_owned(),
        _ if needed < most => format!("{needed} or {most} entries"),
        _ => format!("{most} entries"),
    }
}

fn all_entries(thing: &Thing) -> String {
    let Inside::Entries { things, needed } = thing.inside else { return format!("write {}", thing.write) };
    let names: Vec<&str> = things[..needed].iter().map(|entry| entry.name).collect();
    format!("write {}, such as {}", enumerated(&names, "and"), thing.write)
}

/// A name that is not followed by a colon.
pub(super) fn colon(around: &Surroundings<'_>) -> Complaint {
    let key = around.entry_so_far().unwrap_or("...");
    let example = match around.within().map(|thing| &thing.inside) {
        Some(Inside::Named(thing)) => thing.write,
        Some(Inside::Fields(_)) => around.field(key).map_or("...", |thing| thing.write),
        _ => "...",
    };
    let key = shortened(key);
    let hint = missing_quote(around).unwrap_or_else(|| format!("write {key}: {example}"));
    Complaint::new(format!("a colon belongs between {key} and {}", found(around)), hint)
}

/// The hint where names and what stands between them seem to have changed places: quoted
/// text that a word touches, or that goes over lines.
fn missing_quote(around: &Surroundings<'_>) -> Option<String> {
    let (before, found) = (around.before.as_ref()?, around.found.as_ref()?);
    let over_lines = [around.before_text(), around.found_text()].iter().any(|text| text.contains('\n'));
    let touches = before.kind == TokenKind::Text
        && matches!(found.kind, TokenKind::Word | TokenKind::Unclosed)
        && before.place.end == found.place.start;
    (over_lines || touches).then(|| "look for a double quote that is missing before this place".to_owned())
}

/// What stands at the place, as it goes into a sentence.
fn found(around: &Surroundings<'_>) -> String {
    match (around.found_text(), stray(around)) {
        ("", _) => "the end of the file".to_owned(),
        (_, Some(letter)) => format!("the character U+{:04X}", u32::from(letter)),
        (text, None) => shortened(text),
    }
}

/// A piece of the source, so much of it as a sentence bears.
fn shortened(text: &str) -> String {
    const MOST: usize = 40;
    let line = text.lines().next().unwrap_or_default();
    match line.char_indices().nth(MOST) {
        Some((end, _)) => format!("{}...", &line[..end]),
        None if line.len() < text.len() => format!("{line}..."),
        None => line.to_owned(),
    }
}

/// A character that no description has outside quotes; it may be invisible.
fn stray(around: &Surroundings<'_>) -> Option<char> {
    let found = around.found.as_ref()?;
    let letter = around.found_text().chars().next()?;
    (found.kind == TokenKind::Mark && !letter.is_ascii_graphic()).then_some(letter)
}
