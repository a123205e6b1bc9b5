//! Which base pitch do two pins of different size tell, where no span can be taken: in rings, and of few teeth?
//!
//! Both pin middles `R_1`, `R_2` satisfy `inv a_M = +-(D/d_b - h)` with one and the same half space h, so that `r_b
//! (inv acos(r_b/R_1) - inv acos(r_b/R_2)) = +-(D_1 - D_2) / 2`, + external, - ring. Since `r_b inv acos(r_b/R) =
//! sqrt(R^2 - r_b^2) - r_b acos(r_b/R)` falls by `acos(r_b/R)` with `r_b`, the difference of two falls as well: there
//! is one `r_b` at most, and halving finds it.

use std::f64::consts::TAU;

use super::form::ToothForm;
use super::pins::middle_radius_of;
use super::refusal::{ToothError, check, size};
use super::thickness::sign;

/// A pair of equal pins and what was read over or between them, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PinMeasurement {
    /// D, the diameter of the pins.
    pub pin: f64,
    /// M, over the pins or between them.
    pub reading: f64,
}

/// The base pitch in millimetres that two measurements with different pins mean; of the form only its kind of teeth and
/// their count are looked at.
///
/// # Errors
/// [`ToothError::PinSize`] where no base circle fits both, as with equal pins or readings that do not belong together.
///
/// # Examples
/// ```
/// use toothmark::tooth::{PinMeasurement, Teeth, ToothForm, base_pitch_from_pins, pin_reading};
/// let ring = ToothForm::standard(Teeth::Internal, 60, 2.5);
/// let measured = |pin| PinMeasurement { pin, reading: pin_reading(&ring, pin).unwrap().reading };
/// let pitch = base_pitch_from_pins(&ring, measured(4.2), measured(4.8)).unwrap();
/// assert!((pitch - 7.380_329).abs() < 1e-6);
/// ```
pub fn base_pitch_from_pins(form: &ToothForm, a: PinMeasurement, b: PinMeasurement) -> Result<f64, ToothError> {
    check(form)?;
    let middle = |measured: PinMeasurement| middle_radius_of(form, size(measured.pin)?, size(measured.reading)?);
    let (mut far, mut near) = ((middle(a)?, a.pin), (middle(b)?, b.pin));
    if far.0 < near.0 {
        (far, near) = (near, far);
    }
    let goal = sign(form) * (far.1 - near.1) / 2.0;
    let excess = |base: f64| unrolled(base, far.0) - unrolled(base, near.0) - goal;
    let (mut small, mut large) = (0.0, near.0);
    if !(excess(small) > 0.0 && excess(large) < 0.0) {
        return Err(ToothError::PinSize);
    }
    // Invariant: the base radius lies above `small` and not above `large`. Sixty halvings leave nothing of it.
    for _ in 0..60 {
        let base = f64::midpoint(small, large);
        if excess(base) > 0.0 {
            small = base;
        } else {
            large = base;
        }
    }
    Ok(TAU * f64::midpoint(small, large) / form.count())
}

/// `r_b` inv acos(`r_b`/R): the arc of the base circle below a point of an involute.
fn unrolled(base: f64, radius: f64) -> f64 {
    (radius * radius - base * base).max(0.0).sqrt() - base * (base / radius).min(1.0).acos()
}
