//! What in a gearset is worth a second look?
//!
//! The whole of it is looked at: whether the planets assemble, the room between them, the centre distances of the meshes,
//! the pins as measured, the counts, and what touches nothing. Real gearsets break the rule of thumb "ring = sun + 2
//! planets" by profile shift, so none of this is an error of the description.

mod of_groups;
mod of_parts;

use serde::Serialize;

use self::of_groups::{inspected, of_group};
use self::of_parts::{backlash_beyond_half_a_tooth, idle_gears, undercut_gears, unused_controls};
use crate::clearance::Gap;
use crate::gearset::{ControlId, GearId, Gearset, MemberId, MeshId};
use crate::miscount::{CountCheck, Miscount, miscounts, sentence};
use crate::timing::missed_loops;

/// What there is to say of a gearset that can be described.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Remarks {
    /// The title of the gearset.
    pub gearset: String,
    /// Whether the description breaks no rule: always so, since one that breaks a rule makes no gearset.
    pub sound: bool,
    /// What should be looked at once, the weightiest first.
    pub remarks: Vec<Remark>,
    /// What was looked at in each group of planets.
    pub groups: Vec<InspectedGroup>,
    /// What is known of the tooth counts.
    pub counts: CountCheck,
    /// Other counts that would agree with more of what is known, the likeliest first.
    pub miscounts: Vec<Miscount>,
}

/// What was looked at in a group of planets.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct InspectedGroup {
    /// The planets: one, or those that mesh with one another.
    pub planets: Vec<MemberId>,
    /// The carrier of their pins.
    pub carrier: MemberId,
    /// How many pins there are.
    pub pins: usize,
    /// Whether its planets assemble.
    pub assembles: bool,
    /// Whether meshes keep its planets from turning on their pins.
    pub is_kept: bool,
    /// The least room between gears that lie side by side; none where the centre distances do not follow, or nothing
    /// lies side by side.
    pub least_room: Option<Gap>,
    /// The centre distance that each mesh with a spur gear of the main axis asks for, planet by planet.
    pub center_distances: Vec<CenterDistance>,
}

/// The centre distance that a mesh asks of a planet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CenterDistance {
    /// The planet.
    pub planet: MemberId,
    /// The mesh.
    pub mesh: MeshId,
    /// In modules of the mesh.
    pub modules: f64,
    /// In millimetres; none where the mesh has no pitch.
    pub millimetres: Option<f64>,
}

/// Something that may be right and should be looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Remark {
    /// What it is about.
    pub kind: RemarkKind,
    /// What there is to say, in a sentence.
    pub text: String,
    /// The parts that it is about.
    pub parts: Vec<RemarkedPart>,
}

/// What a remark is about, the weightiest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub enum RemarkKind {
    /// Something that is known speaks against the tooth counts.
    #[serde(rename = "miscount")]
    Miscount,
    /// The planets of a group do not assemble.
    #[serde(rename = "does not assemble")]
    DoesNotAssemble,
    /// The counts and profile shifts of a mesh leave no centre distance.
    #[serde(rename = "no centre distance")]
    NoCenterDistance,
    /// Tips of gears that are not in mesh and lie side by side overlap.
    #[serde(rename = "overlapping tips")]
    OverlappingTips,
    /// Two meshes of one planet ask for different centre distances.
    #[serde(rename = "unequal centre distance")]
    UnequalCenterDistance,
    /// The pins were measured on another circle than the meshes ask for.
    #[serde(rename = "another pin circle")]
    AnotherPinCircle,
    /// The backlash of a mesh is more than half a tooth of it, so that teeth would slip by: most likely a slip of the
    /// unit.
    #[serde(rename = "backlash beyond half a tooth")]
    BacklashBeyondHalfATooth,
    /// No mesh keeps the planets of a group from turning on their pins.
    #[serde(rename = "loose planets")]
    LoosePlanets,
    /// A gear is in mesh with nothing.
    #[serde(rename = "idle gear")]
    IdleGear,
    /// A gear has so few teeth that a cutter with straight flanks undercuts them.
    #[serde(rename = "undercut teeth")]
    UndercutTeeth,
    /// No state applies a control.
    #[serde(rename = "unused control")]
    UnusedControl,
    /// No states are described, so no ratio can be given.
    #[serde(rename = "no states")]
    NoStates,
}

/// A part that a remark is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum RemarkedPart {
    /// A member.
    Member(MemberId),
    /// A gear.
    Gear(GearId),
    /// A mesh.
    Mesh(MeshId),
    /// A control.
    Control(ControlId),
}

/// Everything worth a second look, the weightiest first, and what was looked at.
///
/// Centre distances are compared between meshes that both have a pitch, or have none; bevel gears are passed over.
///
/// # Examples
/// ```
/// use toothmark::{description, inspection::{RemarkKind, remarks}};
/// let set = description::read(description::example("profile-shift-swap").unwrap()).unwrap();
/// let kinds: Vec<RemarkKind> = remarks(&set).remarks.iter().map(|remark| remark.kind).collect();
/// assert_eq!(kinds, [RemarkKind::Miscount, RemarkKind::UnequalCenterDistance]);
/// ```
pub fn remarks(set: &Gearset) -> Remarks {
    let groups = inspected_groups(set);
    let (counts, miscounts) = miscounts(set);
    let mut remarks: Vec<Remark> = of_counts(set, &counts, &miscounts).into_iter().collect();
    remarks.extend(of_description(set, &groups));
    Remarks { gearset: set.title().to_owned(), sound: true, remarks, groups, counts, miscounts }
}

/// Everything worth a second look but what is known of the tooth counts, which takes trying others.
pub(crate) fn remarks_but_counts(set: &Gearset) -> Vec<Remark> {
    of_description(set, &inspected_groups(set))
}

fn inspected_groups(set: &Gearset) -> Vec<InspectedGroup> {
    let missed = missed_loops(set);
    set.planet_groups().iter().map(|group| inspected(set, group, &missed)).collect()
}

fn of_counts(set: &Gearset, counts: &CountCheck, miscounts: &[Miscount]) -> Option<Remark> {
    let (text, gears) = sentence(set, counts, miscounts)?;
    Some(Remark { kind: RemarkKind::Miscount, text, parts: gears.into_iter().map(RemarkedPart::Gear).collect() })
}

/// Everything that the description alone shows.
fn of_description(set: &Gearset, groups: &[InspectedGroup]) -> Vec<Remark> {
    let mut remarks: Vec<Remark> = groups.iter().flat_map(|group| of_group(set, group)).collect();
    remarks.extend(backlash_beyond_half_a_tooth(set));
    remarks.extend(idle_gears(set));
    remarks.extend(undercut_gears(set));
    remarks.extend(unused_controls(set));
    remarks.extend(set.states().is_empty().then(|| Remark {
        kind: RemarkKind::NoStates,
        text: "no states are described: timing can be worked out, ratios cannot".into(),
        parts: Vec::new(),
    }));
    remarks.sort_by_key(|remark| remark.kind);
    remarks
}

/// A mesh by its gears with their counts.
fn with_counts(set: &Gearset, mesh: MeshId) -> String {
    set.mesh(mesh).gears().each().map(|gear| set.gear(gear).with_count()).join(" with ")
}
