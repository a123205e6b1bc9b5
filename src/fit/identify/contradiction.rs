//! Which reading does not go with the others, where no teeth fit all of them?
//!
//! Each reading is left out in turn; of those without which usual teeth fit, the one is told whose teeth fit the others
//! best. Tips that are turned down or worn are found so, and a slip in a single reading.

use super::answer::ContradictingReading;
use super::candidate::RankedTeeth;
use super::family::{Family, TakenOf};
use super::predict::{predict, predict_distance};
use super::question::IdentifyQuestion;
use super::ranked;

/// The reading without which something fits, if there is one; two readings say nothing of one another.
pub(super) fn contradicting(question: &IdentifyQuestion, family: &Family<'_>) -> Option<ContradictingReading> {
    const FEWEST: usize = 3;
    if family.readings.len() < FEWEST {
        return None;
    }
    let without = |reading: usize| {
        let best = ranked(question, &family.without(reading)).ok()?.into_iter().next()?;
        best.is_alive.then_some((reading, best))
    };
    let found = (0..family.readings.len()).filter_map(without);
    let (reading, best) = found.min_by(|(_, a), (_, b)| a.fitted.chi_squared.total_cmp(&b.fitted.chi_squared))?;
    let taken = family.readings[reading];
    Some(ContradictingReading {
        reading: family.reading_name(taken.of),
        gear: family.gear_of(taken.of),
        teeth: best.rack.name(),
        mm: taken.millimetres - would_read(&best, family, taken.of)?,
    })
}

/// What these teeth would read.
fn would_read(best: &RankedTeeth, family: &Family<'_>, of: TakenOf) -> Option<f64> {
    let form = |gear: usize| best.form(family, gear, best.rack.depths[0]);
    match of {
        TakenOf::Gear(gear, measure) => predict(&form(gear), measure).ok().map(|read| read.millimetres),
        TakenOf::Distance([a, b]) => predict_distance(&form(a), &form(b)).ok().map(|(distance, _)| distance),
    }
}
