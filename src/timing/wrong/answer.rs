//! What is told of wrong seatings.
//!
//! [`WrongSeatings`] is the whole answer: for each group of planets every wrong seating, mesh by mesh, and how often a
//! tight spot comes round by the part that carries it. Turns are counter-clockwise seen from the input side, lengths in
//! millimetres at the pitch circle.

use serde::Serialize;

use crate::exact::Fraction;
use crate::gearset::{GearId, MemberId, MeshId};
use crate::timing::by_hand::ByHand;

/// Every wrong seating of a gearset.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct WrongSeatings {
    /// The title of the gearset.
    pub gearset: String,
    /// The largest error, in teeth, up to which wrong seatings are listed.
    pub within: Fraction,
    /// How much of a shortage of backlash is taken up by force.
    pub ease_by_force_mm: f64,
    /// The groups of planets, in the order of the description.
    pub groups: Vec<GroupSeatings>,
    /// What every dial reading is at the pitch circle.
    pub dial_readings: Vec<DialBacklash>,
}

/// The wrong seatings of one group of planets.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GroupSeatings {
    /// The planets: one, or those that mesh with one another.
    pub planets: Vec<MemberId>,
    /// The carrier of their pins.
    pub carrier: MemberId,
    /// The number of pins.
    pub pins: usize,
    /// Whether wrong seatings are listed, or why not.
    pub answer: SeatingsAnswer,
    /// Every one within the error asked for, in the order that `ordered_by` says, the least wrong first. Of two that
    /// mirror each other only one is listed, that in which the first planet that turns differently is turned
    /// counter-clockwise seen from the input side: the other has every sign reversed.
    pub wrong_seatings: Vec<WrongSeating>,
    /// How often a tight spot comes round in each state, by the part that carries it.
    pub tight_spots: Vec<TightSpots>,
    /// What the wrong seatings are ordered by.
    pub ordered_by: SeatingOrder,
    /// Whether seatings beyond the error asked for could go in, unnoticed or with force.
    pub more_could_go_in: bool,
    /// Whether planets could be put in wrong at all: some seating goes in, unnoticed or with force, or, where that is not
    /// known, is out by a quarter of a tooth or less. Where they could not, whatever drops in freely is right. None where
    /// not every seating that could be was looked at.
    pub wrong_could_be: Option<bool>,
}

/// Whether wrong seatings are listed, or why not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum SeatingsAnswer {
    /// Every one within the error asked for is listed.
    #[serde(rename = "listed")]
    Listed,
    /// There is one pin, and so no fellow from which its planets could differ.
    #[serde(rename = "one pin")]
    OnePin,
    /// The planets do not go together, so there is no right seating to be off from.
    #[serde(rename = "does not go together")]
    DoesNotGoTogether,
    /// There are too many to look at.
    #[serde(rename = "too many")]
    TooMany,
}

/// What wrong seatings are ordered by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum SeatingOrder {
    /// The largest error, in teeth.
    #[serde(rename = "largest error")]
    LargestError,
    /// The backlash with which they go in, where pitches are given that differ.
    #[serde(rename = "backlash")]
    Backlash,
}

/// A wrong seating of the planets on one pin.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct WrongSeating {
    /// The largest error, in teeth.
    pub largest_error: Fraction,
    /// How far each planet is turned from the nearest right seating, counter-clockwise seen from the input side
    /// positive; for several planets the nearest for the first, of these for the second, and so on.
    pub turns: Vec<PlanetTurns<Fraction>>,
    /// The backlash with which it goes in, the same at every mesh; none where a pitch is not given.
    pub goes_in_from_mm: Option<f64>,
    /// The backlash that is left in the tightest mesh once the planets have settled where it is most; negative: it is short
    /// of so much. None where a pitch or a backlash is not given.
    pub least_play_mm: Option<f64>,
    /// What a hand notices; none where a pitch or a backlash is not given.
    pub by_hand: Option<ByHand>,
    /// Every mesh of the planets.
    pub meshes: Vec<WrongMesh>,
    /// Whether planets could be put together like that: it goes in, unnoticed or with force, or, where that is not
    /// known, is out by a quarter of a tooth or less.
    pub could_be: bool,
}

/// The turns of a planet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub struct PlanetTurns<T> {
    /// The planet.
    pub planet: MemberId,
    /// So many turns.
    pub turns: T,
}

/// One mesh of a wrong seating.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct WrongMesh {
    /// The gears in mesh.
    #[serde(rename = "gears")]
    pub mesh: MeshId,
    /// The whole teeth by which the planets are off at this mesh, signed like their turns.
    pub teeth: i64,
    /// The error that is left over, in teeth, where the largest error of all meshes is least.
    pub error: Fraction,
    /// The error as an arc, without its sign; none where a pitch is not given.
    pub error_mm: Option<f64>,
    /// The backlash less the error, once the planets have settled where the tightest mesh has most; none where a pitch
    /// or a backlash is not given.
    pub play_left_mm: Option<f64>,
    /// The backlash, where it is known: as described, or as its teeth leave it on their pins.
    pub backlash_mm: Option<f64>,
}

/// How often the parts of one group of planets come round in one state.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TightSpots {
    /// The state.
    pub state: String,
    /// The member that drives.
    pub input: MemberId,
    /// Turns of each planet of the group against its carrier per turn of the input, without sign; null where the input
    /// does not determine them.
    pub planets: Vec<PlanetTurns<Option<Fraction>>>,
    /// The meshes of the group.
    pub meshes: Vec<MeshRhythm>,
}

/// How often something comes round in one mesh, per turn of the input.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct MeshRhythm {
    /// The gears in mesh.
    #[serde(rename = "gears")]
    pub mesh: MeshId,
    /// How often a place of the central gear passes one pin.
    pub passes_one_pin: Option<Fraction>,
    /// How often the same two teeth meet.
    pub same_teeth: Option<Fraction>,
    /// The central gear, if it is a mesh with one.
    pub central_gear: Option<GearId>,
    /// How often a place of the central gear passes some pin.
    pub passes_any_pin: Option<Fraction>,
}

/// What a dial reading is at the pitch circle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct DialBacklash {
    /// The gear that was rocked.
    pub gear: GearId,
    /// What the dial showed.
    pub reading_mm: f64,
    /// How far from the axis of the gear the indicator stood.
    pub radius_mm: f64,
    /// The mesh that was measured.
    pub mesh: MeshId,
    /// Its backlash.
    pub backlash_mm: f64,
}
