//! Which weight balances a rotor, where a reading has a size and no angle?
//!
//! A trial weight that makes the vector w of readings when it stands at 0 makes `w e^(i a)` at the angle a, so that the
//! reading with it is `T = |O + w e^(i a)|`, O being the reading as found, and `T^2 = c_0 + c_1 cos a + c_2 sin a` with
//! `c_0 = O^2 + V^2`, `c_1 = 2 O V cos p`, `c_2 = -2 O V sin p` for `w = V e^(i p)`. What balances it is `O / V` times the
//! trial at `180 deg - p`. Three places tell one thing more than is needed: w is the least squares of `T`, begun at what
//! the squares say, and what the readings then would be stands beside those that were taken. Two places, opposite, leave
//! two angles that mirror each other: `V^2 = (T_1^2 + T_2^2)/2 - O^2`, `cos p = (T_1^2 - T_2^2) / (4 O V)`.
//! Source: the four-run method of trade articles on balancing without phase; least squares are ours.

use num_complex::Complex64;

use super::refusal::CannotBalance;

/// A run with the trial weight at an angle, and what was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct UnphasedRun {
    pub(super) degrees: f64,
    pub(super) reading: f64,
}

/// What the runs tell.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ToldByRuns {
    /// What is to be put on, as a multiple of the trial weight standing at 0.
    pub(super) correction: Complex64,
    /// The other one that would give the same readings.
    pub(super) mirrored: Option<Complex64>,
    /// V, the reading that the trial alone would make.
    pub(super) effect: f64,
    /// What each run would read if the answer were exact.
    pub(super) predicted: Vec<f64>,
    /// `sqrt(c_1^2 + c_2^2) / (2 O V)`, which is 1 where readings agree; none with two runs.
    pub(super) closing: Option<f64>,
}

/// Misfits of this part of the reading as found, or more, are too much.
const LARGEST_MISFIT: f64 = 0.1;
/// The closing of readings that agree.
const CLOSING: std::ops::RangeInclusive<f64> = 0.85..=1.15;

impl ToldByRuns {
    /// Whether readings agree so far that something follows from them.
    pub(super) fn agrees(&self, as_found: f64, runs: &[UnphasedRun]) -> bool {
        let misfit = runs.iter().zip(&self.predicted).map(|(run, told)| (run.reading - told).abs()).fold(0.0, f64::max);
        misfit <= LARGEST_MISFIT * as_found && self.closing.is_none_or(|closing| CLOSING.contains(&closing))
    }
}

/// The weight that balances, by runs with a trial weight at two opposite places, or at three and more.
pub(super) fn told_by_runs(as_found: f64, runs: &[UnphasedRun]) -> Result<ToldByRuns, CannotBalance> {
    match runs {
        [first, second] => by_two(as_found, *first, *second),
        [_, _, ..] => by_more(as_found, runs),
        _ => Err(CannotBalance::TooFewRuns),
    }
}

/// How far from opposite two places may be, in degrees.
const OPPOSITE: f64 = 0.5;

fn by_two(as_found: f64, first: UnphasedRun, second: UnphasedRun) -> Result<ToldByRuns, CannotBalance> {
    if super::unbalance::degrees_apart(first.degrees, second.degrees) < 180.0 - OPPOSITE {
        return Err(CannotBalance::TrialsNotOpposite);
    }
    let [one, other] = [first, second].map(|run| run.reading * run.reading);
    let effect = effect_of(f64::midpoint(one, other), as_found)?;
    let cosine = (one - other) / (4.0 * as_found * effect);
    if as_found > 0.0 && cosine.abs() > 1.0 + LARGEST_MISFIT {
        return Err(CannotBalance::RunsContradict);
    }
    // With nothing read as found any angle serves, for nothing is put on.
    let phase = if as_found > 0.0 { cosine.clamp(-1.0, 1.0).acos() } else { 0.0 };
    // The angle is counted from the first place.
    let correction = |phase: f64| {
        let at = std::f64::consts::PI - phase + first.degrees.to_radians();
        Complex64::from_polar(as_found / effect, at)
    };
    let predicted = [first, second].map(|run| {
        let turned = phase + (run.degrees - first.degrees).to_radians();
        (Complex64::new(as_found, 0.0) + Complex64::from_polar(effect, turned)).norm()
    });
    Ok(ToldByRuns {
        correction: correction(phase),
        mirrored: Some(correction(-phase)),
        effect,
        predicted: predicted.to_vec(),
        closing: None,
    })
}

/// V by `V^2 = c_0 - O^2`.
fn effect_of(mean_square: f64, as_found: f64) -> Result<f64, CannotBalance> {
    /// Less than this part of what was read is no effect.
    const NOTHING: f64 = 1e-6;
    let square = mean_square - as_found * as_found;
    if square > NOTHING * mean_square { Ok(square.sqrt()) } else { Err(CannotBalance::TrialTooSmall) }
}

fn by_more(as_found: f64, runs: &[UnphasedRun]) -> Result<ToldByRuns, CannotBalance> {
    let [mean, cosine, sine] = harmonic(runs).ok_or(CannotBalance::TrialsAtOnePlace)?;
    let by_squares = effect_of(mean, as_found)?;
    let closing = cosine.hypot(sine) / (2.0 * as_found * by_squares);
    let start = Complex64::from_polar(by_squares, (-sine).atan2(cosine));
    let effect = if as_found > 0.0 { least_squares(as_found, runs, start) } else { start };
    if effect.norm() <= 0.0 {
        return Err(CannotBalance::TrialTooSmall);
    }
    Ok(ToldByRuns {
        correction: -Complex64::new(as_found, 0.0) / effect,
        mirrored: None,
        effect: effect.norm(),
        predicted: runs.iter().map(|run| with_trial(as_found, effect, *run).norm()).collect(),
        closing: (as_found > 0.0).then_some(closing),
    })
}

/// `O + w e^(i a)`.
fn with_trial(as_found: f64, effect: Complex64, run: UnphasedRun) -> Complex64 {
    as_found + effect * Complex64::from_polar(1.0, run.degrees.to_radians())
}

/// `c_0`, `c_1`, `c_2` by least squares over the squares of readings; `None` where the places are too few.
fn harmonic(runs: &[UnphasedRun]) -> Option<[f64; 3]> {
    /// Below this determinant of the normal equations, for each run cubed, places are too few or too near.
    const LEAST: f64 = 1e-6;
    let mut normal = [[0.0; 3]; 3];
    let mut right = [0.0; 3];
    for run in runs {
        let angle = run.degrees.to_radians();
        let row = [1.0, angle.cos(), angle.sin()];
        for (i, of_row) in row.iter().enumerate() {
            right[i] += of_row * run.reading * run.reading;
            row.iter().enumerate().for_each(|(j, of_column)| normal[i][j] += of_row * of_column);
        }
    }
    let whole = determinant(&normal);
    let count = normal[0][0];
    if whole < LEAST * count * count * count {
        return None;
    }
    // Cramer's rule.
    Some(std::array::from_fn(|unknown| {
        let mut replaced = normal;
        replaced.iter_mut().zip(right).for_each(|(row, value)| row[unknown] = value);
        determinant(&replaced) / whole
    }))
}

fn determinant(m: &[[f64; 3]; 3]) -> f64 {
    let minor = |i: usize, j: usize| m[1][i] * m[2][j] - m[1][j] * m[2][i];
    m[0][0] * minor(1, 2) - m[0][1] * minor(0, 2) + m[0][2] * minor(0, 1)
}

/// The w that leaves the least squares of `|O + w e^(i a)| - T`, by steps of Gauss and Newton that are halved until they
/// lead downward.
fn least_squares(as_found: f64, runs: &[UnphasedRun], start: Complex64) -> Complex64 {
    const MOST_STEPS: usize = 200;
    let squares = |effect: Complex64| -> f64 {
        runs.iter().map(|run| (with_trial(as_found, effect, *run).norm() - run.reading).powi(2)).sum()
    };
    let mut effect = start;
    for _ in 0..MOST_STEPS {
        let Some(step) = newton_step(as_found, runs, effect) else { break };
        let now = squares(effect);
        let mut halved = (0..30).map(|times| effect + step * 0.5_f64.powi(times));
        let Some(better) = halved.find(|&tried| squares(tried) < now) else { break };
        effect = better;
    }
    effect
}

/// One step: with `g = z / |z|` and `b = conj(g) e^(i a)` a change dw changes the reading by `Re(b) dx - Im(b) dy`.
fn newton_step(as_found: f64, runs: &[UnphasedRun], effect: Complex64) -> Option<Complex64> {
    let (mut xx, mut xy, mut yy, mut x, mut y) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for run in runs {
        let reading = with_trial(as_found, effect, *run);
        if reading.norm() <= 0.0 {
            continue;
        }
        let slope = (reading / reading.norm()).conj() * Complex64::from_polar(1.0, run.degrees.to_radians());
        let (along, across, short) = (slope.re, -slope.im, run.reading - reading.norm());
        xx += along * along;
        xy += along * across;
        yy += across * across;
        x += along * short;
        y += across * short;
    }
    let determinant = xx * yy - xy * xy;
    (determinant > 1e-12).then(|| Complex64::new(yy * x - xy * y, xx * y - xy * x) / determinant)
}
