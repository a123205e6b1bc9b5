//! Messages: what is wrong, where, and what to write instead; all on standard error.

use std::io::Write;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use toothmark::description::{DEFAULT_EXAMPLE, Fault, LineIndex};
use toothmark::report::visible;

use super::input::{Source, Trouble};

/// A line longer than this is shown only round the place.
const LONGEST_LINE: usize = 400;

/// Shows what keeps a request from being answered.
pub(super) fn show(trouble: &Trouble) {
    let text = if let Trouble::Faults { text, faults } = trouble {
        fault_messages(text, faults)
    } else {
        let title = Level::ERROR.primary_title(shown(&trouble.to_string()));
        let hint = Level::HELP.with_name("hint").message(shown(&hint(trouble)));
        Renderer::styled().render(&[title.element(hint)]) + "\n"
    };
    // Nothing can be done where standard error itself is closed.
    let _ = anstream::stderr().lock().write_all(text.as_bytes());
}

fn hint(trouble: &Trouble) -> String {
    match trouble {
        Trouble::CannotRead { .. } | Trouble::IsFolder { .. } => {
            "name a file, - for standard input, or nothing for the built-in gearset".into()
        }
        Trouble::NoSuchState { known, .. } if known.is_empty() => "the description has no states".into(),
        Trouble::NoSuchState { known, .. } => format!("the states are {}", known.join(", ")),
        Trouble::NoSuchExample { nearest: Some(nearest), .. } => format!("the nearest name is {nearest:?}"),
        Trouble::NoSuchExample { .. } => format!("toothmark examples lists them; the default is {DEFAULT_EXAMPLE:?}"),
        Trouble::NotASpeed { .. } => "write a number such as 1500, 62.5 or 400/3".into(),
        Trouble::CannotWrite(_) => "look at the disk or the program that reads the answer".into(),
        Trouble::Faults { .. } => "mend the faults".into(),
    }
}

/// A sentence made safe to show, without the middle of anything endless in it.
fn shown(sentence: &str) -> String {
    const MOST: usize = 300;
    let letters = sentence.chars().count();
    if letters <= MOST {
        return visible(sentence);
    }
    let part = |skip: usize, take: usize| visible(&sentence.chars().skip(skip).take(take).collect::<String>());
    format!("{} ... {}", part(0, MOST / 2), part(letters - MOST / 2, MOST / 2))
}

/// Every fault with its place, and how many there are.
fn fault_messages(source: &Source, faults: &[Fault]) -> String {
    let text = String::from_utf8_lossy(&source.bytes);
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let lines = LineIndex::new(text);
    let mut messages: Vec<String> = faults.iter().map(|fault| fault_message(source, &lines, fault)).collect();
    if faults.len() > 1 {
        messages.push(format!("{} problems in {}", faults.len(), visible(&source.name)));
    }
    messages.join("\n\n") + "\n"
}

fn fault_message(source: &Source, lines: &LineIndex<'_>, fault: &Fault) -> String {
    let place = lines.place(fault.place.start);
    let line = lines.text(place.line);
    let start = fault.place.start - lines.start(place.line);
    let end = (fault.place.end - lines.start(place.line)).clamp(start, line.len());
    let title = Level::ERROR.primary_title(shown(&fault.to_string()));
    let hint = Level::HELP.with_name("hint").message(shown(&fault.hint()));
    let path = visible(&source.name);
    let group = if line.len() > LONGEST_LINE {
        // Only the place itself: a line without end helps nobody.
        let place = format!("{path}:{}:{}", place.line, place.column);
        title.element(Level::NOTE.with_name("at").message(place)).element(hint)
    } else {
        let snippet = Snippet::source(line.to_owned())
            .line_start(place.line)
            .path(path)
            .annotation(AnnotationKind::Primary.span(start..end));
        title.element(snippet).element(hint)
    };
    Renderer::styled().render(&[group])
}
