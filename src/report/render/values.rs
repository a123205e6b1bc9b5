//! Answers as JSON with stable keys.
//!
//! An exact value is an object of its fraction, as a string of any length, and the decimal
//! nearest to it; a whole number of any size stays a number.

use std::str::FromStr;

use serde::Serialize;
use serde_json::Number;

use crate::exact::{Fraction, decimal};

/// An exact value with its decimal, which keeps seventeen significant digits.
#[derive(Debug, Serialize)]
pub(in crate::report) struct Value {
    fraction: String,
    decimal: Number,
}

impl Value {
    pub(in crate::report) fn new(value: &Fraction) -> Self {
        const DIGITS: u32 = 17;
        let decimal = Number::from_str(&decimal(value, DIGITS)).expect("a decimal is a JSON number");
        Self { fraction: value.to_string(), decimal }
    }
}

/// A structure as indented JSON with a line break at its end.
pub(in crate::report) fn json(answer: &impl Serialize) -> String {
    let mut text = serde_json::to_string_pretty(answer).expect("keys are strings and nothing fails to serialise");
    text.push('\n');
    text
}
