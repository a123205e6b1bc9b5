//! Which weights balance a rotor, by readings with their phase, as found and with trial weights?
//!
//! Readings are linear in the unbalance: `V = V_0 + A u`. A trial `u_j` in plane j alone gives column j of A, the
//! influence coefficients `a_ij = (V_i - V_0i) / u_j`; the weights that leave no reading are `u = -A^-1 V_0`, one complex
//! number a plane. Where both columns nearly point the same way the trials did the same and tell one thing twice: `|det
//! A| < 0.05` of the product of their lengths. A trial that changed a reading by less than 30 per cent and 30 degrees
//! drowns in what else changes from run to run. Source: textbooks of mechanical vibrations, two-plane balancing.

use num_complex::Complex64;

use super::refusal::CannotBalance;

/// Trials are alike below this part of the product of their lengths.
const LEAST_DETERMINANT: f64 = 0.05;
/// What a trial changes at least, as a part of the reading and in degrees, where it tells something.
const TELLING: (f64, f64) = (0.3, 30.0);
/// A trial that changes readings by no more than this part of them changed nothing.
const NOTHING: f64 = 1e-6;

/// Readings as found and with a trial in each plane, and what follows.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Influence<const N: usize> {
    /// `a_ij`: the reading i that a unit in plane j makes.
    pub(super) coefficients: [[Complex64; N]; N],
    /// The weights to be put on.
    pub(super) corrections: [Complex64; N],
    /// Whether the trial in each plane changed some reading enough to tell something.
    pub(super) tells: [bool; N],
}

/// The coefficients by one trial: `a = (V - V_0) / u`.
pub(super) fn one_plane(
    as_found: [Complex64; 1],
    trials: [Complex64; 1],
    with_trial: [[Complex64; 1]; 1],
) -> Result<Influence<1>, CannotBalance> {
    let coefficients = coefficients(as_found, trials, with_trial)?;
    let corrections = [-as_found[0] / coefficients[0][0]];
    Ok(Influence { coefficients, corrections, tells: telling(as_found, with_trial) })
}

/// The coefficients by a trial in each of two planes.
pub(super) fn two_planes(
    as_found: [Complex64; 2],
    trials: [Complex64; 2],
    with_trial: [[Complex64; 2]; 2],
) -> Result<Influence<2>, CannotBalance> {
    let coefficients = coefficients(as_found, trials, with_trial)?;
    let [[a, b], [c, d]] = coefficients;
    let determinant = a * d - b * c;
    let lengths = (a.norm_sqr() + c.norm_sqr()).sqrt() * (b.norm_sqr() + d.norm_sqr()).sqrt();
    if determinant.norm() < LEAST_DETERMINANT * lengths {
        return Err(CannotBalance::TrialsAlike);
    }
    // Cramer's rule for A u = -V_0.
    let [first, second] = as_found.map(|reading| -reading);
    let corrections = [(first * d - b * second) / determinant, (a * second - c * first) / determinant];
    Ok(Influence { coefficients, corrections, tells: telling(as_found, with_trial) })
}

/// Column by column what a unit of each trial changed.
fn coefficients<const N: usize>(
    as_found: [Complex64; N],
    trials: [Complex64; N],
    with_trial: [[Complex64; N]; N],
) -> Result<[[Complex64; N]; N], CannotBalance> {
    let mut coefficients = [[Complex64::ZERO; N]; N];
    for plane in 0..N {
        let changed: [Complex64; N] = std::array::from_fn(|reading| with_trial[plane][reading] - as_found[reading]);
        let largest = as_found.iter().chain(&with_trial[plane]).map(|reading| reading.norm()).fold(0.0, f64::max);
        if changed.iter().all(|change| change.norm() <= NOTHING * largest) {
            return Err(CannotBalance::TrialChangedNothing);
        }
        for reading in 0..N {
            coefficients[reading][plane] = changed[reading] / trials[plane];
        }
    }
    Ok(coefficients)
}

/// Whether each trial changed a reading by as much as tells something, in size or in phase.
fn telling<const N: usize>(as_found: [Complex64; N], with_trial: [[Complex64; N]; N]) -> [bool; N] {
    let tells = |found: &Complex64, read: &Complex64| {
        let turned = (read * found.conj()).arg().to_degrees().abs();
        (read.norm() - found.norm()).abs() >= TELLING.0 * found.norm() || turned >= TELLING.1
    };
    with_trial.map(|readings| as_found.iter().zip(&readings).any(|(found, read)| tells(found, read)))
}
