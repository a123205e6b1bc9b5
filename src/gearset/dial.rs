//! Backlash as a dial shows it that stands at another radius than the pitch circle.
//!
//! Hold one gear of a mesh and rock the other: it turns by one angle at every radius, so the backlash at the pitch
//! circle is `reading * r / R` with r the pitch radius, half of module times teeth, and R the radius at which the indicator
//! stands. Exact, because all of these are given as exact numbers; how well they were measured is another matter.

use super::{Length, Pitch};
use crate::exact::{Fraction, fraction};
use crate::syntax::Spanned;

/// A dial reading of the backlash of a mesh, as it was taken on one of its gears.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftDial {
    /// The name of the gear that was rocked, its mate held.
    pub gear: Spanned<String>,
    /// What the dial showed from stop to stop.
    pub reading: Spanned<Length>,
    /// How far from the axis of the gear the indicator stood.
    pub radius: Spanned<Length>,
}

/// The backlash at the pitch circle of a gear with so many teeth, in millimetres, from what a dial showed at a radius
/// greater than zero.
///
/// # Examples
/// ```
/// use toothmark::{exact::fraction, gearset::{Length, Pitch, backlash_from_dial}};
/// let mm = |value| Length::Millimetres(fraction(value, 10));
/// // 60 teeth of module 2 have a pitch radius of 60 mm, half of 120.
/// assert_eq!(backlash_from_dial(&mm(2), &mm(1200), &Pitch::Module(fraction(2, 1)), 60), mm(1));
/// ```
pub fn backlash_from_dial(reading: &Length, radius: &Length, pitch: &Pitch, tooth_count: i64) -> Length {
    let scale = exact_module(pitch) * fraction(tooth_count, 2) / radius.exact_millimetres();
    Length::Millimetres(reading.exact_millimetres() * scale)
}

fn exact_module(pitch: &Pitch) -> Fraction {
    match pitch {
        Pitch::Module(module) => module.clone(),
        Pitch::Diametral(pitch) => Length::Inches(fraction(1, 1) / pitch).exact_millimetres(),
    }
}
