//! What every question has: its options, and a function from what it is about to its answer.

use super::asked_about::AskedAbout;
use super::options::QuestionOptions;
use super::refusal::NoAnswer;
use crate::gearset::Gearset;
use crate::report::Answer;

/// A question of a gearset: its options, and how it is answered.
pub trait Question: QuestionOptions {
    /// The answer.
    type Answer: Answer;

    /// Answers it, with the gearset that the answer is about.
    ///
    /// # Errors
    /// Faults of the description, or why the question is refused.
    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, Self::Answer), NoAnswer>;
}
