//! What can be shown: the one interface between an analysis and the forms of its answer.
//!
//! An analysis finishes its answer: everything that any form tells is worked out in it, identities and exact numbers
//! included. What is left for a form is layout. [`json`](Answer::json) writes the answer as it is, with names in place
//! of identities; a document says it in words; records are its flat table.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::render::document::{Block, Document, Records};
use super::render::json::{json, json_line, value};
use super::render::schema::schema;
use super::words;
use crate::gearset::Gearset;
use crate::inspection::{Remark, RemarkKind, remarks, remarks_but_counts};

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

    /// The answer on one screen: in plain words what to do next and what to beware of, then only the tables that this
    /// rests on.
    fn summary(&self, set: &Gearset) -> Vec<Block>;

    /// What the summary rests on, in full; nothing where the summary is a document that is read as a whole.
    fn details(&self, _: &Gearset) -> Vec<Block> {
        Vec::new()
    }

    /// What the details are, in a few words, where the summary can be acted on without them; `None` where they are shown
    /// in any case.
    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        None
    }

    /// What this much of the answer leaves out, in a few words.
    fn left_out(&self, set: &Gearset, extent: Extent) -> Option<&'static str> {
        self.in_details(set).filter(|_| extent == Extent::Screen)
    }

    /// Whether what is worth a second look in the description bears on this answer.
    fn is_touched_by(&self, remark: RemarkKind) -> bool {
        bears_on_gears(remark)
    }

    /// A flat table for other programs.
    fn records(&self, set: &Gearset) -> Records;

    /// Whether the answer is yes.
    fn outcome(&self) -> Outcome {
        Outcome::Yes
    }

    /// What is worth a second look and bears on the answer, a line each; then the summary; then, where all is asked
    /// for, everything that it rests on.
    fn document(&self, set: &Gearset, extent: Extent) -> Document {
        // What is known of the counts takes trying others, and is asked only where it is told.
        let tells_of_counts = self.is_touched_by(RemarkKind::Miscount);
        let of_all: Vec<Remark> = if tells_of_counts { remarks(set).remarks } else { remarks_but_counts(set) };
        let remarks = of_all.into_iter().filter(|remark| self.is_touched_by(remark.kind));
        let head = remarks.map(|remark| Block::Note(words::remark(set, &remark))).collect();
        let details = if self.left_out(set, extent).is_some() { Vec::new() } else { self.details(set) };
        Document { title: self.title(set), blocks: [head, self.summary(set), details].concat() }
    }

    /// The whole answer as indented JSON with a line break at its end: names in place of identities, every exact
    /// number as its fraction and its decimal.
    fn json(&self, set: &Gearset) -> String {
        json(set, self)
    }

    /// The same as a JSON value, for whoever puts it into another.
    fn json_value(&self, set: &Gearset) -> Value {
        value(set, self)
    }

    /// The JSON Schema that every such answer meets, indented, with a line break at its end.
    fn schema() -> String
    where
        Self: Sized,
    {
        schema::<Self>()
    }
}

/// The answer about one file of several, as JSON on one line with a line break at its end: the name of the file, whether
/// the answer is yes, and the answer.
pub fn json_of_file(file: &str, set: &Gearset, answer: &impl Answer) -> String {
    json_line(&AnswerOfFile { file, outcome: answer.outcome(), answer: answer.json_value(set) })
}

#[derive(Serialize)]
struct AnswerOfFile<'a> {
    file: &'a str,
    outcome: Outcome,
    answer: Value,
}

/// Whether a remark is about how gears are placed and what they mesh with: that bears on whatever is told of them.
pub(in crate::report) fn bears_on_gears(remark: RemarkKind) -> bool {
    matches!(
        remark,
        RemarkKind::NoCenterDistance
            | RemarkKind::UnequalCenterDistance
            | RemarkKind::AnotherPinCircle
            | RemarkKind::BacklashBeyondHalfATooth
            | RemarkKind::LoosePlanets
            | RemarkKind::IdleGear
    )
}

/// How much of an answer is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    /// What fits on a screen: the answer, and what it needs.
    Screen,
    /// Everything that the answer rests on as well.
    Full,
}

/// Whether a sound question has the answer yes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
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
