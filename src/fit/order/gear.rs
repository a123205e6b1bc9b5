//! The sheet of one gear: its circles, its measures with their limits, where its flank has to be sound.
//!
//! The circles are those that close the meshes; the flank has to be an involute from where it begins to work on, in the
//! deepest of its meshes: from the least radius, of a ring the largest.

use super::answer::{LengthLimits, OrderedGear, OrderedPins};
use super::measures::{MeasuredTeeth, usual_pins};
use super::question::{CannotOrder, OrderQuestion, PinFault, named};
use super::teeth::OrderedTeeth;
use crate::exact::Fraction;
use crate::gearset::{GearId, Pitch, Place};
use crate::tooth::{Teeth, ToothForm, tip_thickness};

pub(super) fn ordered_gear(
    teeth: &OrderedTeeth<'_>,
    question: &OrderQuestion,
    gear: GearId,
) -> Result<OrderedGear, CannotOrder> {
    let set = teeth.set;
    let pitch = teeth.meshes_of(gear).find_map(|mesh| set.mesh(mesh).pitch()).expect("pitches were looked at before");
    let (thickest, thinnest) = teeth.thickest_and_thinnest(gear);
    let form = teeth.unthinned(gear);
    let fit = teeth.fit(gear).expect("that it is in mesh was looked at before");
    let end_of_involute = fit.form_diameter_mm.unwrap_or(fit.root_diameter_mm);
    let measured = MeasuredTeeth { thickest, thinnest, form_radius: end_of_involute / 2.0 };
    let member = set.gear(gear).member();
    let pieces = match set.member(member).place() {
        Place::Pin { pins, .. } => pins.len(),
        Place::Case | Place::MainAxis => 1,
    };
    Ok(OrderedGear {
        gear,
        teeth: form.tooth_count,
        module: pitch.exact_module(),
        pressure_angle_degrees: set.pressure_angle(),
        shift: fit.shift,
        tip_diameter_mm: fit.tip_diameter_mm,
        span: measured.span(),
        over_pins: over_pins(&measured, question, pitch, || named(set, gear))?,
        member,
        pieces,
        is_ring: form.teeth == Teeth::Internal,
        diametral_pitch: diametral_pitch(pitch).cloned(),
        stub_pair: stub_pair(teeth, gear, pitch),
        pitch_diameter_mm: 2.0 * form.pitch_radius(),
        base_diameter_mm: 2.0 * form.base_radius(),
        tip_limits: question.tip_tolerance.map(|by| tip_limits(&form, by, || named(set, gear))).transpose()?,
        root_diameter_mm: fit.root_diameter_mm,
        whole_depth_mm: (fit.tip_diameter_mm - fit.root_diameter_mm).abs() / 2.0,
        tip_thickness_mm: tip_thickness(&thickest).ok(),
        form_diameter_mm: fit.working_flank_from_mm,
        thinning: teeth.thinning(gear),
    })
}

fn diametral_pitch(pitch: &Pitch) -> Option<&Fraction> {
    match pitch {
        Pitch::Diametral(pitch) => Some(pitch),
        Pitch::Module(_) => None,
    }
}

/// `a/b` of teeth whose addendum is that of the diametral pitch b, a whole number.
fn stub_pair(teeth: &OrderedTeeth<'_>, gear: GearId, pitch: &Pitch) -> Option<String> {
    let of_thickness = diametral_pitch(pitch)?;
    let depth = teeth.set.described_teeth(gear)?.depth.as_deref()?;
    // The addendum is a/b modules.
    let of_height = of_thickness / depth.addendum();
    (of_height.is_integer() && of_height > *of_thickness).then(|| format!("{of_thickness}/{of_height}"))
}

/// Tips that are shorter by this on the diameter, of a ring larger.
fn tip_limits(form: &ToothForm, by: f64, name: impl FnOnce() -> String) -> Result<LengthLimits, CannotOrder> {
    let tip = 2.0 * form.tip_radius();
    if by >= 2.0 * (form.tip_radius() - form.root_radius()).abs() {
        return Err(CannotOrder::NoTeethLeft { by, gear: name() });
    }
    let [least, most] = match form.teeth {
        Teeth::External => [tip - by, tip],
        Teeth::Internal => [tip, tip + by],
    };
    Ok(LengthLimits { least_mm: Some(least), most_mm: Some(most) })
}

fn over_pins(
    measured: &MeasuredTeeth,
    question: &OrderQuestion,
    pitch: &Pitch,
    name: impl FnOnce() -> String,
) -> Result<Option<OrderedPins>, CannotOrder> {
    if question.pins.is_empty() {
        return Ok(measured.best_pin(usual_pins(pitch).into_iter()).and_then(|pin| measured.over_pins(pin)));
    }
    if let Some(pin) = measured.best_pin(question.pins.iter().copied()) {
        return Ok(measured.over_pins(pin));
    }
    let ideal = measured.ideal_pin().unwrap_or(0.0);
    let nearest = question.pins.iter().copied().min_by(|a, b| (a - ideal).abs().total_cmp(&(b - ideal).abs()));
    let pin = nearest.expect("a pin was given");
    let fault = measured.fault(pin).unwrap_or(PinFault::FallsThrough);
    Err(CannotOrder::Pin { pin, fault, gear: name(), serve: measured.serving_pins() })
}
