//! What is an unbalance, and how do several of them add up?
//!
//! A mass m whose middle stands at the radius r pulls its shaft by `m r w^2` when it turns: its unbalance is the vector
//! `U = m r` at the angle where it stands, in gram millimetres. Vectors are complex numbers here, `U e^(i a)`; angles are
//! degrees counter-clockwise from a mark on the rotor, seen from a side that is named. What is taken off at an angle is
//! the same as what is put on opposite.

use num_complex::Complex64;
use serde::Serialize;

use crate::gearset::MILLIMETRES_PER_INCH;

/// Grams in an ounce (avoirdupois), by definition.
pub const GRAMS_PER_OUNCE: f64 = 28.349_523_125;
/// Gram millimetres in an ounce inch.
pub const GRAM_MILLIMETRES_PER_OUNCE_INCH: f64 = GRAMS_PER_OUNCE * MILLIMETRES_PER_INCH;

/// An unbalance, which is also that of a weight to be put on, or a heavy spot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Unbalance {
    /// How large, in gram millimetres.
    pub g_mm: f64,
    /// Where, in degrees counter-clockwise from the mark, from 0 to below 360.
    pub degrees: f64,
}

impl Unbalance {
    /// So many gram millimetres at an angle.
    ///
    /// # Examples
    /// ```
    /// use toothmark::bench::Unbalance;
    /// assert_eq!(Unbalance::new(420.0, -30.0).degrees, 330.0);
    /// ```
    pub fn new(g_mm: f64, degrees: f64) -> Self {
        Self { g_mm, degrees: degrees_within_a_turn(degrees) }
    }

    pub(super) fn of(vector: Complex64) -> Self {
        Self::new(vector.norm(), vector.arg().to_degrees())
    }

    pub(super) fn vector(self) -> Complex64 {
        Complex64::from_polar(self.g_mm, self.degrees.to_radians())
    }

    /// The same at the other side of the axis: the weight that balances it.
    #[must_use]
    pub fn opposite(self) -> Self {
        Self::new(self.g_mm, self.degrees + 180.0)
    }

    /// In ounce inches.
    pub fn oz_in(self) -> f64 {
        self.g_mm / GRAM_MILLIMETRES_PER_OUNCE_INCH
    }
}

/// An angle from 0 to below 360 degrees.
pub(super) fn degrees_within_a_turn(degrees: f64) -> f64 {
    let within = degrees.rem_euclid(360.0);
    // A hair below zero becomes 360 in floating point.
    if within < 360.0 { within } else { 0.0 }
}

/// How far two angles are apart, from 0 to 180 degrees.
pub(super) fn degrees_apart(first: f64, second: f64) -> f64 {
    let apart = degrees_within_a_turn(first - second);
    apart.min(360.0 - apart)
}
