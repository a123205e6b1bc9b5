//! Is a rotor in balance, and where and how deep is it to be drilled?
//!
//! What may be left follows from a grade, the mass and the fastest speed ([`allowed`]); what was found from weights, from
//! readings with phase in one or two planes, or from runs with a trial weight and no phase ([`found`]). Then come the
//! fewest holes that bring it down, proven over all choices ([`plan`]). Planets of unequal weight are a question of their
//! own ([`clusters`]), and so is the chart of drills ([`chart`]). Nothing here says that a rotor is strong enough.

mod allowed;
mod answer;
mod chart;
mod checks;
mod clusters;
mod found;
mod hole;
mod influence;
mod material;
mod plan;
mod plane;
mod planes;
mod question;
mod refusal;
mod runs;
mod speed;
mod unbalance;

pub use allowed::{USUAL_GRADE, felt_on_knife_edges, permissible_unbalance, shares_of_planes};
pub use answer::{
    BalanceCaution, BalanceVerdict, DrillingPlace, DrillingTerms, FoundUnbalance, GradeAllowance, InfluenceCoefficient,
    PlaneBalance, RotorBalance, RunReading, TakenGoodTo, TrialAnswers, WeightToPutOn,
};
pub use chart::{DrillChart, DrillChartRow};
pub use clusters::{ClusterOnPin, ClusterPlacing};
pub use hole::{HoleDirection, hole_grams, hole_unbalance, point_of_drill};
pub use material::DrilledMaterial;
pub use plan::{PlanLimit, PlannedHole};
pub use planes::{carried_to_planes, split_between};
pub use question::{
    Allowance, BalanceQuestion, ChartQuestion, ClusterWeights, Correction, CorrectionPlace, DrilledHole, Drilling,
    FoundBy, FoundWeight, PhaseReading, ReadingsGoodTo, RotorSize, TrialRun, TrialWithPhase, WeightAmount, WeightSense,
};
pub use refusal::CannotBalance;
pub use speed::{FastestSpeed, fastest_speed};
pub use unbalance::{GRAM_MILLIMETRES_PER_OUNCE_INCH, GRAMS_PER_OUNCE, Unbalance};

use num_complex::Complex64;

use plane::PlaneAsked;

/// What is to be done with a rotor.
///
/// # Errors
/// [`CannotBalance`] where a number cannot be, readings tell nothing, or something is missing.
///
/// # Examples
/// ```
/// use toothmark::bench::{
///     Allowance, BalanceQuestion, Correction, CorrectionPlace, Drilling, FoundBy, FoundWeight, WeightAmount, WeightSense,
///     balance,
/// };
/// use toothmark::gearset::Side;
/// let heavy = WeightAmount::GramMillimetres(1100.0);
/// let heavy = FoundWeight { amount: heavy, degrees: 25.0, sense: WeightSense::Heavy, along_axis: 0.0 };
/// let places = (0..12).map(|place| CorrectionPlace { degrees: 30.0 * f64::from(place), radius: 95.0 }).collect();
/// let drills = vec![6.0, 8.0, 10.0, 12.0];
/// let drilling = Drilling { drills, thickness: 26.0, wall: 4.0, ..Drilling::default() };
/// let answer = balance(&BalanceQuestion {
///     allowance: Some(Allowance::GramMillimetres(120.0)),
///     seen_from: Some(Side::Input),
///     found: Some(FoundBy::Weights { weights: vec![heavy], planes: None }),
///     correction: Some(Correction { places, drilling: Some(drilling) }),
///     ..BalanceQuestion::default()
/// });
/// let hole = &answer.unwrap().plan[0];
/// assert_eq!((hole.place_degrees, hole.drill_mm, hole.depth_mm), (30.0, 12.0, 13.0));
/// ```
pub fn balance(question: &BalanceQuestion) -> Result<RotorBalance, CannotBalance> {
    checks::check(question)?;
    let question = &plane::with_edge(question);
    let allowed = question.allowance.as_ref().map(Allowance::gram_millimetres);
    let found = question.found.as_ref().map(found::found).transpose()?;
    let planes = match (&question.found, &found) {
        (Some(by), Some(found)) => planes_of(question, by, found)?,
        _ => Vec::new(),
    };
    let sum = |each: &dyn Fn(&PlaneBalance) -> Option<Unbalance>| -> Option<Unbalance> {
        let all: Option<Vec<Complex64>> = planes.iter().map(|plane| each(plane).map(Unbalance::vector)).collect();
        all.filter(|all| !all.is_empty()).map(|all| Unbalance::of(all.into_iter().sum()))
    };
    let trials = found.and_then(|found| found.trials);
    let verdict = planes.iter().map(|plane| plane.verdict).max_by_key(|verdict| plane::weight(*verdict));
    let mut answer = RotorBalance {
        allowed_g_mm: allowed,
        found: sum(&|plane| Some(Unbalance::new(plane.found.g_mm, plane.found.degrees)))
            .map(|sum| found_in_all(sum, &planes)),
        plan: planes.iter().flat_map(|plane| plane.plan.clone()).collect(),
        left: sum(&|plane| plane.left),
        proven: !planes.is_empty() && planes.iter().all(|plane| plane::is_decided(plane.verdict)),
        verdict: verdict.unwrap_or(BalanceVerdict::NothingFound),
        seen_from: question.seen_from.filter(|_| question.found.is_some()),
        allowance: question.allowance.as_ref().and_then(Allowance::by_grade),
        good_to: question.found.as_ref().map(|by| found::taken_good_to(by, &question.good_to)),
        drilling: question.correction.as_ref().and_then(plane::drilling_terms),
        outer_radius_mm: plane::outer_radius(question),
        cautions: Vec::new(),
        clusters: question.clusters.as_ref().map(|clusters| clusters::order(clusters, allowed)),
        chart: question.chart.as_ref().map(chart::chart),
        trials,
        planes,
    };
    answer.cautions = plane::cautions(question, &answer);
    Ok(answer)
}

/// The sum of all planes. Both follow from the same readings: their errors are not taken to cancel.
fn found_in_all(sum: Unbalance, planes: &[PlaneBalance]) -> FoundUnbalance {
    let within_g_mm = planes.iter().map(|plane| plane.found.within_g_mm).sum();
    let size_within_g_mm = match planes {
        [only] => only.found.size_within_g_mm,
        _ => within_g_mm,
    };
    FoundUnbalance { g_mm: sum.g_mm, degrees: sum.degrees, within_g_mm, size_within_g_mm }
}

/// Every plane with its share of what is allowed.
fn planes_of(
    question: &BalanceQuestion,
    by: &FoundBy,
    found: &found::FoundInPlanes,
) -> Result<Vec<PlaneBalance>, CannotBalance> {
    let within = found::within(by, &found.planes, &question.good_to);
    let shares = question.allowance.as_ref().map(|allowance| allowance.shares(found.planes.len()));
    let asked = |(number, (&vector, &good_to)): (usize, (&Complex64, &found::UnbalanceGoodTo))| PlaneAsked {
        plane: number + 1,
        found: Unbalance::of(vector),
        good_to,
        mirrored: found.mirrored.map(Unbalance::of),
        agrees: found.trials.as_ref().is_none_or(|trials| trials.agrees),
        allowed: shares.as_ref().and_then(|shares| shares.get(number).copied()),
        correction: question.correction.as_ref(),
        radius: by.radius(),
    };
    found.planes.iter().zip(&within).enumerate().map(asked).map(PlaneAsked::answered).collect()
}
