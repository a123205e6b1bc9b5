//! How fast does every member turn in a state, and what becomes of the output?
//!
//! Seen from the carrier a mesh is a pair on fixed axes, and as many teeth of one gear pass the
//! point of contact as of the other: `z_a (w_A - w_C) + z_b (w_B - w_C) = 0`, where z is a signed
//! tooth count, A and B are the members of the two gears and C is the carrier of the pin. Each
//! mesh gives one such row, the case has the speed 0, and what a state holds or joins gives
//! further rows; they are solved exactly for one turn of the input.
//! Source of the law: Willis (1841), "Principles of Mechanism", on epicyclic trains.

mod exploration;
mod lever;
mod motion;
mod one_way;
mod overspeed;
mod ratios;
mod settled;
mod steps;
mod train;
mod turned;

pub use exploration::{
    CannotExplore, ChoiceTally, Exploration, ExplorationQuestion, FoundRatio, MOST_BODIES, MOST_TRIED, RestraintChoice,
    StandingMember, Use, UsePlace, UsualEnds, explore,
};
pub use lever::{Lever, LeverNode, MergedLever, levers, merged_levers};
pub use motion::{
    Drive, MemberMotion, MotionKind, Observation, Speed, StateMotion, Verdict, VerdictKind, motion_of, motions, observe,
};
pub use one_way::OneWayConflict;
pub use overspeed::{Overspeed, overspeeds};
pub use ratios::{MemberSpeed, RatioSpread, RatioStep, Ratios, RatiosQuestion, SpeedUnit, StateRatio, ratios};
pub use settled::{Settled, settled};
pub use steps::{ForwardSteps, Step, forward_steps};
pub use train::{dependent_meshes, independent_meshes};
pub(crate) use turned::turned_by_first;
