//! For how many pitches does one pair of flanks stay in contact, and which part of each flank works?
//!
//! Contact runs along the common tangent of the base circles. At s from the point where it touches the first gear's the
//! flank of the first has the radius of curvature s; that of an external second gear L - s, that of a ring L + s, with
//! `L = a sin a_w`. A flank works up to its tip and down to the end of its involute, never beyond the base circle; what
//! is left for both, in base pitches, is the contact ratio. With full tips and no undercut it is `(sqrt(r_a1^2 -
//! r_b1^2) + sqrt(r_a2^2 - r_b2^2) - L) / p_b`, for a ring first less second plus L. Source: ISO 21771:2007, from
//! memory; checked with printed examples.

use super::form::ToothForm;
use super::pair::InvolutePair;
use super::refusal::{ToothError, size};
use super::span::base_pitch;
use super::working::working_pressure_angle;

/// The ends of the involutes near the roots of a pair, in millimetres, as cutters leave them; without one, the base
/// circle, of a ring no end.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FormRadii {
    /// Of [`InvolutePair::first`].
    pub first: Option<f64>,
    /// Of [`InvolutePair::second`].
    pub second: Option<f64>,
}

/// The path on which two flanks touch.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PathOfContact {
    /// The contact ratio: how many pairs of teeth are in contact on average.
    pub ratio: f64,
    /// Along the line of action, in millimetres.
    pub length: f64,
    /// The radius of the first gear at which its active profile begins near the root, in millimetres.
    pub first_starts_at: f64,
    /// The radius of the second gear at which its active profile begins near the root, in millimetres; of a ring its
    /// largest one.
    pub second_starts_at: f64,
}

/// The path of contact of a pair at a centre distance, in millimetres, with the tips that its forms have.
///
/// # Errors
/// [`ToothError::TooClose`] where the base circles leave no line of action, [`ToothError::NoContact`] where nothing is
/// left of it.
///
/// # Examples
/// ```
/// use toothmark::tooth::{FormRadii, InvolutePair, Teeth, ToothForm, path_of_contact};
/// let gear = |teeth, count| ToothForm::standard(teeth, count, 2.0);
/// let pair = InvolutePair::new(&gear(Teeth::External, 20), &gear(Teeth::Internal, 60)).unwrap();
/// let path = path_of_contact(&pair, 40.0, FormRadii::default()).unwrap();
/// // The tips of the ring reach a little past the point where the line of action leaves the gear's base circle.
/// assert!((path.ratio - 1.936_97).abs() < 1e-4);
/// ```
pub fn path_of_contact(pair: &InvolutePair, distance: f64, ends: FormRadii) -> Result<PathOfContact, ToothError> {
    let line = distance * working_pressure_angle(pair, distance)?.sin();
    let (first, second) = (pair.first(), pair.second());
    // The first gear works from the end of its involute, if not from the base circle, to its tip.
    let first_end = ends.first.map_or(Ok(0.0), |radius| curvature(first, radius))?;
    let first_tip = curvature(first, first.tip_radius())?;
    let second_tip = curvature(second, second.tip_radius())?;
    let second_end = ends.second.map(|radius| curvature(second, radius)).transpose()?;
    let (from, to) = if pair.has_ring() {
        // The ring works from its tip, the least curvature, to the end of its involute.
        (first_end.max(second_tip - line), second_end.map_or(first_tip, |end| first_tip.min(end - line)))
    } else {
        (first_end.max(line - second_tip), first_tip.min(line - second_end.unwrap_or(0.0)))
    };
    let length = to - from;
    if length.is_nan() || length <= 0.0 {
        return Err(ToothError::NoContact);
    }
    let second_at_end = if pair.has_ring() { line + to } else { line - to };
    Ok(PathOfContact {
        ratio: length / base_pitch(first)?,
        length,
        first_starts_at: first.base_radius().hypot(from),
        second_starts_at: second.base_radius().hypot(second_at_end),
    })
}

/// `sqrt(r^2 - r_b^2)`, the radius of curvature of a flank at a radius; inside the base circle, where there is no
/// flank, zero.
pub(super) fn curvature(form: &ToothForm, radius: f64) -> Result<f64, ToothError> {
    Ok((size(radius)?.powi(2) - form.base_radius().powi(2)).max(0.0).sqrt())
}
