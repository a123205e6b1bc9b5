//! What rolls, rubs, idles and stands in each state?
//!
//! Every planet runs on its pin, other bearings are in the description; in each the relative
//! speed is that of the exact solution. The teeth that pass a mesh in one turn of the input are
//! those of the planet as seen from its carrier. Which meshes pass power follows from the
//! balance of torques in `statics`. On these rest the moment of a change, overspeed and the
//! search for a noise by elimination.

mod answer;
mod bearings;
mod change;
mod highlights;
mod limit;
mod noise;
mod state;

pub use answer::{Running, RunningQuestion, Untold, running};
pub use bearings::{RunsOn, bearings};
pub use change::{Engagement, LeftOutChange, MOST_STATES, Meeting, WhyLeftOut, engagements, standing_state};
pub use highlights::BusiestMesh;
pub use limit::{BeyondLimit, Limits};
pub use noise::{Finding, Judgement, Listened, Suspect, SuspectKind, WhyOut};
pub use state::{Bush, FastestPart, RunningBearing, RunningMesh, RunningState, TurningMembers};
