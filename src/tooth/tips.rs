//! Do the tips of a gear and its ring meet where they should not: away from the line of action, or on the way in?
//!
//! The tip circles of a ring hardly larger than its gear cross far from the line of action; a tip of the gear has to
//! have left the ring's space before. And a gear that goes into its ring sideways, along the radius, needs more room
//! still, as does a pinion-shaped cutter that is fed that way. Both rooms are angles, in radians, negative where the
//! tips foul; thinned teeth have more room, which is not counted. Source: handbooks of metric gears, section "internal
//! gears", on trochoid interference and trimming; checked with their printed limits.

use super::form::ToothForm;
use super::involute::involute;
use super::pair::InvolutePair;
use super::refusal::{ToothError, size};
use super::verdict::RoomVerdict;
use super::working::{closed_pressure_angle, working_pressure_angle};

/// The room between the tips of a gear and its ring where their tip circles cross, in radians of the ring at this
/// centre distance; `None` where they do not cross, or the pair is external.
///
/// # Errors
/// [`ToothError::TooClose`] where the base circles leave no line of action.
///
/// # Examples
/// ```
/// use toothmark::tooth::{InvolutePair, Teeth, ToothForm, room_between_tips};
/// let gear = |teeth, count| ToothForm::standard(teeth, count, 1.0);
/// let pair = |count| InvolutePair::new(&gear(Teeth::External, count), &gear(Teeth::Internal, 40)).unwrap();
/// assert!(room_between_tips(&pair(30), 5.0).unwrap().unwrap() > 0.0);
/// assert!(room_between_tips(&pair(33), 3.5).unwrap().unwrap() < 0.0);
/// ```
pub fn room_between_tips(pair: &InvolutePair, distance: f64) -> Result<Option<f64>, ToothError> {
    working_pressure_angle(pair, distance)?;
    Ok(if pair.has_ring() { away_from_action(pair.first(), pair.second(), distance) } else { None })
}

/// The tip circles cross where the gear has turned by e from the line of centres and the ring by f; a tip of the gear
/// that leaves its space has to be clear of the ring's tip there: `z (inv g + e) - Z (inv h + f) + (Z - z) inv w > 0`,
/// with g, h the pressure angles at the two tips and w that of the mesh, here divided by Z. Follows from both tips
/// lying on involutes that touched at the pitch point.
pub(super) fn away_from_action(gear: &ToothForm, ring: &ToothForm, distance: f64) -> Option<f64> {
    let (inner, outer) = (gear.tip_radius(), ring.tip_radius());
    let gear_turn = (outer * outer - inner * inner - distance * distance) / (2.0 * inner * distance);
    let ring_turn = (distance * distance + outer * outer - inner * inner) / (2.0 * outer * distance);
    // Not a number either.
    if !(gear_turn.abs() < 1.0 && ring_turn.abs() < 1.0) {
        return None;
    }
    let working = ((ring.base_radius() - gear.base_radius()) / distance).clamp(-1.0, 1.0).acos();
    let (z, ring_count) = (gear.count(), ring.count());
    let room = z * (involute(tip_angle(gear)) + gear_turn.acos())
        - ring_count * (involute(tip_angle(ring)) + ring_turn.acos())
        + (ring_count - z) * involute(working);
    Some(room / ring_count)
}

/// What a gear meets that is pushed into its ring sideways.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum RadialEntry {
    /// The tips do not cross on the way in.
    NoCrossing,
    /// The tips cross with this room, in radians of the gear; negative where they foul.
    Room(f64),
    /// The tip circle of the gear is not smaller than that of the ring.
    LargerThanOpening,
}

impl RadialEntry {
    /// Whether the gear goes in sideways; if not it goes in along the axis only, and a cutter that is fed sideways
    /// trims the ring's tips. The tolerance is in radians of the gear.
    pub fn verdict(self, tolerance: f64) -> RoomVerdict {
        match self {
            Self::NoCrossing => RoomVerdict::Enough,
            Self::Room(room) => RoomVerdict::of(room, tolerance),
            Self::LargerThanOpening => RoomVerdict::Lacking,
        }
    }
}

/// Whether a gear can be pushed into its ring along the radius that leads to its place without backlash.
///
/// With z and Z teeth and the pressure angles g and h at the two tips, w that of the mesh the room is
/// `e + inv g - inv w - (Z/z) (f + inv h - inv w)`, where
/// `sin^2 e = (1 - (cos g / cos h)^2) / (1 - (z/Z)^2)` and `sin^2 f = ((cos h / cos g)^2 - 1) / ((Z/z)^2 - 1)`.
///
/// # Errors
/// [`ToothError::NoMesh`] where the shifts leave none, [`ToothError::NotInRing`] of an external pair,
/// [`ToothError::NoInvolute`] where a tip lies inside its base circle.
///
/// # Examples
/// ```
/// use toothmark::tooth::{InvolutePair, RadialEntry, Teeth, ToothForm, radial_entry};
/// let gear = |teeth, count| ToothForm::standard(teeth, count, 1.0);
/// let pair = |count| InvolutePair::new(&gear(Teeth::External, count), &gear(Teeth::Internal, 40)).unwrap();
/// let RadialEntry::Room(room) = radial_entry(&pair(30)).unwrap() else { panic!("the tips cross") };
/// assert!(room < 0.0, "along the axis only");
/// ```
pub fn radial_entry(pair: &InvolutePair) -> Result<RadialEntry, ToothError> {
    if !pair.has_ring() {
        return Err(ToothError::NotInRing);
    }
    let working = closed_pressure_angle(pair)?;
    let (gear, ring) = (pair.first(), pair.second());
    if size(gear.tip_radius())? < gear.base_radius() || size(ring.tip_radius())? < ring.base_radius() {
        return Err(ToothError::NoInvolute);
    }
    if gear.tip_radius() >= ring.tip_radius() {
        return Ok(RadialEntry::LargerThanOpening);
    }
    let (gear_angle, ring_angle) = (tip_angle(gear), tip_angle(ring));
    let (cosines, counts) = (gear_angle.cos() / ring_angle.cos(), gear.count() / ring.count());
    if cosines >= 1.0 {
        return Ok(RadialEntry::NoCrossing);
    }
    // Both sines are below 1: cos g / cos h is z/Z times the tip radius of the ring over that of the gear.
    let gear_sine = ((1.0 - cosines.powi(2)) / (1.0 - counts.powi(2))).sqrt();
    let ring_sine = ((cosines.powi(-2) - 1.0) / (counts.powi(-2) - 1.0)).sqrt();
    let turned = involute(working);
    let gear_turn = gear_sine.min(1.0).asin() + involute(gear_angle) - turned;
    let ring_turn = ring_sine.min(1.0).asin() + involute(ring_angle) - turned;
    Ok(RadialEntry::Room(gear_turn - ring_turn / counts))
}

/// The pressure angle at the tip; zero where that lies inside the base circle.
fn tip_angle(form: &ToothForm) -> f64 {
    (form.base_radius() / form.tip_radius()).min(1.0).acos()
}
