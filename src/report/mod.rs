//! Answers in the form that somebody reads: text, Markdown, CSV, JSON.
//!
//! An answer becomes a [`Document`] for people, [`Records`] or JSON for programs; the
//! renderers know nothing of gears. Nothing is printed here.

mod csv;
mod document;
mod escape;
mod html;
mod json;
mod loads;
mod loads_control;
mod loads_data;
mod loads_losses;
mod markdown;
mod overview;
mod ratios;
mod ratios_data;
mod sheet;
mod text;
mod timing;
mod timing_data;
mod timing_refused;
mod words;

pub use csv::csv;
pub use document::{Block, Document, Fact, Picture, Records, Table};
pub use escape::{markup, visible};
pub use html::html;
pub use loads::Loads;
pub use markdown::markdown;
pub use overview::Overview;
pub use ratios::Ratios;
pub use sheet::Sheet;
pub use text::{Layout, Lines, text};
pub use timing::Timing;
