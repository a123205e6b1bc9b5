//! What can make a noise that is heard in some states and not in others?
//!
//! By elimination: what stands still in a state makes no noise in it, and what moves in a state
//! that is silent is not the source, unless it sounds under load only. Meshes and bearings count
//! by the motion of their parts against one another, members by their turning in the case. What
//! the input does not determine may be moving, so it rules nothing out.

use std::cmp::Reverse;
use std::fmt;

use super::state::RunningState;
use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId, MeshId};
use crate::kinematics::MotionKind;
use crate::statics::MeshWork;
use num_traits::Zero;
use serde::Serialize;

/// In which states a noise is heard, and in which it is not; by their places.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Listened {
    /// It is heard.
    pub heard: Vec<usize>,
    /// It is not heard.
    pub not_heard: Vec<usize>,
}

/// A suspect and what is to be held of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Finding {
    /// What the suspect is.
    pub kind: SuspectKind,
    /// The suspect, as the names of the gears or members that it is made of.
    #[serde(rename = "names")]
    pub suspect: Suspect,
    /// Whether it fits.
    pub judgement: Judgement,
    /// Why it is out.
    pub reasons: Vec<WhyOut>,
    /// In how many of the states in which the noise is heard it passes power.
    pub loaded_where_heard: usize,
}

/// What may make a noise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum SuspectKind {
    /// A mesh.
    Mesh,
    /// A bearing.
    Bearing,
    /// A member by its turning in the case.
    Member,
}

/// What may make the noise; serialised as a list of names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Suspect {
    /// A mesh.
    Mesh(MeshId),
    /// A bearing: what runs, and what it runs on.
    Bearing([MemberId; 2]),
    /// A member by its turning in the case: out of balance, or rubbing on something fixed.
    Member([MemberId; 1]),
}

impl Suspect {
    /// What it is.
    pub fn kind(self) -> SuspectKind {
        match self {
            Self::Mesh(_) => SuspectKind::Mesh,
            Self::Bearing(_) => SuspectKind::Bearing,
            Self::Member(_) => SuspectKind::Member,
        }
    }
}

/// Whether a suspect fits what is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Judgement {
    /// It moves where the noise is heard, and nowhere else that was listened to.
    Fits,
    /// It moves in silent states as well, but passes no power there: it fits if it sounds under
    /// load only.
    #[serde(rename = "fits under load")]
    FitsUnderLoad,
    /// It is out.
    Out,
}

/// Why a suspect is out; serialised as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema), schemars(with = "String"))]
#[serde(into = "String")]
pub enum WhyOut {
    /// It stands still in this state, in which the noise is heard.
    StillWhereHeard(String),
    /// It moves in this state, in which the noise is not heard.
    MovesWhereSilent(String),
}

impl fmt::Display for WhyOut {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::StillWhereHeard(state) => write!(formatter, "does not move in \"{state}\""),
            Self::MovesWhereSilent(state) => write!(formatter, "moves in \"{state}\" too"),
        }
    }
}

impl From<WhyOut> for String {
    fn from(why: WhyOut) -> Self {
        why.to_string()
    }
}

/// How much a suspect moves in a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Activity {
    Still,
    Idle,
    Moves,
    Loaded,
    Unknown,
}

/// Every mesh, bearing and member with what is to be held of it: those that fit first, among them
/// those that pass power in the most of the states in which the noise is heard.
pub(super) fn suspects(set: &Gearset, states: &[RunningState], listened: &Listened) -> Vec<Finding> {
    let bearings = states.first().map_or(&[][..], |state| &state.bearings);
    let bearings = bearings.iter().map(|bearing| Suspect::Bearing([bearing.first, bearing.second]));
    let members = set.member_ids().skip(1).map(|member| Suspect::Member([member]));
    let all = set.mesh_ids().map(Suspect::Mesh).chain(bearings).chain(members);
    let mut found: Vec<Finding> = all.map(|suspect| finding(states, listened, suspect)).collect();
    found.sort_by_key(|found| {
        let rank = match found.judgement {
            Judgement::Fits => 0,
            Judgement::FitsUnderLoad => 1,
            Judgement::Out => 1 + found.reasons.len(),
        };
        (rank, Reverse(found.loaded_where_heard))
    });
    found
}

fn finding(states: &[RunningState], listened: &Listened, suspect: Suspect) -> Finding {
    let heard: Vec<(&RunningState, Activity)> =
        listened.heard.iter().map(|&place| (&states[place], activity(&states[place], suspect))).collect();
    let still = heard.iter().filter(|(_, activity)| *activity == Activity::Still);
    let mut reasons: Vec<WhyOut> = still.map(|(state, _)| WhyOut::StillWhereHeard(state.state.clone())).collect();
    let may_be_loaded = |activity: Activity| matches!(activity, Activity::Loaded | Activity::Unknown);
    let by_load = !heard.is_empty() && heard.iter().all(|(_, activity)| may_be_loaded(*activity));
    let mut under_load = false;
    for state in listened.not_heard.iter().map(|&place| &states[place]) {
        match activity(state, suspect) {
            Activity::Still | Activity::Unknown => {}
            Activity::Idle if by_load => under_load = true,
            Activity::Idle | Activity::Moves | Activity::Loaded => {
                reasons.push(WhyOut::MovesWhereSilent(state.state.clone()));
            }
        }
    }
    Finding {
        kind: suspect.kind(),
        suspect,
        judgement: match (reasons.is_empty(), under_load) {
            (false, _) => Judgement::Out,
            (true, true) => Judgement::FitsUnderLoad,
            (true, false) => Judgement::Fits,
        },
        reasons,
        loaded_where_heard: heard.iter().filter(|(_, activity)| *activity == Activity::Loaded).count(),
    }
}

fn activity(state: &RunningState, suspect: Suspect) -> Activity {
    match suspect {
        Suspect::Mesh(mesh) => match state.meshes[mesh.index()].work {
            MeshWork::Dead => Activity::Still,
            MeshWork::Idle => Activity::Idle,
            MeshWork::Loaded => Activity::Loaded,
            MeshWork::Rolls => Activity::Moves,
            MeshWork::Unknown => Activity::Unknown,
        },
        Suspect::Bearing([first, second]) => {
            let bearing = state.bearings.iter().find(|bearing| [bearing.first, bearing.second] == [first, second]);
            bearing.map_or(Activity::Unknown, |bearing| of_speed(bearing.motion, bearing.relative.as_ref()))
        }
        Suspect::Member([member]) => {
            let found = state.members.iter().find(|found| found.member == member);
            found.map_or(Activity::Unknown, |found| of_speed(found.motion, found.speed.as_ref()))
        }
    }
}

fn of_speed(motion: MotionKind, speed: Option<&Fraction>) -> Activity {
    match motion {
        MotionKind::Locked => Activity::Still,
        MotionKind::Determined if speed.is_some_and(Zero::is_zero) => Activity::Still,
        MotionKind::Determined => Activity::Moves,
        MotionKind::Free | MotionKind::Tumbles => Activity::Unknown,
    }
}
