//! Which base pitches do readings of one gear tell by themselves, and is there a standard pitch that has them?
//!
//! `(W_l - W_k) / (l - k)` of two spans, whatever shift and wear; of two readings with pins by
//! [`base_pitch_from_pins`]. With readings good to u and v a difference is good to `sqrt(u^2 + v^2)`. A base pitch further
//! than three times that from every standard one was not measured on sound flanks.

use super::answer::BasePitchReading;
use super::family::{Family, Taken, TakenOf};
use super::question::ReadingMeasure;
use super::rack::Rack;
use crate::tooth::{PinMeasurement, Teeth, ToothForm, base_pitch_from_pins};

/// The base pitches that a family tells, gear by gear.
pub(super) fn base_pitches(family: &Family<'_>) -> Vec<BasePitchReading> {
    (0..family.gears.len()).flat_map(|gear| [by_spans(family, gear), by_pins(family, gear)].concat()).collect()
}

/// From each span to the next larger one.
fn by_spans(family: &Family<'_>, gear: usize) -> Vec<BasePitchReading> {
    let mut spans: Vec<(u16, &Taken)> = family.readings.iter().filter_map(|taken| span_of(taken, gear)).collect();
    spans.sort_by_key(|(teeth, _)| *teeth);
    spans.dedup_by_key(|(teeth, _)| *teeth);
    let between = |pair: &[(u16, &Taken)]| {
        let [(few, less), (many, more)] = [pair[0], pair[1]];
        let steps = f64::from(many - few);
        BasePitchReading {
            gear: family.gears[gear].name.clone(),
            readings: format!("spans over {few} and {many} teeth"),
            millimetres: (more.millimetres - less.millimetres) / steps,
            within_mm: more.within.hypot(less.within) / steps,
        }
    };
    spans.windows(2).map(between).collect()
}

fn span_of(taken: &Taken, gear: usize) -> Option<(u16, &Taken)> {
    match taken.of {
        TakenOf::Gear(of, ReadingMeasure::Span(teeth)) if of == gear => Some((teeth, taken)),
        TakenOf::Gear(..) | TakenOf::Distance(_) => None,
    }
}

/// From each size of pins to the next.
fn by_pins(family: &Family<'_>, gear: usize) -> Vec<BasePitchReading> {
    let of_gear = family.readings.iter().filter_map(|taken| match taken.of {
        TakenOf::Gear(of, ReadingMeasure::Pins(pin)) if of == gear => Some((pin, taken)),
        TakenOf::Gear(..) | TakenOf::Distance(_) => None,
    });
    let mut pins: Vec<(f64, &Taken)> = of_gear.collect();
    pins.sort_by(|a, b| a.0.total_cmp(&b.0));
    pins.windows(2).filter_map(|pair| by_two_pins(family, gear, [pair[0], pair[1]])).collect()
}

fn by_two_pins(family: &Family<'_>, gear: usize, pins: [(f64, &Taken); 2]) -> Option<BasePitchReading> {
    let (teeth, tooth_count) = family.teeth(gear);
    // Only the kind and the count of teeth are looked at.
    let form = ToothForm::standard(teeth, tooth_count, 1.0);
    let pitch = |more: [f64; 2]| {
        let [a, b] =
            [0, 1].map(|place| PinMeasurement { pin: pins[place].0, reading: pins[place].1.millimetres + more[place] });
        base_pitch_from_pins(&form, a, b).ok()
    };
    let [first, second] = pins.map(|(_, taken)| taken.within);
    let found = pitch([0.0, 0.0])?;
    let within = (pitch([first, 0.0])? - found).hypot(pitch([0.0, second])? - found);
    let word = if teeth == Teeth::Internal { "between" } else { "over" };
    Some(BasePitchReading {
        gear: family.gears[gear].name.clone(),
        readings: format!("{word} pins of {} and {} mm", pins[0].0, pins[1].0),
        millimetres: found,
        within_mm: within,
    })
}

/// The measured base pitches that no rack has.
pub(super) fn of_no_standard(pitches: &[BasePitchReading], racks: &[&Rack]) -> Vec<BasePitchReading> {
    let is_standard = |read: &BasePitchReading| {
        racks.iter().any(|rack| (rack.base_pitch() - read.millimetres).abs() <= 3.0 * read.within_mm)
    };
    pitches.iter().filter(|read| !is_standard(read)).cloned().collect()
}
