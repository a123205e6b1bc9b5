//! Do all planets take up the teeth of a central gear together, or one after the other?
//!
//! From the line of centres of pin 1 to that of pin k a central gear with Z teeth has
//! `Z (x_k - x_1)` pitches; what is left beyond whole pitches is the phase of that mesh.
//! Planets of equal phase are in step.

use num_traits::Zero;

use crate::exact::{Fraction, fraction, multiple, part_of_turn};
use crate::gearset::{GearId, MeshId, TimingRow};

/// The phases of the planets at one central gear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeshPhase {
    /// The mesh.
    pub mesh: MeshId,
    /// The central gear.
    pub central: GearId,
    /// For each pin the part of a pitch, in [0, 1), by which its line of centres stands beyond a
    /// space, counted counter-clockwise seen from the input side, against pin 1.
    pub pins: Vec<Fraction>,
    /// How they follow one another.
    pub order: PhaseOrder,
}

/// How planets follow one another at a central gear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhaseOrder {
    /// All take up a tooth at the same moment.
    InStep,
    /// Half of them half a pitch after the others.
    CounterPhase,
    /// In turn, evenly over a pitch, equally many each time.
    Evenly,
    /// Not all together, and not evenly.
    Unevenly,
}

impl MeshPhase {
    /// The pairs of pins, counted from 1, that are exactly half a pitch apart.
    pub fn counter_phase_pairs(&self) -> Vec<[usize; 2]> {
        let half = fraction(1, 2);
        let mut pairs = Vec::new();
        for (later, phase) in self.pins.iter().enumerate() {
            for (earlier, other) in self.pins[..later].iter().enumerate() {
                if part_of_turn(&(phase - other)) == half {
                    pairs.push([earlier + 1, later + 1]);
                }
            }
        }
        pairs
    }
}

/// The phases at each mesh with a central gear, in the order of the meshes.
pub(super) fn mesh_phases(rows: &[TimingRow], spacings: &[Fraction]) -> Vec<MeshPhase> {
    let phase = |row: &TimingRow| {
        let central = row.central?;
        let teeth = row.place_coefficient.abs();
        let pins: Vec<Fraction> = spacings.iter().map(|place| part_of_turn(&multiple(place, teeth))).collect();
        Some(MeshPhase { mesh: row.mesh, central, order: order(&pins), pins })
    };
    rows.iter().filter_map(phase).collect()
}

fn order(phases: &[Fraction]) -> PhaseOrder {
    if phases.iter().all(Zero::is_zero) {
        return PhaseOrder::InStep;
    }
    let mut sorted = phases.to_vec();
    sorted.sort();
    let at_once = sorted.chunk_by(|a, b| a == b).map(<[Fraction]>::len).collect::<Vec<_>>();
    sorted.dedup();
    let steps =
        sorted.windows(2).map(|pair| &pair[1] - &pair[0]).chain(sorted.last().map(|last| fraction(1, 1) - last));
    let steps: Vec<Fraction> = steps.collect();
    let even = steps.iter().all(|step| *step == steps[0]) && at_once.iter().all(|&pins| pins == at_once[0]);
    match (even, sorted.len()) {
        (true, 2) => PhaseOrder::CounterPhase,
        (true, _) => PhaseOrder::Evenly,
        (false, _) => PhaseOrder::Unevenly,
    }
}
