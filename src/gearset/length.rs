//! Pitch and backlash: the two optional sizes of a mesh.
//!
//! Both are kept as they were given, exactly, with their unit, so that a description
//! written back out says what its author said. Floats appear only in the conversion
//! to millimetres, where pi and inches make an answer physical rather than exact.

use super::meant;
use crate::exact::{Fraction, Mistyped, TypedNumber, fraction, to_float};
use crate::syntax::words;

/// Millimetres in an inch, by definition.
pub const MILLIMETRES_PER_INCH: f64 = 25.4;

/// The size of the teeth of a mesh.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pitch {
    /// Module: pitch diameter in millimetres over tooth count.
    Module(Fraction),
    /// Diametral pitch: tooth count over pitch diameter in inches.
    Diametral(Fraction),
}

words! {
    Pitch for Pitch: "the pitch", "Module(2.5)", meant pitch_meant {
        Module("Module(2.5)"; size: Fraction = "the module in millimetres", "2.5") => { Pitch::Module(size) }
        DiametralPitch("DiametralPitch(10)"; size: Fraction = "the number of teeth per inch of diameter", "10") => {
            Pitch::Diametral(size)
        }
    }
}

impl Pitch {
    /// Teeth larger or smaller than a factor of this from module 1 are a slip of the unit.
    pub(crate) const LARGEST: i64 = 1000;

    /// The number as given, in its own unit.
    pub fn value(&self) -> &Fraction {
        match self {
            Self::Module(value) | Self::Diametral(value) => value,
        }
    }

    /// Whether teeth are of a size that a description takes: up to a factor of 1000 from module or diametral pitch 1.
    pub(crate) fn is_within_reason(&self) -> bool {
        let largest = fraction(Self::LARGEST, 1);
        *self.value() <= largest && *self.value() >= largest.recip()
    }

    /// The module in millimetres; `25.4 / DP` for a diametral pitch.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::Pitch};
    /// assert!((Pitch::Diametral(fraction(8, 1)).module() - 3.175).abs() < 1e-12);
    /// ```
    pub fn module(&self) -> f64 {
        match self {
            Self::Module(module) => to_float(module),
            Self::Diametral(pitch) => MILLIMETRES_PER_INCH / to_float(pitch),
        }
    }

    /// The same exactly: an inch is 127/5 mm.
    pub(crate) fn exact_module(&self) -> Fraction {
        match self {
            Self::Module(module) => module.clone(),
            Self::Diametral(pitch) => fraction(127, 5) / pitch,
        }
    }

    /// The arc of one tooth on the pitch circle, in millimetres: pi times the module.
    pub fn circular_pitch(&self) -> f64 {
        std::f64::consts::PI * self.module()
    }
}

/// A small length, kept in the unit in which it was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Length {
    /// Millimetres.
    Millimetres(Fraction),
    /// Inches.
    Inches(Fraction),
}

words! {
    Length for Length: "a length", "Millimetres(100)", meant length_meant {
        Millimetres("Millimetres(0.1)"; size: Fraction = "a number of millimetres", "0.1") => {
            Length::Millimetres(size)
        }
        Inches("Inches(0.004)"; size: Fraction = "a number of inches", "0.004") => { Length::Inches(size) }
    }
}

impl Length {
    /// The number as given, in its own unit.
    pub fn value(&self) -> &Fraction {
        match self {
            Self::Millimetres(value) | Self::Inches(value) => value,
        }
    }

    /// The length in millimetres, as the exact number that it is.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::Length};
    /// assert_eq!(Length::Inches(fraction(1, 127)).exact_millimetres(), fraction(1, 5));
    /// ```
    pub fn exact_millimetres(&self) -> Fraction {
        match self {
            Self::Millimetres(value) => value.clone(),
            Self::Inches(value) => value * fraction(127, 5),
        }
    }

    /// The length in millimetres.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::Length};
    /// assert!((Length::Inches(fraction(4, 1000)).millimetres() - 0.1016).abs() < 1e-12);
    /// ```
    pub fn millimetres(&self) -> f64 {
        match self {
            Self::Millimetres(value) => to_float(value),
            Self::Inches(value) => to_float(value) * MILLIMETRES_PER_INCH,
        }
    }
}

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

/// A pitch by its unit: `2.5 mm`, `10 DP`, `m=2.5`, `Module: 2.5`.
fn pitch_meant(written: &str) -> Option<String> {
    let plain = meant::plain(written);
    if matches!(plain.trim().to_lowercase().as_str(), "dp" | "diametralpitch") {
        return Some("DiametralPitch(10), with the number of your gears".into());
    }
    // "m2.5" is a word of its own.
    let spaced = plain.replacen(|letter: char| letter.is_ascii_digit(), "\u{1}", 1);
    let at = spaced.find('\u{1}')?;
    Some(meant::text::<Pitch>(&Pitch::typed(&format!("{} {}", &plain[..at], &plain[at..])).ok()??))
}

/// A length by its unit: `0.1 mm`, `0.004 in`, `4 thou`, `mm(0.1)`.
pub(super) fn length_meant(written: &str) -> Option<String> {
    let bare = written.strip_prefix('"').and_then(|text| text.strip_suffix('"')).unwrap_or(written);
    let (length, has_unit) = Length::typed(&meant::plain(bare)).ok()?;
    has_unit.then(|| meant::text::<Length>(&length))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gearset::meant::means;

    #[test]
    fn sizes_are_understood_by_their_units() {
        means(
            pitch_meant,
            &[
                ("2.5mm", Some("Module(2.5)")),
                ("2,5 mm", Some("Module(2.5)")),
                ("m=2.5", Some("Module(2.5)")),
                ("m2.5", Some("Module(2.5)")),
                ("Module: 2.5", Some("Module(2.5)")),
                ("10 DP", Some("DiametralPitch(10)")),
                ("DP(10)", Some("DiametralPitch(10)")),
                ("2.5", None),
                ("10 in", None),
            ],
        );
        means(
            length_meant,
            &[
                ("0.1 mm", Some("Millimetres(0.1)")),
                ("\"0.1 mm\"", Some("Millimetres(0.1)")),
                ("4 thou", Some("Inches(0.004)")),
                ("0.004\"", Some("Inches(0.004)")),
                ("1/8 in", Some("Inches(0.125)")),
                ("mm(0.1)", Some("Millimetres(0.1)")),
                ("0.1", None),
                ("0.1 ell", None),
            ],
        );
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
