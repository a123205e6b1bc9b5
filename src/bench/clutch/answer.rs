//! What to turn on a clutch, and what it holds then: the finished answer.

use crate::bench::HeldTorque;
use crate::gearset::ControlId;
use serde::Serialize;

/// What is told of a clutch.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ClutchSetting {
    /// The fingers, where their gaps are given.
    pub fingers: Option<FingerSettings>,
    /// The spring, where it was pressed.
    pub spring: Option<SpringSetting>,
    /// The pack, where its order is given.
    pub pack: Option<PackOrder>,
    /// The plates, where a description has them.
    pub plates: Option<PlateHold>,
    /// Whether all that was asked is as it should be.
    pub good: bool,
}

/// What to turn at the fingers.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FingerSettings {
    /// Every finger.
    pub fingers: Vec<FingerSetting>,
    /// The gap to which all are brought.
    pub wanted_mm: f64,
    /// The gap to which all are brought first, that of the finger nearest to what is wanted; then all are turned alike.
    pub equal_first_mm: f64,
    /// How much all screws are turned then; positive: in; none without a pitch.
    pub then_all_turns: Option<f64>,
    /// By how much all gaps close then.
    pub then_all_close_mm: f64,
    /// How far the gaps are apart now.
    pub spread_mm: f64,
    /// How far a gap may be off.
    pub within_mm: f64,
    /// Whether every gap is within that already.
    pub all_within: bool,
    /// Whether nobody said which gap is wanted, and it is the mean of those now.
    pub wanted_is_mean: bool,
}

/// A finger.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FingerSetting {
    /// Its number, from 1.
    pub finger: usize,
    /// The gap now.
    pub gap_mm: f64,
    /// How much to turn its screw in all; positive: in, which closes the gap; none without a pitch.
    pub turns: Option<f64>,
    /// The same in flats of a hexagon, six to the turn.
    pub flats: Option<f64>,
    /// How much of that to turn first, so that all gaps are equal.
    pub equal_first_turns: Option<f64>,
    /// Whether the gap is within what it may be off.
    pub within: bool,
    /// What it is called.
    pub name: String,
    /// By how much its gap has to close in all; below zero: open.
    pub close_mm: f64,
    /// How much of that closes it first, so that all gaps are equal.
    pub equal_first_close_mm: f64,
}

/// What a spring does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SpringSetting {
    /// How much harder it presses for each millimetre that it is shorter.
    pub rate_newtons_per_mm: f64,
    /// Its length when free, by the line through both readings.
    pub free_length_mm: f64,
    /// The length at which it works.
    pub working_length_mm: Option<f64>,
    /// The force at that length.
    pub working_force_newtons: Option<f64>,
    /// The length at which its coils touch.
    pub coil_bound_mm: Option<f64>,
    /// How much shorter than its working length that is; 0 or less: it is coil-bound.
    pub left_to_coil_bound_mm: Option<f64>,
    /// What a new spring of that wire would have, by its sizes.
    pub rate_of_new_newtons_per_mm: Option<f64>,
    /// The force that it puts on the plates, where it is said how it does.
    pub force_on_plates_newtons: Option<f64>,
}

/// The order of a pack.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PackOrder {
    /// How many discs there are.
    pub discs: usize,
    /// How many pairs of faces rub.
    pub faces: usize,
    /// Whether both kinds take turns throughout.
    pub alternates: bool,
    /// Where two of a kind lie on one another: the place of the first, counted from 1, and its kind.
    pub two_in_a_row: Vec<PackFault>,
}

/// Two discs of a kind that lie on one another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PackFault {
    /// The place of the first, counted from 1.
    pub place: usize,
    /// The kind of both.
    pub kind: String,
}

/// What the plates hold beside what they have to.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PlateHold {
    /// The clutch.
    pub clutch: ControlId,
    /// The torque that worn plates carry: the lower of the two, and the one to count on.
    pub worn_in_newton_metres: f64,
    /// The torque that new plates carry.
    pub new_newton_metres: f64,
    /// Whether the force is that of the spring, and not of the description.
    pub by_spring: bool,
    /// Whether the faces are those of the pack, and not of the description.
    pub by_pack: bool,
    /// What it has to hold in each state that applies it.
    pub states: Vec<HeldTorque>,
    /// Whether the torque on the input was given; else it is 1 N m, and only what it is enough for counts.
    pub torque_given: bool,
}
