//! What is wrong with a request, in sentences, with the place and the field that say it.

use std::ops::Range;

use num_traits::Signed;

use super::fault::TeethFault;
use crate::exact::Fraction;
use crate::gearset::{Spanned, nearest_name};

/// What is wrong with a request, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{sentence}")]
pub struct RequestProblem {
    /// The bytes of the text that the request was read from; `None` for one that was built in code.
    pub place: Option<Range<usize>>,
    /// The field of the request; `None` where it is of no single one.
    pub field: Option<&'static str>,
    /// What is wrong.
    pub sentence: String,
    /// What to write instead.
    pub hint: String,
}

impl RequestProblem {
    pub(super) fn new(place: Option<Range<usize>>, sentence: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { place, field: None, sentence: sentence.into(), hint: hint.into() }
    }

    pub(super) fn of(fault: &TeethFault, place: Option<Range<usize>>) -> Self {
        Self::new(place, fault.to_string(), fault.hint())
    }
}

/// The place of a name; where it stands twice it is the second that is one too many.
pub(super) fn last_of<'a>(
    mut names: impl DoubleEndedIterator<Item = &'a Spanned<String>>,
    name: &str,
) -> Option<Range<usize>> {
    names.rfind(|known| known.as_str() == name).and_then(Spanned::place)
}

pub(super) fn twice<'a>(kind: &str, names: impl Iterator<Item = &'a Spanned<String>>) -> Vec<RequestProblem> {
    let names: Vec<&Spanned<String>> = names.collect();
    let again = names.iter().enumerate().filter(|(at, name)| names[..*at].contains(name)).map(|(_, name)| name);
    let sentence = |name: &str| format!("{kind} {name:?} is named twice");
    again.map(|name| RequestProblem::new(name.place(), sentence(name), "leave one of the two out")).collect()
}

/// A number is not to be below 0.
pub(super) fn not_negative(
    value: &Fraction,
    place: Option<Range<usize>>,
    what: &str,
    problems: &mut Vec<RequestProblem>,
) {
    if value.is_negative() {
        let sentence = format!("{value} is below 0, which is not {what}");
        problems.push(RequestProblem::new(place, sentence, "write 0 or a number above it"));
    }
}

/// A name that nothing of a kind has.
pub(super) fn unknown<'a>(
    what: &str,
    name: &Spanned<String>,
    known: impl Iterator<Item = &'a str> + Clone,
) -> RequestProblem {
    let hint = match nearest_name(known.clone(), name) {
        Some(nearest) => format!("did you mean {nearest:?}?"),
        None => format!("there is {}", known.map(|name| format!("{name:?}")).collect::<Vec<_>>().join(", ")),
    };
    RequestProblem::new(name.place(), format!("there is no {what} {:?}", name.as_str()), hint)
}
