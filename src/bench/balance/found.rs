//! What was found, as an unbalance in each plane, and what is it good to?
//!
//! However it was found, the answer is one vector a plane: the heavy spot. What it is good to follows by moving every
//! number that was read by what it is good to, one after the other: readings err independently, so the answer errs by
//! the root of the sum of the squares of what each makes of it.

use num_complex::Complex64;

use super::answer::{InfluenceCoefficient, RunReading, TakenGoodTo, TrialAnswers};
use super::influence::{Influence, one_plane, two_planes};
use super::planes::carried_to_planes;
use super::question::{
    FoundBy, FoundWeight, PhaseReading, ReadingsGoodTo, TrialRun, TrialWithPhase, WeightAmount, WeightSense,
};
use super::refusal::CannotBalance;
use super::runs::{UnphasedRun, told_by_runs};
use super::unbalance::Unbalance;

/// What was found of a rotor.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FoundInPlanes {
    /// The heavy spot of each plane, one or two.
    pub(super) planes: Vec<Complex64>,
    /// The other one that would give the same readings.
    pub(super) mirrored: Option<Complex64>,
    /// How trials answered.
    pub(super) trials: Option<TrialAnswers>,
}

/// The unbalance by what was read.
pub(super) fn found(by: &FoundBy) -> Result<FoundInPlanes, CannotBalance> {
    match by {
        FoundBy::Weights { weights, planes } => Ok(by_weights(weights, *planes)),
        FoundBy::Phases { as_found, trials } => by_phases(as_found, trials),
        FoundBy::Runs { as_found, trials } => by_runs(*as_found, trials),
    }
}

fn by_weights(weights: &[FoundWeight], planes: Option<[f64; 2]>) -> FoundInPlanes {
    let heavy = |weight: &FoundWeight| {
        let unbalance = weight.amount.at(weight.degrees);
        match weight.sense {
            WeightSense::Heavy => unbalance,
            WeightSense::Balancing => unbalance.opposite(),
        }
    };
    let placed: Vec<(Unbalance, f64)> = weights.iter().map(|weight| (heavy(weight), weight.along_axis)).collect();
    let planes = match planes {
        Some(planes) => carried_to_planes(&placed, planes).map(Unbalance::vector).to_vec(),
        None => vec![placed.iter().map(|(unbalance, _)| unbalance.vector()).sum()],
    };
    FoundInPlanes { planes, mirrored: None, trials: None }
}

fn by_phases(as_found: &[PhaseReading], trials: &[TrialWithPhase]) -> Result<FoundInPlanes, CannotBalance> {
    match (as_found, trials) {
        ([found], [trial]) => Ok(in_planes(&one_plane([found.vector()], [trial.vector()], [trial.read()?])?)),
        ([left, right], [first, second]) => {
            let (as_found, trials) = ([left.vector(), right.vector()], [first.vector(), second.vector()]);
            Ok(in_planes(&two_planes(as_found, trials, [first.read()?, second.read()?])?))
        }
        _ => Err(CannotBalance::ReadingsDoNotMatch { readings: as_found.len(), trials: trials.len() }),
    }
}

/// What is heavy is opposite to what balances it.
fn in_planes<const N: usize>(told: &Influence<N>) -> FoundInPlanes {
    let coefficient = |reading: usize, plane: usize| {
        let coefficient = Unbalance::of(told.coefficients[reading][plane]);
        let (per_g_mm, degrees) = (coefficient.g_mm, coefficient.degrees);
        InfluenceCoefficient { reading: reading + 1, plane: plane + 1, per_g_mm, degrees }
    };
    let trials = TrialAnswers {
        predicted: Vec::new(),
        closing: None,
        agrees: true,
        tells: told.tells.to_vec(),
        influence: (0..N).flat_map(|reading| (0..N).map(move |plane| coefficient(reading, plane))).collect(),
    };
    let planes = told.corrections.iter().map(|correction| -correction).collect();
    FoundInPlanes { planes, mirrored: None, trials: Some(trials) }
}

fn by_runs(as_found: f64, trials: &[TrialRun]) -> Result<FoundInPlanes, CannotBalance> {
    let runs: Vec<UnphasedRun> =
        trials.iter().map(|run| UnphasedRun { degrees: run.degrees, reading: run.reading }).collect();
    let told = told_by_runs(as_found, &runs)?;
    let trial = trials.first().map_or(0.0, |run| run.weight.gram_millimetres());
    let predicted = |(run, predicted): (&UnphasedRun, &f64)| RunReading {
        degrees: Unbalance::new(0.0, run.degrees).degrees,
        read: run.reading,
        predicted: *predicted,
    };
    let answers = TrialAnswers {
        predicted: runs.iter().zip(&told.predicted).map(predicted).collect(),
        closing: told.closing,
        agrees: told.agrees(as_found, &runs),
        tells: Vec::new(),
        influence: Vec::new(),
    };
    Ok(FoundInPlanes {
        planes: vec![-told.correction * trial],
        mirrored: told.mirrored.map(|correction| -correction * trial),
        trials: Some(answers),
    })
}

impl PhaseReading {
    fn vector(self) -> Complex64 {
        Complex64::from_polar(self.amount, self.degrees.to_radians())
    }
}

impl TrialWithPhase {
    fn vector(&self) -> Complex64 {
        self.weight.at(self.degrees).vector()
    }

    /// As many readings as there are planes.
    fn read<const N: usize>(&self) -> Result<[Complex64; N], CannotBalance> {
        let readings: Vec<Complex64> = self.readings.iter().map(|reading| reading.vector()).collect();
        let trials = readings.len();
        readings.try_into().map_err(|_| CannotBalance::ReadingsDoNotMatch { readings: N, trials })
    }
}

/// What readings are good to where it is not said.
const USUAL_GRAMS: f64 = 0.5;
const USUAL_RADIUS: f64 = 1.0;
const USUAL_DEGREES: f64 = 2.0;
/// A part of the reading as found.
const USUAL_READING: f64 = 0.03;

/// What the unbalance of a plane is good to, in g mm.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct UnbalanceGoodTo {
    /// The vector.
    pub(super) whole: f64,
    /// Its size alone, which does not change with its angle.
    pub(super) size: f64,
}

/// What the unbalance of each plane is good to.
pub(super) fn within(by: &FoundBy, planes: &[Complex64], good_to: &ReadingsGoodTo) -> Vec<UnbalanceGoodTo> {
    let mut squares = vec![UnbalanceGoodTo::default(); planes.len()];
    for moved in moved(by, good_to) {
        // A reading that another answer needs to exist at all is good to nothing: the whole of it is open.
        let changed = found(&moved).map(|found| found.planes).unwrap_or_default();
        for (number, plane) in planes.iter().enumerate() {
            let other = changed.get(number);
            squares[number].whole += other.map_or(plane.norm_sqr(), |other| (other - plane).norm_sqr());
            squares[number].size += other.map_or(plane.norm_sqr(), |other| (other.norm() - plane.norm()).powi(2));
        }
    }
    let root = |squares: UnbalanceGoodTo| UnbalanceGoodTo { whole: squares.whole.sqrt(), size: squares.size.sqrt() };
    squares.into_iter().map(root).collect()
}

/// The same with one number after the other as far off as it is good to.
fn moved(by: &FoundBy, good_to: &ReadingsGoodTo) -> Vec<FoundBy> {
    let degrees = good_to.degrees.unwrap_or(USUAL_DEGREES);
    match by {
        FoundBy::Weights { weights, planes } => {
            let with = |weights| FoundBy::Weights { weights, planes: *planes };
            let of_weight = |number: usize| {
                let amounts = moved_amounts(weights[number].amount, good_to);
                let heavier = amounts.into_iter().map(move |amount| FoundWeight { amount, ..weights[number] });
                let turned = FoundWeight { degrees: weights[number].degrees + degrees, ..weights[number] };
                heavier.chain([turned]).map(move |weight| replaced(weights, number, weight))
            };
            (0..weights.len()).flat_map(of_weight).map(with).collect()
        }
        FoundBy::Phases { as_found, trials } => {
            let reading = good_to.reading.unwrap_or_else(|| USUAL_READING * largest(as_found));
            let with_found = |as_found| FoundBy::Phases { as_found, trials: trials.clone() };
            let with_trials = |trials| FoundBy::Phases { as_found: as_found.clone(), trials };
            let mut all: Vec<FoundBy> =
                moved_readings(as_found, reading, degrees).into_iter().map(with_found).collect();
            for (number, trial) in trials.iter().enumerate() {
                let readings = moved_readings(&trial.readings, reading, degrees).into_iter();
                let amounts = moved_amounts(trial.weight, good_to).into_iter();
                let read = readings.map(|readings| TrialWithPhase { readings, ..trial.clone() });
                let heavier = amounts.map(|weight| TrialWithPhase { weight, ..trial.clone() });
                all.extend(read.chain(heavier).map(|trial| with_trials(replaced(trials, number, trial))));
            }
            all
        }
        FoundBy::Runs { as_found, trials } => {
            let reading = good_to.reading.unwrap_or(USUAL_READING * as_found);
            let mut all = vec![FoundBy::Runs { as_found: as_found + reading, trials: trials.clone() }];
            for (number, run) in trials.iter().enumerate() {
                let read = TrialRun { reading: run.reading + reading, ..*run };
                all.push(FoundBy::Runs { as_found: *as_found, trials: replaced(trials, number, read) });
            }
            // The trial is the same in every run.
            let amounts = trials.first().map(|run| moved_amounts(run.weight, good_to)).unwrap_or_default();
            all.extend(amounts.into_iter().map(|weight| FoundBy::Runs {
                as_found: *as_found,
                trials: trials.iter().map(|run| TrialRun { weight, ..*run }).collect(),
            }));
            all
        }
    }
}

fn replaced<T: Clone>(all: &[T], number: usize, by: T) -> Vec<T> {
    let mut all = all.to_vec();
    all[number] = by;
    all
}

fn moved_amounts(amount: WeightAmount, good_to: &ReadingsGoodTo) -> Vec<WeightAmount> {
    match amount {
        WeightAmount::GramMillimetres(_) => Vec::new(),
        WeightAmount::AtRadius { grams, radius } => vec![
            WeightAmount::AtRadius { grams: grams + good_to.grams.unwrap_or(USUAL_GRAMS), radius },
            WeightAmount::AtRadius { grams, radius: radius + good_to.radius.unwrap_or(USUAL_RADIUS) },
        ],
    }
}

fn moved_readings(readings: &[PhaseReading], by: f64, degrees: f64) -> Vec<Vec<PhaseReading>> {
    let of_one = |number: usize| {
        let reading = readings[number];
        let larger = PhaseReading { amount: reading.amount + by, ..reading };
        let turned = PhaseReading { degrees: reading.degrees + degrees, ..reading };
        [larger, turned].map(|moved| replaced(readings, number, moved))
    };
    (0..readings.len()).flat_map(of_one).collect()
}

fn largest(readings: &[PhaseReading]) -> f64 {
    readings.iter().map(|reading| reading.amount).fold(0.0, f64::max)
}

/// What readings are taken to be good to.
pub(super) fn taken_good_to(by: &FoundBy, good_to: &ReadingsGoodTo) -> TakenGoodTo {
    let usual_reading = match by {
        FoundBy::Weights { .. } => None,
        FoundBy::Phases { as_found, .. } => Some(USUAL_READING * largest(as_found)),
        FoundBy::Runs { as_found, .. } => Some(USUAL_READING * as_found),
    };
    let ReadingsGoodTo { grams, radius, degrees, reading } = *good_to;
    TakenGoodTo {
        grams: grams.unwrap_or(USUAL_GRAMS),
        radius_mm: radius.unwrap_or(USUAL_RADIUS),
        degrees: degrees.unwrap_or(USUAL_DEGREES),
        reading: usual_reading.map(|usual| reading.unwrap_or(usual)),
        is_said: [grams, radius, degrees].iter().all(Option::is_some) && (reading.is_some() || usual_reading.is_none()),
    }
}
