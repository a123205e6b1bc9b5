//! With the wheel jacked up in neutral: what drags, if the output turns?
//!
//! A neutral leaves the output free. Whatever drags makes two bodies one, or as good as one, and that is a state of its
//! own: the neutral with those two joined, solved as any other. A drum that drags on the case turns the output at the
//! ratio of the state that holds it; where a neutral has two freedoms, two moving parts that stick to one another turn
//! everything as one. Derived here from the mesh matrix, and not from that rule.

mod places;

use std::cmp::Reverse;

use num_traits::Signed;
use serde::Serialize;

use crate::exact::Fraction;
use crate::gearset::{ControlId, Gearset, MemberId, Pair, Place, Restraint, State, bodies_in_state};
use crate::kinematics::{Verdict, VerdictKind, motions, observe};
use places::{DragPair, drag_pairs};

/// What is asked of a neutral.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NeutralQuestion {
    /// The neutral that is tested, by its place in [`Gearset::states`]; the first there is where it is left out.
    pub state: Option<usize>,
    /// The speed of the input in revolutions per minute, where one is known.
    pub input_rpm: Option<Fraction>,
}

/// What the output does when something drags in neutral.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct NeutralTest {
    /// Every two bodies that can stick together: by what the output does then, the fastest first.
    pub rows: Vec<DragRow>,
    /// The title of the gearset.
    pub gearset: String,
    /// The neutral that is tested; none where the gearset has no such state and nothing is applied.
    pub state: Option<String>,
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// The speed of the input in revolutions per minute, where it was given.
    pub input_rpm: Option<Fraction>,
    /// How fast everything on the main axis turns while the output is held; what is one with the output is held as well,
    /// and left away.
    pub output_held: Vec<HeldOutputSpeed>,
}

/// Two bodies that stick together, and what the output does by it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct DragRow {
    /// The two bodies.
    pub stuck: [MemberId; 2],
    /// Turns of the output for one turn of the input; none where the output stays free, or nothing can turn.
    pub output: Option<Fraction>,
    /// The output's speed in revolutions per minute, where that of the input was given.
    pub output_rpm: Option<Fraction>,
    /// What becomes of the output.
    pub outcome: DragOutcome,
    /// Where the two meet; none where nothing that is described lets them touch.
    pub at: Vec<DragPlace>,
}

/// Where two bodies that may stick meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum DragPlace {
    /// In a band, a clutch or a one-way clutch.
    Control(ControlId),
    /// On a pin.
    Pin,
    /// In a bearing that is described.
    Bearing,
}

/// What the output does while something drags.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum DragOutcome {
    /// It turns with the input's sense.
    Forward,
    /// It turns against the input's sense.
    Backward,
    /// It is held.
    Stands,
    /// It stays free: this drag does not show in the output.
    StaysFree,
    /// The input cannot turn.
    Locks,
}

/// How fast a member turns while the output is held.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct HeldOutputSpeed {
    /// The member.
    pub member: MemberId,
    /// Its turns for one turn of the input; none where they stay open.
    pub speed: Option<Fraction>,
    /// The same in revolutions per minute, where the speed of the input was given.
    pub rpm: Option<Fraction>,
}

/// Why a neutral cannot be tested.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CannotTestNeutral {
    /// The state that was named is no neutral.
    #[error("state {state:?} is no neutral: it {does}")]
    NoNeutral {
        /// The state.
        state: String,
        /// What it does instead.
        does: &'static str,
    },
    /// No state is a neutral, and with nothing applied the output is not free either.
    #[error("there is no neutral: with nothing applied the set {does}")]
    NeverFree {
        /// What it does instead.
        does: &'static str,
    },
    /// Nothing says what drives and what is driven.
    #[error("it is not said what drives and what is driven")]
    NoEnds,
}

impl CannotTestNeutral {
    /// What to do about it.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoNeutral { .. } => "name a state that leaves the output free, such as \"neutral\": Apply([])",
            Self::NeverFree { .. } => {
                "a free neutral needs a control that lets go of something: describe it and its neutral"
            }
            Self::NoEnds => "add input, output and a state to the description, such as \"neutral\": Apply([])",
        }
    }
}

/// What the output does when any two bodies of a neutral stick together.
///
/// # Errors
/// [`CannotTestNeutral`] where there is no neutral to be tested.
///
/// # Examples
/// ```
/// use toothmark::{bench::{NeutralQuestion, neutral}, description};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let test = neutral(&set, &NeutralQuestion::default()).unwrap();
/// let outputs: Vec<String> = test.rows.iter().filter_map(|row| Some(row.output.as_ref()?.to_string())).collect();
/// // The slow drum on the case turns the output at 1/3 of the input, the reverse drum at 2/9 backward.
/// assert!(outputs.contains(&"1/3".into()) && outputs.contains(&"-2/9".into()) && outputs.contains(&"1".into()));
/// ```
pub fn neutral(set: &Gearset, question: &NeutralQuestion) -> Result<NeutralTest, CannotTestNeutral> {
    let (name, state) = tested_state(set, question.state)?;
    let rpm = question.input_rpm.as_ref();
    let mut rows: Vec<DragRow> =
        drag_pairs(set, &state).into_iter().map(|pair| drag_row(set, &state, pair, rpm)).collect();
    rows.sort_by_key(|row| (row.outcome, Reverse(row.output.as_ref().map(Signed::abs))));
    Ok(NeutralTest {
        gearset: set.title().to_owned(),
        state: name,
        input: state.input,
        output: state.output,
        output_held: output_held(set, &state, rpm),
        input_rpm: question.input_rpm.clone(),
        rows,
    })
}

/// The neutral that is tested, and its name where it has one.
fn tested_state(set: &Gearset, asked: Option<usize>) -> Result<(Option<String>, State), CannotTestNeutral> {
    let states = set.states();
    let motions = motions(set);
    let is_neutral = |at: &usize| motions.get(*at).is_some_and(|motion| motion.verdict == Verdict::Neutral);
    match asked.or_else(|| (0..states.len()).find(is_neutral)) {
        Some(at) if is_neutral(&at) => Ok((Some(states[at].name.clone()), states[at].clone())),
        Some(at) => {
            let (state, motion) = states.get(at).zip(motions.get(at)).ok_or(CannotTestNeutral::NoEnds)?;
            Err(CannotTestNeutral::NoNeutral { state: state.name.clone(), does: what_it_does(motion.verdict.kind()) })
        }
        None => nothing_applied(set).map(|state| (None, state)),
    }
}

/// The first state without what it applies, where that leaves the output free.
fn nothing_applied(set: &Gearset) -> Result<State, CannotTestNeutral> {
    let first = set.states().first().ok_or(CannotTestNeutral::NoEnds)?;
    let state = State { name: String::new(), restraints: Vec::new(), ..first.clone() };
    let kind = verdict(set, &state).kind();
    let never_free = CannotTestNeutral::NeverFree { does: what_it_does(kind) };
    (kind == VerdictKind::Neutral).then_some(state).ok_or(never_free)
}

fn what_it_does(verdict: VerdictKind) -> &'static str {
    match verdict {
        VerdictKind::Drives => "drives the output",
        VerdictKind::Locked => "locks",
        VerdictKind::Neutral => "leaves the output free",
        VerdictKind::OutputHeld => "holds the output",
    }
}

fn verdict(set: &Gearset, state: &State) -> Verdict {
    observe(set, std::slice::from_ref(state), &[]).remove(0).motion.verdict
}

/// The neutral with two bodies made one.
fn drag_row(set: &Gearset, state: &State, pair: DragPair, rpm: Option<&Fraction>) -> DragRow {
    let mut dragging = state.clone();
    dragging.restraints.push(made_one(pair.turning_as_one));
    let verdict = verdict(set, &dragging);
    let output = verdict.output_per_input();
    let outcome = match (&verdict, &output) {
        (Verdict::Locked { .. }, _) => DragOutcome::Locks,
        (Verdict::OutputHeld, _) => DragOutcome::Stands,
        (_, Some(speed)) if speed.is_positive() => DragOutcome::Forward,
        (_, Some(_)) => DragOutcome::Backward,
        (_, None) => DragOutcome::StaysFree,
    };
    DragRow { stuck: pair.bodies, output_rpm: in_rpm(output.as_ref(), rpm), output, outcome, at: pair.at }
}

/// What makes two members one: whatever is one with the case is held.
fn made_one(pair: Pair<MemberId>) -> Restraint {
    match (pair.first, pair.second) {
        (MemberId::CASE, member) | (member, MemberId::CASE) => Restraint::Held(member),
        _ => Restraint::Joined(pair),
    }
}

fn in_rpm(speed: Option<&Fraction>, rpm: Option<&Fraction>) -> Option<Fraction> {
    speed.zip(rpm).map(|(speed, rpm)| speed * rpm)
}

/// How fast everything on the main axis turns while somebody holds the output, but for what is one with it.
fn output_held(set: &Gearset, state: &State, rpm: Option<&Fraction>) -> Vec<HeldOutputSpeed> {
    let mut held = state.clone();
    held.restraints.push(Restraint::Held(state.output));
    let motion = observe(set, std::slice::from_ref(&held), &[]).remove(0).motion;
    let turning = motion.members.iter().filter(|found| *set.member(found.member).place() == Place::MainAxis);
    let bodies = bodies_in_state(set, state);
    let body = |member: MemberId| bodies[member.index()];
    let others = turning.filter(|found| body(found.member) != body(state.output));
    others
        .map(|found| {
            let speed = found.speed.value().cloned();
            HeldOutputSpeed { member: found.member, rpm: in_rpm(speed.as_ref(), rpm), speed }
        })
        .collect()
}
