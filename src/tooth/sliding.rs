//! How much do flanks slide at the ends of their path, where one gear's root meets the other's tip?
//!
//! With the radii of curvature of both flanks at a contact and `u = z_2 / z_1` the specific sliding is `1 - rho_2 / (rho_1
//! u)` of the first gear and `1 - rho_1 u / rho_2` of the second: the part of its own rolling that a flank slides back.
//! On the line of action, `L = a sin a_w` from base circle to base circle, an external pair has `rho_1 + rho_2 = L`, a
//! gear in a ring `rho_2 - rho_1 = L`. Source: Niemann and Winter (1983), Maschinenelemente II, from memory; checked with
//! the velocities of both flanks.

use super::contact::curvature;
use super::pair::InvolutePair;
use super::refusal::{ToothError, number};
use super::working::working_pressure_angle;

/// Specific sliding where it is worst, zero or below.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct RootSliding {
    /// Of [`InvolutePair::first`], where the tip of the second gear meets its root.
    pub of_first: f64,
    /// Of [`InvolutePair::second`], where the tip of the first gear meets its root.
    pub of_second: f64,
}

/// The specific sliding at both ends of the path, with the tips that the forms have, at a centre distance in
/// millimetres.
///
/// # Errors
/// [`ToothError::NoContact`] where a tip reaches past the point where the line of action touches the other's base
/// circle, [`ToothError::TooClose`] where the base circles leave no line of action.
///
/// # Examples
/// ```
/// use toothmark::tooth::{InvolutePair, Teeth, ToothForm, root_sliding};
/// let gear = |count| ToothForm::standard(Teeth::External, count, 2.0);
/// let sliding = root_sliding(&InvolutePair::new(&gear(24), &gear(24)).unwrap(), 48.0).unwrap();
/// assert!((sliding.of_first - sliding.of_second).abs() < 1e-9);
/// ```
pub fn root_sliding(pair: &InvolutePair, distance: f64) -> Result<RootSliding, ToothError> {
    let ends = RootCurvatures::of(pair, distance)?;
    let ratio = pair.second().count() / pair.first().count();
    if ends.of_first <= 0.0 || ends.of_second <= 0.0 {
        return Err(ToothError::NoContact);
    }
    Ok(RootSliding {
        of_first: number(1.0 - ends.second_tip / (ends.of_first * ratio))?,
        of_second: number(1.0 - ends.first_tip * ratio / ends.of_second)?,
    })
}

/// Radii of curvature where tip meets root, in millimetres; those of roots not above zero where the tip opposite
/// reaches past the base circle's tangent.
#[derive(Debug, Clone, Copy)]
pub(super) struct RootCurvatures {
    first_tip: f64,
    second_tip: f64,
    pub(super) of_first: f64,
    pub(super) of_second: f64,
}

impl RootCurvatures {
    pub(super) fn of(pair: &InvolutePair, distance: f64) -> Result<Self, ToothError> {
        let line = distance * working_pressure_angle(pair, distance)?.sin();
        let first_tip = curvature(pair.first(), pair.first().tip_radius())?;
        let second_tip = curvature(pair.second(), pair.second().tip_radius())?;
        let (of_first, of_second) =
            if pair.has_ring() { (second_tip - line, line + first_tip) } else { (line - second_tip, line - first_tip) };
        Ok(Self { first_tip, second_tip, of_first, of_second })
    }
}
