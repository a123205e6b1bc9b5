//! What would a reading be of teeth that are assumed, and how does it follow shift and thinning?
//!
//! The readings are those of `tooth`; here stand their derivatives, by which a fit walks to the readings taken.

use super::question::ReadingMeasure;
use crate::tooth::{
    InvolutePair, Teeth, ToothError, ToothForm, closed_distance, closed_pressure_angle, pin_reading,
    shift_of_thickness, shift_sum_for, span, thickness_from_pins, thickness_from_span,
};

/// A reading in millimetres, and by how much it grows with shift and thinning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PredictedReading {
    pub(super) millimetres: f64,
    /// In millimetres for a module of shift.
    pub(super) per_shift: f64,
    /// In millimetres for a millimetre of thinning.
    pub(super) per_thinning: f64,
}

/// What a measure reads of these teeth.
pub(super) fn predict(form: &ToothForm, measure: ReadingMeasure) -> Result<PredictedReading, ToothError> {
    let (module, angle) = (form.module, form.pressure_angle);
    Ok(match measure {
        // dW/dx = 2 m sin a, dW/dt = -cos a.
        ReadingMeasure::Span(teeth) => PredictedReading {
            millimetres: span(form, teeth)?,
            per_shift: 2.0 * module * angle.sin(),
            per_thinning: -angle.cos(),
        },
        // A module of shift thickens a tooth by 2 m tan a, that of a ring it thins.
        ReadingMeasure::Pins(pin) => {
            let read = pin_reading(form, pin)?;
            let thinned = -outward(form.teeth) * 2.0 * module * angle.tan();
            PredictedReading {
                millimetres: read.reading,
                per_shift: thinned * read.change_per_thinning,
                per_thinning: read.change_per_thinning,
            }
        }
        ReadingMeasure::TipDiameter => of_circle(form, form.tip_radius()),
        ReadingMeasure::RootDiameter => of_circle(form, form.root_radius()),
    })
}

/// A diameter grows by 2 m for a module of shift, whatever the thickness.
fn of_circle(form: &ToothForm, radius: f64) -> PredictedReading {
    PredictedReading { millimetres: 2.0 * radius, per_shift: 2.0 * form.module, per_thinning: 0.0 }
}

/// The shift that a reading alone means, of teeth that are not thinned; the shift of the form is not looked at.
pub(super) fn shift_from(form: &ToothForm, measure: ReadingMeasure, reading: f64) -> Result<f64, ToothError> {
    let unshifted = ToothForm { profile_shift: 0.0, thinning: 0.0, ..*form };
    match measure {
        ReadingMeasure::Span(teeth) => shift_of_thickness(&unshifted, thickness_from_span(&unshifted, teeth, reading)?),
        ReadingMeasure::Pins(pin) => shift_of_thickness(&unshifted, thickness_from_pins(&unshifted, pin, reading)?),
        ReadingMeasure::TipDiameter | ReadingMeasure::RootDiameter => {
            let circle = predict(&unshifted, measure)?;
            Ok((reading - circle.millimetres) / circle.per_shift)
        }
    }
}

/// The centre distance of two gears that close without backlash when nothing is thinned, and by how much it grows with
/// a module of shift of each.
///
/// With `a = a_d cos a / cos a_w` and `inv a_w` linear in the sum of shifts: `da/dx_S = m sin a / sin a_w`.
pub(super) fn predict_distance(first: &ToothForm, second: &ToothForm) -> Result<(f64, [f64; 2]), ToothError> {
    let pair = InvolutePair::new(first, second)?;
    let distance = closed_distance(&pair)?;
    let per_sum = first.module * first.pressure_angle.sin() / closed_pressure_angle(&pair)?.sin();
    Ok((distance, [first, second].map(|gear| per_sum * in_sum(gear, &pair))))
}

/// The shift of a gear that a centre distance means beside its mate; its own is not looked at.
pub(super) fn shift_beside(gear: &ToothForm, mate: &ToothForm, distance: f64) -> Result<f64, ToothError> {
    let pair = InvolutePair::new(gear, mate)?;
    let of_mate = mate.profile_shift * in_sum(mate, &pair);
    Ok((shift_sum_for(&pair, distance)? - of_mate) * in_sum(gear, &pair))
}

/// How a shift counts in the sum of a pair: that of a gear in a ring is taken away.
fn in_sum(gear: &ToothForm, pair: &InvolutePair) -> f64 {
    if pair.has_ring() && gear.teeth == Teeth::External { -1.0 } else { 1.0 }
}

/// +1 for external teeth, -1 for those of a ring.
fn outward(teeth: Teeth) -> f64 {
    match teeth {
        Teeth::External => 1.0,
        Teeth::Internal => -1.0,
    }
}
