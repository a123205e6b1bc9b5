//! Pitch and backlash: the two optional sizes of a mesh.
//!
//! Both are kept as they were given, exactly, with their unit, so that a description
//! written back out says what its author said. Floats appear only in the conversion
//! to millimetres, where pi and inches make an answer physical rather than exact.

use crate::exact::{Fraction, fraction, to_float};
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
    Pitch for Pitch: "the pitch", "Module(2.5)", meant super::meant::pitch {
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
    Length for Length: "a length", "Millimetres(100)", meant super::meant::length {
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
