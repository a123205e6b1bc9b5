//! Which questions about balance cannot be asked?
//!
//! Every number is looked at before anything is worked out: sizes above zero and not absurd, angles with a side, as many
//! places, drills and depths as can be gone through.

use super::clusters::MOST_CLUSTERS;
use super::question::{
    Allowance, BalanceQuestion, ChartQuestion, ClusterWeights, Correction, CorrectionPlace, Drilling, FoundBy,
    PhaseReading, WeightAmount,
};
use super::refusal::CannotBalance;

/// The largest size of any kind that is taken.
const LARGEST: f64 = 1e7;
/// The smallest size above zero.
const SMALLEST: f64 = 1e-6;
/// So many places are gone through.
const MOST_PLACES: usize = 36;
/// So many drills.
const MOST_DRILLS: usize = 16;
/// So many weights, readings, runs, depths of a chart.
const MOST_READINGS: usize = 64;
/// So many steps of depth go into the thickness.
const MOST_STEPS: f64 = 1000.0;

type Checked = Result<(), CannotBalance>;

/// Checks a question as a whole.
pub(super) fn check(question: &BalanceQuestion) -> Checked {
    let BalanceQuestion { allowance, found, correction, clusters, chart, .. } = question;
    if allowance.is_none() && found.is_none() && clusters.is_none() && chart.is_none() && correction.is_none() {
        return Err(CannotBalance::NothingAsked);
    }
    allowance.as_ref().map_or(Ok(()), check_allowance)?;
    found.as_ref().map_or(Ok(()), check_found)?;
    check_good_to(question)?;
    if let Some(size) = question.size {
        above_zero("the width of the rotor", size.width.unwrap_or(1.0))?;
        above_zero("the diameter of the rotor", size.diameter)?;
    }
    clusters.as_ref().map_or(Ok(()), check_clusters)?;
    chart.as_ref().map_or(Ok(()), check_chart)?;
    if found.is_some() && question.seen_from.is_none() {
        return Err(CannotBalance::NoSide);
    }
    if let Some(correction) = correction {
        check_correction(correction)?;
        if found.is_none() {
            return Err(CannotBalance::NothingFound);
        }
        if allowance.is_none() && correction.drilling.is_some() {
            return Err(CannotBalance::NoAllowance);
        }
    }
    Ok(())
}

fn check_allowance(allowance: &Allowance) -> Checked {
    match allowance {
        Allowance::GramMillimetres(allowed) => above_zero("the allowed unbalance", *allowed),
        Allowance::Grade { grade, kilograms, rpm, from_bearings, .. } => {
            above_zero("the grade", *grade)?;
            above_zero("the mass of the rotor", *kilograms)?;
            above_zero("the speed", *rpm)?;
            let [first, second] = from_bearings.unwrap_or([1.0; 2]);
            above_zero("the distance from a bearing", first)?;
            above_zero("the distance from a bearing", second)
        }
    }
}

fn check_found(found: &FoundBy) -> Checked {
    match found {
        FoundBy::Weights { weights, planes } => {
            at_most("weights", weights.len(), MOST_READINGS)?;
            for weight in weights {
                match weight.amount {
                    // A rotor in which nothing is found is in balance.
                    WeightAmount::GramMillimetres(amount) => zero_or_more("an unbalance", amount)?,
                    WeightAmount::AtRadius { .. } => check_weight(weight.amount)?,
                }
                finite("the angle of a weight", weight.degrees)?;
                finite("the place of a weight along the axis", weight.along_axis)?;
            }
            let Some([first, second]) = *planes else { return Ok(()) };
            finite("the place of a plane", first)?;
            finite("the place of a plane", second)?;
            if (first - second).abs() < SMALLEST { Err(CannotBalance::OnePlaneTwice { at: first }) } else { Ok(()) }
        }
        FoundBy::Phases { as_found, trials } => {
            at_most("readings", as_found.len().max(trials.len()), MOST_READINGS)?;
            as_found.iter().try_for_each(check_reading)?;
            trials.iter().try_for_each(|trial| {
                check_weight(trial.weight)?;
                finite("the angle of a trial weight", trial.degrees)?;
                trial.readings.iter().try_for_each(check_reading)
            })
        }
        FoundBy::Runs { as_found, trials } => {
            at_most("runs", trials.len(), MOST_READINGS)?;
            zero_or_more("a reading", *as_found)?;
            for run in trials {
                check_weight(run.weight)?;
                finite("the angle of a trial weight", run.degrees)?;
                zero_or_more("a reading", run.reading)?;
            }
            let sizes = || trials.iter().map(|run| run.weight.gram_millimetres());
            let (least, most) = (sizes().fold(f64::INFINITY, f64::min), sizes().fold(0.0, f64::max));
            if most - least > 1e-6 * most { Err(CannotBalance::TrialsDiffer) } else { Ok(()) }
        }
    }
}

fn check_weight(amount: WeightAmount) -> Checked {
    match amount {
        WeightAmount::AtRadius { grams, radius } => {
            above_zero("a weight", grams)?;
            above_zero("the radius of a weight", radius)
        }
        WeightAmount::GramMillimetres(amount) => above_zero("an unbalance", amount),
    }
}

fn check_reading(reading: &PhaseReading) -> Checked {
    zero_or_more("a reading", reading.amount)?;
    finite("a phase", reading.degrees)
}

fn check_good_to(question: &BalanceQuestion) -> Checked {
    let good_to = question.good_to;
    for (what, value) in [
        ("what weights are good to", good_to.grams),
        ("what radii are good to", good_to.radius),
        ("what angles are good to", good_to.degrees),
        ("what readings are good to", good_to.reading),
    ] {
        zero_or_more(what, value.unwrap_or(0.0))?;
    }
    Ok(())
}

fn check_clusters(clusters: &ClusterWeights) -> Checked {
    at_most("planets on pins", clusters.grams.len(), MOST_CLUSTERS)?;
    if clusters.grams.len() < 2 {
        return Err(CannotBalance::FewClusters);
    }
    above_zero("the radius of the pin circle", clusters.pin_radius)?;
    clusters.grams.iter().try_for_each(|grams| above_zero("the weight of a planet", *grams))
}

fn check_chart(chart: &ChartQuestion) -> Checked {
    at_most("drills", chart.drills.len(), MOST_DRILLS)?;
    at_most("depths", chart.depths.len(), MOST_READINGS)?;
    above_zero("the density", chart.material.density())?;
    chart.drills.iter().try_for_each(|drill| above_zero("the diameter of a drill", *drill))?;
    chart.depths.iter().try_for_each(|depth| above_zero("a depth", *depth))
}

fn check_correction(correction: &Correction) -> Checked {
    let places = &correction.places;
    at_most("places", places.len(), MOST_PLACES)?;
    if places.is_empty() {
        return Err(CannotBalance::NoPlace);
    }
    for (number, place) in places.iter().enumerate() {
        above_zero("the radius of a place", place.radius)?;
        finite("the angle of a place", place.degrees)?;
        if places[..number].iter().any(|other| is_same(*other, *place)) {
            return Err(CannotBalance::PlaceTwice { degrees: place.degrees });
        }
    }
    correction.drilling.as_ref().map_or(Ok(()), |drilling| check_drilling(drilling, places))
}

fn is_same(first: CorrectionPlace, second: CorrectionPlace) -> bool {
    let apart = super::unbalance::degrees_apart(first.degrees, second.degrees);
    apart < SMALLEST && (first.radius - second.radius).abs() < SMALLEST
}

fn check_drilling(drilling: &Drilling, places: &[CorrectionPlace]) -> Checked {
    at_most("drills", drilling.drills.len(), MOST_DRILLS)?;
    at_most("drilled holes", drilling.drilled.len(), MOST_PLACES)?;
    if drilling.drills.is_empty() && drilling.drilled.is_empty() {
        return Err(CannotBalance::NoDrill);
    }
    drilling.drills.iter().try_for_each(|drill| above_zero("the diameter of a drill", *drill))?;
    above_zero("the density", drilling.material.density())?;
    above_zero("the thickness", drilling.thickness)?;
    zero_or_more("the wall", drilling.wall)?;
    above_zero("the step of depth", drilling.depth_step)?;
    zero_or_more("the least depth", drilling.least_depth)?;
    above_zero("the outer radius", drilling.outer_radius.unwrap_or(1.0))?;
    if drilling.thickness > MOST_STEPS * drilling.depth_step {
        return Err(CannotBalance::Absurd { what: "the step of depth", value: drilling.depth_step });
    }
    if drilling.wall >= drilling.thickness {
        return Err(CannotBalance::NothingToDrill { wall: drilling.wall, thickness: drilling.thickness });
    }
    let inner = places.iter().map(|place| place.radius).fold(f64::INFINITY, f64::min);
    if let Some(&drill) = drilling.drills.iter().find(|drill| **drill >= 2.0 * inner) {
        return Err(CannotBalance::DrillBeyondAxis { drill, radius: inner });
    }
    for hole in &drilling.drilled {
        above_zero("the diameter of a hole", hole.drill)?;
        above_zero("the depth of a hole", hole.depth)?;
        finite("the angle of a hole", hole.degrees)?;
        if hole.depth > drilling.thickness {
            return Err(CannotBalance::HoleThroughAll { depth: hole.depth, thickness: drilling.thickness });
        }
        if !places.iter().any(|place| hole.is_at(*place)) {
            return Err(CannotBalance::HoleAtNoPlace { degrees: hole.degrees });
        }
    }
    Ok(())
}

fn at_most(what: &'static str, count: usize, most: usize) -> Checked {
    if count > most { Err(CannotBalance::TooMany { what, count, most }) } else { Ok(()) }
}

fn above_zero(what: &'static str, value: f64) -> Checked {
    if (SMALLEST..=LARGEST).contains(&value) { Ok(()) } else { Err(CannotBalance::Absurd { what, value }) }
}

fn zero_or_more(what: &'static str, value: f64) -> Checked {
    if (0.0..=LARGEST).contains(&value) { Ok(()) } else { Err(CannotBalance::Absurd { what, value }) }
}

fn finite(what: &'static str, value: f64) -> Checked {
    if value.abs() <= LARGEST { Ok(()) } else { Err(CannotBalance::Absurd { what, value }) }
}
