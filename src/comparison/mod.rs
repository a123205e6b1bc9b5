//! What does a gearset do beside another one: everything that a change of parts can alter.
//!
//! Nothing is worked out here that is not an answer of another module; the answers are brought together so that one
//! comparison holds them all. Several gearsets have no identities in common: parts are compared by their names, and a
//! gear, planet or member that is called otherwise in another gearset is another part.

mod change;

use num_bigint::BigInt;
use serde::Serialize;

pub use change::{PartChange, TeethChange, changes};

use crate::clearance::{Faces, Gap, Tips};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Gearset, MemberId, MeshId, Restraint};
use crate::inspection::{Remark, RemarkKind, remarks_but_counts};
use crate::kinematics::{ForwardSteps, Step, VerdictKind, forward_steps};
use crate::statics::{ControlLoad, LoadOptions, StateLoads, loads};
use crate::timing::{GroupMarking, GroupTiming, MarginSearch, MarkingConvention, ToothMeeting, marking, timing};

/// A gearset to be compared.
#[derive(Debug, Clone)]
pub struct Candidate<'a> {
    /// Where it comes from: a file, or what was changed.
    pub source: String,
    /// The gearset.
    pub set: &'a Gearset,
}

/// Gearsets side by side; changes are told against the first.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Comparison {
    /// The gearsets, in the order given.
    pub sets: Vec<ComparedSet>,
}

/// What a comparison tells of one gearset.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedSet {
    /// The letter of its column.
    pub column: String,
    /// Where it comes from: a file, or what was changed.
    pub source: String,
    /// Its title.
    pub gearset: String,
    /// Every gear.
    pub gears: Vec<ComparedGear>,
    /// Every state, for a torque of 1 on the input.
    pub states: Vec<ComparedState>,
    /// Every group of planets.
    pub groups: Vec<ComparedGroup>,
    /// The room between gears that are not in mesh, where the centre distances follow from the description.
    pub gaps: Vec<ComparedGap>,
    /// After how many turns the same teeth of each mesh meet again.
    pub meetings: Vec<ComparedMeeting>,
    /// The parts that are other ones than those of the first gearset, by their names.
    pub parts_changed: Vec<String>,
    /// How these parts differ from those of the first gearset.
    pub changes: Vec<PartChange>,
    /// The steps between the forward states.
    pub steps: Vec<ComparedSteps>,
    /// What in it is worth a second look.
    pub remarks: Vec<ComparedRemark>,
}

/// Something worth a second look.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedRemark {
    /// What it is about.
    pub kind: RemarkKind,
    /// What there is to say, in a sentence.
    pub text: String,
}

/// A gear.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedGear {
    /// Its name.
    pub gear: String,
    /// The member that it is on.
    pub member: String,
    /// Its tooth count.
    pub teeth: u16,
}

/// A state.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedState {
    /// Its name.
    pub state: String,
    /// What becomes of the output.
    pub verdict: VerdictKind,
    /// Turns of the input for one turn of the output, where the output turns.
    pub ratio: Option<Fraction>,
    /// The controls that it applies.
    pub controls: Vec<ComparedControl>,
    /// The members that it holds by itself, but for the case.
    pub held: Vec<ComparedHold>,
    /// By how many per cent the ratio is larger than that of the first gearset; none where either has none.
    pub change_percent: Option<Fraction>,
}

/// A control that is applied.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedControl {
    /// Its name.
    pub control: String,
    /// What it puts on its first member, where that is determined.
    pub torque: Option<Fraction>,
}

/// A member that is held.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedHold {
    /// Its name.
    pub member: String,
    /// The torque that holds it, where that is determined.
    pub torque: Option<Fraction>,
}

/// A group of planets.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedGroup {
    /// The planets.
    pub planets: Vec<String>,
    /// The number of pins.
    pub pins: usize,
    /// Whether the planets assemble.
    pub goes_together: bool,
    /// Whether radial marks serve.
    pub radial_marks: bool,
    /// Whether parallel marks serve.
    pub parallel_marks: bool,
    /// How far the nearest wrong seating is out, in teeth; none where there is none.
    pub margin: Option<Fraction>,
    /// Whether it would go in within the backlash; none where there is none, or a pitch or backlash is not given.
    pub unnoticed: Option<bool>,
    /// D: a place x, in turns from the first pin, is allowed if and only if D x is whole.
    #[serde(serialize_with = "crate::exact::serialize_integer")]
    #[cfg_attr(feature = "report", schemars(with = "i64"))]
    pub spacing_divisor: BigInt,
    /// Which marks are the simplest that serve.
    pub marks: MarkingConvention,
    /// The margin as an arc at the pitch circle, in millimetres, where every mesh has a pitch.
    pub margin_mm: Option<f64>,
    /// Whether every wrong seating was looked at.
    pub margin_search: MarginSearch,
}

/// The room between two gears.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedGap {
    /// The gears; twice the same for a gear and its fellow on another pin.
    pub gears: [String; 2],
    /// From tip to tip, in modules of the first gear; below zero the tips overlap.
    pub modules: f64,
    /// The same in millimetres, where every mesh has a pitch.
    pub millimetres: Option<f64>,
    /// Whether they have to lie in one plane.
    pub faces: Faces,
    /// Whether that is room enough.
    pub tips: Tips,
}

/// When teeth of a mesh meet again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedMeeting {
    /// The gears in mesh.
    pub mesh: [String; 2],
    /// The common factor of their counts; 1 for a hunting pair.
    pub common_factor: u16,
    /// The turns of each, seen from the carrier, until the same teeth meet.
    pub turns: [u16; 2],
}

/// The steps between the forward states of one input and output.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ComparedSteps {
    /// The member that drives.
    pub input: String,
    /// The member that is driven.
    pub output: String,
    /// From each state to the next faster one.
    pub steps: Vec<Step>,
    /// The slowest ratio over the fastest.
    pub spread: Fraction,
}

/// Gearsets side by side.
///
/// # Examples
/// ```
/// use toothmark::{comparison::{Candidate, compare}, description};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let gears = ["L", "l"].map(|name| set.gear_named(name).unwrap());
/// let changed = set.with_tooth_counts(gears.into_iter().zip([21, 36])).unwrap();
/// let candidate = |source: &str, set| Candidate { source: source.into(), set };
/// let sets = compare(&[candidate("as it is", &set), candidate("changed", &changed)]).sets;
/// assert_eq!(sets[0].states[0].ratio.as_ref().unwrap().to_string(), "481/171");
/// // More reduction by a sixth: 312/95.
/// assert_eq!(sets[1].states[0].change_percent.as_ref().unwrap().to_string(), "620/37");
/// assert_eq!(sets[1].parts_changed, ["low drum", "cluster"]);
/// ```
pub fn compare(candidates: &[Candidate<'_>]) -> Comparison {
    let mut sets: Vec<ComparedSet> = Vec::new();
    for (place, candidate) in candidates.iter().enumerate() {
        let changes = changes(candidates[0].set, candidate.set);
        let states = loads(candidate.set, &LoadOptions::default());
        let motions: Vec<_> = states.iter().map(|state| state.motion.clone()).collect();
        let set = candidate.set;
        let (timed, marked) = (timing(set).groups, marking(set).groups);
        sets.push(ComparedSet {
            column: column(place),
            source: candidate.source.clone(),
            gearset: set.title().to_owned(),
            gears: gears(set),
            states: states.iter().map(|loads| state(set, loads, sets.first())).collect(),
            gaps: timed.iter().flat_map(|group| &group.room).map(|it| gap(set, it)).collect(),
            groups: groups(set, timed, &marked),
            meetings: marked.iter().flat_map(|group| &group.meetings).map(|it| meeting(set, it)).collect(),
            parts_changed: changes.iter().map(|change| change.part().to_owned()).collect(),
            changes,
            steps: forward_steps(&motions).into_iter().map(|it| steps(set, it)).collect(),
            remarks: remarks_but_counts(set)
                .into_iter()
                .map(|Remark { kind, text, .. }| ComparedRemark { kind, text })
                .collect(),
        });
    }
    Comparison { sets }
}

/// The letters of a column: A to Z, then AA and so on.
fn column(place: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(place % 26).unwrap_or_default());
    let before = if place < 26 { String::new() } else { column(place / 26 - 1) };
    before + &letter.to_string()
}

fn gears(set: &Gearset) -> Vec<ComparedGear> {
    let of = |gear: &crate::gearset::Gear| ComparedGear {
        gear: gear.name().to_owned(),
        member: name(set, gear.member()),
        teeth: gear.tooth_count().get(),
    };
    set.gears().iter().map(of).collect()
}

fn name(set: &Gearset, member: MemberId) -> String {
    set.member(member).name().to_owned()
}

fn state(set: &Gearset, loads: &StateLoads, first: Option<&ComparedSet>) -> ComparedState {
    let state = &loads.motion.state;
    let ratio = loads.motion.verdict.ratio().cloned();
    let before = match first {
        None => ratio.clone(),
        Some(first) => first.states.iter().find(|other| other.state == *state).and_then(|other| other.ratio.clone()),
    };
    let control = |load: &ControlLoad| ComparedControl {
        control: set.control(load.control).name().to_owned(),
        torque: load.torque.clone(),
    };
    ComparedState {
        state: state.clone(),
        verdict: loads.motion.verdict.kind(),
        controls: loads.controls.iter().filter(|load| load.applied).map(control).collect(),
        held: held(set, loads),
        // 100 (i / i_first - 1).
        change_percent: ratio
            .as_ref()
            .zip(before)
            .map(|(ratio, before)| (ratio / before - fraction(1, 1)) * fraction(100, 1)),
        ratio,
    }
}

/// What a state holds by itself; the case takes what is left, and nothing has to hold it.
fn held(set: &Gearset, loads: &StateLoads) -> Vec<ComparedHold> {
    let restraints = set.state_named(&loads.motion.state).map(|state| state.restraints.as_slice()).unwrap_or_default();
    let held = restraints.iter().filter_map(|restraint| match *restraint {
        Restraint::Held(member) if member != MemberId::CASE => Some(member),
        Restraint::Held(_) | Restraint::Control(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
    });
    held.map(|member| ComparedHold { member: name(set, member), torque: loads.member(member).torque.clone() }).collect()
}

fn groups(set: &Gearset, timed: Vec<GroupTiming>, marked: &[GroupMarking]) -> Vec<ComparedGroup> {
    let group = |(timed, marked): (GroupTiming, &GroupMarking)| ComparedGroup {
        planets: timed.planets.iter().map(|&planet| name(set, planet)).collect(),
        pins: timed.pins.len(),
        goes_together: timed.assembles,
        radial_marks: timed.radial_marks,
        parallel_marks: timed.parallel_marks,
        unnoticed: timed.within_backlash,
        margin: timed.margin,
        spacing_divisor: timed.spacing_divisor,
        marks: marked.convention,
        margin_mm: timed.margin_mm,
        margin_search: timed.margin_search,
    };
    timed.into_iter().zip(marked).map(group).collect()
}

fn gap(set: &Gearset, gap: &Gap) -> ComparedGap {
    ComparedGap {
        gears: gap.gears.each().map(|gear| set.gear(gear).name().to_owned()),
        modules: gap.modules,
        millimetres: gap.millimetres,
        faces: gap.faces,
        tips: gap.tips,
    }
}

fn meeting(set: &Gearset, meeting: &ToothMeeting) -> ComparedMeeting {
    let gears = |mesh: MeshId| set.mesh(mesh).gears().each().map(|gear| set.gear(gear).name().to_owned());
    ComparedMeeting { mesh: gears(meeting.mesh), common_factor: meeting.common_factor, turns: meeting.turns.each() }
}

fn steps(set: &Gearset, steps: ForwardSteps) -> ComparedSteps {
    let [input, output] = [steps.input, steps.output].map(|member| name(set, member));
    ComparedSteps { input, output, steps: steps.steps, spread: steps.spread }
}
