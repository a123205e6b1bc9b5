//! Readings of teeth as they are typed: `21.896`, `21.896 ± 0.02`, `0.862 in +- 0.001`, `3=21.896`.

use crate::exact::to_float;
use crate::gearset::Length;

use crate::requests::Refusal;
use crate::requests::sizes;
use crate::requests::values::{name_and_value, number};

/// A length with what it is good to, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MeasuredLength {
    pub(super) millimetres: f64,
    pub(super) within: Option<f64>,
}

/// A reading that stands behind what it was taken over: teeth, or the diameter of pins in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ReadingOver<K> {
    pub(super) over: K,
    pub(super) reading: MeasuredLength,
}

const HINT: &str = "write millimetres or inches, with what they are good to where you know: 21.896, \"21.90 ± 0.02\", \
                    \"0.862 in ± 0.001\"";

/// A reading, with what it is good to or without; both above 0.
pub(super) fn reading(text: &str) -> Result<MeasuredLength, Refusal> {
    let read = sizes::reading(text)?;
    let millimetres = above_zero(&read.length, text)?;
    Ok(MeasuredLength { millimetres, within: read.within.map(|within| above_zero(&within, text)).transpose()? })
}

/// What readings are good to: a length above 0.
pub(super) fn within(text: &str) -> Result<f64, Refusal> {
    length(text, text)
}

/// `3=21.896`: over three teeth.
pub(super) fn span(text: &str) -> Result<ReadingOver<u16>, Refusal> {
    let hint = "write over how many teeth, and what it reads: --span 3=21.896";
    let (teeth, value) = name_and_value(text).ok_or_else(|| not(text, "a span", hint))?;
    let teeth = number(teeth, "a number of teeth", hint, &["teeth", "t"])?;
    let whole = teeth.is_integer().then(|| teeth.numer().to_string().parse().ok()).flatten();
    Ok(ReadingOver { over: whole.ok_or_else(|| not(text, "a span", hint))?, reading: reading(value)? })
}

/// `4.5=86.21`: over pins of 4.5 mm.
pub(super) fn pins(text: &str) -> Result<ReadingOver<f64>, Refusal> {
    let hint = "write the diameter of the pins, and what is read over or between them: --pins 4.5=86.21";
    let (pin, value) = name_and_value(text).ok_or_else(|| not(text, "a reading with pins", hint))?;
    Ok(ReadingOver { over: length(pin, text)?, reading: reading(value)? })
}

/// The diameter of a pin.
pub(super) fn pin(text: &str) -> Result<f64, Refusal> {
    length(text, text)
}

/// A pressure angle in degrees.
pub(super) fn pressure_angle(text: &str) -> Result<crate::exact::Fraction, Refusal> {
    let (what, hint) = ("a pressure angle", "write degrees from 10 to 35, such as 20 or 14.5");
    let angle = number(text, what, hint, &["deg", "degree", "degrees", "°"])?;
    if (10.0..=35.0).contains(&to_float(&angle)) { Ok(angle) } else { Err(not(text, what, hint)) }
}

fn length(part: &str, whole: &str) -> Result<f64, Refusal> {
    sizes::length(part, whole).and_then(|(length, _)| above_zero(&length, whole))
}

fn above_zero(length: &Length, whole: &str) -> Result<f64, Refusal> {
    if to_float(length.value()) > 0.0 { Ok(length.millimetres()) } else { Err(not(whole, "a reading", HINT)) }
}

fn not(text: &str, what: &str, hint: &str) -> Refusal {
    Refusal::new(format!("{text:?} is not {what}"), hint)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(text: &str, millimetres: f64, within: Option<f64>) {
        let found = reading(text).unwrap_or_else(|refusal| panic!("{text}: {refusal}"));
        assert!((found.millimetres - millimetres).abs() < 1e-9, "{text}: {found:?}");
        assert!(found.within.zip(within).is_none_or(|(a, b)| (a - b).abs() < 1e-9), "{text}: {found:?}");
        assert_eq!(found.within.is_some(), within.is_some(), "{text}");
    }

    #[test]
    fn a_reading_may_say_what_it_is_good_to() {
        reads("21.896", 21.896, None);
        reads("21,9 mm", 21.9, None);
        reads("21.90±0.02", 21.9, Some(0.02));
        reads("21.90 +- 0.02 mm", 21.9, Some(0.02));
        reads("21.90 +/- 20 µm", 21.9, Some(0.02));
        reads("1 in within 0.001", 25.4, Some(0.0254));
        reads("1 ± 0.001 in", 25.4, Some(0.0254));
        reads("1.5in ± 1 thou", 38.1, Some(0.0254));
        // Once 862 was read as inches, since only the 1 stands before its unit.
        reads("862 ± 1 thou", 21.8948, Some(0.0254));
        for text in ["", "0", "-3", "21.9 ±", "21.9 ± 0", "21.9 ± x", "1 ell", "21,896,5", "21,896"] {
            assert!(reading(text).is_err(), "{text}");
        }
    }

    /// Once the hint asked back and left it open what to type.
    #[test]
    fn a_comma_of_two_meanings_is_told_with_both() {
        for text in ["21,896", "3=21,896 mm"] {
            let told = if text.contains('=') { span(text).unwrap_err() } else { reading(text).unwrap_err() };
            let told = format!("{told:?}");
            assert!(told.contains("21,896") && told.contains("type 21.896 if") && told.contains("21896 if"), "{told}");
        }
    }

    #[test]
    fn spans_and_pins_say_over_what() {
        assert_eq!(span("3 teeth = 21.5").map(|read| (read.over, read.reading.millimetres)).ok(), Some((3, 21.5)));
        assert_eq!(pins("4.5=86.25").map(|read| (read.over, read.reading.millimetres)).ok(), Some((4.5, 86.25)));
        for text in ["21.5", "x=21.5", "3.5=21.5", "-3=21.5", "70000=3", "3=", "=3"] {
            assert!(span(text).is_err(), "{text}");
        }
        assert!(pins("-4=86").is_err() && pressure_angle("14.5°").is_ok() && pressure_angle("145").is_err());
    }
}
