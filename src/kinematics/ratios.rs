//! What turns how fast in each state: the whole answer.
//!
//! The motions of the states ([`motions`]), the steps between them, and what outruns the input, put into the one
//! structure that every form of the answer shows.

use super::motion::{Drive, MemberMotion, MotionKind, Speed, StateMotion, Verdict, VerdictKind, motion_of, motions};
use super::overspeed::{Overspeed, overspeeds};
use super::steps::{ForwardSteps, forward_steps};
use crate::exact::Fraction;
use crate::gearset::{ControlId, Gearset, MemberId, Place};
use serde::Serialize;

/// What is asked of the ratios.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RatiosQuestion {
    /// Only this state, by its place in [`Gearset::states`].
    pub state: Option<usize>,
    /// The input's speed in revolutions per minute, if speeds are wanted for one.
    pub input_rpm: Option<Fraction>,
}

/// The ratio of every state asked for, and every speed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Ratios {
    /// The title of the gearset.
    pub gearset: String,
    /// The states, in the order of the description.
    pub states: Vec<StateRatio>,
    /// What speeds are given in.
    pub speed_unit: SpeedUnit,
    /// The steps between neighbouring forward states; none where one state was asked for.
    pub steps: Vec<RatioStep>,
    /// The spread over the forward states between each input and output.
    pub spreads: Vec<RatioSpread>,
    /// The speed of the input in revolutions per minute, where it was given.
    pub input_rpm: Option<Fraction>,
    /// The members of the main axis that outrun the input without being the output.
    pub overspeeds: Vec<Overspeed>,
}

/// What speeds are given in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum SpeedUnit {
    /// Turns of a member for one turn of the input.
    #[serde(rename = "turns per turn of the input")]
    PerTurnOfInput,
    /// Revolutions per minute.
    #[serde(rename = "rpm")]
    RevolutionsPerMinute,
}

/// What one state does.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct StateRatio {
    /// The state's name.
    pub state: String,
    /// What becomes of the output.
    pub verdict: VerdictKind,
    /// Turns of the input for one turn of the output, negative where it is reversed; none where the output has no
    /// speed of its own.
    pub ratio: Option<Fraction>,
    /// Every member but the case, in the order of the description.
    pub members: Vec<MemberSpeed>,
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// Restraints that are enough to lock the state, none of which can be spared among them; empty where the meshes
    /// and joins alone lock it, and where it does not lock.
    pub locked_by: Vec<String>,
    /// Turns of the output for one turn of the input: the inverse of the ratio, or 0 where the output is held.
    pub output_per_input: Option<Fraction>,
    /// Whether everything that turns does so as one with the input.
    pub solid: bool,
    /// The members of the main axis whose speeds the input leaves open.
    pub free_members: Vec<MemberId>,
    /// One-way clutches that the state does not list although with its speeds they would hold.
    pub unlisted_one_way_clutches: Vec<ControlId>,
}

/// How fast a member turns.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct MemberSpeed {
    /// The member.
    pub member: MemberId,
    /// Its speed as seen from the case, where it has one, in the unit of the answer; positive in the input's sense.
    pub speed: Option<Fraction>,
    /// Its speed as seen from its carrier, where it has both.
    pub relative_to_carrier: Option<Fraction>,
    /// How it moves, as seen from the case.
    pub motion: MotionKind,
    /// How it moves as seen from its carrier, if it has one.
    pub motion_relative_to_carrier: Option<MotionKind>,
}

/// The step from one forward state to the next faster one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RatioStep {
    /// The member that drives in both.
    pub input: MemberId,
    /// The member that is driven in both.
    pub output: MemberId,
    /// The state with the slower output.
    pub from: String,
    /// The state with the faster output.
    pub to: String,
    /// The quotient of their ratios, 1 or more.
    pub step: Fraction,
}

/// The spread over the forward states between one input and one output.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RatioSpread {
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// The slowest ratio over the fastest.
    pub spread: Fraction,
}

/// The ratio of every state asked for, every speed, and the steps between forward states.
///
/// # Panics
/// If the state asked for is none of the gearset.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::{RatiosQuestion, ratios}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let answer = ratios(&set, &RatiosQuestion::default());
/// assert_eq!(answer.states[0].ratio.as_ref().unwrap().to_string(), "481/171");
/// assert_eq!(answer.steps[0].from, "low");
/// ```
pub fn ratios(set: &Gearset, question: &RatiosQuestion) -> Ratios {
    let motions = question.state.map_or_else(|| motions(set), |state| vec![motion_of(set, state)]);
    let steps = if question.state.is_some() { Vec::new() } else { forward_steps(&motions) };
    let rpm = question.input_rpm.as_ref();
    Ratios {
        gearset: set.title().to_owned(),
        states: motions.iter().map(|motion| state_ratio(set, motion, rpm)).collect(),
        speed_unit: rpm.map_or(SpeedUnit::PerTurnOfInput, |_| SpeedUnit::RevolutionsPerMinute),
        spreads: steps.iter().map(spread).collect(),
        steps: steps.into_iter().flat_map(flattened).collect(),
        input_rpm: rpm.cloned(),
        overspeeds: overspeeds(set, &motions),
    }
}

fn state_ratio(set: &Gearset, motion: &StateMotion, rpm: Option<&Fraction>) -> StateRatio {
    let ratio = motion.verdict.ratio().cloned();
    let locked_by = match &motion.verdict {
        Verdict::Locked { by } => by.iter().map(|restraint| set.restraint_name(restraint)).collect(),
        Verdict::Drives { .. } | Verdict::Neutral | Verdict::OutputHeld => Vec::new(),
    };
    StateRatio {
        state: motion.state.clone(),
        verdict: motion.verdict.kind(),
        members: motion.members.iter().map(|found| member_speed(found, rpm)).collect(),
        input: motion.input,
        output: motion.output,
        locked_by,
        output_per_input: motion.verdict.output_per_input(),
        solid: matches!(motion.verdict, Verdict::Drives { drive: Drive::Solid, .. }),
        free_members: free_members(set, motion),
        unlisted_one_way_clutches: motion.one_way_conflicts.iter().map(|conflict| conflict.control).collect(),
        ratio,
    }
}

fn free_members(set: &Gearset, motion: &StateMotion) -> Vec<MemberId> {
    let on_main_axis = |member: &MemberId| matches!(set.member(*member).place(), Place::MainAxis);
    let free = motion.members.iter().filter(|found| found.speed == Speed::Free);
    free.map(|found| found.member).filter(on_main_axis).collect()
}

/// Its speed per turn of the input.
impl From<&MemberMotion> for MemberSpeed {
    fn from(found: &MemberMotion) -> Self {
        member_speed(found, None)
    }
}

fn member_speed(found: &MemberMotion, rpm: Option<&Fraction>) -> MemberSpeed {
    let relative = found.relative_to_carrier.as_ref();
    MemberSpeed {
        member: found.member,
        speed: scaled(&found.speed, rpm),
        relative_to_carrier: relative.and_then(|speed| scaled(speed, rpm)),
        motion: found.speed.kind(),
        motion_relative_to_carrier: relative.map(Speed::kind),
    }
}

fn scaled(speed: &Speed, rpm: Option<&Fraction>) -> Option<Fraction> {
    speed.value().map(|value| rpm.map_or_else(|| value.clone(), |rpm| value * rpm))
}

fn spread(steps: &ForwardSteps) -> RatioSpread {
    RatioSpread { input: steps.input, output: steps.output, spread: steps.spread.clone() }
}

fn flattened(ForwardSteps { input, output, steps, .. }: ForwardSteps) -> impl Iterator<Item = RatioStep> {
    steps.into_iter().map(move |step| RatioStep { input, output, from: step.from, to: step.to, step: step.step })
}
