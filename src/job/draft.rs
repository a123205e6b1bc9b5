//! A job as it stands in its file: readings as somebody wrote them down, nothing checked yet.

use super::value::{JobValue, OneOrMore};
use crate::gearset::{Draft, Length, Side};
use crate::syntax::{EntryPerLine, Map, Spanned, fields, words};

/// The version that is written; files of it and of every older one are read.
pub const JOB_VERSION: i64 = 1;

fields! {
    /// Everything that a job file says.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct DraftJob: "a job", "Job(version: 1, machine: \"...\", readings: {...}, gearset: Gearset(...))" {
        /// The version of the file, by which it is read for ever.
        pub version: Spanned<i64> = "the version of the file", "1";
        /// The machine that the unit belongs to.
        pub machine: Option<Spanned<String>> = "the machine in quotes", "\"railcar 12\"";
        /// The unit, with its number.
        pub unit: Option<Spanned<String>> = "the unit in quotes", "\"gearbox 31\"";
        /// When the job was begun.
        pub date: Option<Spanned<String>> = "a date in quotes", "\"2026-11-29\"";
        /// Who does it.
        pub by: Option<Spanned<String>> = "a name in quotes", "\"bench 2\"";
        /// The side from which marks are seen.
        pub seen: Option<Side> = "the side that was looked from", "InputSide";
        /// What was wanted, found and left, by subject and place.
        pub readings: Vec<DraftJobReading> as EntryPerLine<Map<DraftJobReading>> =
            "the list of readings in braces", "{\"bush.pin 2\": (found: Millimetres(16.05), left: Millimetres(16.02))}";
        /// The gearset, a copy of its description.
        pub gearset: Draft as EntryPerLine<Draft> = "the description of the gearset", "Gearset(title: \"...\", members: {...})";
    }
}

fields! {
    /// One reading with all its columns.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftJobReading of {
        /// What it is of, and of what it was taken: `bush.pin 2`.
        pub path
    }: "a bracket with what was read", "(found: Millimetres(16.05), left: Millimetres(16.02))" {
        /// What it should show: one value, or the least and the most.
        pub wanted: Vec<Spanned<JobValue>> as OneOrMore = "a value, or the least and the most in square brackets", "Millimetres(16.02)";
        /// What it showed when the unit was taken apart.
        pub found: Vec<Spanned<JobValue>> as OneOrMore = "a value, or several in square brackets", "Millimetres(16.05)";
        /// When that was read.
        pub found_on: Option<Spanned<String>> = "a date in quotes", "\"2026-11-29\"";
        /// What it shows as the unit is put together.
        pub left: Vec<Spanned<JobValue>> as OneOrMore = "a value, or several in square brackets", "Millimetres(16.02)";
        /// When that was read.
        pub left_on: Option<Spanned<String>> = "a date in quotes", "\"2026-11-29\"";
        /// What it was measured with.
        pub with: Option<Spanned<String>> = "an instrument in quotes", "\"micrometer\"";
        /// What the readings are good to.
        pub within: Option<Spanned<Length>> = "what the readings are good to", "Millimetres(0.01)", "above 0";
        /// Why it is so, or why nothing was read.
        pub because: Option<Spanned<String>> = "a reason in quotes", "\"new bush, reamed in place\"";
        /// Readings that later ones stand in place of, the oldest first.
        pub earlier: Vec<DraftEarlier> as Vec<DraftEarlier> =
            "the list of earlier readings in square brackets", "[(column: Left, values: Millimetres(16.04), on: \"2026-11-28\")]";
    }
}

fields! {
    /// A reading that a later one stands in place of.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftEarlier: "a bracket with an earlier reading", "(column: Left, values: Millimetres(16.04), on: \"2026-11-28\")" {
        /// Which column it stood in.
        pub column: ReadingColumn = "the column that it stood in", "Left";
        /// What it showed.
        pub values: Vec<Spanned<JobValue>> as OneOrMore = "a value, or several in square brackets", "Millimetres(16.04)";
        /// When it was read.
        pub on: Option<Spanned<String>> = "a date in quotes", "\"2026-11-28\"";
    }
}

/// A column of readings that somebody took.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ReadingColumn {
    /// As found.
    Found,
    /// As left.
    Left,
}

words! {
    ReadingColumn for ReadingColumn: "a column of readings", "Left" {
        Found() => { ReadingColumn::Found }
        Left() => { ReadingColumn::Left }
    }
}

impl DraftJobReading {
    /// A reading of which nothing is written yet.
    pub fn new(path: impl Into<Spanned<String>>) -> Self {
        Self {
            path: path.into(),
            wanted: Vec::new(),
            found: Vec::new(),
            found_on: None,
            left: Vec::new(),
            left_on: None,
            with: None,
            within: None,
            because: None,
            earlier: Vec::new(),
        }
    }
}
