//! What whoever cuts the gears of a gearset needs to know: the whole answer.
//!
//! Lengths are millimetres. A limit that nothing in the description or the question tells is none, and stays to be agreed.

use serde::Serialize;

use crate::exact::Fraction;
use crate::gearset::{GearId, MemberId, MeshId};
use crate::timing::MarkingConvention;

/// The order for the gears of a gearset: a sheet a gear, a sheet a cluster.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TeethOrder {
    /// The gears to cut, in the order of the description.
    pub gears: Vec<OrderedGear>,
    /// The clusters that have any of them, in the order of the description.
    pub clusters: Vec<OrderedCluster>,
    /// The title of the gearset.
    pub gearset: String,
    /// Whether every mesh of the gears to cut closes on its pins.
    pub closes: bool,
    /// Meshes of the gears to cut with a fault that has to be seen to first.
    pub faulty_meshes: Vec<MeshId>,
    /// Gears to cut with a fault that has to be seen to first.
    pub faulty_gears: Vec<GearId>,
    /// What the backlash of each mesh comes to.
    pub meshes: Vec<OrderedMesh>,
    /// Gears that stay as they are.
    pub kept: Vec<KeptGear>,
    /// Gears of which nothing is ordered: without a mesh, or bevel gears.
    pub left_out: Vec<GearId>,
}

/// What a gear is to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct OrderedGear {
    /// The gear.
    pub gear: GearId,
    /// How many teeth it has.
    pub teeth: u16,
    /// The module.
    pub module: Fraction,
    /// The pressure angle of its rack, in degrees.
    pub pressure_angle_degrees: Fraction,
    /// The profile shift in modules, positive away from the axis, for rings too.
    pub shift: f64,
    /// The diameter over the tips, of a ring inside them.
    pub tip_diameter_mm: f64,
    /// The span over some teeth; none of a ring, or where the jaws of a caliper find no sound flank.
    pub span: Option<OrderedSpan>,
    /// The reading over two pins, in a ring between them; none where no usual pin touches the flanks well.
    pub over_pins: Option<OrderedPins>,
    /// The member that it belongs to.
    pub member: MemberId,
    /// How many alike are needed: one on every pin.
    pub pieces: usize,
    /// Whether it is a ring.
    pub is_ring: bool,
    /// The diametral pitch, where the pitch is told as one.
    pub diametral_pitch: Option<Fraction>,
    /// `a/b` of stub teeth as thick as those of the diametral pitch a, and as high as full ones of b.
    pub stub_pair: Option<String>,
    /// The pitch diameter.
    pub pitch_diameter_mm: f64,
    /// The base diameter.
    pub base_diameter_mm: f64,
    /// The least and the largest tip diameter, where a tolerance is asked for.
    pub tip_limits: Option<LengthLimits>,
    /// The root diameter of teeth that are not thinned.
    pub root_diameter_mm: f64,
    /// From root to tip.
    pub whole_depth_mm: f64,
    /// The arc of a tooth at its tip as thick as it may be; none where a ring's tip lies inside its base circle.
    pub tip_thickness_mm: Option<f64>,
    /// The flank has to be an involute from this diameter to the tip: where it begins to work, the deepest of its meshes.
    pub form_diameter_mm: Option<f64>,
    /// By how much its teeth are thinner than half a pitch with their shift, as an arc at the pitch circle; below 0 thicker,
    /// where a mate is thinner than the backlash needs.
    pub thinning: LengthLimits,
}

/// Two limits of a length; the one that nothing tells is none.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LengthLimits {
    /// At least.
    pub least_mm: Option<f64>,
    /// At most.
    pub most_mm: Option<f64>,
}

/// A span over some teeth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct OrderedSpan {
    /// Over how many teeth.
    pub teeth: u16,
    /// The least it may read; none where the most backlash is not told.
    pub least_mm: Option<f64>,
    /// The most it may read.
    pub most_mm: Option<f64>,
}

/// A reading over two pins, in a ring between them.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct OrderedPins {
    /// The diameter of each pin.
    pub pin_mm: f64,
    /// The least it may read; none where the most backlash of an external gear is not told.
    pub least_mm: Option<f64>,
    /// The most it may read; none where the most backlash of a ring is not told.
    pub most_mm: Option<f64>,
    /// The pin that touches the flanks midway, at the circle of the shift.
    pub ideal_pin_mm: f64,
}

/// The backlash that a mesh comes to with gears within their limits.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct OrderedMesh {
    /// The mesh.
    pub mesh: MeshId,
    /// The centre distance; none where the mesh has none.
    pub center_distance_mm: Option<f64>,
    /// The backlash as an arc at the pitch circle.
    pub backlash: LengthLimits,
    /// Whether it stays within what is asked for: not where gears that are kept or have other meshes stand against it.
    pub is_within_limits: bool,
}

/// A gear that stays as it is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct KeptGear {
    /// The gear.
    pub gear: GearId,
    /// How much thinner its teeth are taken to be, as an arc at the pitch circle.
    pub thinning_mm: f64,
    /// Whether the description tells it; if not, its teeth are taken as not thinned.
    pub is_told: bool,
}

/// What a cluster is to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct OrderedCluster {
    /// The planet.
    pub planet: MemberId,
    /// How the tooth of each gear stands that belongs to the marked tooth of the first; empty where nothing tells an index
    /// with which they assemble.
    pub index: Vec<OrderedIndex>,
    /// How many are made alike: one a pin, or one a pin of its class.
    pub pieces: usize,
    /// Where the index comes from.
    pub index_source: IndexSource,
    /// The measured cluster that new ones are to be like.
    pub like: Option<String>,
    /// What the reading of the measured index is good to, in teeth or as it was told.
    pub good_to: Option<String>,
    /// How much the index may differ from one to another; none where the backlash is not told.
    pub alike: Option<IndexAlike>,
    /// How they are marked.
    pub convention: MarkingConvention,
    /// The gears of which a tooth is marked.
    pub marks: Vec<StruckMark>,
    /// The letter of its class, where alike clusters do not assemble and clusters of several classes do.
    pub class: Option<String>,
    /// The pins that it is for, counted from 1.
    pub for_pins: Vec<usize>,
}

/// Where the tooth of a gear stands that belongs to the marked tooth of the first gear.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct OrderedIndex {
    /// The gear.
    pub gear: GearId,
    /// How far from the marked tooth of the first gear, in turns, counter-clockwise seen from the input side; 0 for two
    /// teeth on one line through the axis.
    pub turns: Fraction,
    /// The same along its pitch circle.
    pub arc_mm: f64,
    /// The same in teeth of this gear.
    pub teeth: Fraction,
    /// The same in degrees.
    pub degrees: Fraction,
    /// The same straight from point to point of its pitch circle.
    pub chord_mm: f64,
    /// How much the index may differ from one cluster to another, as an arc at its pitch circle; none where the backlash
    /// is not told.
    pub alike_within_mm: Option<f64>,
}

/// Where the index of a cluster comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum IndexSource {
    /// Any will do, so long as all are alike: a tooth of each gear stands on one line.
    Free,
    /// It was read from a cluster that is there.
    Measured,
    /// Whether all planets go in depends on it, and the description does not tell it.
    Needed,
    /// Alike clusters do not assemble, and none of other indexes do.
    Refused,
    /// Alike clusters do not assemble: those of each class stand so against those of class A, of which any will do.
    Class,
}

/// How much the index may differ from one cluster to another, so that no mesh loses more than half of its backlash.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct IndexAlike {
    /// The gear that sets it.
    pub gear: GearId,
    /// Either way, in degrees.
    pub degrees: f64,
    /// The same along the pitch circle of that gear.
    pub arc_mm: f64,
}

/// A tooth to strike a mark on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct StruckMark {
    /// The gear.
    pub gear: GearId,
    /// For each of its pins the tooth, counted from the index tooth counter-clockwise seen from the input side.
    pub teeth: Vec<i64>,
}

impl LengthLimits {
    /// A length that is what it is.
    pub fn exactly(millimetres: f64) -> Self {
        Self { least_mm: Some(millimetres), most_mm: Some(millimetres) }
    }
}

impl OrderedSpan {
    /// What it may read.
    pub fn limits(&self) -> LengthLimits {
        LengthLimits { least_mm: self.least_mm, most_mm: self.most_mm }
    }
}

impl OrderedPins {
    /// What it may read.
    pub fn limits(&self) -> LengthLimits {
        LengthLimits { least_mm: self.least_mm, most_mm: self.most_mm }
    }
}

impl TeethOrder {
    /// Whether the order can be given as it is.
    pub fn can_be_given(&self) -> bool {
        let can_be_made =
            |cluster: &OrderedCluster| !matches!(cluster.index_source, IndexSource::Refused | IndexSource::Needed);
        let is_sound = self.faulty_meshes.is_empty() && self.faulty_gears.is_empty();
        self.closes
            && is_sound
            && self.meshes.iter().all(|mesh| mesh.is_within_limits)
            && self.clusters.iter().all(can_be_made)
    }
}
