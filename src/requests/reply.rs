//! What is said to a request: the answer, or everything that keeps it from being answered.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::refusal::{NoAnswer, Refusal};
use crate::description::{Fault, Faults};
use crate::report::{Outcome, brief, json_line, schema};

/// What is said to a request: an answer with its outcome, or errors.
#[derive(Debug, Clone, PartialEq, Default, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct QuestionReply {
    /// What the request was called by whoever asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<Value>,
    /// The line that the request stands in, counted from 1, where there are errors.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<u64>,
    /// Whether the answer is yes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outcome: Option<Outcome>,
    /// The answer: what the command of this name prints as JSON.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answer: Option<Value>,
    /// What is to be noted beside the answer.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// What keeps the request from being answered.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub errors: Vec<ReplyError>,
}

/// Something that keeps a request from being answered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct ReplyError {
    /// What is wrong.
    pub message: String,
    /// What to write instead, options as they are typed.
    pub hint: String,
    /// Where it stands in the description; `null` where it is none of it.
    pub place: Option<DescriptionPlace>,
}

/// A place in the text of a description.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct DescriptionPlace {
    /// The line, counted from 1.
    pub line: usize,
    /// The column, counted from 1 in characters.
    pub column: usize,
}

/// So many faults of a description are told, as on a terminal.
const MOST_FAULTS: usize = 50;

impl QuestionReply {
    /// What keeps a request from being answered.
    pub fn refused(id: Option<Value>, reason: impl Into<NoAnswer>) -> Self {
        let errors = match reason.into() {
            NoAnswer::Refused(refusals) => refusals.into_iter().map(ReplyError::from).collect(),
            NoAnswer::Faults(faults) => errors(&faults),
        };
        Self { id, errors, ..Self::default() }
    }

    /// The JSON Schema that every reply meets, indented, with a line break at its end.
    pub fn schema() -> String {
        schema::<Self>()
    }

    /// The reply as JSON on one line, with a line break at its end.
    pub fn json_line(&self) -> String {
        json_line(self)
    }
}

impl From<Refusal> for ReplyError {
    fn from(Refusal { sentence, hint }: Refusal) -> Self {
        Self { message: brief(&sentence).into_owned(), hint: brief(&hint).into_owned(), place: None }
    }
}

fn errors(faults: &Faults) -> Vec<ReplyError> {
    let more = faults.len().saturating_sub(MOST_FAULTS);
    let told = (more > 0).then(|| Refusal::new(format!("{more} more problems are not told"), "mend these first"));
    faults.iter().take(MOST_FAULTS).map(of_fault).chain(told.map(ReplyError::from)).collect()
}

fn of_fault(fault: &Fault) -> ReplyError {
    let place = DescriptionPlace { line: fault.start.line, column: fault.start.column };
    ReplyError { place: Some(place), ..Refusal::new(fault, fault.hint()).into() }
}
