//! A job as it stands in its file: readings as somebody wrote them down, nothing checked yet.

use super::subject::ReadingSubject;
use super::value::{JobValue, OneOrMore, ValueKind};
use crate::gearset::{Draft, Length, Side};
use crate::syntax::{EntryPerLine, Map, Spanned, fields, words};

/// The version that is written; files of it and of every older one are read. Since version 2 what was wanted, with what
/// and how well it was measured stays among what was there earlier; an unbalance has an angle, and packs have an order.
pub const JOB_VERSION: i64 = 2;

fields! {
    /// Everything that a job file says.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct DraftJob: "a job", "Job(version: 2, machine: \"...\", readings: {...}, gearset: Gearset(...))" {
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
        /// What later ones stand in place of, the oldest first.
        pub earlier: Vec<DraftEarlier> as Vec<DraftEarlier> =
            "the list of earlier readings in square brackets", "[(column: Left, values: Millimetres(16.04), on: \"2026-11-28\")]";
    }
}

fields! {
    /// What stood in a column of a reading before something later took its place.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftEarlier: "a bracket with an earlier reading", "(column: Left, values: Millimetres(16.04), on: \"2026-11-28\")" {
        /// Which column it stood in.
        pub column: ReadingColumn = "the column that it stood in", "Left";
        /// What it showed.
        pub values: Vec<Spanned<JobValue>> as OneOrMore = "a value, or several in square brackets", "Millimetres(16.04)";
        /// When it was read; of what nobody reads, until when it stood there.
        pub on: Option<Spanned<String>> = "a date in quotes", "\"2026-11-28\"";
    }
}

/// A column of a reading in which a later value takes the place of an earlier one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ReadingColumn {
    /// As found.
    Found,
    /// As left.
    Left,
    /// What it should show.
    Wanted,
    /// What it was measured with.
    With,
    /// What the readings are good to.
    Within,
}

words! {
    ReadingColumn for ReadingColumn: "a column of readings", "Left" {
        Found() => { ReadingColumn::Found }
        Left() => { ReadingColumn::Left }
        Wanted() => { ReadingColumn::Wanted }
        With() => { ReadingColumn::With }
        Within() => { ReadingColumn::Within }
    }
}

impl ReadingColumn {
    /// Whether somebody reads what stands in it, on a day, rather than telling it.
    pub fn is_read(self) -> bool {
        matches!(self, Self::Found | Self::Left)
    }

    /// The kind of its values where a reading is of this kind.
    pub(super) fn kind(self, of_reading: ValueKind) -> ValueKind {
        match self {
            Self::Found | Self::Left | Self::Wanted => of_reading,
            Self::With => ValueKind::Words,
            Self::Within => ValueKind::Length,
        }
    }
}

impl DraftJob {
    /// The oldest version of the file that can say what this job says.
    pub(super) fn least_version(&self) -> i64 {
        let mut earlier = self.readings.iter().flat_map(|reading| &reading.earlier);
        let has_columns = earlier.any(|earlier| !earlier.column.is_read());
        if has_columns || self.readings.iter().any(DraftJobReading::is_of_version_2) { 2 } else { 1 }
    }
}

impl DraftJobReading {
    /// Whether it is of something, or has an angle, that version 1 of the file could not say.
    fn is_of_version_2(&self) -> bool {
        let earlier = self.earlier.iter().flat_map(|earlier| &earlier.values);
        let mut values = self.wanted.iter().chain(&self.found).chain(&self.left).chain(earlier);
        let is_pack = ReadingSubject::of_path(&self.path).is_some_and(|(subject, _)| subject == ReadingSubject::Pack);
        is_pack || values.any(|value| matches!(**value, JobValue::GramMillimetres(_, Some(_))))
    }

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

    /// What stands in a column.
    pub(super) fn values(&self, column: ReadingColumn) -> Vec<Spanned<JobValue>> {
        match column {
            ReadingColumn::Found => self.found.clone(),
            ReadingColumn::Left => self.left.clone(),
            ReadingColumn::Wanted => self.wanted.clone(),
            ReadingColumn::With => self.with.iter().map(|with| JobValue::Words((**with).clone()).into()).collect(),
            ReadingColumn::Within => {
                self.within.iter().map(|within| JobValue::Length((**within).clone()).into()).collect()
            }
        }
    }

    /// Puts values into a column on a day. What stood there goes among the earlier ones with its own day where it was
    /// read, and with this one where it was told; what is only told again is no change.
    pub(super) fn put(&mut self, column: ReadingColumn, values: Vec<Spanned<JobValue>>, on: Option<&str>) {
        let before = self.values(column);
        if !column.is_read() && before == values {
            return;
        }
        let on = on.map(Spanned::from);
        let day = match column {
            ReadingColumn::Found => std::mem::replace(&mut self.found_on, on),
            ReadingColumn::Left => std::mem::replace(&mut self.left_on, on),
            ReadingColumn::Wanted | ReadingColumn::With | ReadingColumn::Within => on,
        };
        if !before.is_empty() {
            self.earlier.push(DraftEarlier { column, values: before, on: day });
        }
        let first = || values.first().map(|value| (**value).clone());
        match column {
            ReadingColumn::Found => self.found = values,
            ReadingColumn::Left => self.left = values,
            ReadingColumn::Wanted => self.wanted = values,
            ReadingColumn::With => self.with = first().map(|with| with.to_string().into()),
            ReadingColumn::Within => self.within = first().and_then(JobValue::into_length).map(Spanned::from),
        }
    }
}
