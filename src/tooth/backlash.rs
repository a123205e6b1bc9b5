//! How much backlash have two gears at a centre distance, with their teeth as thick as they are?
//!
//! With the sums of [`InvolutePair`], the distance a, the working pressure angle `a_w` and the thinnings t the arc at
//! the working circles is exactly `j_wt = 2 a (s (inv a_w - inv a - 2 x_S tan a / z_S) + (t_1 + t_2) / (m z_S))`, s =
//! +1 for an external pair, -1 for a ring pair, which loses backlash when the distance grows. Across the flanks it is
//! `j_n = j_wt cos a_w`, at the pitch circles `j_t = j_n / cos a`. The usual estimate 2 tan a of the change of distance
//! is within 1.5 % up to 0.1 mm.

use super::involute::involute;
use super::pair::InvolutePair;
use super::refusal::{ToothError, number};
use super::working::working_pressure_angle;

/// The backlash of a mesh, in millimetres; negative where the gears do not turn.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct MeshBacklash {
    /// As an arc at the working circles.
    pub at_working_circle: f64,
    /// Across the flanks, along the line of action: what a feeler gauge finds.
    pub normal: f64,
    /// As an arc at the pitch circles.
    pub at_pitch_circle: f64,
}

/// The backlash of a pair at a centre distance, in millimetres.
///
/// # Errors
/// [`ToothError::TooClose`] where the base circles leave no line of action.
///
/// # Examples
/// ```
/// use toothmark::tooth::{InvolutePair, Teeth, ToothForm, mesh_backlash};
/// let gear = |count| ToothForm::standard(Teeth::External, count, 2.5);
/// let pair = InvolutePair::new(&gear(20), &gear(31)).unwrap();
/// assert!((mesh_backlash(&pair, 63.85).unwrap().at_pitch_circle - 0.073_22).abs() < 1e-5);
/// ```
pub fn mesh_backlash(pair: &InvolutePair, distance: f64) -> Result<MeshBacklash, ToothError> {
    let working = working_pressure_angle(pair, distance)?;
    let angle = pair.pressure_angle();
    let opened = involute(working) - involute(angle) - 2.0 * pair.shift_sum() * angle.tan() / pair.count_sum();
    let thinned = (pair.first().thinning + pair.second().thinning) / (pair.module() * pair.count_sum());
    let at_working_circle = number(2.0 * distance * (pair.sign() * opened + thinned))?;
    let normal = at_working_circle * working.cos();
    Ok(MeshBacklash { at_working_circle, normal, at_pitch_circle: normal / angle.cos() })
}
