//! The forms of an answer: text, Markdown, CSV, JSON, HTML.
//!
//! A [`Document`](document::Document) says what is to be told before it is known how it is shown, and each form lays
//! it out in its own way. Nothing here knows gears.

pub(super) mod csv;
pub(super) mod document;
pub(super) mod escape;
pub(super) mod html;
pub(super) mod json;
pub(super) mod markdown;
pub(super) mod schema;
mod screen;
pub(super) mod text;
