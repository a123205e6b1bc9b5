//! What does a gearset do beside another one: everything that a change of parts can alter.
//!
//! Nothing is worked out here that is not an answer of another module; they are brought together so
//! that one comparison holds them all. Parts are compared by their names: a gear, planet or member
//! that is called otherwise in another gearset is another part.

mod change;

pub use change::{PartChange, TeethChange, changes};

use crate::clearance::{Gap, NotPlaced, gaps};
use crate::gearset::Gearset;
use crate::kinematics::{ForwardSteps, forward_steps};
use crate::statics::{LoadOptions, StateLoads, loads};
use crate::timing::{GroupMarking, GroupTiming, marking, timing};

/// The answers about one gearset that a comparison shows.
#[derive(Debug, Clone)]
pub struct Answers {
    /// The motion and the torques of every state, for a torque of 1 on the input.
    pub states: Vec<StateLoads>,
    /// The steps between its forward states.
    pub steps: Vec<ForwardSteps>,
    /// The timing of every group of planets.
    pub timing: Vec<GroupTiming>,
    /// The marks of every group, and when the same teeth meet.
    pub marking: Vec<GroupMarking>,
    /// The room between gears that are not in mesh, for every group.
    pub gaps: Vec<Result<Vec<Gap>, NotPlaced>>,
}

/// Everything about a gearset that a comparison shows.
///
/// # Examples
/// ```
/// use toothmark::{comparison::answers, description};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let changed = ["L", "l"].map(|name| set.gear_named(name).unwrap());
/// let changed = set.with_tooth_counts(changed.into_iter().zip([21, 36])).unwrap();
/// let [before, after] = [&set, &changed].map(|set| answers(set).states[0].motion.verdict.clone());
/// assert_eq!(before.ratio().unwrap().to_string(), "481/171");
/// // Less reduction: 26/31 of 36/21 is nearer to 1.
/// assert!(after.ratio() > before.ratio());
/// ```
pub fn answers(set: &Gearset) -> Answers {
    let states = loads(set, &LoadOptions::default());
    let motions: Vec<_> = states.iter().map(|state| state.motion.clone()).collect();
    Answers {
        steps: forward_steps(&motions),
        states,
        timing: timing(set).groups,
        marking: marking(set),
        gaps: set.planet_groups().iter().map(|group| gaps(set, group)).collect(),
    }
}
