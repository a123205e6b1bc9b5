//! The names that a shell completes with: those of the description that the line names, as far as it can be read.
//!
//! A line that is still being typed names a file, a built-in gearset or the gears on a pin, or none, which is the railcar.

use std::path::PathBuf;

use clap_complete::CompletionCandidate;
use clap_complete::engine::{ArgValueCandidates, ArgValueCompleter, PathCompleter, ValueCompleter as _};
use toothmark::description::{self, examples};
use toothmark::gearset::{Draft, Gearset, Member};
use toothmark::quick::{StackNames, is_stack, stack};

use super::input::source;

/// Descriptions: files, and the built-in gearsets.
pub(super) fn descriptions() -> ArgValueCompleter {
    ArgValueCompleter::new(|typed: &std::ffi::OsStr| {
        let typed_text = typed.to_string_lossy();
        let built_in = examples().iter().filter(|example| example.name.starts_with(&*typed_text));
        let built_in = built_in.map(|example| CompletionCandidate::new(example.name));
        PathCompleter::file().complete(typed).into_iter().chain(built_in).collect()
    })
}

/// The states of the description.
pub(super) fn states() -> ArgValueCandidates {
    of_gearset(|set| set.states().iter().map(|state| state.name.clone()).collect())
}

/// Its members on the main axis, without the case.
pub(super) fn members() -> ArgValueCandidates {
    of_gearset(|set| {
        let turning = set.member_ids().skip(1).filter(|&member| set.is_on_main_axis(member));
        turning.map(|member| set.member(member).name().to_owned()).collect()
    })
}

/// Its gears.
pub(super) fn gears() -> ArgValueCandidates {
    of_gearset(|set| set.gears().iter().map(|gear| gear.name().to_owned()).collect())
}

/// Its planets.
pub(super) fn planets() -> ArgValueCandidates {
    of_gearset(|set| {
        let has_pins = |member: &&Member| matches!(member.place(), toothmark::gearset::Place::Pin { .. });
        set.members().iter().filter(has_pins).map(|member| member.name().to_owned()).collect()
    })
}

fn of_gearset(names: fn(&Gearset) -> Vec<String>) -> ArgValueCandidates {
    ArgValueCandidates::new(move || {
        let set = draft(&words()).and_then(|draft| Gearset::new(draft).ok());
        set.map(|set| names(&set)).unwrap_or_default().into_iter().map(CompletionCandidate::new).collect()
    })
}

/// The words of the line that is completed, which the shell hands over behind two hyphens.
fn words() -> Vec<String> {
    let words = std::env::args_os().skip_while(|word| word != "--").skip(2);
    words.map(|word| word.to_string_lossy().into_owned()).collect()
}

/// What the words name.
fn draft(words: &[String]) -> Option<Draft> {
    let gears: Vec<&str> = words.iter().map(String::as_str).filter(|word| is_stack(word)).collect();
    if !gears.is_empty() {
        return stack(&gears.join(" "), StackNames::ByCount).ok();
    }
    // The command itself and values of options are no files, most often; what can be read is the description.
    let named = words.iter().skip(1).filter(|word| !word.starts_with('-')).map(PathBuf::from);
    let read = |path: Option<PathBuf>| {
        let text = source(path.as_deref()).ok()?;
        description::text_of(&text.bytes).and_then(description::read_draft).ok()
    };
    named.map(Some).find_map(read).or_else(|| read(None))
}
