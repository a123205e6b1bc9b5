//! How far out does each pin stand, and what does that do to the backlash of its meshes?
//!
//! A pin that stands further out by rho changes the centre distance of all its meshes: external ones gain backlash,
//! about `2 rho tan w`, those in a ring lose it ([`MeshInPlace::backlash_at`]). The middle of the backlash stays where it is, so half
//! of the growth is at each flank: what is short there counts like an error, and a cluster touches later by it. Radii
//! are compared with the pin circle of the description, on which the backlash is taken to be as given; where the meshes
//! agree on none, with the mean of the measured radii. Their unit is not given; it is the one that fits.

use super::answer::{PinDeviation, PinRadii};
use super::pin_errors::PinError;
use crate::clearance::{MeshInPlace, SAME_DISTANCE};
use crate::exact::to_float;
use crate::gearset::{MILLIMETRES_PER_INCH, Measured, MeasuredPins, PinOff};

/// How far out pins stand, and what that does to their meshes.
pub(super) struct MeasuredRadii {
    pub(super) told: PinRadii,
    /// The circle that radii are compared with, in millimetres.
    pub(super) circle: Option<f64>,
    /// For each pin how it stands; empty where radii are not compared.
    pub(super) outward: Vec<PinRadius>,
    /// For each pin and row what each flank is short of, in teeth; negative: what it has more.
    pub(super) shortages: Vec<Vec<f64>>,
    /// For each pin and row how much that may be off.
    pub(super) doubts: Vec<Vec<f64>>,
}

/// How far out a pin stands, in millimetres.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct PinRadius {
    /// How much further than its circle.
    pub(super) outward: f64,
    /// How much that may be off.
    pub(super) error: f64,
}

/// Measured radii and how much each may be off, all in one unit.
struct ReadRadii {
    radii: Vec<f64>,
    error: f64,
}

impl MeasuredRadii {
    pub(super) fn new(measured: &Measured, meshes: &[Option<MeshInPlace>], pin_count: usize) -> Self {
        let described = Self {
            told: PinRadii::NotMeasured,
            circle: None,
            outward: Vec::new(),
            shortages: vec![vec![0.0; meshes.len()]; pin_count],
            doubts: vec![vec![0.0; meshes.len()]; pin_count],
        };
        let Some(MeasuredPins::Chords { radii, error, .. }) = &measured.pins else { return described };
        let Some(distances) = distances(meshes) else { return Self { told: PinRadii::NoPitch, ..described } };
        let radii = radii.iter().map(|radius| to_float(radius)).collect();
        match in_millimetres(&ReadRadii { radii, error: to_float(error) }, &distances) {
            Some(found) => {
                let circle = pin_circle(&found.radii, &distances);
                let stand = |radius: &f64| PinRadius { outward: radius - circle, error: found.error };
                Self::compared(meshes, found.radii.iter().map(stand).collect(), circle)
            }
            None => Self { told: PinRadii::Unlike, circle: distances.first().copied(), ..described },
        }
    }

    /// The same with pins that stand as told by hand, in place of what was measured of them.
    pub(super) fn with(self, meshes: &[Option<MeshInPlace>], told: &[PinError], pin_count: usize) -> Self {
        let circle = self.circle.or_else(|| distances(meshes).map(|distances| pin_circle(&[], &distances)));
        let Some(circle) = circle.filter(|_| !told.is_empty()) else { return self };
        let mut outward = self.outward;
        outward.resize(pin_count, PinRadius::default());
        for error in told {
            if let Some(pin) = outward.get_mut(error.pin.wrapping_sub(1)) {
                *pin = PinRadius { outward: error.outward_mm, error: 0.0 };
            }
        }
        Self::compared(meshes, outward, circle)
    }

    /// Where pins were found against the description.
    pub(super) fn deviations(&self, pins: Option<&[PinOff]>) -> Vec<PinDeviation> {
        let deviation = |(pin, off): (usize, &PinOff)| PinDeviation {
            degrees: off.turns * 360.0,
            uncertainty_degrees: off.uncertainty * 360.0,
            outward_mm: self.outward.get(pin).map(|pin| pin.outward),
            outward_uncertainty_mm: self.outward.get(pin).map(|pin| pin.error),
        };
        pins.unwrap_or_default().iter().enumerate().map(deviation).collect()
    }

    fn compared(meshes: &[Option<MeshInPlace>], outward: Vec<PinRadius>, circle: f64) -> Self {
        // Half of the growth is at each flank.
        let short = |outward: f64, mesh: &Option<MeshInPlace>| {
            -mesh.as_ref().and_then(|mesh| growth(mesh, outward)).unwrap_or(0.0) / 2.0
        };
        let short_of = |pin: &PinRadius, mesh: &Option<MeshInPlace>| short(pin.outward, mesh);
        let doubt = |pin: &PinRadius, mesh: &Option<MeshInPlace>| {
            (short(pin.outward + pin.error, mesh) - short_of(pin, mesh)).abs()
        };
        let on_pins = |of: &dyn Fn(&PinRadius, &Option<MeshInPlace>) -> f64| -> Vec<Vec<f64>> {
            outward.iter().map(|pin| meshes.iter().map(|mesh| of(pin, mesh)).collect()).collect()
        };
        let (shortages, doubts) = (on_pins(&short_of), on_pins(&doubt));
        Self { told: PinRadii::Compared, circle: Some(circle), shortages, doubts, outward }
    }
}

/// The centre distance of each mesh; `None` where some mesh has no pitch, or there is none.
fn distances(meshes: &[Option<MeshInPlace>]) -> Option<Vec<f64>> {
    let found: Option<Vec<f64>> = meshes.iter().map(|mesh| Some(mesh.as_ref()?.distance)).collect();
    found.filter(|distances| !distances.is_empty())
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

/// The circle on which the backlash is as given; where no radii are known and the meshes agree on none, their mean.
fn pin_circle(radii: &[f64], distances: &[f64]) -> f64 {
    let first = distances[0];
    if distances.iter().all(|distance| (distance - first).abs() < SAME_DISTANCE) {
        return first;
    }
    let of = if radii.is_empty() { distances } else { radii };
    of.iter().sum::<f64>() / f64::from(u32::try_from(of.len()).unwrap_or(u32::MAX))
}

/// By how much the backlash of a mesh grows on a pin that stands further out, in teeth.
fn growth(mesh: &MeshInPlace, outward: f64) -> Option<f64> {
    let at = |distance: f64| mesh.backlash_at(distance).ok().map(|backlash| backlash.at_pitch_circle);
    let tooth = std::f64::consts::PI * mesh.pair().first().module;
    Some((at(mesh.distance + outward)? - at(mesh.distance)?) / tooth)
}
