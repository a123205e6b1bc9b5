//! Do the readings agree with the pitch that the description says?
//!
//! Teeth of that pitch alone are fitted to the readings, as all usual ones are: they may fit best, or as well as others, or
//! be ruled out.

use super::answer::{PitchAgreement, PitchAsDescribed};
use super::candidate::RankedTeeth;
use super::family::Family;
use super::fit::NINE;
use super::question::{IdentifyQuestion, KnownTeeth};
use super::rack::pitch_name;
use super::ranked;
use crate::gearset::Pitch;

/// Every described pitch of the family once.
pub(super) fn described(
    question: &IdentifyQuestion,
    family: &Family<'_>,
    best: Option<&RankedTeeth>,
) -> Vec<PitchAsDescribed> {
    let mut pitches: Vec<&Pitch> = Vec::new();
    for told in question.described.iter().filter(|told| family.places.contains(&told.gear)) {
        if !pitches.iter().any(|pitch| pitch.exact_module() == told.pitch.exact_module()) {
            pitches.push(&told.pitch);
        }
    }
    pitches.into_iter().map(|pitch| as_described(question, family, best, pitch)).collect()
}

fn as_described(
    question: &IdentifyQuestion,
    family: &Family<'_>,
    best: Option<&RankedTeeth>,
    pitch: &Pitch,
) -> PitchAsDescribed {
    let known = KnownTeeth { pitch: Some(pitch.clone()), ..question.known.clone() };
    let alone = IdentifyQuestion { known, ..question.clone() };
    let fitted = ranked(&alone, family).ok().and_then(|ranked| ranked.into_iter().next());
    let is_best = || best.is_some_and(|best| best.rack.pitch.exact_module() == pitch.exact_module());
    let is_remote =
        |fitted: &RankedTeeth| best.is_some_and(|best| fitted.fitted.chi_squared - best.fitted.chi_squared > NINE);
    let agreement = match &fitted {
        Some(fitted) if fitted.is_alive && is_best() => PitchAgreement::Best,
        Some(fitted) if fitted.is_alive && !is_remote(fitted) => PitchAgreement::Fits,
        Some(fitted) if fitted.is_alive => PitchAgreement::Unlikely,
        _ => PitchAgreement::RuledOut,
    };
    let misfit_mm = fitted.map(|fitted| fitted.worst_misfit(family));
    PitchAsDescribed { pitch: pitch_name(pitch), agreement, misfit_mm }
}
