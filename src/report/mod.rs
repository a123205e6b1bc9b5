//! Answers in the form that somebody reads: text, Markdown, CSV, JSON.
//!
//! An answer becomes a [`Document`] for people, [`Records`] or JSON for programs; the
//! renderers know nothing of gears. Nothing is printed here.

mod csv;
mod document;
mod escape;
mod json;
mod markdown;
mod matching;
mod matching_data;
mod measured;
mod overview;
mod ratios;
mod ratios_data;
mod text;
mod timing;
mod timing_data;
mod timing_refused;
mod words;

pub use csv::csv;
pub use document::{Block, Document, Fact, Records, Table};
pub use escape::visible;
pub use markdown::markdown;
pub use matching::Matches;
pub use overview::Overview;
pub use ratios::Ratios;
pub use text::{Layout, Lines, text};
pub use timing::Timing;
