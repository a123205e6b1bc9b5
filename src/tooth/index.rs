//! How far does a tooth stand from where another gear's tooth stands, in figures that a shop can measure?
//!
//! An index of d teeth is d/z of a turn; at the pitch circle it is the arc `d pi m` and the chord `2 r sin(pi d / z)`.

use std::f64::consts::{PI, TAU};

use super::form::ToothForm;
use super::refusal::{ToothError, check, number};

/// An index as an angle and at the pitch circle.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct IndexLengths {
    /// In radians.
    pub angle: f64,
    /// Along the pitch circle, in millimetres.
    pub arc: f64,
    /// Straight from point to point of the pitch circle, in millimetres.
    pub chord: f64,
}

/// An index of so many teeth of a gear.
///
/// # Errors
/// [`ToothError`] where the numbers give no teeth.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, index_lengths};
/// let index = index_lengths(&ToothForm::standard(Teeth::External, 36, 2.5), 0.02).unwrap();
/// assert!((index.arc - 0.157_080).abs() < 1e-6);
/// assert!((index.angle.to_degrees() - 0.2).abs() < 1e-12);
/// ```
pub fn index_lengths(form: &ToothForm, teeth: f64) -> Result<IndexLengths, ToothError> {
    check(form)?;
    let turn = number(teeth)? / form.count();
    Ok(IndexLengths {
        angle: TAU * turn,
        arc: number(teeth * PI * form.module)?,
        chord: 2.0 * form.pitch_radius() * (PI * turn).sin(),
    })
}
