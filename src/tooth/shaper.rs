//! What does a pinion-shaped cutter leave: root, end of the involute, and how short a ring's tips have to be?
//!
//! Cutter and gear roll as a pair without backlash at the distance `a_0` and the angle `a_w0` of their shifts, so that
//! `a_0` sin `a_w0` is the line of action from base circle to base circle. The cutter's tip `r_a0` reaches `q =
//! sqrt(r_a0^2 - r_b0^2)` along it from its own base circle: an external gear's involute ends at the curvature `a_0 sin
//! a_w0 - q`, that of a ring at `a_0 sin a_w0 + q`. Source: the relations of any pair, ISO 21771:2007, from memory.

use super::form::{Teeth, ToothForm};
use super::pair::InvolutePair;
use super::refusal::ToothError;
use super::undercut::CutFlank;
use super::working::{closed_distance, closed_pressure_angle};

/// A gear as a pinion-shaped cutter leaves it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ShapedGear {
    /// `a_0`, from the axis of the gear to that of the cutter at full depth, in millimetres.
    pub distance: f64,
    /// `a_w0`, in radians.
    pub working_pressure_angle: f64,
    /// `r_f`, in millimetres.
    pub root_radius: f64,
    /// The end of the involute near the root.
    pub flank: CutFlank,
    /// Of a ring, the least tip radius that the cutter does not take away, in millimetres.
    pub least_tip_radius: Option<f64>,
}

/// What an external cutter leaves of a gear or a ring; the cutter's addendum is the gear's dedendum.
///
/// # Errors
/// [`ToothError`] where cutter and gear do not mesh; [`ToothError::NoInvolute`] where the cutter's tip is below its
/// base circle; [`ToothError::RingTeeth`] where the cutter is a ring.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, shape};
/// let cutter = ToothForm { addendum: 1.25, ..ToothForm::standard(Teeth::External, 20, 1.0) };
/// let ring = shape(&ToothForm::standard(Teeth::Internal, 60, 1.0), &cutter).unwrap();
/// assert!((ring.root_radius - 31.25).abs() < 1e-9);
/// assert!(ring.least_tip_radius.unwrap() > 29.0, "full tips are cut away");
/// ```
pub fn shape(gear: &ToothForm, cutter: &ToothForm) -> Result<ShapedGear, ToothError> {
    let pair = InvolutePair::new(cutter, gear)?;
    if cutter.teeth == Teeth::Internal {
        return Err(ToothError::RingTeeth);
    }
    let (distance, working) = (closed_distance(&pair)?, closed_pressure_angle(&pair)?);
    let line_of_action = distance * working.sin();
    let reach = cutter.tip_radius().powi(2) - cutter.base_radius().powi(2);
    if reach < 0.0 {
        return Err(ToothError::NoInvolute);
    }
    let side = pair.sign();
    Ok(ShapedGear {
        distance,
        working_pressure_angle: working,
        root_radius: distance - side * cutter.tip_radius(),
        flank: CutFlank::ending_at(gear.base_radius(), line_of_action - side * reach.sqrt()),
        // Inside it the ring's tip meets the cutter below its base circle.
        least_tip_radius: pair.has_ring().then(|| gear.base_radius().hypot(line_of_action)),
    })
}
