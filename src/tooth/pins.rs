//! What does a micrometer read over two pins of an external gear, or between two in a ring?
//!
//! A pin that touches both flanks of a space has its middle on the involute that runs half a pin beside the flank. With
//! half a space at the base circle `h = pi/z - s/d - inv a` (external) or `h = pi/z - s/d + inv a` (ring), pin diameter
//! D and base diameter `d_b` the pressure angle at its middle is `inv a_M = D/d_b - h` (external), `inv a_M = h -
//! D/d_b` (ring), and its middle stands at `R = r_b / cos a_M`. Over even counts the pins stand opposite: `M = 2 R +
//! D`, between them in a ring `2 R - D`; over odd ones half a pitch from it: `2 R cos(90 deg / z)` takes the place of
//! `2 R`. Source: handbooks of metric gears, section "over pin measurement"; checked with its printed examples.

use std::f64::consts::{FRAC_PI_2, PI};

use super::form::ToothForm;
use super::involute::{inverse_involute, involute};
use super::refusal::{ToothError, check, number, size};
use super::thickness::{sign, thickness_at_pitch_circle};

/// A pin in a space, and the reading over or between two of them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PinReading {
    /// Over the pins of an external gear, between those of a ring, in millimetres.
    pub reading: f64,
    /// `a_M`, the pressure angle at the middle of a pin, in radians.
    pub pressure_angle: f64,
    /// From the axis to the middle of a pin, in millimetres.
    pub middle_radius: f64,
    /// The radius at which the pin touches the flanks, in millimetres: it has to lie between form radius and tip.
    pub touch_radius: f64,
    /// How far the pin stands proud of the tips, in millimetres; negative where it does not.
    pub proud_of_tips: f64,
    /// How far the pin stays clear of the root circle, in millimetres; negative where it would touch it first.
    pub clear_of_root: f64,
    /// By how much the reading grows when teeth are thinned, in millimetres for each millimetre of arc at the pitch
    /// circle: negative over pins, positive between them.
    pub change_per_thinning: f64,
}

/// The reading over two equal pins of an external gear, or between two in a ring.
///
/// # Errors
/// [`ToothError::PinSize`] where the pin is so thin that it falls through to the base circle, or in a ring so thick
/// that it does not enter.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, pin_reading};
/// let ring = ToothForm::standard(Teeth::Internal, 40, 1.0);
/// assert!((pin_reading(&ring, 1.7).unwrap().reading - 37.5951).abs() < 1e-4);
/// ```
pub fn pin_reading(form: &ToothForm, pin: f64) -> Result<PinReading, ToothError> {
    let half_space = half_space_at_base(form)?;
    let (base, side) = (form.base_radius(), sign(form));
    // d_b inv a_M is the arc by which half a pin exceeds half the space; in a ring, by which it falls short.
    let value = side * (size(pin)? / (2.0 * base) - half_space);
    let angle = inverse_involute(value).filter(|angle| *angle > 0.0).ok_or(ToothError::PinSize)?;
    let middle_radius = number(base / angle.cos())?;
    // Pin and flank touch on the tangent of the base circle, half a pin before the middle, in a ring behind it.
    let along_tangent = base * angle.tan() - side * pin / 2.0;
    if along_tangent < 0.0 {
        return Err(ToothError::PinSize);
    }
    Ok(PinReading {
        reading: 2.0 * middle_radius * chord_factor(form) + side * pin,
        pressure_angle: angle,
        middle_radius,
        touch_radius: base.hypot(along_tangent),
        proud_of_tips: side * (middle_radius - form.tip_radius()) + pin / 2.0,
        clear_of_root: side * (middle_radius - form.root_radius()) - pin / 2.0,
        // Half the space grows by dt / d, and dR / da_M = R tan a_M, d(inv a_M) = tan^2 a_M da_M.
        change_per_thinning: -side * form.pressure_angle.cos() * chord_factor(form) / angle.sin(),
    })
}

/// The arc of a tooth at the pitch circle that a reading over or between pins means, in millimetres: [`pin_reading`]
/// turned round.
///
/// # Errors
/// [`ToothError::PinSize`] where the pins would stand inside the base circle. The shift and the thinning of the form
/// are not looked at.
pub fn thickness_from_pins(form: &ToothForm, pin: f64, reading: f64) -> Result<f64, ToothError> {
    check(form)?;
    let (base, side) = (form.base_radius(), sign(form));
    let cosine = base / middle_radius_of(form, size(pin)?, size(reading)?)?;
    if cosine > 1.0 {
        return Err(ToothError::PinSize);
    }
    // h = D/d_b -+ inv a_M, and s = d (pi/z - h -+ inv a).
    let half_space = pin / (2.0 * base) - side * involute(cosine.acos());
    Ok(2.0 * form.pitch_radius() * (PI / form.count() - half_space - side * involute(form.pressure_angle)))
}

/// The middle of a pin from the reading, in millimetres.
pub(super) fn middle_radius_of(form: &ToothForm, pin: f64, reading: f64) -> Result<f64, ToothError> {
    size((reading - sign(form) * pin) / (2.0 * chord_factor(form)))
}

/// The diameter of the pin that touches the flanks at the circle of this radius, in millimetres.
///
/// With the pressure angle `a_c` there the pin's middle is at `tan a_M = tan a_c +- h`, the angle seen in the right
/// triangles of the tangent, and `D = d_b (inv a_M + h)`; in a ring `a_M = tan a_c - h` and `D = d_b (h - inv a_M)`.
///
/// # Errors
/// [`ToothError::NoInvolute`] inside the base circle, [`ToothError::PinSize`] where no pin touches there.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, pin_touching_at};
/// let gear = ToothForm::standard(Teeth::External, 20, 1.0);
/// assert!((pin_touching_at(&gear, 10.0).unwrap() - 1.7245).abs() < 1e-4);
/// ```
pub fn pin_touching_at(form: &ToothForm, radius: f64) -> Result<f64, ToothError> {
    let half_space = half_space_at_base(form)?;
    let cosine = form.base_radius() / size(radius)?;
    if cosine > 1.0 {
        return Err(ToothError::NoInvolute);
    }
    // The tangent through the touching point meets the middle line of the space at the pin's middle, at the angle a_M
    // from its own touching point on the base circle.
    let angle = cosine.acos().tan() + sign(form) * half_space;
    if !(angle > 0.0 && angle < FRAC_PI_2) {
        return Err(ToothError::PinSize);
    }
    let pin = 2.0 * form.base_radius() * (half_space + sign(form) * involute(angle));
    size(pin).map_err(|_| ToothError::PinSize)
}

/// Half the angle of a space at the base circle; negative where flanks meet above it.
fn half_space_at_base(form: &ToothForm) -> Result<f64, ToothError> {
    let half_tooth = thickness_at_pitch_circle(form)? / (2.0 * form.pitch_radius());
    Ok(PI / form.count() - half_tooth - sign(form) * involute(form.pressure_angle))
}

/// 1 for even counts, cos(90 deg / z) for odd ones.
fn chord_factor(form: &ToothForm) -> f64 {
    if form.tooth_count.is_multiple_of(2) { 1.0 } else { (FRAC_PI_2 / form.count()).cos() }
}
