//! Do fitted teeth stand, and what is told of them?
//!
//! Teeth stand where no shift is beyond one module, no tip is pointed, and every reading could be taken on them: jaws
//! do not reach beyond the tips, pins touch the flanks, stand proud of external tips and clear of the roots. Where
//! readings leave the depth open, those depths remain on which all of this holds.

use super::answer::{CandidateGear, ReadingMisfit, ToothCandidate, WornTeeth};
use super::family::{Family, Taken, TakenOf};
use super::fit::{Fitted, NINE, Worn};
use super::question::ReadingMeasure;
use super::rack::{Depth, Rack, depth_name};
use crate::exact::{Fraction, fraction};
use crate::gearset::Pitch;
use crate::tooth::{Teeth, ToothError, ToothForm, pin_reading, tip_thickness};

/// Teeth of a rack fitted to the readings of a family.
#[derive(Debug, Clone)]
pub(super) struct RankedTeeth {
    /// With the depths that stand, all of them where none does.
    pub(super) rack: Rack,
    pub(super) fitted: Fitted,
    pub(super) is_alive: bool,
}

impl RankedTeeth {
    /// The teeth of a rack, as they are fitted.
    pub(super) fn new(mut rack: Rack, fitted: Fitted, family: &Family<'_>) -> Self {
        let is_near = fitted.shifts.iter().all(|shift| shift.abs() <= LARGEST_SHIFT);
        let mut is_alive = is_near && fitted.is_allowed(family.readings.len());
        if is_alive {
            let standing: Vec<Depth> =
                rack.depths.iter().copied().filter(|&depth| stands(&rack, &fitted, depth, family)).collect();
            is_alive = !standing.is_empty();
            if is_alive {
                rack.depths = standing;
            }
        }
        Self { rack, fitted, is_alive }
    }

    /// A gear of these teeth.
    pub(super) fn form(&self, family: &Family<'_>, gear: usize, depth: Depth) -> ToothForm {
        form(&self.rack, &self.fitted, depth, (family, gear))
    }

    /// The place in the ranking: what stands first, then what has shifts that can be, each by chi squared, those that are
    /// alike in it by their shifts. Wear that is brought in counts as much as it has to gain.
    pub(super) fn rank(&self) -> ([bool; 2], f64, f64) {
        /// Parts of chi squared that do not tell anything.
        const ALIKE: f64 = 1e6;
        let shifts: f64 = self.fitted.shifts.iter().map(|shift| shift.abs()).sum();
        let of_wear: f64 = self.fitted.worn.iter().map(|_| NINE).sum();
        let is_beyond = self.fitted.shifts.iter().any(|shift| shift.abs() > LARGEST_SHIFT);
        ([!self.is_alive, is_beyond], ((self.fitted.chi_squared + of_wear) * ALIKE).round(), shifts)
    }

    /// What is told of it.
    pub(super) fn told(&self, family: &Family<'_>, number: usize) -> ToothCandidate {
        let gears: Vec<CandidateGear> = (0..family.gears.len()).map(|gear| self.gear(family, gear)).collect();
        let [module, diametral_pitch] = both_pitches(&self.rack.pitch);
        ToothCandidate {
            module,
            diametral_pitch,
            pressure_angle: self.rack.angle.clone(),
            depth: depth_name(&self.rack.depths),
            shift: gears[0].shift,
            thinning_mm: gears[0].thinning_mm,
            chi_squared: self.fitted.chi_squared,
            alive: self.is_alive,
            misfits: self.misfits(family),
            pitch: self.rack.pitch_name(),
            family: number,
            gears,
            worn: self.worn(family),
        }
    }

    fn gear(&self, family: &Family<'_>, gear: usize) -> CandidateGear {
        let shift = self.fitted.shifts[gear];
        let is_doubtful =
            self.fitted.worn.iter().any(|worn| !worn.or.is_empty() && (worn.gear == gear || worn.or.contains(&gear)));
        let tells_wear = family.tells_wear(gear) && !is_doubtful;
        let is_of_thickness = family.reads(gear, ReadingMeasure::is_of_thickness);
        // 2 x m tan a of shift is as much thickness; that of a ring the other way round.
        let outward = if family.gears[gear].teeth == Teeth::Internal { -1.0 } else { 1.0 };
        let lacking = -outward * 2.0 * shift * self.rack.module * self.rack.radians.tan();
        let is_wear = is_of_thickness && !tells_wear && lacking > 0.0 && lacking <= HEAVY_WEAR * self.rack.module;
        CandidateGear {
            gear: family.gears[gear].name.clone(),
            shift,
            thinning_mm: tells_wear.then(|| self.fitted.thinning(gear)),
            thinning_without_shift_mm: is_wear.then_some(lacking),
        }
    }

    /// The largest misfit of a reading, in millimetres.
    pub(super) fn worst_misfit(&self, family: &Family<'_>) -> f64 {
        let misfits = family.readings.iter().zip(&self.fitted.predicted);
        misfits.map(|(taken, predicted)| (taken.millimetres - predicted).abs()).fold(0.0, f64::max)
    }

    fn misfits(&self, family: &Family<'_>) -> Vec<ReadingMisfit> {
        let misfit = |(taken, predicted): (&Taken, &f64)| ReadingMisfit {
            reading: family.reading_name(taken.of),
            mm: taken.millimetres - predicted,
            gear: family.gear_of(taken.of),
        };
        family.readings.iter().zip(&self.fitted.predicted).map(misfit).collect()
    }

    fn worn(&self, family: &Family<'_>) -> Vec<WornTeeth> {
        let name = |&gear: &usize| family.gears[gear].name.clone();
        let told = |worn: &Worn| WornTeeth {
            gears: std::iter::once(&worn.gear).chain(&worn.or).map(name).collect(),
            thinning_mm: worn.thinning,
        };
        self.fitted.worn.iter().map(told).collect()
    }
}

/// Heavily worn teeth are thinner by so many modules at most.
pub(super) const HEAVY_WEAR: f64 = 0.25;
/// No cutter shifts teeth further, in modules.
const LARGEST_SHIFT: f64 = 1.0 + 1e-9;

fn form(rack: &Rack, fitted: &Fitted, depth: Depth, (family, gear): (&Family<'_>, usize)) -> ToothForm {
    rack.form(depth, family.teeth(gear), fitted.shifts[gear], fitted.thinning(gear))
}

/// Whether every gear has tips at this depth, and could be read as it was.
fn stands(rack: &Rack, fitted: &Fitted, depth: Depth, family: &Family<'_>) -> bool {
    let has_tips = |gear: usize| match tip_thickness(&form(rack, fitted, depth, (family, gear))) {
        Ok(thickness) => thickness > 0.0,
        // The tips of a small ring stand inside its base circle, where they have no involute, and some width.
        Err(error) => error == ToothError::NoInvolute && family.gears[gear].teeth == Teeth::Internal,
    };
    let could_be_read = family.readings.iter().all(|taken| match taken.of {
        TakenOf::Gear(gear, measure) => {
            could_be_taken(&form(rack, fitted, depth, (family, gear)), measure, taken.millimetres)
        }
        TakenOf::Distance(_) => true,
    });
    (0..family.gears.len()).all(has_tips) && could_be_read
}

/// Whether a reading could be taken on such teeth.
fn could_be_taken(form: &ToothForm, measure: ReadingMeasure, reading: f64) -> bool {
    /// In modules: tips are rounded, and a reading is not exact.
    const SLACK: f64 = 0.05;
    let slack = SLACK * form.module;
    match measure {
        ReadingMeasure::Span(_) => form.base_radius().hypot(reading / 2.0) <= form.tip_radius() + slack,
        ReadingMeasure::Pins(pin) => pin_reading(form, pin).is_ok_and(|read| {
            let beyond_tip = match form.teeth {
                Teeth::External => read.touch_radius - form.tip_radius(),
                Teeth::Internal => form.tip_radius() - read.touch_radius,
            };
            let stands_proud = form.teeth == Teeth::Internal || read.proud_of_tips >= -slack;
            beyond_tip <= slack && stands_proud && read.clear_of_root >= -slack
        }),
        ReadingMeasure::TipDiameter | ReadingMeasure::RootDiameter => true,
    }
}

/// A pitch as module and as diametral pitch, both exact: an inch is 127/5 mm.
fn both_pitches(pitch: &Pitch) -> [Fraction; 2] {
    let inch = fraction(127, 5);
    match pitch {
        Pitch::Module(module) => [module.clone(), inch / module],
        Pitch::Diametral(pitch) => [inch / pitch, pitch.clone()],
    }
}
