//! What is written where in a text, and what shape may it have?
//!
//! One parser makes a tree of values with their places of any RON text and tells what is wrong with its signs. The
//! shape of a text is told once, beside the structure that it becomes: the macros [`fields`], [`entry`], [`words`] and
//! [`tuple`] make of one list of fields the reading, the writing, the words of every message and the reference. This
//! module knows nothing of gears.

mod flaw;
mod form;
mod leaves;
mod line_index;
mod lists;
mod macros;
mod nearest;
mod pasted;
mod reader;
mod reference;
mod shown;
mod slips;
mod spanned;
mod thing;
mod tokens;
mod tree;
mod wording;
mod writer;

pub use flaw::Flaw;
pub(crate) use form::{Maybe, Needed, read, write, write_in_line};
pub(crate) use leaves::leaf;
pub use line_index::{LineAndColumn, LineIndex};
pub(crate) use lists::{EntryPerLine, Map};
pub(crate) use macros::{entry, fields, tuple, words};
pub use nearest::nearest_name;
pub(crate) use reader::{Form, Reader};
pub use reference::Reference;
pub(crate) use reference::references;
pub(crate) use shown::markup;
#[cfg(feature = "report")]
pub(crate) use shown::{is_shown_as_escape, visible};
pub use spanned::Spanned;
pub(crate) use spanned::{LeafOrigin, number_in_order};
pub(crate) use thing::{Alternative, Element, Field, Inside, Root, nothing_else};
pub(crate) use tokens::{first_token, has_comment};
pub(crate) use tree::{Node, NodeKind, parse};
pub(crate) use writer::Writer;
