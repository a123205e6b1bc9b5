//! What to know of bands: the finished answer.

use crate::bench::HeldTorque;
use serde::Serialize;

/// What is told of bands.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BandSettings {
    /// The bands.
    pub bands: Vec<BandSetting>,
    /// Whether no band rubs when released, and all hold where the torque on the input is given.
    pub good: bool,
    /// Whether the torque on the input was given; else it is 1 N m, and only what bands are enough for counts.
    pub torque_given: bool,
}

/// What is told of a band, as far as its sizes are known.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BandSetting {
    /// What people call it.
    pub band: String,
    /// How far it lies round its drum.
    pub wrap_degrees: Option<f64>,
    /// The diameter of the drum.
    pub drum_diameter_mm: Option<f64>,
    /// The gap between lining and drum, released.
    pub gap_mm: Option<f64>,
    /// How far its end moves until the gap is closed all round.
    pub travel_mm: Option<f64>,
    /// How long the lining is to be cut, in the middle of its thickness; as if closed on the drum where the gap is not known.
    pub lining_length_mm: Option<f64>,
    /// So much thinner a lining is told of.
    pub wear_mm: f64,
    /// How much further the end moves then.
    pub wear_travel_mm: Option<f64>,
    /// The least and the greatest gap over a turn of the drum.
    pub gap_round_mm: Option<[f64; 2]>,
    /// Whether the drum touches once a turn; none where its run-out is not known.
    pub rubs: Option<bool>,
    /// How many times the tension of the slack end that of the tight end is.
    pub tension_ratio: Option<f64>,
    /// The torque that it holds while its drum pulls it on.
    pub wrapping_on_newton_metres: Option<f64>,
    /// The torque that it holds while its drum pulls against whoever works it.
    pub unwinding_newton_metres: Option<f64>,
    /// What it has to hold in each state that applies it.
    pub states: Vec<HeldTorque>,
    /// The thickness of its lining.
    pub lining_mm: Option<f64>,
    /// What a dial on the drum shows over a turn.
    pub run_out_mm: Option<f64>,
}
