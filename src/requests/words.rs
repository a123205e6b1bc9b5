//! Options whose value is one of a few words.

use super::refusal::Refusal;

/// What is said with one of a few words.
pub trait WordOption: Copy + PartialEq + Send + Sync + 'static {
    /// What is chosen, in a word or two: `notation`.
    const THING: &'static str;
    /// Every word, what it stands for and what it says.
    const WORDS: &'static [(&'static str, Self, &'static str)];
}

/// What a word stands for.
///
/// # Errors
/// A word that is none of them, with the nearest that is.
pub fn word<T: WordOption>(text: &str) -> Result<T, Refusal> {
    let found = T::WORDS.iter().find(|(word, ..)| *word == text).map(|(_, value, _)| *value);
    let known = || T::WORDS.iter().map(|(word, ..)| *word).collect::<Vec<_>>();
    found.ok_or_else(|| Refusal::unknown(T::THING, text, &known()))
}

/// The same as an argument, whose words the help and shells list.
#[cfg(feature = "cli")]
pub fn words<T: WordOption>() -> impl clap::builder::TypedValueParser<Value = T> {
    use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser as _};
    let told = T::WORDS.iter().map(|(word, _, help)| PossibleValue::new(*word).help(*help));
    PossibleValuesParser::new(told).try_map(|text| word(&text))
}
