//! Lengths, pitches and readings as somebody types them, with their units and senses in words.
//!
//! `0.006 in`, `6 thou`, `1/8"`, `0,15 mm`; `10 DP`; `10 1/3 ccw`, `−120°`. Descriptions say the same in words of their
//! own, and are refused with these words where somebody writes a unit instead.

use super::{Length, Pitch};
use crate::exact::{Fraction, Mistyped, TypedNumber, fraction};

impl Length {
    /// Reads a length as typed, and whether its unit was typed; millimetres where it was not.
    ///
    /// # Errors
    /// [`Mistyped`] where the text is no number with a unit of length.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::Length};
    /// assert_eq!(Length::typed("6 thou")?, (Length::Inches(fraction(6, 1000)), true));
    /// assert_eq!(Length::typed("0,15")?, (Length::Millimetres(fraction(15, 100)), false));
    /// # Ok::<(), toothmark::exact::Mistyped>(())
    /// ```
    pub fn typed(text: &str) -> Result<(Self, bool), Mistyped> {
        let TypedNumber { value, words, .. } = TypedNumber::read(text)?;
        let inches: fn(Fraction) -> Self = Self::Inches;
        let (of_unit, size) = match words.concat().as_str() {
            "" | "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => (Self::Millimetres as _, (1, 1)),
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => (Self::Millimetres as _, (10, 1)),
            "m" | "metre" | "metres" | "meter" | "meters" => (Self::Millimetres as _, (1000, 1)),
            "µm" | "um" | "micron" | "microns" => (Self::Millimetres as _, (1, 1000)),
            "in" | "inch" | "inches" | "\"" => (inches, (1, 1)),
            "thou" | "thousandth" | "thousandths" | "thousandthsofaninch" => (inches, (1, 1000)),
            "ft" | "foot" | "feet" | "'" => (inches, (12, 1)),
            _ => return Err(Mistyped::UnknownWord { word: words.join(" ") }),
        };
        Ok((of_unit(value * fraction(size.0, size.1)), !words.is_empty()))
    }
}

impl Pitch {
    /// Reads a pitch as typed, `2.5 mm`, `module 2.5` or `10 DP`; `None` where no word says which of the two it is.
    ///
    /// # Errors
    /// [`Mistyped`] where the text is no number with a word of pitches.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::Pitch};
    /// assert_eq!(Pitch::typed("10 DP")?, Some(Pitch::Diametral(fraction(10, 1))));
    /// assert_eq!(Pitch::typed("2.5")?, None);
    /// # Ok::<(), toothmark::exact::Mistyped>(())
    /// ```
    pub fn typed(text: &str) -> Result<Option<Self>, Mistyped> {
        let TypedNumber { value, words, .. } = TypedNumber::read(text)?;
        match words.concat().as_str() {
            "" => Ok(None),
            "mm" | "module" | "mod" | "m" | "mn" | "modulemm" => Ok(Some(Self::Module(value))),
            "dp" | "pd" | "diametralpitch" | "pitch" => Ok(Some(Self::Diametral(value))),
            _ => Err(Mistyped::UnknownWord { word: words.join(" ") }),
        }
    }
}

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

    #[test]
    fn a_length_is_exact_in_its_unit() {
        // 0.006 in is 0.1524 mm; a thousandth is 0.0254 mm.
        for (text, ten_thousandths) in [
            ("0.006 in", 1524),
            ("6 thou", 1524),
            ("0.006\"", 1524),
            ("0.006 INCH", 1524),
            ("0.15mm", 1500),
            (".15", 1500),
            ("0,15 mm", 1500),
            ("1/8\"", 31750),
            ("2 1/2 in", 635_000),
            ("2\u{bd} in", 635_000),
            ("5.", 50_000),
            ("150 \u{b5}m", 1500),
            ("15 cm", 1_500_000),
            ("6 ft", 18_288_000),
        ] {
            let (length, _) = Length::typed(text).unwrap_or_else(|fault| panic!("{text:?}: {fault}"));
            assert_eq!(length.exact_millimetres(), fraction(ten_thousandths, 10_000), "{text:?}");
        }
        for text in ["1 ell", "6 mil", "10 deg", "1 mm mm", "mm"] {
            assert!(Length::typed(text).is_err(), "{text:?}");
        }
    }
}
