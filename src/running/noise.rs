//! What can make a noise that is heard in some states and not in others?
//!
//! By elimination: what stands still in a state makes no noise in it, and what moves in a state
//! that is silent is not the source, unless it sounds under load only. Meshes and bearings count
//! by the motion of their parts against one another, members by their turning in the case. What
//! the input does not determine may be moving, so it rules nothing out.

use super::work::{StateWork, Work, bearings, motion_of};
use crate::gearset::{Gearset, MemberId, MeshId};
use crate::kinematics::Speed;
use num_traits::Zero;

/// In which states a noise is heard, and in which it is not; by their places.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Listened {
    /// It is heard.
    pub heard: Vec<usize>,
    /// It is not heard.
    pub not_heard: Vec<usize>,
}

/// What may make the noise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suspect {
    /// A mesh.
    Mesh(MeshId),
    /// A bearing, by its place in [`bearings`].
    Bearing(usize),
    /// A member by its turning in the case: out of balance, or rubbing on something fixed.
    Member(MemberId),
}

/// A suspect and what is to be held of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The suspect.
    pub suspect: Suspect,
    /// Whether it fits.
    pub judgement: Judgement,
    /// In how many of the states in which the noise is heard it passes power.
    pub loaded: usize,
}

/// Whether a suspect fits what is heard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Judgement {
    /// It moves where the noise is heard, and nowhere else that was listened to.
    Fits,
    /// It moves in silent states as well, but passes no power there: it fits if it sounds under
    /// load only.
    FitsUnderLoad,
    /// It is out.
    Out(Vec<Reason>),
}

/// Why a suspect is out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// It stands still in this state, by its place, in which the noise is heard.
    StillWhereHeard(usize),
    /// It moves in this state, in which the noise is not heard.
    MovesWhereSilent(usize),
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
///
/// # Examples
/// ```
/// use toothmark::{description, running::{Judgement, Listened, suspects, workings}};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// // Heard in low and reverse, not in direct.
/// let listened = Listened { heard: vec![0, 1], not_heard: vec![2] };
/// let found = suspects(&set, &workings(&set), &listened);
/// let fitting = found.iter().filter(|found| found.judgement == Judgement::Fits).count();
/// assert_eq!(fitting, 4, "three meshes, and the cluster on its pin");
/// ```
///
/// # Panics
/// If a place is that of no state.
pub fn suspects(set: &Gearset, states: &[StateWork], listened: &Listened) -> Vec<Finding> {
    let meshes = set.mesh_ids().map(Suspect::Mesh);
    let bearings = (0..bearings(set).len()).map(Suspect::Bearing);
    let members = set.member_ids().skip(1).map(Suspect::Member);
    let finding = |suspect: Suspect| {
        let activity = |state: usize| activity(&states[state], suspect);
        let loaded = listened.heard.iter().filter(|&&state| activity(state) == Activity::Loaded).count();
        Finding { suspect, judgement: judgement(listened, activity), loaded }
    };
    let mut found: Vec<Finding> = meshes.chain(bearings).chain(members).map(finding).collect();
    found.sort_by_key(|found| {
        let rank = match &found.judgement {
            Judgement::Fits => 0,
            Judgement::FitsUnderLoad => 1,
            Judgement::Out(reasons) => 1 + reasons.len(),
        };
        (rank, std::cmp::Reverse(found.loaded))
    });
    found
}

fn judgement(listened: &Listened, activity: impl Fn(usize) -> Activity) -> Judgement {
    let still = listened.heard.iter().filter(|&&state| activity(state) == Activity::Still);
    let mut reasons: Vec<Reason> = still.map(|&state| Reason::StillWhereHeard(state)).collect();
    let may_be_loaded = |state: usize| matches!(activity(state), Activity::Loaded | Activity::Unknown);
    let by_load = !listened.heard.is_empty() && listened.heard.iter().all(|&state| may_be_loaded(state));
    let mut under_load = false;
    for &state in &listened.not_heard {
        match activity(state) {
            Activity::Still | Activity::Unknown => {}
            Activity::Idle if by_load => under_load = true,
            Activity::Idle | Activity::Moves | Activity::Loaded => reasons.push(Reason::MovesWhereSilent(state)),
        }
    }
    match (reasons.is_empty(), under_load) {
        (false, _) => Judgement::Out(reasons),
        (true, true) => Judgement::FitsUnderLoad,
        (true, false) => Judgement::Fits,
    }
}

fn activity(state: &StateWork, suspect: Suspect) -> Activity {
    match suspect {
        Suspect::Mesh(mesh) => match state.meshes[mesh.index()].work {
            Work::Dead => Activity::Still,
            Work::Idle => Activity::Idle,
            Work::Loaded => Activity::Loaded,
            Work::Rolls => Activity::Moves,
            Work::Unknown => Activity::Unknown,
        },
        Suspect::Bearing(bearing) => of_speed(&state.bearings[bearing].relative),
        Suspect::Member(member) => {
            motion_of(&state.motion.members, member).map_or(Activity::Unknown, |found| of_speed(&found.speed))
        }
    }
}

fn of_speed(speed: &Speed) -> Activity {
    match speed {
        Speed::Locked => Activity::Still,
        Speed::Determined(speed) if speed.is_zero() => Activity::Still,
        Speed::Determined(_) => Activity::Moves,
        Speed::Free | Speed::WithoutMeaning => Activity::Unknown,
    }
}
