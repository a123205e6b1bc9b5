//! Readings of marks as somebody types them, with units and senses in words: `10 1/3 ccw`, `120° clockwise`, `−120°`.
//!
//! Descriptions say the same in words of their own.

use crate::exact::{Fraction, Mistyped, TypedNumber, fraction};

/// A reading of a mark as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct TypedReading {
    /// How far from the line to the centre, counter-clockwise positive for whoever looks.
    pub value: Fraction,
    /// What it is counted in.
    pub unit: ReadingUnit,
    /// Whether a sense was named: clockwise or counter-clockwise.
    pub has_sense: bool,
}

/// What a reading is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadingUnit {
    /// Teeth, which nobody need write.
    Teeth,
    /// Degrees.
    Degrees,
}

impl TypedReading {
    /// Reads `-10`, `10 clockwise`, `10 1/3 ccw`, `-120°`, `120 degrees cw`.
    ///
    /// # Errors
    /// [`Mistyped`] where the text is no such reading, or has a sign and a sense, so that nobody can know what is meant.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::{ReadingUnit, TypedReading}};
    /// let reading = TypedReading::read("10 1/3 cw")?;
    /// assert_eq!((reading.value, reading.unit), (fraction(-31, 3), ReadingUnit::Teeth));
    /// assert!(TypedReading::read("-10 cw").is_err());
    /// # Ok::<(), toothmark::exact::Mistyped>(())
    /// ```
    pub fn read(text: &str) -> Result<Self, Mistyped> {
        let typed = TypedNumber::read(text)?;
        let (mut sense, mut unit) = (None, None);
        for word in Self::words(&typed.words) {
            let unknown = || Mistyped::UnknownWord { word: word.to_owned() };
            match word {
                "cw" | "clockwise" => sense.replace(-1).map_or(Ok(()), |_| Err(unknown()))?,
                "ccw" | "acw" | "counterclockwise" | "anticlockwise" => {
                    sense.replace(1).map_or(Ok(()), |_| Err(unknown()))?;
                }
                "°" | "deg" | "degree" | "degrees" => {
                    unit.replace(ReadingUnit::Degrees).map_or(Ok(()), |_| Err(unknown()))?;
                }
                "t" | "tooth" | "teeth" => unit.replace(ReadingUnit::Teeth).map_or(Ok(()), |_| Err(unknown()))?,
                _ => return Err(unknown()),
            }
        }
        if sense.is_some() && typed.has_sign {
            return Err(Mistyped::SignAndSense);
        }
        let value = typed.value * fraction(sense.unwrap_or(1), 1);
        Ok(Self { value, unit: unit.unwrap_or(ReadingUnit::Teeth), has_sense: sense.is_some() })
    }

    /// The words of a reading; "counter" and "clockwise" are one.
    fn words(words: &[String]) -> Vec<&str> {
        let mut joined: Vec<&str> = Vec::new();
        for word in words {
            match (joined.last().copied(), word.as_str()) {
                (Some("counter" | "anti"), "clockwise") => {
                    joined.pop();
                    joined.push("counterclockwise");
                }
                (_, word) => joined.push(word),
            }
        }
        joined
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_counter_clockwise_where_it_is_positive() {
        use ReadingUnit::{Degrees, Teeth};
        for (text, numerator, denominator, unit) in [
            ("10", 10, 1, Teeth),
            ("-10", -10, 1, Teeth),
            ("10 clockwise", -10, 1, Teeth),
            ("10 CW", -10, 1, Teeth),
            ("10cw", -10, 1, Teeth),
            ("10 ccw", 10, 1, Teeth),
            ("10 counter-clockwise", 10, 1, Teeth),
            ("10 counter clockwise", 10, 1, Teeth),
            ("10 anticlockwise", 10, 1, Teeth),
            ("10 1/3 ccw", 31, 3, Teeth),
            ("10 1/3 teeth clockwise", -31, 3, Teeth),
            ("clockwise 10", -10, 1, Teeth),
            ("1 tooth cw", -1, 1, Teeth),
            ("120 deg", 120, 1, Degrees),
            ("120deg.", 120, 1, Degrees),
            ("-120\u{b0}", -120, 1, Degrees),
            ("\u{2212}120\u{b0}", -120, 1, Degrees),
            ("120 degrees cw", -120, 1, Degrees),
            ("120\u{b0} ccw", 120, 1, Degrees),
            ("9,67", 967, 100, Teeth),
        ] {
            let expected = fraction(numerator, denominator);
            let read = TypedReading::read(text).unwrap_or_else(|fault| panic!("{text:?}: {fault}"));
            assert_eq!((read.value, read.unit), (expected, unit), "{text:?}");
        }
    }

    #[test]
    fn a_reading_that_can_be_meant_both_ways_is_refused() {
        for text in ["-10 cw", "-10 ccw", "+10 cw", "\u{2212}10 clockwise"] {
            assert_eq!(TypedReading::read(text), Err(Mistyped::SignAndSense), "{text:?}");
        }
        for text in ["10 cw ccw", "10 cw cw", "10 deg teeth", "10 left", "10 mm", "10 counter", "10 '"] {
            assert!(matches!(TypedReading::read(text), Err(Mistyped::UnknownWord { .. })), "{text:?}");
        }
    }
}
