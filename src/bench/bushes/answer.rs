//! Which bushes are good, and what to bore the others to: the finished answer.

use super::question::called;
use serde::Serialize;

/// What is told of bushes.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BushFits {
    /// The bushes, in the order in which they were given.
    pub bushes: Vec<BushFit>,
    /// Whether no bush is known to be beyond what is allowed, cold or hot.
    pub good: bool,
    /// Whether some readings say nothing of what they are good to, and are taken as good to 0.01 mm.
    pub usual_error_taken: bool,
}

/// What is told of one bush.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BushFit {
    /// What people call it.
    pub bush: String,
    /// The least and the greatest clearance now, on the diameter.
    pub clearance_mm: [f64; 2],
    /// The greatest clearance over the bore: millimetres for each millimetre, or inches for each inch.
    pub clearance_per_bore: f64,
    /// The least and the greatest clearance that is allowed.
    pub allowed_mm: Option<[f64; 2]>,
    /// Whether it can stay; none where it is not said what is allowed.
    pub verdict: Option<BushVerdict>,
    /// How far the clearance may be out, both readings being out as far as they may.
    pub good_to_mm: f64,
    /// Whether the verdict stands however the readings are out.
    pub is_sure: bool,
    /// Every place that was measured.
    pub places: Vec<BushPlace>,
    /// How far out of round the bore and the shaft are, at the worst place; none where they are not measured two ways.
    pub oval_mm: [Option<f64>; 2],
    /// By how much the bore and the shaft differ along their length; none where they are measured at one place.
    pub taper_mm: [Option<f64>; 2],
    /// The least and the greatest finished bore that leaves what is allowed all along the shaft; none where nothing is
    /// allowed or the shaft is too uneven.
    pub finished_bore_mm: Option<[f64; 2]>,
    /// Whether no bore leaves what is allowed all along the shaft.
    pub shaft_too_uneven: bool,
    /// What pressing in does, where it is known how the bush is pressed in.
    pub pressed: Option<PressedBushFit>,
    /// The fit when warm: bush and shaft alike, and with the shaft hotter where that is asked.
    pub hot: Vec<HotBushFit>,
    /// Why nothing is told of heat although it is asked; none where it is told or not asked.
    pub heat_untold: Option<HeatUntold>,
}

/// What is not known that heat takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum HeatUntold {
    /// It is not said what the bore is in.
    NeedsMaterialOfBore,
    /// A bush is pressed in, and it is not said what both are made of.
    NeedsBothMaterials,
}

impl BushFit {
    /// What it is called in a sentence: `the bush of pin 2`, or `the bush` of the only one without a name.
    pub fn called(&self) -> String {
        called(&self.bush)
    }
}

/// A place along a bush.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BushPlace {
    /// The place, from 1.
    pub place: usize,
    /// The least and the greatest clearance.
    pub clearance_mm: [f64; 2],
    /// Whether it is allowed.
    pub verdict: Option<BushVerdict>,
}

/// What to do with a bush.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum BushVerdict {
    /// It can stay.
    Good,
    /// More clearance than is allowed: replace it.
    Worn,
    /// Less than is allowed: open it.
    TooTight,
}

/// What pressing in does to a bush.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PressedBushFit {
    /// By how much the bore closes.
    pub closes_in_mm: f64,
    /// The part of the interference that this is.
    pub share_of_interference: f64,
    /// How it is known.
    pub close_in: CloseIn,
    /// The bore before pressing that comes out at the middle of what is wanted.
    pub bore_before_pressing_mm: Option<f64>,
    /// By how many kelvin warmer the housing takes in the bush with 0.02 mm to spare; none where its material is not known.
    pub drop_in_kelvin: Option<f64>,
    /// Whether that is more than hardened gears bear, 150 degrees from a workshop of 20.
    pub too_hot_for_hardened_gears: bool,
}

/// How it is known by how much a bore closes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CloseIn {
    /// By the stiffness of bush and housing.
    Elastic,
    /// As all of the interference, for want of the materials: near the most that it can be, so the bore may come out large.
    AllOfInterference,
}

/// A fit when warm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct HotBushFit {
    /// By how much bush and housing are warmer.
    pub bush_kelvin: f64,
    /// By how much the shaft is warmer.
    pub shaft_kelvin: f64,
    /// The clearance cold from which this follows: the least now of a bush that stays, else that of the finished bore.
    pub cold_clearance_mm: f64,
    /// The clearance hot.
    pub clearance_mm: f64,
    /// The interference left; none where the bush is not known to be pressed in, and its bore grows freely.
    pub interference_mm: Option<f64>,
    /// Whether the clearance falls to less than half of that when cold, or to nothing.
    pub closes_up: bool,
    /// Whether no interference is left, so that the bush can turn in its housing.
    pub lets_go: bool,
}
