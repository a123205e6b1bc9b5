//! Do all planets take up the teeth of a central gear together, or one after the other?
//!
//! From the line of centres of pin 1 to that of pin k a central gear with Z teeth has
//! `Z (x_k - x_1)` pitches; what is left beyond whole pitches is the phase of that mesh.
//! Planets of equal phase are in step.

use num_traits::Zero;
use serde::Serialize;

use crate::exact::{Fraction, fraction, multiple, part_of_turn};
use crate::gearset::{GearId, MeshId, TimingRow};

/// The phases of the planets at one central gear.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct MeshPhase {
    /// The gears in mesh.
    pub mesh: MeshId,
    /// The central gear.
    pub central_gear: GearId,
    /// For each pin the part of a pitch, in [0, 1), by which its line of centres stands beyond a
    /// space, counted counter-clockwise seen from the input side, against pin 1.
    pub pins: Vec<Fraction>,
    /// How they follow one another.
    pub order: PhaseOrder,
    /// The same as `pins`, counted counter-clockwise seen from the output side.
    pub pins_from_output_side: Vec<Fraction>,
    /// The pairs of pins, counted from 1, that are exactly half a pitch apart.
    pub counter_phase_pairs: Vec<[usize; 2]>,
}

/// How planets follow one another at a central gear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum PhaseOrder {
    /// All take up a tooth at the same moment.
    #[serde(rename = "in step")]
    InStep,
    /// Half of them half a pitch after the others.
    #[serde(rename = "counter-phase")]
    CounterPhase,
    /// In turn, evenly over a pitch, equally many each time.
    Evenly,
    /// Not all together, and not evenly.
    Unevenly,
}

/// The phases at each mesh with a central gear, in the order of the meshes.
pub(super) fn mesh_phases(rows: &[TimingRow], spacings: &[Fraction]) -> Vec<MeshPhase> {
    rows.iter().filter_map(|row| row.central.map(|gear| mesh_phase(row, gear, spacings))).collect()
}

fn mesh_phase(row: &TimingRow, central_gear: GearId, spacings: &[Fraction]) -> MeshPhase {
    // |Z| x without its whole pitches; from the other side places are -x.
    let teeth = row.place_coefficient.abs();
    let pins: Vec<Fraction> = spacings.iter().map(|place| part_of_turn(&multiple(place, teeth))).collect();
    MeshPhase {
        mesh: row.mesh,
        central_gear,
        order: order(&pins),
        pins_from_output_side: pins.iter().map(|phase| part_of_turn(&-phase)).collect(),
        counter_phase_pairs: counter_phase_pairs(&pins),
        pins,
    }
}

fn order(phases: &[Fraction]) -> PhaseOrder {
    if phases.iter().all(Zero::is_zero) {
        return PhaseOrder::InStep;
    }
    let mut sorted = phases.to_vec();
    sorted.sort();
    let at_once: Vec<usize> = sorted.chunk_by(|a, b| a == b).map(<[Fraction]>::len).collect();
    sorted.dedup();
    // From each phase to the next; the last is followed by the first, 0, of the next pitch.
    let next = sorted.iter().skip(1).cloned().chain([fraction(1, 1)]);
    let steps: Vec<Fraction> = sorted.iter().zip(next).map(|(phase, next)| next - phase).collect();
    let even = steps.iter().all(|step| *step == steps[0]) && at_once.iter().all(|&pins| pins == at_once[0]);
    match (even, sorted.len()) {
        (true, 2) => PhaseOrder::CounterPhase,
        (true, _) => PhaseOrder::Evenly,
        (false, _) => PhaseOrder::Unevenly,
    }
}

fn counter_phase_pairs(phases: &[Fraction]) -> Vec<[usize; 2]> {
    let half = fraction(1, 2);
    let mut pairs = Vec::new();
    for (later, phase) in phases.iter().enumerate() {
        for (earlier, other) in phases[..later].iter().enumerate() {
            if part_of_turn(&(phase - other)) == half {
                pairs.push([earlier + 1, later + 1]);
            }
        }
    }
    pairs
}
