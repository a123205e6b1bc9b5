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

/// The pinion-shaped cutter that leaves this gear: its addendum is the gear's dedendum, and where the gear's teeth are
/// thinned its own are as much thicker, so that it fills the spaces at full depth.
pub(crate) fn shaper_of(gear: &ToothForm, tooth_count: u16, profile_shift: f64) -> ToothForm {
    ToothForm {
        profile_shift,
        thinning: -gear.thinning,
        addendum: gear.dedendum,
        pressure_angle: gear.pressure_angle,
        ..ToothForm::standard(Teeth::External, tooth_count, gear.module)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tooth::mesh_backlash;

    /// One of two places that told the cutter took it thinner than it has to be for teeth that are thinned.
    #[test]
    fn a_shaper_fills_the_spaces_that_it_leaves() {
        for (teeth, tooth_count) in [(Teeth::External, 31), (Teeth::Internal, 72)] {
            let thinned =
                ToothForm { thinning: 0.12, profile_shift: 0.3, ..ToothForm::standard(teeth, tooth_count, 2.5) };
            let cutter = shaper_of(&thinned, 20, 0.1);
            let pair = InvolutePair::new(&cutter, &thinned).expect("they mesh");
            let distance = shape(&thinned, &cutter).expect("it is cut").distance;
            let left = mesh_backlash(&pair, distance).expect("they mesh there").at_pitch_circle;
            assert!(left.abs() < 1e-12, "{teeth:?}: {left} mm between cutter and flanks");
        }
    }
}
