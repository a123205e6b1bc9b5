//! What is asked of a clutch: its fingers, its spring, the order of its pack, its plates in a description.

use std::collections::BTreeSet;

use crate::gearset::ControlId;
use crate::statics::InputTorque;

/// What is asked of a clutch; each part for itself.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ClutchQuestion {
    /// The fingers that press on the pack.
    pub fingers: Option<FingersQuestion>,
    /// The spring.
    pub spring: Option<SpringQuestion>,
    /// The kinds of the discs in their order, such as `steel`, `lined`; empty where nothing is asked.
    pub pack: Vec<String>,
    /// The clutch of a description whose plates have to hold.
    pub plates: Option<PlatesQuestion>,
}

/// Fingers with a screw each.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FingersQuestion {
    /// The gap at every finger, in millimetres.
    pub gaps_mm: Vec<f64>,
    /// What the fingers are called, in the same order; by their number where nothing is said.
    pub names: Vec<String>,
    /// The gap that is wanted; where it is not given, all are brought to their mean.
    pub wanted_mm: Option<f64>,
    /// The pitch of the thread of the screws: 25.4 over the threads to an inch; without it no turns are told, but by how
    /// much each gap has to change.
    pub pitch_mm: Option<f64>,
    /// By how much the gap changes for each millimetre that a screw goes in; 1 where nothing is said.
    pub lever: Option<f64>,
    /// How far a gap may be off; [`FingersQuestion::USUAL_WITHIN_MM`] where nothing is said.
    pub within_mm: Option<f64>,
}

impl FingersQuestion {
    /// So far a gap may be off where nothing else is said, in millimetres.
    pub const USUAL_WITHIN_MM: f64 = 0.1;
}

/// A spring that was pressed to two lengths.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SpringQuestion {
    /// Each reading: length in millimetres and force in newtons.
    pub readings: [SpringReading; 2],
    /// The length at which it works.
    pub working_mm: Option<f64>,
    /// The thickness of its wire.
    pub wire_mm: Option<f64>,
    /// The diameter of a coil in the middle of the wire.
    pub coil_mm: Option<f64>,
    /// How many coils spring.
    pub coils: Option<f64>,
    /// How many coils there are, those at the ends included; two more than spring where nothing is said.
    pub all_coils: Option<f64>,
    /// How many times the force of the spring presses on the plates; only with it is the spring taken for their force.
    pub lever: Option<f64>,
    /// The part of that which friction takes.
    pub lost: Option<f64>,
}

/// A spring at one length.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SpringReading {
    /// The length.
    pub mm: f64,
    /// The force at it.
    pub newtons: f64,
}

/// Plates that have to hold the torque of a gearset.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlatesQuestion {
    /// The clutch.
    pub control: ControlId,
    /// The torque on the input; 1 N m where nothing is said.
    pub torque: Option<InputTorque>,
}

/// The kinds of the discs of a pack as they are typed: `steel, lined, steel`, or a letter each where there are two kinds,
/// `SLS`; empty where none is named.
///
/// # Examples
/// ```
/// use toothmark::bench::discs_as_typed;
/// assert_eq!(discs_as_typed("Steel-lined-steel"), ["steel", "lined", "steel"]);
/// assert_eq!(discs_as_typed("SLS"), ["s", "l", "s"]);
/// ```
pub fn discs_as_typed(text: &str) -> Vec<String> {
    let words: Vec<String> =
        text.split([',', ';', ' ', '-']).filter(|word| !word.is_empty()).map(str::to_lowercase).collect();
    match &words[..] {
        [letters] if letters.chars().collect::<BTreeSet<char>>().len() <= 2 => {
            letters.chars().map(String::from).collect()
        }
        _ => words,
    }
}
