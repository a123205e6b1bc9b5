//! What is told of measured clusters.
//!
//! [`Matching`] is the whole answer: for each measured kind of planet how well its clusters fit as they were found and,
//! where that does better, exchanged, mesh by mesh, and which pin carries first. Turns and residuals are
//! counter-clockwise positive, seen from the input side; lengths are millimetres at the pitch circle.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::exact::Fraction;
use crate::gearset::{GearId, MemberId, MeshId};
use crate::timing::convention::MarkingConvention;

/// How well the measured clusters of a gearset fit, for each kind of planet that was measured.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Matching {
    /// The title of the gearset.
    pub gearset: String,
    /// The measured planets, in the order of the description.
    pub groups: Vec<GroupMatching>,
}

/// How well the measured clusters of one planet fit as a set.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GroupMatching {
    /// The planet.
    pub planet: MemberId,
    /// The carrier of its pins.
    pub carrier: MemberId,
    /// The names of the clusters, in the order in which they were found.
    pub clusters: Vec<String>,
    /// Where the pins were found against the description; empty where they were not measured.
    pub pins_off: Vec<PinDeviation>,
    /// How errors are weighed against one another.
    pub weighing: Weighing,
    /// The clusters as found and turned as equal ones would be; none where equal ones do not assemble.
    pub listed: Option<Seated>,
    /// The clusters as found in their best seating; none where in every one some mesh is a quarter of a tooth off or
    /// more.
    pub as_found: Option<Seated>,
    /// The best order and seating of all; none where none is better than the clusters as found.
    pub exchanged: Option<Seated>,
    /// Whether every order and seating was looked at; if not there were too many, and a better one may exist.
    pub all_looked_at: bool,
    /// How each cluster differs from the one that is most like all others.
    pub differences: Vec<ClusterDifference>,
    /// How many pins there are.
    pub pin_count: usize,
    /// Central gears that are fixed to one another.
    pub fixed_gears: Vec<FixedGears>,
    /// The gear from whose mark the others are measured.
    pub reference: GearId,
    /// The clusters that are left over as found, which were tried on every pin as well.
    pub spares: Vec<String>,
    /// Whether the best seating of the clusters as found is another one than that listed.
    pub reseated: bool,
    /// Whether the set binds in the best order and seating there is.
    pub binds: bool,
    /// Whether the radii of the pins were compared with their circle, or why not.
    pub pin_radii: PinRadii,
    /// The pin circle that measured radii are compared with; none where there are none, or no pitch.
    pub pin_circle_mm: Option<f64>,
    /// The pins that stand so far off their circle that some mesh has no backlash left.
    pub pins_without_backlash: Vec<usize>,
    /// The order to put the clusters in: as found where that turns freely or no other is better; none where no seating
    /// serves.
    pub advised: Option<ClusterOrder>,
    /// What would help a set that binds in the best order and seating there is; none where it does not bind.
    pub cure: Option<MatchCure>,
}

/// An order of the clusters on the pins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum ClusterOrder {
    /// The order in which they were found.
    #[serde(rename = "as found")]
    AsFound,
    /// The best order of all.
    #[serde(rename = "exchanged")]
    Exchanged,
}

/// What would help a set of clusters that binds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub enum MatchCure {
    /// Pins set on the pin circle: on some no cluster has backlash.
    #[serde(rename = "pin circle")]
    PinCircle,
    /// Clusters, or the central gears that are fixed to one another, set to the same index.
    #[serde(rename = "fixed gears")]
    FixedGears,
    /// Other tooth counts or pins: even equal clusters do not assemble.
    #[serde(rename = "does not assemble")]
    Assembly,
    /// Clusters of one index: some are told apart.
    #[serde(rename = "odd cluster")]
    OddCluster,
    /// Pins set in their places: the readings tell no cluster apart.
    #[serde(rename = "pin places")]
    PinPlaces,
}

/// Where a pin was found to be.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PinDeviation {
    /// How far it is from where it should be against the first pin, counter-clockwise seen from the input side.
    pub degrees: f64,
    /// How much that may be off.
    pub uncertainty_degrees: f64,
    /// How much further out it stands than the pin circle; none where radii are not compared.
    pub outward_mm: Option<f64>,
    /// How much that may be off.
    pub outward_uncertainty_mm: Option<f64>,
}

/// Whether measured radii of pins are compared with the pin circle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum PinRadii {
    /// They are, and change the backlash.
    #[serde(rename = "compared")]
    Compared,
    /// No radii were measured.
    #[serde(rename = "not measured")]
    NotMeasured,
    /// Some mesh has no pitch, so that no pin circle is known.
    #[serde(rename = "no pitch")]
    NoPitch,
    /// Some is more than a millimetre from the pin circle, in millimetres and in inches.
    #[serde(rename = "unlike the pin circle")]
    Unlike,
}

/// How errors at different meshes are weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum Weighing {
    /// Against half the backlash of each mesh: 1 is as much as goes in.
    #[serde(rename = "half backlash")]
    Backlash,
    /// As arcs at the pitch circle.
    #[serde(rename = "millimetres")]
    Millimetres,
    /// As parts of a tooth.
    #[serde(rename = "teeth")]
    Teeth,
}

/// The set in one order and seating.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Seated {
    /// The largest error, weighed as [`GroupMatching::weighing`] says.
    pub level: f64,
    /// The least that the largest error can be, if every reading is off by its uncertainty the better way.
    pub least: f64,
    /// The most that it has to be, if every reading is off by its uncertainty the worse way.
    pub most: f64,
    /// Whether the set turns within the backlash, never sure to where it is not known how fixed gears stand; none where
    /// backlash or pitch is not given.
    pub verdict: Option<PlayVerdict>,
    /// The pins in order.
    #[serde(rename = "pins_list")]
    pub pins: Vec<SeatedPin>,
    /// For each two central bodies that the clusters carry torque between, and each sense, who carries first; gears
    /// that are fixed to one another only where it is known how they stand and what their backlash is.
    pub first_contacts: Vec<FirstContact>,
    /// Where it matters by which teeth fixed central gears go in: how they stand then.
    pub fixed_turns: Vec<FixedTurn>,
    /// The backlash that the set needs at the mesh that needs most.
    pub needs: NeededBacklash,
    /// The meshes that are not within their backlash on some pin.
    pub tight_meshes: Vec<MeshId>,
    /// How the marks of the reference gear are set: all alike where that is within half a tooth of it.
    pub convention: MarkingConvention,
}

/// The backlash that a set needs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct NeededBacklash {
    /// The mesh that needs most: as an arc where every mesh has a pitch, in teeth otherwise.
    pub mesh: MeshId,
    /// How much it needs, in teeth: as much to both sides as it is off, and short of by its radius, on the worst
    /// pin.
    pub teeth: f64,
    /// The same as an arc; none where some mesh has no pitch.
    pub mm: Option<f64>,
}

/// How central gears that are fixed to one another stand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FixedTurn {
    /// The gear whose mark it is told for.
    pub gear: GearId,
    /// How far its mark tooth stands from the line to the first pin while the mark of the cluster there points to the
    /// centre, counter-clockwise seen from the input side.
    pub degrees: f64,
    /// The same in teeth of the gear.
    pub teeth: f64,
}

/// Whether something stays within the backlash, as far as uncertain readings tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum PlayVerdict {
    /// It does, whatever the readings are off by.
    #[serde(rename = "within")]
    Within,
    /// It does not, whatever the readings are off by.
    #[serde(rename = "beyond")]
    Beyond,
    /// That depends on how much the readings are off.
    #[serde(rename = "cannot be told")]
    CannotBeTold,
}

/// One pin with its cluster.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SeatedPin {
    /// The pin, counted from 1.
    pub pin: usize,
    /// The place of the pin in turns, as described.
    pub place: Fraction,
    /// The name of the cluster on it.
    pub cluster: String,
    /// How far the mark of the reference gear is turned from the line to the centre, against the cluster on the first
    /// pin, counter-clockwise seen from the input side; of all equal seatings the one nearest to zero.
    pub turn_degrees: f64,
    /// What each mesh is off.
    pub residuals: Vec<Residual>,
    /// The turn in teeth of the reference gear.
    pub turn_teeth: f64,
    /// The whole teeth of the reference gear from the tooth nearest to the line to the centre round to the mark,
    /// counter-clockwise positive; none where that line falls half-way between two teeth, or nearly so, and the mark has
    /// to be set by its degrees.
    pub counted_teeth: Option<i64>,
}

/// What one mesh is off from the middle of its backlash.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Residual {
    /// The mesh.
    pub mesh: MeshId,
    /// In teeth; positive: the cluster's gear is ahead, counter-clockwise seen from the input side.
    pub teeth: f64,
    /// How much of that is uncertain, to either side: by the readings with every gear where it stands, by the place of
    /// the pin with the cluster settled between its meshes, and by its radius, which changes the backlash.
    pub uncertainty_teeth: f64,
    /// The residual as an arc; none where no pitch is given.
    pub mm: Option<f64>,
    /// Whether it is within half the backlash; none where backlash or pitch is not given.
    pub verdict: Option<PlayVerdict>,
    /// The uncertainty as an arc; none where no pitch is given.
    pub uncertainty_mm: Option<f64>,
    /// Half the backlash of the mesh, as the radius of the pin changes it: below 0 it binds; none where no backlash is
    /// given.
    pub half_backlash_mm: Option<f64>,
}

/// Which pin carries first where clusters carry torque from one central body to another.
///
/// Clusters turn on their pins until both meshes touch, so this does not depend on their turns.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FirstContact {
    /// The first of the meshes in which a central body pushes the clusters clockwise, seen from the input side.
    pub pushing: MeshId,
    /// The first of the meshes in which another central body holds against it.
    pub holding: MeshId,
    /// The pins in the order in which they begin to carry, the first with nothing left.
    pub pins: Vec<ContactPin>,
    /// By how much what is left may be wrong, in teeth of the first holding mesh, as the readings are uncertain.
    pub uncertainty_teeth: f64,
    /// All meshes that push: several where the gears of the body are fixed to one another, and then whichever touches
    /// first carries.
    pub all_pushing: Vec<MeshId>,
    /// All meshes that hold.
    pub all_holding: Vec<MeshId>,
    /// The central gears that push.
    pub pushing_gears: Vec<GearId>,
    /// The central gears that hold.
    pub holding_gears: Vec<GearId>,
}

/// A pin that waits until it carries.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ContactPin {
    /// The pin, counted from 1.
    pub pin: usize,
    /// How much backlash is left there when the first begins to carry, in teeth of the first holding mesh.
    pub teeth_left: f64,
    /// The same as an arc; none where no pitch is given.
    pub mm_left: Option<f64>,
    /// Its rank, counted from 1; pins that begin to carry together share it.
    pub rank: usize,
    /// Whether the readings are good enough to tell that it waits for the first.
    pub waits_for_sure: bool,
    /// How far the first pushing gear still comes until then, as an arc at its working circle; none where no pitch is
    /// given.
    pub mm_to_come: Option<f64>,
}

/// How a cluster differs from the one that is most like all others.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ClusterDifference {
    /// The name of the cluster.
    pub cluster: String,
    /// Whether the readings can tell it from that one.
    pub told_apart: bool,
    /// For each gear in mesh the difference of the index in teeth, less whole teeth nearest to zero: more than half a
    /// tooth one way is less than half a tooth the other way.
    pub teeth: BTreeMap<GearId, f64>,
    /// The same as arcs, of the gears whose pitch is given.
    pub mm: BTreeMap<GearId, f64>,
}

/// Central gears in mesh with a cluster that are fixed to one another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FixedGears {
    /// The gears, in the order of the description: the first is the one that others are measured against.
    pub gears: Vec<GearId>,
    /// What that does to the answer.
    pub index: FixedIndex,
    /// Where that is not known: the gears without a reading, which would have to be measured; none where a reading
    /// would not be enough.
    pub unread: Vec<GearId>,
    /// Whether their ratios differ: then the clusters hold them fast to the carrier, and all of it turns as one piece.
    pub locked: bool,
}

/// What is known of how fixed gears stand against each other, and whether it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum FixedIndex {
    /// It is given, and counts: a difference that all clusters have in common is felt as well.
    #[serde(rename = "counts")]
    Counts,
    /// Their ratios differ and they can be turned together, so it does not matter.
    #[serde(rename = "does not matter")]
    TurnedOut,
    /// It matters and is not known: clusters are matched with one another only.
    #[serde(rename = "unknown")]
    Unknown,
}

impl Matching {
    /// Whether some set binds in the best order and seating there is.
    pub fn binds(&self) -> bool {
        self.groups.iter().any(|group| group.binds)
    }
}

impl GroupMatching {
    /// The clusters in the best order and seating; `None` where no seating serves.
    pub fn best(&self) -> Option<&Seated> {
        self.exchanged.as_ref().or(self.as_found.as_ref())
    }

    /// The clusters in the order and seating to put them in; `None` where no seating serves.
    pub fn advised_seating(&self) -> Option<&Seated> {
        match self.advised? {
            ClusterOrder::AsFound => self.as_found.as_ref(),
            ClusterOrder::Exchanged => self.exchanged.as_ref(),
        }
    }

    /// Whether some central gears are fixed to one another in this way.
    pub fn has_fixed_gears(&self, index: FixedIndex) -> bool {
        self.fixed_gears.iter().any(|fixed| fixed.index == index)
    }
}
