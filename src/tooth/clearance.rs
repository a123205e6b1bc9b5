//! How far may a tip reach before it digs into its partner?
//!
//! The line of action of two gears touches both base circles, at points that are `L = a sin a_w` apart. At s from the
//! first gear's the flank of the first has the radius of curvature s, that of an external second gear L - s, that of a
//! ring L + s. A flank ends where its cutter has left no involute, if not at its base circle; a tip that reaches farther
//! than its partner's flank meets no involute there. Tips of a ring hardly larger than its gear can also meet away from
//! the line of action: see [`room_between_tips`]. Source: ISO 21771:2007, from memory; checked with drawn gears.
//!
//! [`room_between_tips`]: super::room_between_tips

use super::contact::{FormRadii, curvature};
use super::form::ToothForm;
use super::pair::InvolutePair;
use super::refusal::ToothError;
use super::tips::away_from_action;
use super::working::working_pressure_angle;

/// The radii that the tips of a pair may reach, in millimetres; of a ring down to which.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TipLimits {
    /// Of [`InvolutePair::first`]; `None` in a ring whose involutes have no known end.
    pub first: Option<f64>,
    /// Of [`InvolutePair::second`].
    pub second: f64,
}

/// How far the tips of a pair may reach at a centre distance, in millimetres, so that they stay on the involutes of their
/// partner.
///
/// # Errors
/// [`ToothError::TooClose`] where the base circles leave no line of action.
///
/// # Examples
/// ```
/// use toothmark::tooth::{FormRadii, InvolutePair, Teeth, ToothForm, tip_limits};
/// let gear = |count| ToothForm::standard(Teeth::External, count, 1.0);
/// let pair = InvolutePair::new(&gear(13), &gear(36)).unwrap();
/// // Full tips of 36 teeth would reach to 19.
/// assert!(tip_limits(&pair, 24.5, FormRadii::default()).unwrap().second < 19.0);
/// ```
pub fn tip_limits(pair: &InvolutePair, distance: f64, ends: FormRadii) -> Result<TipLimits, ToothError> {
    let line = distance * working_pressure_angle(pair, distance)?.sin();
    let (first, second) = (pair.first(), pair.second());
    let first_end = ends.first.map_or(Ok(0.0), |radius| curvature(first, radius))?;
    let second_end = ends.second.map(|radius| curvature(second, radius)).transpose()?;
    Ok(if pair.has_ring() {
        // The gear's flank ends at s, that of the ring at L + s.
        let first = second_end.map(|end| radius_of(first, end - line));
        TipLimits { first, second: radius_of(second, line + first_end) }
    } else {
        let first = Some(radius_of(first, line - second_end.unwrap_or(0.0)));
        TipLimits { first, second: radius_of(second, line - first_end) }
    })
}

/// The radius at which a flank has this radius of curvature; of none the base circle.
fn radius_of(form: &ToothForm, curvature: f64) -> f64 {
    form.base_radius().hypot(curvature.max(0.0))
}

/// The largest tip radius of an external gear that the whole involutes of its external partner allow, in millimetres: see
/// [`tip_limits`].
///
/// `None` where the centre distance is too small for the base circles.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, largest_external_tip};
/// let large = ToothForm::standard(Teeth::External, 36, 1.0);
/// let small = ToothForm::standard(Teeth::External, 13, 1.0);
/// // Full tips would reach to 19.
/// assert!(largest_external_tip(&large, &small, 24.5).unwrap() < 19.0);
/// ```
pub fn largest_external_tip(gear: &ToothForm, partner: &ToothForm, center_distance: f64) -> Option<f64> {
    let pair = InvolutePair::new(gear, partner).ok()?;
    tip_limits(&pair, center_distance, FormRadii::default()).ok()?.first
}

/// The smallest tip radius of a ring that the whole involutes of the gear inside it allow, in millimetres: see
/// [`tip_limits`].
///
/// `None` where the centre distance is too small for the base circles.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, smallest_internal_tip};
/// let ring = ToothForm::standard(Teeth::Internal, 66, 1.0);
/// let planet = ToothForm::standard(Teeth::External, 18, 1.0);
/// // Full tips would reach down to 32.
/// assert!(smallest_internal_tip(&ring, &planet, 24.0).unwrap() > 32.0);
/// ```
pub fn smallest_internal_tip(ring: &ToothForm, gear: &ToothForm, center_distance: f64) -> Option<f64> {
    let pair = InvolutePair::new(gear, ring).ok()?;
    tip_limits(&pair, center_distance, FormRadii::default()).ok().map(|limits| limits.second)
}

/// Whether the tip of a gear meets the tip of its ring away from the line of action: see [`room_between_tips`].
///
/// [`room_between_tips`]: super::room_between_tips
pub fn tips_foul(gear: &ToothForm, ring: &ToothForm, center_distance: f64) -> bool {
    away_from_action(gear, ring, center_distance).is_some_and(|room| room <= 0.0)
}
