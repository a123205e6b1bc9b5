//! Everything that is wrong with a description, as one error.
//!
//! [`Faults`] is the error of [`read`](super::read()). It shows every fault with its line
//! and column, its sentence and its hint, and can be gone through one by one.

use std::error::Error;
use std::fmt::{self, Debug, Display, Formatter};
use std::ops::Deref;

use super::fault::Fault;
use crate::gearset::Problems;
use crate::syntax::LineAndColumn;

/// Everything that is wrong with a description, at least one fault, in the order of the source.
///
/// `Debug` shows the same as `Display`, for `unwrap` and for a `main` that returns it.
/// Control characters of the source are shown as U+FFFD.
///
/// # Examples
/// ```
/// use toothmark::description;
/// let faults = description::read("Gearset(\n    title: winch,\n    members: {},\n    input: \"sun\",\n)").unwrap_err();
/// assert_eq!(faults.to_string(), "\
/// 2:12: a name in quotes belongs here, not winch
///   hint: write \"winch\"
/// 4:12: there is no member \"sun\"
///   hint: add \"sun\": [] to members, with its gears where it has any; no member has a name like it");
/// ```
#[derive(Clone, PartialEq, Eq)]
pub struct Faults(Vec<Fault>);

impl Faults {
    /// The faults of a source, sorted, each with its line and column.
    pub(crate) fn of(source: &str, mut faults: Vec<Fault>) -> Self {
        faults.sort_by_key(|fault| (fault.place.start, fault.place.end));
        let (mut passed, mut at) = (0, LineAndColumn::BEGINNING);
        for fault in &mut faults {
            at = at.after(source.get(passed..fault.place.start).unwrap_or_default());
            (passed, fault.start) = (fault.place.start, at);
        }
        Self(faults)
    }

    /// The rules that a draft breaks which was read from this source; one that no place is known of stands at its beginning.
    pub fn of_problems(source: &str, problems: Problems) -> Self {
        Self::of(source, problems.into_iter().map(Fault::of_problem).collect())
    }

    /// The faults as a slice.
    pub fn as_slice(&self) -> &[Fault] {
        &self.0
    }
}

impl Deref for Faults {
    type Target = [Fault];

    fn deref(&self) -> &[Fault] {
        self.as_slice()
    }
}

impl IntoIterator for Faults {
    type Item = Fault;
    type IntoIter = std::vec::IntoIter<Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a> IntoIterator for &'a Faults {
    type Item = &'a Fault;
    type IntoIter = std::slice::Iter<'a, Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl Display for Faults {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        let shown = |sentence: &str| sentence.replace(char::is_control, "\u{fffd}");
        for (index, fault) in self.iter().enumerate() {
            let line_break = if index > 0 { "\n" } else { "" };
            let (sentence, hint) = (shown(&fault.to_string()), shown(&fault.hint()));
            write!(formatter, "{line_break}{}: {sentence}\n  hint: {hint}", fault.start)?;
        }
        Ok(())
    }
}

impl Debug for Faults {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        Display::fmt(self, formatter)
    }
}

impl Error for Faults {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::description::{FaultKind, Flaw, LineIndex};

    #[test]
    fn lines_and_columns_are_those_that_the_index_of_lines_gives() {
        let source = "é\r\n\nab\u{1f600}c\n";
        let ends: Vec<usize> = source.char_indices().map(|(index, _)| index).chain([source.len()]).collect();
        let faults =
            ends.iter().rev().map(|&end| Fault::new(end..end, FaultKind::Text(Flaw::Empty { example: "" }))).collect();
        let index = LineIndex::new(source);
        for (fault, end) in Faults::of(source, faults).iter().zip(ends) {
            assert_eq!((fault.place.start, fault.start), (end, index.place(end)), "{source:?}");
        }
    }

    #[test]
    fn nothing_from_a_source_moves_the_cursor() {
        let found = "\u{1b}[2J".to_owned();
        let faults = Faults::of("\u{1b}[2J", vec![Fault::new(0..4, FaultKind::Text(Flaw::NotANumber { found }))]);
        assert!(faults.to_string().starts_with("1:1: a number belongs here, not \u{fffd}[2J\n"), "{faults}");
    }
}
