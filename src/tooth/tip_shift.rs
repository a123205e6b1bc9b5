//! At which shift do tips become so thin?
//!
//! Towards larger shifts the tip of an external tooth first grows, where it leaves the base circle, and then thins
//! until the tooth is pointed. The shift meant is the one on the way down; it is found by halving.

use super::form::ToothForm;
use super::refusal::{ToothError, check, number};
use super::span::external;
use super::thickness::tip_thickness;

/// The shift in modules at which the full tips of an external gear have this thickness, in millimetres; beyond it they
/// are thinner. The shift and the tip limit of the form are not looked at.
///
/// # Errors
/// [`ToothError::RingTeeth`] of a ring, [`ToothError::NoShift`] where no tip is as thick.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, shift_for_tip_thickness};
/// let gear = ToothForm::standard(Teeth::External, 12, 1.0);
/// assert!((shift_for_tip_thickness(&gear, 0.0).unwrap() - 0.820_204).abs() < 1e-6, "pointed");
/// ```
pub fn shift_for_tip_thickness(form: &ToothForm, thickness: f64) -> Result<f64, ToothError> {
    check(form)?;
    external(form)?;
    let thickness = number(thickness)?;
    // Negative where the tip is too thin; a tip inside the base circle is none.
    let spare = |shift: f64| {
        let shifted = ToothForm { profile_shift: shift, tip_limit: None, ..*form };
        tip_thickness(&shifted).map_or(f64::NAN, |found| found - thickness)
    };
    let (mut thick, mut thin) = bracket(form, spare).ok_or(ToothError::NoShift)?;
    // Invariant: the tip is thick enough at `thick` and too thin at `thin`. Sixty halvings leave nothing of the step.
    for _ in 0..60 {
        let middle = f64::midpoint(thick, thin);
        if spare(middle) >= 0.0 {
            thick = middle;
        } else {
            thin = middle;
        }
    }
    Ok(f64::midpoint(thick, thin))
}

/// Two neighbouring steps between which the tip becomes too thin, from the shift on at which it lies on the base
/// circle.
fn bracket(form: &ToothForm, spare: impl Fn(f64) -> f64) -> Option<(f64, f64)> {
    const STEPS: u32 = 400;
    let on_base_circle = form.count() / 2.0 * (form.pressure_angle.cos() - 1.0) - form.addendum;
    // Steps that grow with the distance reach whatever count, and are fine at its beginning.
    let shifts = (1..STEPS).map(|step| on_base_circle + 0.02 * f64::from(step) * (1.0 + f64::from(step) * 0.02));
    let shifts: Vec<f64> = shifts.collect();
    let down = shifts.windows(2).find(|pair| spare(pair[0]) >= 0.0 && spare(pair[1]) < 0.0)?;
    Some((down[0], down[1]))
}
