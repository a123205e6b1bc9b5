//! What can be shown: the one interface between an analysis and the forms of its answer.
//!
//! An analysis finishes its answer: everything that any form tells is worked out in it, identities and exact numbers
//! included. What is left for a form is layout. [`json`](Answer::json) writes the answer as it is, with names in place
//! of identities; a document says it in words; records are its flat table.

use schemars::JsonSchema;
use serde::Serialize;

use super::render::document::{Block, Document, Records};
use super::render::json::json;
use super::render::schema::schema;
use crate::gearset::Gearset;

/// The answer of an analysis, as it can be shown in every form.
///
/// # Examples
/// ```
/// use toothmark::description;
/// use toothmark::kinematics::{RatiosQuestion, ratios};
/// use toothmark::report::{Answer, Outcome};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let answer = ratios(&set, &RatiosQuestion::default());
/// assert_eq!(answer.outcome(), Outcome::Yes);
/// assert!(answer.json(&set).contains(r#""fraction": "7/2""#));
/// assert_eq!(answer.records(&set).fields[..2], ["state", "verdict"]);
/// ```
pub trait Answer: Serialize + JsonSchema {
    /// What the document is headed with.
    fn title(&self, set: &Gearset) -> String {
        set.title().to_owned()
    }

    /// The verdict, what to do next, and what to beware of.
    fn summary(&self, set: &Gearset) -> Vec<Block>;

    /// What the summary rests on, in full.
    fn details(&self, set: &Gearset) -> Vec<Block>;

    /// A flat table for other programs.
    fn records(&self, set: &Gearset) -> Records;

    /// Whether the answer is yes.
    fn outcome(&self) -> Outcome {
        Outcome::Yes
    }

    /// The summary, then everything that it rests on.
    fn document(&self, set: &Gearset) -> Document {
        Document { title: self.title(set), blocks: [self.summary(set), self.details(set)].concat() }
    }

    /// The whole answer as indented JSON with a line break at its end: names in place of identities, every exact
    /// number as its fraction and its decimal.
    fn json(&self, set: &Gearset) -> String {
        json(set, self)
    }

    /// The JSON Schema that every such answer meets, indented, with a line break at its end.
    fn schema() -> String
    where
        Self: Sized,
    {
        schema::<Self>()
    }
}

/// Whether a sound question has the answer yes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Yes, or there was nothing to say no to.
    Yes,
    /// No: the planets do not assemble, nothing serves, the marks are out.
    No,
}

/// Yes where it is so.
impl From<bool> for Outcome {
    fn from(so: bool) -> Self {
        if so { Self::Yes } else { Self::No }
    }
}
