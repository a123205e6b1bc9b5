//! The date of a reading: as it is told, or today's where the bench is.

use clap::Args;
use jiff::Zoned;

use crate::cli::trouble::Refusal;

#[derive(Debug, Args)]
pub(super) struct DateArgument {
    /// The date, as 2026-11-29; today where it is left out
    #[arg(long, value_name = "DATE", value_parser = typed_date)]
    date: Option<String>,
}

/// A date as year, month and day.
fn typed_date(text: &str) -> Result<String, Refusal> {
    let read: Result<jiff::civil::Date, _> = text.trim().parse();
    let written = read.map(|date| date.to_string()).ok().filter(|written| *written == text.trim());
    written.ok_or_else(|| Refusal::new(format!("{text:?} is no date"), "write year, month and day: 2026-11-29"))
}

/// The date that is told, or today's.
pub(super) fn date(argument: &DateArgument) -> String {
    argument.date.clone().unwrap_or_else(|| Zoned::now().date().to_string())
}
