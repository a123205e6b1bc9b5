//! Answers in the form that somebody reads: text, Markdown, CSV, JSON.
//!
//! An answer becomes a [`Document`] for people, [`Records`] or JSON for programs; the
//! renderers know nothing of gears. Nothing is printed here.

mod comparison;
mod comparison_data;
mod csv;
mod document;
mod escape;
mod exploration;
mod exploration_data;
mod fixed;
mod found;
mod found_data;
mod found_group;
mod found_group_data;
mod html;
mod json;
mod loads;
mod loads_control;
mod loads_data;
mod loads_losses;
mod markdown;
mod marking;
mod marking_data;
mod marking_returns;
mod matching;
mod matching_data;
mod measured;
mod overview;
mod practice;
mod practice_words;
mod practice_working;
mod ratios;
mod ratios_data;
mod running;
mod running_data;
mod sheet;
mod text;
mod timing;
mod timing_data;
mod timing_refused;
mod words;
mod wrong;
mod wrong_data;

pub use comparison::{Compared, Comparison};
pub use csv::csv;
pub use document::{Block, Document, Fact, Picture, Records, Table};
pub use escape::{markup, visible};
pub use exploration::Explored;
pub use found::Found;
pub use found_group::FoundInGroup;
pub use html::html;
pub use loads::Loads;
pub use markdown::markdown;
pub use marking::Marking;
pub use matching::Matches;
pub use overview::Overview;
pub use practice::{answer_key, question_sheet};
pub use ratios::Ratios;
pub use running::Running;
pub use sheet::Sheet;
pub use text::{Layout, Lines, text};
pub use timing::Timing;
pub use wrong::Wrong;
