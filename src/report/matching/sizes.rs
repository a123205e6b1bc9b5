//! Sizes and senses in the words of matching: arcs with thousandths of an inch, parts of a tooth.

use crate::report::words::Units;

/// Millimetres with thousandths of an inch beside.
pub(in crate::report) fn arc(millimetres: f64) -> String {
    Units::Millimetres.arc(millimetres)
}

/// The same where a heading names the units.
pub(in crate::report) fn short_arc(millimetres: f64) -> String {
    Units::Millimetres.short_arc(millimetres)
}

pub(super) fn signed(teeth: f64) -> String {
    no_minus_zero(format!("{teeth:+.4}"))
}

pub(super) fn part_of_tooth(teeth: f64) -> String {
    format!("{} of a tooth", plain(teeth))
}

pub(super) fn plain(teeth: f64) -> String {
    format!("{:.4}", teeth.abs())
}

/// A rounded number that is zero has no sign.
pub(in crate::report) fn no_minus_zero(text: String) -> String {
    if text.bytes().any(|byte| (b'1'..=b'9').contains(&byte)) {
        text
    } else {
        text.trim_start_matches(['+', '-']).into()
    }
}

/// The sense of a turn for who looks at it.
pub(in crate::report) fn side(turn: f64) -> &'static str {
    if turn > 0.0 { "ccw" } else { "clockwise" }
}
