//! A structure as JSON with stable keys.

use serde::Serialize;

/// A structure as indented JSON with a line break at its end.
pub(in crate::report) fn json(answer: &impl Serialize) -> String {
    let mut text = serde_json::to_string_pretty(answer).expect("keys are strings and nothing fails to serialise");
    text.push('\n');
    text
}
