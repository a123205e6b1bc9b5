//! What does a caliper read over k teeth of an external gear, and over how many is it to be laid?
//!
//! Its jaws touch two flanks along one tangent of the base circle, which is the unrolled arc between them: k - 1 base
//! pitches and the tooth at the base circle, `W = p_b (k - 1) + d_b (s/d + inv a)`, which is
//! `m cos a (pi (k - 1/2) + z inv a) + 2 x m sin a - t cos a`. One tooth more adds a base pitch `p_b = pi m cos a`,
//! whatever shift and wear. Source: ISO 21771:2007, from memory.

use std::f64::consts::PI;

use super::form::{Teeth, ToothForm};
use super::involute::involute;
use super::refusal::{ToothError, check, number, size};
use super::thickness::thickness_at_pitch_circle;

/// The base pitch `pi m cos a`, in millimetres.
///
/// # Errors
/// [`ToothError`] where the numbers give no teeth.
pub fn base_pitch(form: &ToothForm) -> Result<f64, ToothError> {
    check(form)?;
    Ok(PI * form.module * form.pressure_angle.cos())
}

/// The reading over k teeth of an external gear, in millimetres.
///
/// # Errors
/// [`ToothError::RingTeeth`] of a ring; [`ToothError::SpanCount`] over no tooth, or half of them and more;
/// [`ToothError::NoInvolute`] where the shift leaves nothing to take hold of.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, span};
/// let gear = ToothForm { profile_shift: 0.4, ..ToothForm::standard(Teeth::External, 24, 3.0) };
/// assert!((span(&gear, 4).unwrap() - 32.8266).abs() < 1e-4);
/// ```
pub fn span(form: &ToothForm, spanned: u16) -> Result<f64, ToothError> {
    let steps = steps_between(form, spanned)?;
    let half_angle = thickness_at_pitch_circle(form)? / (2.0 * form.pitch_radius());
    let tooth_at_base = 2.0 * form.base_radius() * (half_angle + involute(form.pressure_angle));
    let reading = base_pitch(form)? * steps + tooth_at_base;
    if reading > 0.0 { Ok(reading) } else { Err(ToothError::NoInvolute) }
}

/// The arc of a tooth at the pitch circle that a reading over k teeth means, in millimetres: [`span`] turned round.
///
/// # Errors
/// As [`span`]; the shift and the thinning of the form are not looked at.
pub fn thickness_from_span(form: &ToothForm, spanned: u16, reading: f64) -> Result<f64, ToothError> {
    let tooth_at_base = size(reading)? - base_pitch(form)? * steps_between(form, spanned)?;
    // s_b = s cos a + d_b inv a.
    Ok((tooth_at_base - 2.0 * form.base_radius() * involute(form.pressure_angle)) / form.pressure_angle.cos())
}

/// The radius at which the jaws touch when they are set evenly, in millimetres: `sqrt(r_b^2 + (W/2)^2)`.
///
/// # Errors
/// As [`span`].
pub fn span_touch_radius(form: &ToothForm, spanned: u16) -> Result<f64, ToothError> {
    Ok(form.base_radius().hypot(span(form, spanned)? / 2.0))
}

/// Over how many teeth the jaws touch x modules beyond the pitch circle: the count to span before it is rounded.
///
/// With `c = z cos a / (z + 2x)`: `k = z/pi (sqrt(1 - c^2)/c - (2x/z) tan a - inv a) + 1/2`.
///
/// # Errors
/// [`ToothError::RingTeeth`] of a ring; [`ToothError::NoInvolute`] where that circle lies inside the base circle.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, teeth_to_span};
/// let gear = ToothForm { profile_shift: 0.4, ..ToothForm::standard(Teeth::External, 24, 3.0) };
/// assert!((teeth_to_span(&gear).unwrap() - 3.787_87).abs() < 1e-5);
/// ```
pub fn teeth_to_span(form: &ToothForm) -> Result<f64, ToothError> {
    check(form)?;
    external(form)?;
    let (z, x, angle) = (form.count(), form.profile_shift, form.pressure_angle);
    let cosine = z * angle.cos() / (z + 2.0 * x);
    if !(cosine > 0.0 && cosine <= 1.0) {
        return Err(ToothError::NoInvolute);
    }
    let sine_over_cosine = (1.0 - cosine * cosine).sqrt() / cosine;
    number(z / PI * (sine_over_cosine - 2.0 * x / z * angle.tan() - involute(angle)) + 0.5)
}

/// The counts over which both jaws touch sound flank: from the form radius to the margin below the tips, both in
/// millimetres, in rising order; empty where there is none.
///
/// A base pitch can be read where two neighbouring counts serve. The usual margin is a tenth of the module.
///
/// # Errors
/// As [`span`].
pub fn usable_spans(form: &ToothForm, form_radius: f64, margin: f64) -> Result<Vec<u16>, ToothError> {
    check(form)?;
    external(form)?;
    let flank = number(form_radius)?..=form.tip_radius() - number(margin)?;
    let below_half = (1..form.tooth_count).take_while(|&spanned| 2 * u32::from(spanned) < form.tooth_count.into());
    Ok(below_half.filter(|&spanned| span_touch_radius(form, spanned).is_ok_and(|at| flank.contains(&at))).collect())
}

/// k - 1 of a count that can be spanned.
fn steps_between(form: &ToothForm, spanned: u16) -> Result<f64, ToothError> {
    external(form)?;
    let within = spanned > 0 && 2 * u32::from(spanned) < form.tooth_count.into();
    if within { Ok(f64::from(spanned) - 1.0) } else { Err(ToothError::SpanCount) }
}

/// Not a ring.
pub(super) fn external(form: &ToothForm) -> Result<(), ToothError> {
    match form.teeth {
        Teeth::External => Ok(()),
        Teeth::Internal => Err(ToothError::RingTeeth),
    }
}
