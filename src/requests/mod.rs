//! What is asked, from a request to its answer: the one way that commands and other programs go.
//!
//! A question is a structure of its options ([`Question`]), told in one list, and a function from what it is about to the
//! answer of an analysis. A [`QuestionRequest`] names a question, a description and options as JSON; [`answer`] answers it.
//! There are no files here, no streams and no clocks, so that this runs wherever the analyses do.

mod asked_about;
mod bench;
mod check;
mod explore;
mod formula;
mod found;
mod job;
mod keys_once;
mod loads;
pub mod lookups;
mod marks;
mod matches;
mod motion;
mod options;
mod question;
mod ratios;
mod refusal;
mod reply;
mod request;
mod sizes;
mod teeth;
mod timing;
pub mod values;
mod what_if;
mod words;
mod wrong;

use asked_about::titled;
pub use asked_about::{AskedAbout, GearsetOrJob, PinsKnown};
pub use bench::{BalanceOptions, BandsOptions, BushesOptions, ClutchOptions, FloatOptions, NeutralOptions};
pub use check::CheckOptions;
pub use explore::ExploreOptions;
pub use formula::FormulaOptions;
pub use found::FoundOptions;
pub use job::JobOptions;
pub use loads::LoadsOptions;
pub use marks::MarksOptions;
pub use matches::MatchOptions;
pub use motion::MotionOptions;
pub use options::{GivenOptions, OptionKind, OptionWords, QuestionOptions};
pub use question::Question;
pub use ratios::RatiosOptions;
pub use refusal::{NoAnswer, Refusal};
pub use reply::{DescriptionPlace, QuestionReply, ReplyError};
pub use request::{QuestionRequest, request_schema};
pub use teeth::{BacklashOptions, CloseOptions, IdentifyOptions, OrderOptions, ShiftOptions};
pub use timing::TimingOptions;
pub use what_if::{
    ArrangementOptions, SizeArguments, SpeedOf, StateOption, ToothSizeArguments, TurnedOption, WhatIfOptions, pitch,
};
#[cfg(feature = "cli")]
pub use words::words;
pub use words::{WordOption, word};
pub use wrong::WrongOptions;

/// Answers a request.
///
/// # Examples
/// ```
/// use toothmark::requests::QuestionRequest;
/// let request = r#"{"id": 7, "question": "ratios", "description": "millrace-winch", "options": {"state": "ring held"}}"#;
/// let reply = toothmark::answer(&QuestionRequest::read(request).unwrap());
/// assert_eq!(reply.id, Some(7.into()));
/// assert_eq!(reply.answer.unwrap()["states"][0]["ratio"]["fraction"], "7/2");
/// ```
pub fn answer(request: &QuestionRequest) -> QuestionReply {
    let reply = request::reply(request).unwrap_or_else(|reason| QuestionReply::refused(None, reason));
    QuestionReply { id: request.id.clone(), ..reply }
}
