//! Which teeth and tooth spaces to mark on a set that has no marks, and when marks line up again?
//!
//! The simplest convention that serves is taken: none at all, then radial marks, then
//! parallel ones, then marks for each pin ([`tooth_marks`]). With the motion of every
//! state goes when the marks stand where they stood ([`returns`]), and with the places
//! of the pins whether planets take up their teeth together ([`mesh_phase`]).

mod mesh_phase;
mod returns;
mod tooth_marks;

pub use mesh_phase::{MeshPhase, PhaseOrder};
pub use returns::{BodyTurns, Meeting, Return, Rolling, StateReturn};
pub use tooth_marks::{GearMarks, ToothMark, UseAs};

use num_integer::Integer;
use serde::Serialize;

use crate::gearset::{Bodies, GearId, Gearset, MemberId, PlanetGroup, TimingRow};
use crate::kinematics::{StateMotion, motions};
use crate::timing::group::{GroupTiming, timing};
use crate::timing::loops::Loop;
use mesh_phase::mesh_phases;
use returns::{meetings, state_returns};
use tooth_marks::gear_marks;

/// The marks of one group of planets.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupMarking {
    /// The planets: one, or those that mesh with one another.
    pub planets: Vec<MemberId>,
    /// The carrier of their pins.
    pub carrier: MemberId,
    /// How many pins there are.
    pub pins: usize,
    /// The simplest convention that serves.
    pub convention: Convention,
    /// The teeth and spaces that meet, for each gear of a planet that is to be marked; empty
    /// where nothing is marked.
    pub gears: Vec<GearMarks>,
    /// Central gears of this group that are solid with one another.
    pub solid: Vec<Vec<GearId>>,
    /// The loops that meshes of this group close with others of the set.
    pub loops: Vec<Loop>,
    /// At which part of a pitch each pin takes up the teeth of each central gear.
    pub phases: Vec<MeshPhase>,
    /// For each mesh after how many turns the same two teeth meet again.
    pub meetings: Vec<Meeting>,
    /// For each state when the marks line up again and when everything is back.
    pub returns: Vec<StateReturn>,
}

/// How the planets of a group are marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Convention {
    /// Not at all: the planets do not go together.
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

/// The marks of every group of planets, in the order of the description.
///
/// # Examples
/// ```
/// use toothmark::{description, timing::{Convention, marking}};
/// let set = description::read(description::example("orchard-truck").unwrap()).unwrap();
/// let group = &marking(&set)[0];
/// assert_eq!(group.convention, Convention::Individual);
/// // On gear d the cluster of pin 2 is marked nine teeth clockwise of its first tooth.
/// assert_eq!(group.gears[0].pins[1].tooth, -9);
/// assert_eq!(group.gears[0].pins[1].space, Some(9));
/// ```
pub fn marking(set: &Gearset) -> Vec<GroupMarking> {
    let motions = motions(set);
    let timings = timing(set).groups;
    set.planet_groups().iter().zip(timings).map(|(group, timing)| mark_group(set, group, timing, &motions)).collect()
}

fn mark_group(set: &Gearset, group: &PlanetGroup, timing: GroupTiming, motions: &[StateMotion]) -> GroupMarking {
    let rows = set.matrix().timing(group);
    let spacings = group.spacings();
    let convention = convention(&rows, &timing);
    let gears = match convention {
        Convention::Refused | Convention::OnePin | Convention::AnyTooth => Vec::new(),
        Convention::Radial | Convention::Parallel | Convention::Individual => {
            gear_marks(set, &rows, &timing, &spacings)
        }
    };
    GroupMarking {
        planets: timing.planets,
        carrier: timing.carrier,
        pins: spacings.len(),
        convention,
        solid: solid(set, &rows),
        loops: timing.loops,
        phases: mesh_phases(&rows, &spacings),
        meetings: meetings(set, &rows),
        returns: state_returns(set, group, &rows, &gears, motions),
        gears,
    }
}

fn convention(rows: &[TimingRow], timing: &GroupTiming) -> Convention {
    if !timing.assembles {
        Convention::Refused
    } else if timing.pins.len() == 1 {
        Convention::OnePin
    } else if (0..timing.planets.len()).all(|planet| any_tooth_will_do(rows, planet)) {
        Convention::AnyTooth
    } else if timing.radial_marks {
        Convention::Radial
    } else if timing.parallel_marks {
        Convention::Parallel
    } else {
        Convention::Individual
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
