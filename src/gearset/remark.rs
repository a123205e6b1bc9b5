//! What is legal but worth a second look.
//!
//! Real gearsets break the rule of thumb "ring = sun + 2 planets" by profile shift, so that is a remark and never an
//! error; so are gears that touch nothing and controls that no state applies.

use std::collections::HashSet;

use serde::Serialize;

use super::{ControlId, GearId, Gearset, MemberId, MeshId, Restraint};
use crate::exact::{decimal, fraction};

/// What there is to say of a description that can be read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Remarks {
    /// The title of the gearset.
    pub gearset: String,
    /// Whether the description breaks no rule: always so, since one that breaks a rule makes no gearset.
    pub sound: bool,
    /// What should be looked at once, in the order of the description.
    pub remarks: Vec<Remark>,
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

/// What a remark is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum RemarkKind {
    /// Two meshes of one planet, with teeth of one size, do not have the same centre distance by their counts: sun +
    /// planet, or ring - planet. With profile shift they can.
    #[serde(rename = "unequal centre distance")]
    UnequalCenterDistance,
    /// The backlash of a mesh is more than half a tooth of it, so that teeth would slip by: most likely a slip of the
    /// unit.
    #[serde(rename = "backlash beyond half a tooth")]
    BacklashBeyondHalfATooth,
    /// A gear is in mesh with nothing.
    #[serde(rename = "idle gear")]
    IdleGear,
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

/// Everything worth a second look, in the order of the description.
///
/// Centre distances are compared only between meshes whose pitch is the same, or is not given for either; bevel gears
/// are passed over.
///
/// # Examples
/// ```
/// use toothmark::{description, gearset::{RemarkKind, remarks}};
/// let set = description::read(description::example("profile-shift-swap").unwrap()).unwrap();
/// assert_eq!(remarks(&set).remarks[0].kind, RemarkKind::UnequalCenterDistance);
/// ```
pub fn remarks(set: &Gearset) -> Remarks {
    let mut remarks = Vec::new();
    for group in set.planet_groups() {
        for &planet in group.planets() {
            remarks.extend(unequal_center_distance(set, planet, group.meshes()));
        }
    }
    let slack = set.mesh_ids().filter(|&mesh| is_beyond_half_a_tooth(set, mesh));
    remarks.extend(slack.map(|mesh| backlash_beyond_half_a_tooth(set, mesh)));
    remarks.extend(idle_gears(set));
    remarks.extend(unused_controls(set));
    remarks.extend(set.states().is_empty().then(|| Remark {
        kind: RemarkKind::NoStates,
        text: "no states are described: timing can be worked out, ratios cannot".into(),
        parts: Vec::new(),
    }));
    Remarks { gearset: set.title().to_owned(), sound: true, remarks }
}

/// The first pair of meshes of this planet with central gears whose sums differ.
fn unequal_center_distance(set: &Gearset, planet: MemberId, meshes: &[MeshId]) -> Option<Remark> {
    let mut sums = meshes.iter().filter_map(|&mesh| Some((mesh, center_sum(set, planet, mesh)?)));
    let (first, first_sum) = sums.next()?;
    let pitch = set.mesh(first).pitch();
    let (second, second_sum) = sums.find(|&(mesh, sum)| sum != first_sum && set.mesh(mesh).pitch() == pitch)?;
    let distance = |mesh: MeshId, sum: i64| {
        // Half the sum of both counts; six digits are more than anybody measures.
        format!("{} modules for {}", decimal(&fraction(sum, 2), 6), with_counts(set, mesh))
    };
    Some(Remark {
        kind: RemarkKind::UnequalCenterDistance,
        text: format!(
            "by its counts \"{}\" stands at two distances from the centre: {}, {}. With profile shift both can be \
             right; without, a count is off",
            set.member(planet).name(),
            distance(first, first_sum),
            distance(second, second_sum)
        ),
        parts: vec![RemarkedPart::Member(planet), RemarkedPart::Mesh(first), RemarkedPart::Mesh(second)],
    })
}

/// The signed sum of the two counts of a mesh, which is twice the centre distance in
/// modules; `None` unless this planet meshes here with a spur gear of the main axis.
fn center_sum(set: &Gearset, planet: MemberId, mesh: MeshId) -> Option<i64> {
    let gears = set.mesh(mesh).gears().both().map(|&gear| set.gear(gear));
    let on_planet = gears.iter().any(|gear| gear.member() == planet);
    let central = gears.iter().any(|gear| set.carrier_of(gear.member()).is_none());
    let bevel = gears.iter().any(|gear| gear.kind().is_bevel());
    (on_planet && central && !bevel).then(|| set.matrix().row(mesh).tooth_sum().abs())
}

/// A mesh by its gears with their counts.
fn with_counts(set: &Gearset, mesh: MeshId) -> String {
    let gears = set.mesh(mesh).gears().both().map(|&gear| set.gear(gear));
    gears.map(|gear| format!("{} {}", gear.name(), gear.tooth_count().get())).join(" with ")
}

fn is_beyond_half_a_tooth(set: &Gearset, mesh: MeshId) -> bool {
    let mesh = set.mesh(mesh);
    let half_a_tooth = mesh.pitch().map(|pitch| pitch.circular_pitch() / 2.0);
    mesh.backlash().zip(half_a_tooth).is_some_and(|(backlash, half)| backlash.millimetres() > half)
}

fn backlash_beyond_half_a_tooth(set: &Gearset, mesh: MeshId) -> Remark {
    Remark {
        kind: RemarkKind::BacklashBeyondHalfATooth,
        text: format!(
            "the backlash of {} is more than half a tooth: look at its unit and digits; with so much play any seating \
             goes in",
            with_counts(set, mesh)
        ),
        parts: vec![RemarkedPart::Mesh(mesh)],
    }
}

fn idle_gears(set: &Gearset) -> impl Iterator<Item = Remark> + '_ {
    let meshed: HashSet<GearId> =
        set.meshes().iter().flat_map(|mesh| [mesh.gears().first, mesh.gears().second]).collect();
    set.gear_ids().filter(move |gear| !meshed.contains(gear)).map(|gear| Remark {
        kind: RemarkKind::IdleGear,
        text: format!("gear \"{}\" is in mesh with nothing", set.gear(gear).name()),
        parts: vec![RemarkedPart::Gear(gear)],
    })
}

fn unused_controls(set: &Gearset) -> impl Iterator<Item = Remark> + '_ {
    let restraints = set.states().iter().flat_map(|state| &state.restraints);
    let applied: HashSet<ControlId> = restraints
        .filter_map(|restraint| match restraint {
            Restraint::Control(control) => Some(*control),
            Restraint::Held(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
        })
        .collect();
    set.control_ids().filter(move |control| !applied.contains(control)).map(|control| Remark {
        kind: RemarkKind::UnusedControl,
        text: format!("no state applies \"{}\"", set.control(control).name()),
        parts: vec![RemarkedPart::Control(control)],
    })
}
