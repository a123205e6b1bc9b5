//! What are these teeth: their pitch, pressure angle, depth and shift, by what was read of them?
//!
//! Every usual rack is fitted to the readings ([`fit`]), and what is left over says whether it may be: candidates are
//! ranked by their sum of squares of misfit over uncertainty, and where several are left the reading is looked for that
//! tells them apart ([`next`]). Thickness alone never tells wear from shift; a diameter at the tips or roots does, or a
//! centre distance beside a mate that has one. Gears that mesh are taken as cut alike and fitted together.

mod answer;
mod base_pitch;
mod candidate;
mod checks;
mod contradiction;
mod described;
mod family;
mod fit;
mod next;
mod of_gearset;
mod predict;
mod question;
mod rack;

pub use answer::{
    BasePitchReading, CandidateGear, ContradictingReading, Identification, IdentifiedFamily, NextMeasurement,
    PitchAgreement, PitchAsDescribed, Predicted, ReadingMisfit, TakenReading, ToothCandidate, ToothVerdict, WornTeeth,
};
pub use checks::CannotIdentify;
pub use question::{
    DescribedPitch, GearReading, IdentifyQuestion, KnownTeeth, MeasuredDistance, MeasuredGear, MeasuredMesh,
    ReadingMeasure,
};

use candidate::{HEAVY_WEAR, RankedTeeth};
use family::{Family, Taken, TakenOf};
use rack::{Rack, racks};

/// So many candidates that do not fit are told, the nearest.
const MOST_DEAD: usize = 4;

/// What the teeth may be.
///
/// # Errors
/// [`CannotIdentify`] where a reading cannot be, or there is none.
///
/// # Examples
/// ```
/// use toothmark::fit::{GearReading, IdentifyQuestion, MeasuredGear, ReadingMeasure, identify};
/// use toothmark::tooth::Teeth;
/// let over = |teeth, millimetres| GearReading { measure: ReadingMeasure::Span(teeth), millimetres, within: Some(0.02) };
/// let readings = vec![over(3, 21.896), over(4, 30.228)];
/// let gear = MeasuredGear { name: "planet".into(), teeth: Teeth::External, tooth_count: 27, readings };
/// let answer = identify(&IdentifyQuestion { gears: vec![gear], ..IdentifyQuestion::default() }).unwrap();
/// assert_eq!(answer.candidates[0].pitch, "9 DP");
/// assert_eq!(answer.candidates[1].pitch, "module 2.75");
/// assert_eq!(answer.next.unwrap().reading, "outside diameter");
/// ```
pub fn identify(question: &IdentifyQuestion) -> Result<Identification, CannotIdentify> {
    checks::check(question)?;
    let mut candidates = Vec::new();
    let mut families = Vec::new();
    for family in family::families(question) {
        checks::check_family(&family)?;
        let ranked = ranked(question, &family)?;
        let number = families.len();
        families.push(identified(question, &family, &ranked));
        let alive = ranked.iter().filter(|candidate| candidate.is_alive).count();
        candidates.extend(ranked.iter().take(alive + MOST_DEAD).map(|candidate| candidate.told(&family, number)));
    }
    let next = families.iter().find_map(|family: &IdentifiedFamily| family.next().cloned());
    Ok(Identification { candidates, next, families })
}

/// Teeth thinner by more than so many modules are heavily worn; stub teeth look so that are taken for full ones.
const USUAL_WEAR: f64 = 0.1;

/// The candidates of a family, the best first.
fn ranked(question: &IdentifyQuestion, family: &Family<'_>) -> Result<Vec<RankedTeeth>, CannotIdentify> {
    let racks = racks(&question.known, family.height_read());
    let fitted = |most_wear: f64| -> Vec<RankedTeeth> {
        let fit = |rack: &Rack| Some((rack.clone(), fit::best_fit(rack, family, most_wear)?));
        racks.iter().filter_map(fit).map(|(rack, fitted)| RankedTeeth::new(rack, fitted, family)).collect()
    };
    let mut candidates = fitted(USUAL_WEAR);
    if !candidates.iter().any(|candidate| candidate.is_alive) {
        // Heavily worn teeth are looked for where nothing else fits.
        candidates = fitted(HEAVY_WEAR);
    }
    candidates.sort_by(|a, b| {
        let (a, b) = (a.rank(), b.rank());
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
    });
    if candidates.is_empty() { Err(checks::no_teeth(family)) } else { Ok(candidates) }
}

/// What is told of a family as a whole.
fn identified(question: &IdentifyQuestion, family: &Family<'_>, candidates: &[RankedTeeth]) -> IdentifiedFamily {
    let alive = candidates.iter().filter(|candidate| candidate.is_alive).count();
    let open = next::open_between(candidates);
    let measurements = open.map(|two| next::measurements(question, family, two)).unwrap_or_default();
    let base_pitches = base_pitch::base_pitches(family);
    let tells = measurements.first().is_some_and(|first| first.separates_by >= next::TELLING);
    let verdict = match open {
        _ if alive == 0 => {
            let standard: Vec<&Rack> = candidates.iter().map(|candidate| &candidate.rack).collect();
            let is_standard = base_pitch::of_no_standard(&base_pitches, &standard).is_empty();
            if is_standard { ToothVerdict::NothingFits } else { ToothVerdict::NoStandardPitch }
        }
        None => ToothVerdict::Told,
        Some(two) if !next::are_of_two_pitches(two) => ToothVerdict::DepthOpen,
        Some(_) if tells => ToothVerdict::Several,
        Some(_) => ToothVerdict::CannotBeToldApart,
    };
    let best = candidates.first().filter(|candidate| candidate.is_alive);
    IdentifiedFamily {
        gears: family.gears.iter().map(|gear| gear.name.clone()).collect(),
        verdict,
        alive,
        may_be_composite: best.is_some_and(|best| may_be_composite(best, &base_pitches)),
        doubtful_spans: best.map(|best| doubtful_spans(best, family)).unwrap_or_default(),
        contradicting: if alive == 0 { contradiction::contradicting(question, family) } else { None },
        base_pitches,
        measurements,
        readings: family.readings.iter().map(|taken| taken_reading(family, taken)).collect(),
        described: described::described(question, family, best),
    }
}

impl IdentifiedFamily {
    /// What to measure next, if anything tells more.
    pub fn next(&self) -> Option<&NextMeasurement> {
        self.measurements.first().filter(|first| first.separates_by >= next::TELLING)
    }
}

/// Old teeth of 14 1/2 degrees are involutes near the pitch circle only: two base pitches that agree show that these are.
fn may_be_composite(best: &RankedTeeth, base_pitches: &[BasePitchReading]) -> bool {
    best.rack.angle == crate::exact::fraction(29, 2) && base_pitches.len() < 2
}

/// Spans that were taken where the best candidate has no sound flank for the jaws.
fn doubtful_spans(best: &RankedTeeth, family: &Family<'_>) -> Vec<String> {
    let is_doubtful = |taken: &&Taken| match taken.of {
        TakenOf::Gear(gear, ReadingMeasure::Span(teeth)) => {
            let depth = best.rack.depths[0];
            !next::sound_spans(&best.form(family, gear, depth)).contains(&teeth)
        }
        TakenOf::Gear(..) | TakenOf::Distance(_) => false,
    };
    family.readings.iter().filter(is_doubtful).map(|taken| family.reading_name(taken.of)).collect()
}

fn taken_reading(family: &Family<'_>, taken: &Taken) -> TakenReading {
    TakenReading {
        reading: family.reading_name(taken.of),
        gear: family.gear_of(taken.of),
        mm: taken.millimetres,
        within_mm: taken.within,
        within_is_given: !taken.is_usual,
    }
}
