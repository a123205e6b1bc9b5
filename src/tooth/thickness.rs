//! How thick is a tooth: at its pitch circle, at any other, at its tip, along the chord that a tooth caliper takes?
//!
//! With z teeth, module m, pitch diameter d, shift x and thinning t the arc at the pitch circle is
//! `s = m (pi/2 + 2 x tan a) - t`, for a ring `m (pi/2 - 2 x tan a) - t`; its flanks then run along the involute
//! function. Source: ISO 21771:2007, from memory.

use std::f64::consts::FRAC_PI_2;

use super::form::{Teeth, ToothForm};
use super::involute::{inverse_involute, involute};
use super::refusal::{ToothError, check, number, size};

/// The arc of a tooth at the pitch circle, in millimetres; negative where the shift leaves no tooth there.
///
/// # Errors
/// [`ToothError`] where the numbers give no teeth.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, thickness_at_pitch_circle};
/// let gear = ToothForm { profile_shift: 0.3, ..ToothForm::standard(Teeth::External, 12, 10.0) };
/// assert!((thickness_at_pitch_circle(&gear).unwrap() - 17.8918).abs() < 1e-4);
/// ```
pub fn thickness_at_pitch_circle(form: &ToothForm) -> Result<f64, ToothError> {
    check(form)?;
    let shift = 2.0 * form.profile_shift * form.pressure_angle.tan();
    Ok(form.module * (FRAC_PI_2 + sign(form) * shift) - form.thinning)
}

/// The profile shift, in modules, of a gear whose teeth have this arc at the pitch circle when they are not thinned
/// further than the form says: the shift of the form itself is not looked at.
///
/// # Errors
/// [`ToothError`] where the numbers give no teeth.
pub fn shift_of_thickness(form: &ToothForm, thickness: f64) -> Result<f64, ToothError> {
    check(form)?;
    // s + t = m (pi/2 + sigma 2 x tan a), solved for x.
    let beyond_half_a_pitch = (number(thickness)? + form.thinning) / form.module - FRAC_PI_2;
    Ok(sign(form) * beyond_half_a_pitch / (2.0 * form.pressure_angle.tan()))
}

/// The arc of a tooth at the circle of this radius, in millimetres; negative beyond the point where its flanks meet.
///
/// `s_y = d_y (s/d + inv a - inv a_y)` with `cos a_y = d_b/d_y`; for a ring `d_y (s/d - inv a + inv a_y)`.
///
/// # Errors
/// [`ToothError::NoInvolute`] inside the base circle.
pub fn thickness_at(form: &ToothForm, radius: f64) -> Result<f64, ToothError> {
    let half_angle = thickness_at_pitch_circle(form)? / (2.0 * form.pitch_radius());
    let cosine = form.base_radius() / size(radius)?;
    if cosine > 1.0 {
        return Err(ToothError::NoInvolute);
    }
    let turned = involute(form.pressure_angle) - involute(cosine.acos());
    Ok(2.0 * radius * (half_angle + sign(form) * turned))
}

/// The arc of a tooth at its tip, in millimetres: see [`thickness_at`].
///
/// # Errors
/// [`ToothError::NoInvolute`] where the tip of a ring lies inside its base circle, as full tips of 20 degrees do below
/// 34 teeth.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothError, ToothForm, tip_thickness};
/// let sun = ToothForm { profile_shift: 0.6, ..ToothForm::standard(Teeth::External, 12, 1.0) };
/// assert!((tip_thickness(&sun).unwrap() - 0.2018).abs() < 1e-4);
/// assert_eq!(tip_thickness(&ToothForm::standard(Teeth::Internal, 33, 1.0)), Err(ToothError::NoInvolute));
/// ```
pub fn tip_thickness(form: &ToothForm) -> Result<f64, ToothError> {
    check(form)?;
    thickness_at(form, form.tip_radius())
}

/// The radius at which the two flanks of a tooth meet, in millimetres; `None` for a ring whose teeth still have some
/// thickness at the base circle.
///
/// External: `inv a_p = s/d + inv a`; ring: `inv a_p = inv a - s/d`.
///
/// # Errors
/// [`ToothError::NoInvolute`] where an external tooth has no thickness at the base circle.
pub fn pointed_radius(form: &ToothForm) -> Result<Option<f64>, ToothError> {
    let half_angle = thickness_at_pitch_circle(form)? / (2.0 * form.pitch_radius());
    let value = involute(form.pressure_angle) + sign(form) * half_angle;
    if value < 0.0 {
        return match form.teeth {
            Teeth::External => Err(ToothError::NoInvolute),
            Teeth::Internal => Ok(None),
        };
    }
    let angle = inverse_involute(value).ok_or(ToothError::OutOfRange)?;
    number(form.base_radius() / angle.cos()).map(Some)
}

/// What a tooth caliper is set to and reads at the pitch circle, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ChordalThickness {
    /// The chord across the tooth.
    pub chord: f64,
    /// From the chord to the tip.
    pub height: f64,
}

/// The chord of an external tooth at its pitch circle and the height of the tip above it.
///
/// With half the angle of the tooth p = s/d the chord is `d sin p` and the height `r_a - r cos p`.
///
/// # Errors
/// [`ToothError::RingTeeth`] of a ring, whose teeth a caliper does not reach.
///
/// # References
/// Handbooks of metric gears, table "chordal tooth thickness"; checked with its printed example.
pub fn chordal_thickness(form: &ToothForm) -> Result<ChordalThickness, ToothError> {
    let half_angle = thickness_at_pitch_circle(form)? / (2.0 * form.pitch_radius());
    match form.teeth {
        Teeth::External => Ok(ChordalThickness {
            chord: 2.0 * form.pitch_radius() * half_angle.sin(),
            height: form.tip_radius() - form.pitch_radius() * half_angle.cos(),
        }),
        Teeth::Internal => Err(ToothError::RingTeeth),
    }
}

/// +1 for external teeth, -1 for those of a ring.
pub(super) fn sign(form: &ToothForm) -> f64 {
    match form.teeth {
        Teeth::External => 1.0,
        Teeth::Internal => -1.0,
    }
}
