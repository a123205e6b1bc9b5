//! Which teeth and tooth spaces to mark on a set that has no marks, and when marks line up again?
//!
//! The marking convention is that of the timing, the marks those of [`crate::timing::tooth_marks`]. The motion of every state tells when the marks stand where they stood ([`returns`]),
//! the places of the pins whether planets take up their teeth together ([`mesh_phase`]).

mod mesh_phase;
mod returns;

pub use mesh_phase::{MeshPhase, PhaseOrder};
pub use returns::{BodyTurns, PlanetRolling, SameTeeth, StateReturn, ToothMeeting};

use serde::Serialize;

use crate::exact::Fraction;
use crate::gearset::{Bodies, GearId, Gearset, MemberId, PlanetGroup, TimingRow};
use crate::kinematics::{StateMotion, motions};
use crate::timing::convention::{MarkingConvention, any_tooth_will_do};
use crate::timing::group::{GroupTiming, timing};
use crate::timing::loops::Loop;
use crate::timing::tooth_marks::{GearMarks, GroupToMark};
use mesh_phase::mesh_phases;
use returns::{meetings, state_return};

/// What to mark on a gearset, and when its marks line up again.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Marking {
    /// The title of the gearset.
    pub gearset: String,
    /// The groups of planets, in the order of the description.
    pub groups: Vec<GroupMarking>,
    /// The central gears that have marks for more than one gear of the planets, so that each needs a colour of its own.
    pub shared_central_gears: Vec<GearId>,
}

/// The marks of one group of planets.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GroupMarking {
    /// The planets: one, or those that mesh with one another.
    pub planets: Vec<MemberId>,
    /// The carrier of their pins.
    pub carrier: MemberId,
    /// The number of pins.
    pub pins: usize,
    /// The simplest convention that serves.
    pub convention: MarkingConvention,
    /// The teeth and spaces that meet, for each gear of a planet that is to be marked; empty where nothing is marked.
    pub marks: Vec<GearMarks>,
    /// Central gears of this group that are solid with one another.
    pub solid: Vec<Vec<GearId>>,
    /// At which part of a pitch each pin takes up the teeth of each central gear.
    pub phases: Vec<MeshPhase>,
    /// For each mesh after how many turns of its gears the same two teeth meet again.
    pub meetings: Vec<ToothMeeting>,
    /// For each state when the marks line up again and when everything is back.
    pub states: Vec<StateReturn>,
    /// The loops that meshes of this group close with others of the set.
    pub loops: Vec<Loop>,
    /// The place of each pin from pin 1, in turns, counter-clockwise seen from the input side.
    pub spacings: Vec<Fraction>,
    /// The planets that look the same after a turn by one tooth, so that any tooth will do.
    pub any_tooth: Vec<MemberId>,
    /// Whether some planet has teeth marked on both sides: to a sun and a ring, or to two side gears.
    pub marked_on_both_sides: bool,
}

/// What to mark on every group of planets, and when marks line up again.
///
/// # Examples
/// ```
/// use toothmark::{description, timing::{MarkingConvention, marking}};
/// let set = description::read(description::example("orchard-truck").unwrap()).unwrap();
/// let group = &marking(&set).groups[0];
/// assert_eq!(group.convention, MarkingConvention::Individual);
/// // On gear d the cluster of pin 2 is marked nine teeth clockwise of its first tooth.
/// assert_eq!(group.marks[0].pins[1].tooth, -9);
/// assert_eq!(group.marks[0].pins[1].space, Some(9));
/// ```
pub fn marking(set: &Gearset) -> Marking {
    let motions = motions(set);
    let groups = set.planet_groups().iter().zip(timing(set).groups);
    let groups: Vec<_> = groups.map(|(group, timing)| group_marking(set, group, timing, &motions)).collect();
    Marking { gearset: set.title().to_owned(), shared_central_gears: shared_central_gears(&groups), groups }
}

fn group_marking(set: &Gearset, group: &PlanetGroup, timing: GroupTiming, motions: &[StateMotion]) -> GroupMarking {
    let rows = set.matrix().timing(group);
    let spacings = group.spacings();
    let marks = if timing.convention.has_marks() {
        GroupToMark { set, rows: &rows, planets: &timing.planets, pins: &timing.pins, spacings: &spacings }.marks()
    } else {
        Vec::new()
    };
    let any_tooth = timing.planets.iter().zip(0..).filter(|&(_, planet)| any_tooth_will_do(&rows, planet));
    GroupMarking {
        carrier: timing.carrier,
        pins: spacings.len(),
        convention: timing.convention,
        solid: solid(set, &rows),
        phases: mesh_phases(&rows, &spacings),
        meetings: meetings(set, &rows),
        states: motions.iter().map(|motion| state_return(set, group, &rows, &marks, motion)).collect(),
        any_tooth: any_tooth.map(|(&planet, _)| planet).collect(),
        marked_on_both_sides: marked_on_both_sides(set, &marks),
        planets: timing.planets,
        loops: timing.loops,
        spacings,
        marks,
    }
}

/// Whether neighbouring marks of one planet go to central gears of different kinds.
fn marked_on_both_sides(set: &Gearset, marks: &[GearMarks]) -> bool {
    let kind = |marks: &GearMarks| marks.central_gear.map(|gear| set.gear(gear).kind());
    marks.windows(2).any(|pair| pair[0].planet == pair[1].planet && kind(&pair[0]) != kind(&pair[1]))
}

/// The central gears that occur more than once among all marks.
fn shared_central_gears(groups: &[GroupMarking]) -> Vec<GearId> {
    let marks = groups.iter().flat_map(|group| &group.marks);
    let mut marked: Vec<GearId> = marks.filter_map(|marks| marks.central_gear).collect();
    marked.sort_unstable();
    marked.chunk_by(|a, b| a == b).filter(|same| same.len() > 1).map(|same| same[0]).collect()
}

/// Central gears on one body, members joined for good being one; a gear alone on its body is left out.
fn solid(set: &Gearset, rows: &[TimingRow]) -> Vec<Vec<GearId>> {
    let bodies = Bodies::for_good(set);
    let mut solid: Vec<Vec<GearId>> = Vec::new();
    for gear in rows.iter().filter_map(|row| row.central) {
        let of = |gear: GearId| bodies.of(set.gear(gear).member());
        match solid.iter_mut().find(|gears| of(gears[0]) == of(gear)) {
            Some(gears) if gears.contains(&gear) => {}
            Some(gears) => gears.push(gear),
            None => solid.push(vec![gear]),
        }
    }
    solid.retain(|gears| gears.len() > 1);
    solid
}
