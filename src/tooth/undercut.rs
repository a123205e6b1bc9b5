//! Where does the involute end that a rack leaves on a gear, and from which shift on is the gear not undercut?
//!
//! The straight part of the rack's dedendum reaches h modules below its reference line (full depth of 20 degrees 1.0,
//! stub teeth 0.8). Its last point meets the flank on the line of action, `r sin a - (h - x) m / sin a` from the point
//! where that touches the base circle: this is the radius of curvature of the flank where its involute ends. Below zero
//! the rack has cut into the flank. Source: Buckingham (1949), Analytical Mechanics of Gears, from memory.

use super::form::ToothForm;
use super::refusal::{ToothError, check, number};
use super::span::external;

/// The end of the involute that a cutter leaves near the root.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct CutFlank {
    /// `r_F`, the radius from which on the flank is an involute, in millimetres (of a ring: up to which). Of an
    /// undercut gear the base radius, below which it does not reach.
    pub form_radius: f64,
    /// Along the line of action from the base circle to the end of the involute, in millimetres; negative where the
    /// gear is undercut. A ring is never.
    pub room: f64,
}

impl CutFlank {
    /// The involute ends so far from the point where its tangent leaves the base circle.
    pub(super) fn ending_at(base_radius: f64, along_tangent: f64) -> Self {
        Self { form_radius: base_radius.hypot(along_tangent.max(0.0)), room: along_tangent }
    }
}

/// The flank that a rack or hob leaves whose straight dedendum is h modules.
///
/// # Errors
/// [`ToothError::RingTeeth`] of a ring, which no rack cuts.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, flank_cut_by_rack};
/// let planet = ToothForm { profile_shift: 0.1, ..ToothForm::standard(Teeth::External, 20, 2.0) };
/// assert!((flank_cut_by_rack(&planet, 1.0).unwrap().form_radius - 18.859_946).abs() < 1e-6);
/// let undercut = flank_cut_by_rack(&ToothForm::standard(Teeth::External, 12, 2.0), 1.0).unwrap();
/// assert!(undercut.room < 0.0);
/// ```
pub fn flank_cut_by_rack(form: &ToothForm, straight: f64) -> Result<CutFlank, ToothError> {
    check(form)?;
    external(form)?;
    let sine = form.pressure_angle.sin();
    let below_pitch_circle = (number(straight)? - form.profile_shift) * form.module;
    let along_tangent = number(form.pitch_radius() * sine - below_pitch_circle / sine)?;
    Ok(CutFlank::ending_at(form.base_radius(), along_tangent))
}

/// The least shift in modules from which on a rack does not undercut: `x = h - z sin^2 a / 2`; the shift of the form is
/// not looked at.
///
/// # Errors
/// As [`flank_cut_by_rack`].
pub fn least_shift_without_undercut(form: &ToothForm, straight: f64) -> Result<f64, ToothError> {
    check(form)?;
    external(form)?;
    Ok(number(straight)? - form.count() * form.pressure_angle.sin().powi(2) / 2.0)
}

/// The tooth count, before it is rounded up, from which on a rack does not undercut a gear without shift:
/// `z = 2 h / sin^2 a`.
///
/// # Errors
/// As [`flank_cut_by_rack`].
pub fn least_count_without_undercut(form: &ToothForm, straight: f64) -> Result<f64, ToothError> {
    check(form)?;
    external(form)?;
    number(2.0 * number(straight)? / form.pressure_angle.sin().powi(2))
}
