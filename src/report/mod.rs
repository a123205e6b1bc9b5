//! Answers in the form that somebody reads: text, Markdown, CSV, JSON.
//!
//! An answer becomes a [`Document`] for people, [`Records`] or JSON for programs; the
//! renderers know nothing of gears. Nothing is printed here.

mod answer;
mod backlash;
mod balance;
mod bands;
mod bushes;
mod closing;
mod clutch;
mod comparison;
mod exploration;
mod float;
mod formulas;
mod found;
mod identification;
mod inspection;
mod job;
mod lesson;
mod loads;
mod manual;
mod marking;
mod matching;
mod neutral;
mod order;
mod practice;
mod ratios;
mod render;
mod running;
mod search;
mod sheet;
mod timing;
mod words;
mod wrong;

pub use answer::{Answer, Extent, Outcome, json_of_file};
pub use formulas::notation::Notation;
pub use formulas::written::{
    FormulaTerm, TermPower, WrittenCase, WrittenFormula, WrittenFormulas, WrittenMember, WrittenSpeed, WrittenState,
    write_formulas,
};
pub use lesson::{Explained, StateChoice};
pub use manual::{chapter_document, manual_contents};
pub use order::order_sheets;
pub use practice::{answer_key, question_sheet};
pub use render::csv::csv;
pub use render::document::{Block, CaptionedPicture, Document, Fact, Records, Table};
pub use render::escape::{brief, csv_name, markup, visible};
pub use render::html::{html, html_fragment};
pub(crate) use render::json::json_line;
pub use render::markdown::markdown;
pub(crate) use render::schema::schema;
pub use render::text::{LineStyle, TextLayout, text};
pub use search::{account_line, how_many_serve, memory_reached, result_line, result_records};
pub use sheet::JobSheet;
