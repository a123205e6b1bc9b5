//! How far may a tip reach before it digs into its partner?
//!
//! The line of action of two gears touches both base circles; a tip that reaches past the point
//! where it touches the partner's meets no involute there. With base radii b and c and the centre
//! distance d, the two points are sqrt(d^2 - (b + c)^2) apart for two external gears, and
//! sqrt(d^2 - (c - b)^2) for a gear in a ring. Tips of a ring hardly larger than its gear can also
//! meet away from the line of action: see [`room_between_tips`].
//!
//! [`room_between_tips`]: super::room_between_tips

use super::form::ToothForm;
use super::tips::away_from_action;

/// The largest tip radius of an external gear that its external partner allows, in millimetres.
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
    let action = center_distance.powi(2) - (gear.base_radius() + partner.base_radius()).powi(2);
    (action >= 0.0).then(|| (gear.base_radius().powi(2) + action).sqrt())
}

/// The smallest tip radius of a ring that the gear inside it allows, in millimetres.
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
    let action = center_distance.powi(2) - (ring.base_radius() - gear.base_radius()).powi(2);
    (action >= -1e-9).then(|| (ring.base_radius().powi(2) + action.max(0.0)).sqrt())
}

/// Whether the tip of a gear meets the tip of its ring away from the line of action: see [`room_between_tips`].
///
/// [`room_between_tips`]: super::room_between_tips
pub fn tips_foul(gear: &ToothForm, ring: &ToothForm, center_distance: f64) -> bool {
    away_from_action(gear, ring, center_distance).is_some_and(|room| room <= 0.0)
}
