//! What turns how fast in each state: exact speeds, ratios, verdicts, steps.
//!
//! For a mesh of gear a on member A with gear b on member B, the pin on carrier C,
//! rolling without slip is `z_a (w_A - w_C) + z_b (w_B - w_C) = 0` with signed tooth
//! counts; the case turns at 0. These rows, with what a state restrains, are solved
//! exactly for one turn of the input.

mod motion;
mod one_way;
mod steps;
mod train;

pub use motion::{Drive, MemberMotion, Speed, StateMotion, Verdict, motions};
pub use one_way::OneWayConflict;
pub use steps::{Ladder, Step, ladders};
pub use train::dependent_meshes;
