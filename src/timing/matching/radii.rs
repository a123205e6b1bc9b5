//! How far out does each pin stand, and what does that do to the backlash of its meshes?
//!
//! A pin that stands further out by rho changes the centre distance of all its meshes: external ones gain backlash,
//! about `2 rho tan w`, those in a ring lose it ([`backlash_growth`]). The middle of the backlash stays where it is, so half
//! of the growth is at each flank: what is short there counts like an error, and a cluster touches later by it. Radii
//! are compared with the pin circle of the description, on which the backlash is taken to be as given; where the meshes
//! agree on none, with the mean of the measured radii. Their unit is not given; it is the one that fits.

use super::answer::PinRadii;
use crate::clearance::{FitQuestion, SAME_DISTANCE, as_described, mesh_distance};
use crate::exact::to_float;
use crate::gearset::{Gearset, MILLIMETRES_PER_INCH, Measured, MeasuredPins, MeshId, Pitch, TimingRow};
use crate::tooth::backlash_growth;

/// How far out pins stand, and what that does to their meshes.
pub(super) struct MeasuredRadii {
    pub(super) told: PinRadii,
    /// The circle that radii are compared with, in millimetres.
    pub(super) circle: Option<f64>,
    /// For each pin how much further out it stands, in millimetres; empty where radii are not compared.
    pub(super) outward: Vec<f64>,
    /// How much each of them may be off, in millimetres.
    pub(super) error: f64,
    /// For each pin and row what each flank is short of, in teeth; negative: what it has more.
    pub(super) shortages: Vec<Vec<f64>>,
    /// For each pin and row how much that may be off.
    pub(super) doubts: Vec<Vec<f64>>,
}

/// Measured radii and how much each may be off, all in one unit.
struct ReadRadii {
    radii: Vec<f64>,
    error: f64,
}

impl MeasuredRadii {
    pub(super) fn new(set: &Gearset, measured: &Measured, equations: &[TimingRow], pin_count: usize) -> Self {
        let described = Self {
            told: PinRadii::NotMeasured,
            circle: None,
            outward: Vec::new(),
            error: 0.0,
            shortages: vec![vec![0.0; equations.len()]; pin_count],
            doubts: vec![vec![0.0; equations.len()]; pin_count],
        };
        let Some(MeasuredPins::Chords { radii, error, .. }) = &measured.pins else { return described };
        let Some(distances) = distances(set, equations) else { return Self { told: PinRadii::NoPitch, ..described } };
        let radii = radii.iter().map(|radius| to_float(radius)).collect();
        match in_millimetres(&ReadRadii { radii, error: to_float(error) }, &distances) {
            Some(found) => Self::compared(set, equations, &found, pin_circle(&found.radii, &distances)),
            None => Self { told: PinRadii::Unlike, circle: distances.first().copied(), ..described },
        }
    }

    fn compared(set: &Gearset, equations: &[TimingRow], found: &ReadRadii, circle: f64) -> Self {
        // Half of the growth is at each flank.
        let short = |radius: f64, row: &TimingRow| -growth(set, row.mesh, circle, radius) / 2.0;
        let doubt = |radius: f64, row: &TimingRow| (short(radius + found.error, row) - short(radius, row)).abs();
        let on_pins = |of: &dyn Fn(f64, &TimingRow) -> f64| -> Vec<Vec<f64>> {
            found.radii.iter().map(|&radius| equations.iter().map(|row| of(radius, row)).collect()).collect()
        };
        Self {
            told: PinRadii::Compared,
            circle: Some(circle),
            outward: found.radii.iter().map(|radius| radius - circle).collect(),
            error: found.error,
            shortages: on_pins(&short),
            doubts: on_pins(&doubt),
        }
    }
}

/// The centre distance that each mesh asks for; `None` where some mesh has no pitch.
fn distances(set: &Gearset, equations: &[TimingRow]) -> Option<Vec<f64>> {
    let distance = |row: &TimingRow| set.mesh(row.mesh).pitch().and_then(|_| mesh_distance(set, row.mesh));
    equations.iter().map(distance).collect()
}

/// Radii in the unit in which all are within a millimetre of the centre distances.
fn in_millimetres(written: &ReadRadii, distances: &[f64]) -> Option<ReadRadii> {
    /// Further out than that is no pin: it is another unit, another pitch, or pins in another order.
    const MOST: f64 = 1.0;
    let least = distances.iter().copied().fold(f64::INFINITY, f64::min) - MOST;
    let most = distances.iter().copied().fold(0.0, f64::max) + MOST;
    let scaled = |unit: f64| ReadRadii {
        radii: written.radii.iter().map(|radius| radius * unit).collect(),
        error: written.error * unit,
    };
    let fits = |found: &ReadRadii| found.radii.iter().all(|radius| (least..=most).contains(radius));
    [1.0, MILLIMETRES_PER_INCH].into_iter().map(scaled).find(fits)
}

/// The circle on which the backlash is as given.
fn pin_circle(radii: &[f64], distances: &[f64]) -> f64 {
    let first = distances[0];
    if distances.iter().all(|distance| (distance - first).abs() < SAME_DISTANCE) {
        return first;
    }
    radii.iter().sum::<f64>() / f64::from(u32::try_from(radii.len()).unwrap_or(u32::MAX))
}

/// By how much the backlash of a mesh grows from one centre distance to another, in teeth.
fn growth(set: &Gearset, mesh: MeshId, from: f64, to: f64) -> f64 {
    let teeth = FitQuestion::described(set, &as_described(set)).teeth(&[mesh]);
    let tooth = set.mesh(mesh).pitch().map_or(1.0, Pitch::circular_pitch);
    let grown = teeth.pair(set, mesh).ok().and_then(|pair| backlash_growth(pair.first(), pair.second(), from, to));
    grown.unwrap_or(0.0) / tooth
}
