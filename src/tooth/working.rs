//! At which pressure angle do two gears work, at which distance do their shifts put them, and which shifts does a
//! distance need?
//!
//! With the sums of [`InvolutePair`]: `cos a_w = a_d cos a / a` from the centre distance a, and without backlash
//! `inv a_w = inv a + 2 x_S tan a / z_S`. Source: ISO 21771:2007, from memory; checked with printed examples.

use super::involute::{inverse_involute, involute};
use super::pair::InvolutePair;
use super::refusal::{ToothError, number, size};

/// `a_w` in radians: the pressure angle at which a pair works at this centre distance, in millimetres.
///
/// # Errors
/// [`ToothError::TooClose`] where the base circles leave no line of action.
pub fn working_pressure_angle(pair: &InvolutePair, distance: f64) -> Result<f64, ToothError> {
    let cosine = pair.least_distance() / size(distance)?;
    if cosine < 1.0 { Ok(cosine.acos()) } else { Err(ToothError::TooClose) }
}

/// `a_w` in radians without backlash, from the shifts of the pair when its teeth are not thinned.
///
/// # Errors
/// [`ToothError::NoMesh`] where the shifts leave none.
pub fn closed_pressure_angle(pair: &InvolutePair) -> Result<f64, ToothError> {
    let angle = pair.pressure_angle();
    let value = involute(angle) + 2.0 * pair.shift_sum() * angle.tan() / pair.count_sum();
    inverse_involute(value).filter(|working| *working > 0.0).ok_or(ToothError::NoMesh)
}

/// The centre distance in millimetres at which a pair meshes without backlash when its teeth are not thinned:
/// `a = a_d cos a / cos a_w`.
///
/// # Errors
/// As [`closed_pressure_angle`].
///
/// # Examples
/// ```
/// use toothmark::tooth::{InvolutePair, Teeth, ToothForm, closed_distance};
/// let gear = |teeth, count, profile_shift| ToothForm { profile_shift, ..ToothForm::standard(teeth, count, 14.0) };
/// let (planet, ring) = (gear(Teeth::External, 17, 0.2), gear(Teeth::Internal, 96, 0.5));
/// let pair = InvolutePair::new(&planet, &ring).unwrap();
/// assert!((closed_distance(&pair).unwrap() - 557.0887).abs() < 1e-4);
/// ```
pub fn closed_distance(pair: &InvolutePair) -> Result<f64, ToothError> {
    // Without a sum the pitch circles roll on one another, without any rounding.
    if pair.shift_sum().abs() < f64::EPSILON {
        return number(pair.nominal_distance());
    }
    number(pair.least_distance() / closed_pressure_angle(pair)?.cos())
}

/// `x_S` in modules that a centre distance needs without backlash: the sum of the shifts, in a ring pair that of the
/// ring less that of the gear; the shifts of the pair itself are not looked at.
///
/// # Errors
/// As [`working_pressure_angle`].
///
/// # Examples
/// ```
/// use toothmark::tooth::{InvolutePair, Teeth, ToothForm, shift_sum_for};
/// let gear = |count| ToothForm::standard(Teeth::External, count, 2.5);
/// let pair = InvolutePair::new(&gear(24), &gear(37)).unwrap();
/// assert!((shift_sum_for(&pair, 75.0).unwrap() + 0.467_078).abs() < 1e-6);
/// ```
pub fn shift_sum_for(pair: &InvolutePair, distance: f64) -> Result<f64, ToothError> {
    let working = working_pressure_angle(pair, distance)?;
    let angle = pair.pressure_angle();
    number(pair.count_sum() * (involute(working) - involute(angle)) / (2.0 * angle.tan()))
}

/// y in modules: how far a centre distance lies beyond the nominal one.
///
/// # Errors
/// As [`working_pressure_angle`].
pub fn distance_modification(pair: &InvolutePair, distance: f64) -> Result<f64, ToothError> {
    working_pressure_angle(pair, distance)?;
    Ok((distance - pair.nominal_distance()) / pair.module())
}

/// k in modules, zero or negative: by how much both tips of an external pair are changed so that the root clearance
/// stays what it is without shift, `k = y - x_S`; in a ring pair tips stay as they are.
///
/// # Errors
/// As [`working_pressure_angle`].
pub fn tip_shortening(pair: &InvolutePair, distance: f64) -> Result<f64, ToothError> {
    let modification = distance_modification(pair, distance)?;
    Ok(if pair.has_ring() { 0.0 } else { (modification - pair.shift_sum()).min(0.0) })
}
