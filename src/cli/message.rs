//! Messages: what is wrong, where, and what to write instead; all on standard error.
//!
//! Sentences and hints are the library's. Added here are the line of the file with the
//! place marked, and what the program itself can do to help.

use std::io::Write;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use toothmark::description::{Fault, FaultKind, Flaw, LineIndex};
use toothmark::report::{brief, visible};

use super::trouble::{Refusal, Source, Trouble};

/// The hint for a text that is no description at all.
const EXAMPLES: &str = "toothmark examples prints complete descriptions to start from";

/// The same for a text that is no request.
const REQUEST_BY_ARGUMENTS: &str =
    "without a request, name a description with --gearset, and say what may change with --teeth L=15..30";

/// The same for a text that is no job.
const JOB_BY_COMMAND: &str = "begin a job about a description: toothmark job new mine.ron -o job.ron";

/// So many faults are shown; whoever has mended them sees the next.
const MOST_FAULTS: usize = 50;

/// A line of more bytes than this is shown only round the place.
const LONGEST_LINE: usize = 400;
/// What is shown of it before the place and after the beginning of the place.
const LETTERS_BEFORE: usize = 50;
const LETTERS_AFTER: usize = 60;

/// Shows what keeps a request from being answered.
pub(super) fn show(trouble: &Trouble) {
    let text = match trouble {
        Trouble::Faults { text, faults } => fault_messages(text, faults),
        Trouble::Refused(refusals) => refusals.iter().map(refusal_message).collect::<Vec<_>>().join("\n"),
    };
    // Nothing can be done where standard error itself is closed.
    let _ = anstream::stderr().lock().write_all(text.as_bytes());
}

fn refusal_message(Refusal { sentence, hint, .. }: &Refusal) -> String {
    let title = Level::ERROR.primary_title(shown(sentence));
    let hint = Level::HELP.with_name("hint").message(shown(hint));
    Renderer::styled().render(&[title.element(hint)]) + "\n"
}

/// A sentence made safe to show, without the middle of anything endless in it.
pub(super) fn shown(sentence: &str) -> String {
    visible(&brief(sentence))
}

/// Every fault with its place, as far as one can read them, and how many there are.
fn fault_messages(source: &Source, faults: &[Fault]) -> String {
    let text = String::from_utf8_lossy(&source.bytes);
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let lines = LineIndex::new(text);
    let told = faults.iter().take(MOST_FAULTS);
    let mut messages: Vec<String> = told.map(|fault| fault_message(source, &lines, fault)).collect();
    if faults.len() > 1 {
        let more = faults.len().saturating_sub(MOST_FAULTS);
        let hidden = match more {
            0 => String::new(),
            more => format!(": the first {MOST_FAULTS} are shown, {more} more are not"),
        };
        messages.push(format!("{} problems in {}{hidden}", faults.len(), shown(&source.name)));
    }
    messages.join("\n\n") + "\n"
}

fn fault_message(source: &Source, lines: &LineIndex<'_>, fault: &Fault) -> String {
    let at = fault.start;
    let line = lines.text(at.line);
    let start = (fault.place.start - lines.start(at.line)).min(line.len());
    let end = (fault.place.end - lines.start(at.line)).clamp(start, line.len());
    let title = Level::ERROR.primary_title(shown(&fault.to_string()));
    let hint = Level::HELP.with_name("hint").message(shown(&fault.hint()));
    let path = shown(&source.name);
    let group = if line.len() > LONGEST_LINE {
        // The column that a snippet tells is that of the window.
        let at_place = Level::NOTE.with_name("at").message(format!("{path}:{at}"));
        let (window, marked) = window(line, start..end);
        let snippet = Snippet::source(window).line_start(at.line).annotation(AnnotationKind::Primary.span(marked));
        title.element(snippet).element(at_place)
    } else {
        let snippet = Snippet::source(line.to_owned())
            .line_start(at.line)
            .path(path)
            .annotation(AnnotationKind::Primary.span(start..end));
        title.element(snippet)
    };
    let group = group.element(hint);
    let further = further_hint(&fault.kind).map(|hint| Level::HELP.with_name("hint").message(hint));
    Renderer::styled().render(&[further.into_iter().fold(group, Group::element)])
}

/// What the program itself can do to help with a text that is something else.
fn further_hint(kind: &FaultKind) -> Option<&'static str> {
    let FaultKind::Text(Flaw::Empty { example } | Flaw::NoBeginning { example, .. }) = kind else { return None };
    if kind.to_string().contains("not with the character ") {
        return None;
    }
    Some(match example.split_once('(').map(|(word, _)| word) {
        Some("Gearset") => EXAMPLES,
        Some("Job") => JOB_BY_COMMAND,
        _ => REQUEST_BY_ARGUMENTS,
    })
}

/// What stands round a place in a long line, cut sides marked, and the place in it.
fn window(line: &str, place: Range<usize>) -> (String, Range<usize>) {
    const CUT: &str = "...";
    let before = line[..place.start].char_indices().rev().nth(LETTERS_BEFORE - 1).map_or(0, |(index, _)| index);
    let after = line[place.start..].char_indices().nth(LETTERS_AFTER);
    let after = after.map_or(line.len(), |(index, _)| place.start + index);
    let cut = |is_cut: bool| if is_cut { CUT } else { "" };
    let opening = cut(before > 0);
    let shift = |index: usize| index.min(after) - before + opening.len();
    let window = format!("{opening}{}{}", &line[before..after], cut(after < line.len()));
    (window, shift(place.start)..shift(place.end))
}
