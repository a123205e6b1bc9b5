//! What does a control meet when it is applied?
//!
//! At that moment the train still moves as before: in another state, or with everything released
//! and the output standing, as when a machine starts from rest. The speed of the two bodies
//! against one another, which the control brings to zero, follows from the motion before. In
//! which way a drum turns before its band stops it decides whether the band is self-energising. A one-way clutch applies
//! itself: it holds from the first, or overruns until its members are at rest against one another.

use std::collections::HashMap;

use num_traits::{Signed, Zero};
use serde::Serialize;

use super::state::{TurningMembers, speeds};
use crate::exact::Fraction;
use crate::gearset::{Action, ControlId, Gearset, MemberId, Pair, Restraint, Sense, State};
use crate::kinematics::{MotionKind, Observation, observe};

/// Two bodies that are brought together, or one that is brought to rest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Engagement {
    /// The state that begins.
    pub into: String,
    /// The state that ends; none for a start from rest: nothing applied, the output standing.
    pub from: Option<String>,
    /// What is applied: a control by its name, "ring held", "sun joined to carrier".
    pub applied: String,
    /// The first of the bodies that it makes one.
    pub first: MemberId,
    /// The second; the case for one that is held.
    pub second: MemberId,
    /// The speed of the first against the second before, in turns per turn of the input.
    pub before: Option<Fraction>,
    /// How the first moves as seen from the second before.
    pub motion: MotionKind,
    /// The sense in which it turns; none where it does not turn or has no speed that could be told.
    pub sense: Option<Sense>,
    /// What is met, where the speed can be told.
    pub meets: Option<Meeting>,
}

/// What a control meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum Meeting {
    /// The two do not turn against one another.
    #[serde(rename = "at rest already")]
    AtRest,
    /// They do, and are brought together.
    #[serde(rename = "comes to rest")]
    ComesToRest,
    /// A one-way clutch lets them turn so, and holds only when they are at rest against one another.
    #[serde(rename = "overruns")]
    Overruns,
    /// A one-way clutch would have held before they turned so.
    #[serde(rename = "cannot be")]
    CannotBe,
}

/// A change from rest of which nothing is told.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct LeftOutChange {
    /// The state that begins.
    pub into: String,
    /// What is applied; none where nothing is told of the whole change.
    pub applied: Option<String>,
    /// Why.
    pub why: WhyLeftOut,
    /// One-way clutches that hold while the output stands.
    pub held_by: Vec<ControlId>,
}

/// Why nothing is told of a change from rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum WhyLeftOut {
    /// A one-way clutch would hold while the output stands, so that the train cannot turn as if it were not there.
    #[serde(rename = "a one-way clutch holds")]
    OneWayHolds,
    /// The input leaves open how the two turn against one another while the output stands.
    Free,
    /// The input cannot turn while the output stands.
    Locked,
}

/// Changes between more states than this are not listed, only those from rest.
pub const MOST_STATES: usize = 60;

/// A state in which nothing is applied and the output stands while the input turns.
pub fn standing_state(state: &State) -> State {
    State { name: "standing".into(), restraints: vec![Restraint::Held(state.output)], ..state.clone() }
}

/// The members while the output stands.
#[derive(Debug, Default)]
pub(super) struct StandingOutput {
    /// Their speeds; `None` where states have different inputs or outputs, or there are none.
    pub(super) column: Option<TurningMembers>,
    /// One-way clutches that would hold.
    pub(super) held: Vec<ControlId>,
}

/// The members while nothing is applied and the output stands.
pub(super) fn output_standing(set: &Gearset) -> StandingOutput {
    let has_common_ends = set.states().windows(2).all(|pair| ends(&pair[0]) == ends(&pair[1]));
    let Some(standing) = set.states().first().map(standing_state).filter(|_| has_common_ends) else {
        return StandingOutput::default();
    };
    let seen = observe(set, &[standing], &[]);
    StandingOutput {
        column: seen.first().map(|seen| TurningMembers { state: None, members: speeds(&seen.motion) }),
        held: seen.iter().flat_map(|seen| &seen.motion.one_way_conflicts).map(|found| found.control).collect(),
    }
}

fn ends(state: &State) -> [MemberId; 2] {
    [state.input, state.output]
}

/// What is brought together in every change into a state: from rest, and from every other state with
/// the same input and output; from rest only where there are more than [`MOST_STATES`], and not from rest where
/// a one-way clutch keeps the input from turning while the output stands.
///
/// # Examples
/// ```
/// use toothmark::{description, running::engagements};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let from_rest = &engagements(&set)[0];
/// // The slow drum turns backward, half as fast as the engine, when the slow band takes hold of it.
/// assert_eq!((from_rest.from.as_ref(), from_rest.before.as_ref().unwrap().to_string()), (None, "-1/2".into()));
/// ```
pub fn engagements(set: &Gearset) -> Vec<Engagement> {
    let states = set.states();
    let mut pairs: Vec<Pair<MemberId>> = Vec::new();
    let mut place_of: HashMap<Pair<MemberId>, usize> = HashMap::new();
    for restraint in states.iter().flat_map(|state| &state.restraints) {
        let Some(pair) = set.made_one(restraint) else { continue };
        place_of.entry(pair).or_insert_with(|| {
            pairs.push(pair);
            pairs.len() - 1
        });
    }
    let before: Vec<State> = states.iter().map(standing_state).chain(states.iter().cloned()).collect();
    let seen = observe(set, &before, &pairs);
    let (from_rest, from_states) = seen.split_at(states.len());
    let mut found = Vec::new();
    for (place, into) in states.iter().enumerate() {
        let rest = &from_rest[place];
        if rest.motion.one_way_conflicts.is_empty() {
            found.extend(change(set, into, Before { state: &before[place], name: None, seen: rest }, &place_of));
        }
        let others = states.iter().zip(from_states).enumerate().filter(|(index, _)| *index != place);
        for (_, (from, seen)) in others.filter(|_| states.len() <= MOST_STATES) {
            if ends(from) == ends(into) {
                found.extend(change(set, into, Before { state: from, name: Some(&from.name), seen }, &place_of));
            }
        }
    }
    found
}

/// Changes from rest that are not among the engagements, or whose speed is not told.
pub(super) fn left_out_from_rest(set: &Gearset, engagements: &[Engagement]) -> Vec<LeftOutChange> {
    let standing: Vec<State> = set.states().iter().map(standing_state).collect();
    let seen = observe(set, &standing, &[]);
    let mut found = Vec::new();
    for (into, seen) in set.states().iter().zip(seen) {
        let held_by: Vec<ControlId> = seen.motion.one_way_conflicts.iter().map(|conflict| conflict.control).collect();
        // A state that applies nothing brings nothing together.
        let applies = into.restraints.iter().any(|restraint| set.made_one(restraint).is_some());
        if applies && !held_by.is_empty() {
            found.push(LeftOutChange { into: into.name.clone(), applied: None, why: WhyLeftOut::OneWayHolds, held_by });
            continue;
        }
        let untold =
            engagements.iter().filter(|one| one.from.is_none() && one.into == into.name && one.before.is_none());
        found.extend(untold.map(|one| LeftOutChange {
            into: one.into.clone(),
            applied: Some(one.applied.clone()),
            why: if one.motion == MotionKind::Locked { WhyLeftOut::Locked } else { WhyLeftOut::Free },
            held_by: Vec::new(),
        }));
    }
    found
}

/// How the train moves before a change.
#[derive(Clone, Copy)]
struct Before<'a> {
    state: &'a State,
    /// The state's name; `None` for rest.
    name: Option<&'a String>,
    seen: &'a Observation,
}

/// What is applied in the one state and was not in the other.
fn change(
    set: &Gearset,
    into: &State,
    before: Before<'_>,
    place_of: &HashMap<Pair<MemberId>, usize>,
) -> Vec<Engagement> {
    let engagement = |restraint: &Restraint| {
        let bodies = set.made_one(restraint)?;
        let speed = &before.seen.relative[*place_of.get(&bodies)?];
        let sense = speed.value().and_then(sense_of);
        Some(Engagement {
            into: into.name.clone(),
            from: before.name.cloned(),
            applied: set.restraint_name(restraint),
            first: bodies.first,
            second: bodies.second,
            before: speed.value().cloned(),
            motion: speed.kind(),
            sense,
            meets: speed.value().map(|_| meeting(stopped_sense(set, restraint), sense)),
        })
    };
    let applied = into.restraints.iter().filter(|restraint| !before.state.restraints.contains(restraint));
    applied.filter_map(engagement).collect()
}

fn sense_of(speed: &Fraction) -> Option<Sense> {
    if speed.is_zero() {
        return None;
    }
    Some(if speed.is_negative() { Sense::Backward } else { Sense::Forward })
}

fn meeting(stopped: Option<Sense>, turns: Option<Sense>) -> Meeting {
    match (turns, stopped) {
        (None, _) => Meeting::AtRest,
        (Some(_), None) => Meeting::ComesToRest,
        (Some(turns), Some(stops)) if turns == stops => Meeting::CannotBe,
        (Some(_), Some(_)) => Meeting::Overruns,
    }
}

/// The sense that a one-way clutch stops.
fn stopped_sense(set: &Gearset, restraint: &Restraint) -> Option<Sense> {
    let Restraint::Control(control) = restraint else { return None };
    match set.control(*control).action() {
        Action::OneWayClutch(_, stops) => Some(stops),
        Action::Band(_) | Action::Clutch(_) => None,
    }
}
