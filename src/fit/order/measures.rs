//! Over how many teeth is a gear spanned, which pins serve, and what do they read at either limit?
//!
//! The jaws of a caliper have to touch sound flank, from the end of the involute to a tenth of the module below the tip; of
//! such counts that nearest to where they touch at the circle of the shift is taken. A pin has to touch both flanks
//! between the same ends, stand proud of the tips and clear of the root; of those at hand that nearest to the pin which
//! touches at the circle of the shift, r + x m. A thinner tooth reads less over teeth and over pins, more between pins.

use super::answer::{LengthLimits, OrderedPins, OrderedSpan};
use super::question::PinFault;
use crate::gearset::{MILLIMETRES_PER_INCH, Pitch};
use crate::tooth::{Teeth, ToothForm, pin_reading, pin_touching_at, span, teeth_to_span, usable_spans};

/// The teeth of a gear to measure: as thick as they may be, as thin, and the radius at which the involute ends near the
/// root.
pub(super) struct MeasuredTeeth {
    pub(super) thickest: ToothForm,
    pub(super) thinnest: Option<ToothForm>,
    pub(super) form_radius: f64,
}

impl MeasuredTeeth {
    /// The span with its two limits.
    pub(super) fn span(&self) -> Option<OrderedSpan> {
        let wanted = teeth_to_span(&self.thickest).ok()?;
        let usable = self.usable_spans();
        let apart = |teeth: &u16| (f64::from(*teeth) - wanted).abs();
        let teeth = usable.into_iter().min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
        let reading = |form: &ToothForm| span(form, teeth).ok();
        Some(OrderedSpan {
            teeth,
            least_mm: self.thinnest.as_ref().and_then(reading),
            most_mm: reading(&self.thickest),
        })
    }

    /// Counts over which the jaws touch sound flank whether teeth are thick or thin.
    fn usable_spans(&self) -> Vec<u16> {
        let usable = |form: &ToothForm| usable_spans(form, self.form_radius, form.module / 10.0).unwrap_or_default();
        let of_thick = usable(&self.thickest);
        match &self.thinnest {
            None => of_thick,
            Some(thin) => {
                let of_thin = usable(thin);
                of_thick.into_iter().filter(|teeth| of_thin.contains(teeth)).collect()
            }
        }
    }

    /// The pin that touches at the circle of the shift, in millimetres.
    pub(super) fn ideal_pin(&self) -> Option<f64> {
        let form = &self.thickest;
        pin_touching_at(form, form.pitch_radius() + form.profile_shift * form.module).ok()
    }

    /// The reading over or between two pins, with its two limits.
    pub(super) fn over_pins(&self, pin: f64) -> Option<OrderedPins> {
        let reading = |form: &ToothForm| Some(pin_reading(form, pin).ok()?.reading);
        let (of_thick, of_thin) = (reading(&self.thickest)?, self.thinnest.as_ref().and_then(reading));
        let LengthLimits { least_mm, most_mm } = match self.thickest.teeth {
            Teeth::External => LengthLimits { least_mm: of_thin, most_mm: Some(of_thick) },
            Teeth::Internal => LengthLimits { least_mm: Some(of_thick), most_mm: of_thin },
        };
        Some(OrderedPins { pin_mm: pin, least_mm, most_mm, ideal_pin_mm: self.ideal_pin()? })
    }

    /// What is wrong with a pin.
    pub(super) fn fault(&self, pin: f64) -> Option<PinFault> {
        [Some(&self.thickest), self.thinnest.as_ref()].into_iter().flatten().find_map(|form| self.fault_on(form, pin))
    }

    fn fault_on(&self, form: &ToothForm, pin: f64) -> Option<PinFault> {
        let too_large = self.ideal_pin().is_some_and(|ideal| pin > ideal);
        let Ok(read) = pin_reading(form, pin) else {
            return Some(if too_large { PinFault::SitsOnTips } else { PinFault::FallsThrough });
        };
        // Towards the tip of a ring is inward.
        let outward = if form.teeth == Teeth::Internal { -1.0 } else { 1.0 };
        if outward * (read.touch_radius - form.tip_radius()) >= 0.0 {
            Some(PinFault::SitsOnTips)
        } else if outward * (read.touch_radius - self.form_radius) < 0.0 || read.clear_of_root <= 0.0 {
            Some(PinFault::FallsThrough)
        } else {
            (read.proud_of_tips <= 0.0).then_some(PinFault::BelowTips)
        }
    }

    /// Of these pins the one that serves and is nearest to the ideal one.
    pub(super) fn best_pin(&self, pins: impl Iterator<Item = f64>) -> Option<f64> {
        let ideal = self.ideal_pin()?;
        let serving = pins.filter(|&pin| self.fault(pin).is_none());
        serving.min_by(|a, b| (a - ideal).abs().total_cmp(&(b - ideal).abs()))
    }

    /// The thinnest and the thickest pin that serve, in millimetres, inward to a hundredth; where the ideal pin is beyond
    /// 5 mm to a five-hundredth of it.
    pub(super) fn serving_pins(&self) -> Option<[f64; 2]> {
        const HUNDREDTH: f64 = 0.01;
        const STEPS: u16 = 1000;
        let ideal = self.ideal_pin()?;
        let step = HUNDREDTH * (2.0 * ideal / (HUNDREDTH * f64::from(STEPS))).ceil();
        let sizes = (1..=STEPS).map(|count| step * f64::from(count));
        let mut serving = sizes.filter(|&pin| self.fault(pin).is_none());
        let first = serving.next()?;
        Some([first, serving.next_back().unwrap_or(first)])
    }
}

/// Usual sizes of pins, in millimetres: drills and dowels in quarters of a millimetre, from 5 on in halves, from 12 on
/// whole; for diametral pitches in 64ths of an inch.
pub(super) fn usual_pins(pitch: &Pitch) -> Vec<f64> {
    match pitch {
        Pitch::Module(_) => {
            let quarters = (2..20).map(|size| f64::from(size) / 4.0);
            let halves = (10..24).map(|size| f64::from(size) / 2.0);
            quarters.chain(halves).chain((12..=60).map(f64::from)).collect()
        }
        Pitch::Diametral(_) => (1..=160).map(|size| f64::from(size) * MILLIMETRES_PER_INCH / 64.0).collect(),
    }
}
