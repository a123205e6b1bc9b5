//! One reading entered into the text of a job, everything else in it left as it stands.
//!
//! The text is changed at the place of the reading alone, so that order, layout and comments stay. What something new
//! takes the place of goes into `earlier` with its date, be it a reading, what was wanted or how it was measured. What
//! comes out is read again and has to say what was meant, or nothing is changed.

use std::ops::Range;

use super::draft::{DraftJob, DraftJobReading, ReadingColumn};
use super::entry::{CannotEnter, EntryColumn, EntryTarget, JobEntry, SEEN};
use super::pins::pins;
use super::read::{Job, ROOT, read};
use super::subject::ReadingSubject;
use super::value::JobValue;
use crate::description::LARGEST_FILE;
use crate::gearset::{Gear, Gearset, Side};
use crate::syntax::{self, Node, NodeKind, Spanned};

/// The text of a job with readings entered; `on` is the date of them, where it is known.
///
/// # Errors
/// [`CannotEnter`]: the text is as it was then.
///
/// # Examples
/// ```
/// use toothmark::{description, job::{self, JobEntry, ReadingSubject}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let text = job::write(&job::blank(&set));
/// let entries = [JobEntry::typed("bush.pin 2.left=16.05").unwrap(), JobEntry::typed("bush.pin 2.left=16.02").unwrap()];
/// let text = job::enter(&text, &entries, Some("2026-11-29")).unwrap();
/// let job = job::read(&text).unwrap();
/// let bush = job.reading(ReadingSubject::Bush, "pin 2").unwrap();
/// assert_eq!((bush.left[0].to_string(), bush.earlier[0].values[0].to_string()), ("16.02 mm".into(), "16.05 mm".into()));
/// ```
pub fn enter(source: &str, entries: &[JobEntry], on: Option<&str>) -> Result<String, CannotEnter> {
    let mut text = source.to_owned();
    for entry in entries {
        text = entered_into(&text, entry, on)?;
    }
    Ok(text)
}

fn entered_into(source: &str, entry: &JobEntry, on: Option<&str>) -> Result<String, CannotEnter> {
    let job = read(source).map_err(CannotEnter::Faults)?;
    let mut draft = job.draft().clone();
    let (text, path) = match &entry.target {
        EntryTarget::Heading { field, text } => {
            *field.of(&mut draft) = Some(text.as_str().into());
            (with_heading(source, field.word(), &syntax::write_in_line::<String>(text)), field.word())
        }
        EntryTarget::Seen(side) => {
            draft.seen = Some(*side);
            (with_heading(source, SEEN, &syntax::write_in_line::<Side>(side)), SEEN)
        }
        EntryTarget::Reading { path, column } => {
            check_gears(job.gearset(), path, column)?;
            let reading = reading_of(&mut draft, path);
            enter_column(reading, path, column, on)?;
            (with_reading(source, reading)?, path.as_str())
        }
    };
    let text = text.and_then(|text| with_version(text, &mut draft));
    // What was entered may break a rule: that is told in the words of the rule.
    let meant = Job::new(draft).map_err(CannotEnter::Faults)?;
    if text.as_ref().is_some_and(|text| text.len() > LARGEST_FILE) {
        return Err(CannotEnter::TooLarge { path: path.to_owned() });
    }
    let is_meant = text.as_deref().and_then(|text| read(text).ok()).is_some_and(|read| read == meant);
    text.filter(|_| is_meant).ok_or_else(|| CannotEnter::NotAlone { path: path.to_owned() })
}

/// Refuses a mark on a gear that its planet has not: nobody could judge it.
fn check_gears(set: &Gearset, path: &str, column: &EntryColumn) -> Result<(), CannotEnter> {
    let EntryColumn::Values(_, values) = column else { return Ok(()) };
    let pin = ReadingSubject::of_path(path).and_then(|(_, of)| pins(set).into_iter().find(|pin| pin.name == of));
    let Some(pin) = pin else { return Ok(()) };
    let gears = || set.gears().iter().filter(|gear| gear.member() == pin.planet).map(Gear::name);
    let unknown = values.iter().filter_map(JobValue::counted_on).find(|name| gears().all(|gear| gear != *name));
    let known = || gears().map(str::to_owned).collect();
    let refused = |gear: &str| CannotEnter::NoSuchGear { path: path.to_owned(), gear: gear.to_owned(), known: known() };
    unknown.map_or(Ok(()), |gear| Err(refused(gear)))
}

/// The reading of a path, a new one where there is none.
fn reading_of<'a>(draft: &'a mut DraftJob, path: &str) -> &'a mut DraftJobReading {
    let is_it = |own: &str| ReadingSubject::of_path(own) == ReadingSubject::of_path(path);
    let at = draft.readings.iter().position(|reading| is_it(&reading.path)).unwrap_or_else(|| {
        draft.readings.push(DraftJobReading::new(path));
        draft.readings.len() - 1
    });
    &mut draft.readings[at]
}

fn enter_column(
    reading: &mut DraftJobReading,
    path: &str,
    column: &EntryColumn,
    on: Option<&str>,
) -> Result<(), CannotEnter> {
    match column {
        EntryColumn::Values(column, values) => {
            reading.put(*column, values.iter().cloned().map(Spanned::from).collect(), on);
        }
        EntryColumn::LeftAsFound if reading.found.is_empty() => {
            return Err(CannotEnter::NothingFound { path: path.to_owned() });
        }
        EntryColumn::LeftAsFound => reading.put(ReadingColumn::Left, reading.found.clone(), on),
        EntryColumn::Because(text) => {
            // A reason that was given is not lost to the next one.
            let before = reading.because.as_ref().map(|before| format!("{}; ", **before)).unwrap_or_default();
            reading.because = Some(format!("{before}{text}").into());
        }
    }
    Ok(())
}

/// The text with the version that can say what the job says, where that of its file cannot.
fn with_version(source: String, draft: &mut DraftJob) -> Option<String> {
    let least = draft.least_version();
    if *draft.version >= least {
        return Some(source);
    }
    draft.version = least.into();
    let (root, _) = syntax::parse(&source, &ROOT);
    let version = named(&source, items(&root)?, "version")?.place.clone();
    Some(replaced(&source, version, &least.to_string()))
}

/// The text with a field at its head, in place of the one that is there.
fn with_heading(source: &str, word: &str, written: &str) -> Option<String> {
    let (root, _) = syntax::parse(source, &ROOT);
    let items = items(&root)?;
    if let Some(node) = named(source, items, word) {
        return Some(replaced(source, node.place.clone(), written.trim_end()));
    }
    let first = items.first()?.place.end;
    Some(replaced(source, first..first, &format!(",\n    {word}: {}", written.trim_end())))
}

/// The text with a reading, in place of the one that is there.
fn with_reading(source: &str, reading: &DraftJobReading) -> Result<Option<String>, CannotEnter> {
    let (root, _) = syntax::parse(source, &ROOT);
    let written = syntax::write_in_line::<DraftJobReading>(reading);
    let written = written.trim_end();
    let Some(fields) = items(&root) else { return Ok(None) };
    let Some(readings) = named(source, fields, "readings") else {
        let last = fields.last().map(|field| field.place.end);
        let list = format!(",\n    readings: {{\n        {written},\n    }}");
        return Ok(last.map(|last| replaced(source, last..last, &list)));
    };
    let of_list = items(readings).unwrap_or_default();
    let key = |node: &Node| node.key.as_ref().map(|key| key.place.clone());
    let is_it = |node: &&Node| key(node).is_some_and(|place| is_text(&source[place], &reading.path));
    if let Some((node, start)) = of_list.iter().find(is_it).and_then(|node| Some((node, key(node)?.start))) {
        let place = start..node.place.end;
        if syntax::has_comment(&source[place.clone()]) {
            return Err(CannotEnter::CommentInside { path: (*reading.path).clone() });
        }
        return Ok(Some(replaced(source, place, written)));
    }
    Ok(Some(with_last(source, readings, of_list.last(), written)))
}

/// The text with a reading behind the last one of a list; the comments behind that one stay with it.
fn with_last(source: &str, list: &Node, last: Option<&Node>, written: &str) -> String {
    let (start, end) = (last.map_or(list.place.start + 1, |last| last.place.end), list.place.end - 1);
    let behind = &source[start..end];
    let has_comma = behind.get(syntax::first_token(behind)) == Some(",");
    let comma = if last.is_some() && !has_comma { "," } else { "" };
    let kept = behind.trim_end();
    let blank = &behind[kept.len()..];
    let blank = if blank.contains('\n') { blank } else { "\n    " };
    let blank = blank.replace("\r\n", "\n");
    replaced(source, start..end, &format!("{comma}{}\n        {written},{blank}", kept.replace("\r\n", "\n")))
}

fn items(node: &Node) -> Option<&[Node]> {
    match &node.kind {
        NodeKind::Group(group) => Some(&group.items),
        NodeKind::Word | NodeKind::Text | NodeKind::Nothing | NodeKind::Told => None,
    }
}

/// The value of the field of this name.
fn named<'a>(source: &str, items: &'a [Node], name: &str) -> Option<&'a Node> {
    items.iter().find(|item| item.key.as_ref().is_some_and(|key| &source[key.place.clone()] == name))
}

/// Whether a text in quotes is this one.
fn is_text(written: &str, text: &str) -> bool {
    ron::from_str::<String>(written).is_ok_and(|read| read == text)
}

/// The source with a text in place of a part of it; lines end as they do in the source.
fn replaced(source: &str, place: Range<usize>, text: &str) -> String {
    let line_end = if source.contains("\r\n") { "\r\n" } else { "\n" };
    [&source[..place.start], &text.replace('\n', line_end), &source[place.end..]].concat()
}
