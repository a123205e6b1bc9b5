//! How far apart do two gears stand that mesh without backlash, and what does another distance do to their backlash?
//!
//! The short questions about two gears of a train: see [`closed_distance`] and [`mesh_backlash`] for the formulas and
//! for why there is no answer.

use super::backlash::mesh_backlash;
use super::form::ToothForm;
use super::pair::InvolutePair;
use super::working::closed_distance;

/// The centre distance of two gears of one module that mesh without backlash when their teeth are
/// not thinned, in millimetres; `None` where the shifts leave no mesh.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, center_distance};
/// let gear = |teeth, count, profile_shift| {
///     ToothForm { profile_shift, ..ToothForm::standard(teeth, count, 2.0) }
/// };
/// let (a, b) = (gear(Teeth::External, 24, 0.0), gear(Teeth::External, 37, 0.0));
/// assert!((center_distance(&a, &b).unwrap() - 61.0).abs() < 1e-9);
/// let (a, b) = (gear(Teeth::External, 24, -0.5), gear(Teeth::External, 37, 0.0));
/// assert!((center_distance(&a, &b).unwrap() - 60.0).abs() < 0.1);
/// ```
pub fn center_distance(a: &ToothForm, b: &ToothForm) -> Option<f64> {
    closed_distance(&InvolutePair::new(a, b).ok()?).ok()
}

/// By how much backlash grows, as an arc at the pitch circles, when the centre distance changes, in millimetres; `None`
/// where the involutes do not reach one another at one of the distances.
///
/// Near `2 tan a_w` of the change at the working pressure angle `a_w`; in a ring it shrinks by that.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, backlash_growth};
/// let gear = |count| ToothForm::standard(Teeth::External, count, 2.5);
/// let closer = backlash_growth(&gear(26), &gear(31), 71.25, 71.15).unwrap();
/// assert!((closer + 0.0724).abs() < 1e-4, "0.10 mm closer takes 0.072 mm");
/// ```
pub fn backlash_growth(a: &ToothForm, b: &ToothForm, from: f64, to: f64) -> Option<f64> {
    let pair = InvolutePair::new(a, b).ok()?;
    let at_pitch_circle = |distance| mesh_backlash(&pair, distance).ok().map(|backlash| backlash.at_pitch_circle);
    Some(at_pitch_circle(to)? - at_pitch_circle(from)?)
}
