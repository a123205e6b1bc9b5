//! Will the planets go together, how is each one turned, and how else could it go in?
//!
//! The mathematics: each mesh of a group is one integer row, modulo one tooth
//! ([`equations`]); one planet on a pin is solved in closed form, any other group by the
//! Smith normal form. All answers are relative to the planet on the first pin, and hold
//! for planets that are alike and central gears that can be turned while fitting.

mod cluster;
mod equations;
mod group;
mod loops;
mod margin;
mod marks;
mod match_search;
mod matcher;
mod matching;
mod refusal;
mod solver;
mod tension;
mod ways_out;
mod wrong_seating;

pub use equations::{Equation, Term, equations};
pub use group::{GearTurn, GroupTiming, PinTiming, PlanetTurn, timing};
pub use loops::{Closure, Loop};
pub use margin::{Fit, Margin, MarginSearch, MeshError};
pub use marks::{CentralSpacing, Marks, Serves};
pub use matching::{
    ContactPin, Difference, FirstContact, MatchRefusal, MatchSearch, Matching, Residual, Seated, SeatedPin, Verdict,
    Weighing, matching,
};
pub use refusal::{ClosestSeating, Refusal};
pub use solver::Method;
pub use ways_out::{CenterDistance, NewCount, ToothChange, WaysOut};
