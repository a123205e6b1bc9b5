//! How far may a tip reach before it digs into its partner?
//!
//! The line of action of two gears touches both base circles; a tip that reaches past the point
//! where it touches the partner's meets no involute there. With base radii b and c and the centre
//! distance d, the two points are sqrt(d^2 - (b + c)^2) apart for two external gears, and
//! sqrt(d^2 - (c - b)^2) for a gear in a ring. Tips of a ring hardly larger than its gear can also
//! meet away from the line of action: see [`tips_foul`].

use super::form::ToothForm;
use super::involute::involute;

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

/// Whether the tip of a gear meets the tip of its ring away from the line of action.
///
/// The tip circles cross where the gear has turned by e from the line of centres and the ring by f;
/// a tip of the gear that leaves its space has to be clear of the ring's tip there:
/// `z (inv g + e) - Z (inv h + f) + (Z - z) inv w > 0`, with g, h the pressure angles at the two
/// tips and w that of the mesh. Follows from both tips lying on involutes that touched at the pitch
/// point; thinned teeth have more room still, which is not counted.
pub fn tips_foul(gear: &ToothForm, ring: &ToothForm, center_distance: f64) -> bool {
    let (inner, outer, d) = (gear.tip_radius(), ring.tip_radius(), center_distance);
    let gear_turn = (outer * outer - inner * inner - d * d) / (2.0 * inner * d);
    let ring_turn = (d * d + outer * outer - inner * inner) / (2.0 * outer * d);
    if gear_turn.abs() >= 1.0 || ring_turn.abs() >= 1.0 {
        // The tip circles do not cross.
        return false;
    }
    let at = |form: &ToothForm, radius: f64| involute((form.base_radius() / radius).min(1.0).acos());
    let working = involute(((ring.base_radius() - gear.base_radius()) / d).clamp(-1.0, 1.0).acos());
    let (z, ring_count) = (gear.count(), ring.count());
    let room = z * (at(gear, inner) + gear_turn.acos()) - ring_count * (at(ring, outer) + ring_turn.acos())
        + (ring_count - z) * working;
    room <= 0.0
}
