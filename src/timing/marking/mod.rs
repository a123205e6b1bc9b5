//! Which teeth and tooth spaces to mark on a set that has no marks, and when marks line up again?
//!
//! The simplest marking convention that serves is taken: none at all, then radial marks, then parallel ones, then marks
//! for each pin ([`tooth_marks`]). The motion of every state tells when the marks stand where they stood ([`returns`]),
//! the places of the pins whether planets take up their teeth together ([`mesh_phase`]).

mod mesh_phase;
mod returns;
mod tooth_marks;

pub use mesh_phase::{MeshPhase, PhaseOrder};
pub use returns::{BodyTurns, PlanetRolling, SameTeeth, StateReturn, ToothMeeting};
pub use tooth_marks::{GearMarks, MarkDirection, MarkPurpose, ToothMark};

use num_integer::Integer;
use serde::Serialize;

use crate::exact::Fraction;
use crate::gearset::{Bodies, GearId, Gearset, MemberId, PlanetGroup, TimingRow};
use crate::kinematics::{StateMotion, motions};
use crate::timing::group::{GroupTiming, timing};
use crate::timing::loops::Loop;
use mesh_phase::mesh_phases;
use returns::{meetings, state_return};
use tooth_marks::GroupToMark;

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

/// How the planets of a group are marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum MarkingConvention {
    /// Not at all: the planets do not assemble.
    Refused,
    /// Not at all: there is one pin, and no fellow to agree with.
    #[serde(rename = "one pin")]
    OnePin,
    /// Not at all: all gears in mesh of each planet have the same count, so any tooth will do.
    #[serde(rename = "any tooth")]
    AnyTooth,
    /// The same tooth of every planet, all to the centre.
    Radial,
    /// The same tooth of every planet, all pointing the same way.
    Parallel,
    /// On each pin another tooth, the one nearest to the line of centres.
    Individual,
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
    let convention = convention(&rows, &timing);
    let marks = match convention {
        MarkingConvention::Refused | MarkingConvention::OnePin | MarkingConvention::AnyTooth => Vec::new(),
        MarkingConvention::Radial | MarkingConvention::Parallel | MarkingConvention::Individual => {
            GroupToMark { set, rows: &rows, timing: &timing, spacings: &spacings }.marks()
        }
    };
    let any_tooth = timing.planets.iter().zip(0..).filter(|&(_, planet)| any_tooth_will_do(&rows, planet));
    GroupMarking {
        carrier: timing.carrier,
        pins: spacings.len(),
        convention,
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

fn convention(rows: &[TimingRow], timing: &GroupTiming) -> MarkingConvention {
    if !timing.assembles {
        MarkingConvention::Refused
    } else if timing.pins.len() == 1 {
        MarkingConvention::OnePin
    } else if (0..timing.planets.len()).all(|planet| any_tooth_will_do(rows, planet)) {
        MarkingConvention::AnyTooth
    } else if timing.radial_marks {
        MarkingConvention::Radial
    } else if timing.parallel_marks {
        MarkingConvention::Parallel
    } else {
        MarkingConvention::Individual
    }
}

/// Whether a planet looks the same after a turn by one tooth: all its gears in mesh have one count.
pub(super) fn any_tooth_will_do(rows: &[TimingRow], planet: usize) -> bool {
    let alike = alike_teeth(rows, planet);
    teeth_in_mesh(rows, planet).all(|teeth| teeth == alike)
}

/// How many teeth of each gear of a planet cannot be told apart: the greatest common divisor of the counts
/// of its gears in mesh.
pub(super) fn alike_teeth(rows: &[TimingRow], planet: usize) -> i64 {
    teeth_in_mesh(rows, planet).fold(0, |common, teeth| common.gcd(&teeth))
}

fn teeth_in_mesh(rows: &[TimingRow], planet: usize) -> impl Iterator<Item = i64> {
    let terms = rows.iter().flat_map(|row| &row.terms).filter(move |term| term.planet == planet);
    terms.map(|term| term.tooth_count.abs())
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
