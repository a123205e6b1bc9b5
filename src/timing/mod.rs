//! Will the planets go together, how is each one turned, and how else could it go in?
//!
//! The mathematics: each mesh of a group is one integer row, modulo one tooth
//! ([`equations`]); one planet on a pin is solved in closed form, any other group by the
//! Smith normal form. All answers are relative to the planet on the first pin, and hold
//! for planets that are alike and central gears that can be turned while fitting. What to mark
//! on a set without marks, and when marks line up again, is [`marking()`].

mod cluster;
mod equations;
mod group;
mod loops;
mod margin;
mod marking;
mod marks;
mod mesh_phase;
mod refusal;
mod returns;
mod solver;
mod tooth_marks;
mod ways_out;
mod wrong_seating;

pub use equations::{Equation, Term, equations};
pub use group::{GearTurn, GroupTiming, PinTiming, PlanetTurn, timing};
pub use loops::{Closure, Loop};
pub use margin::{Fit, Margin, MarginSearch, MeshError};
pub use marking::{Convention, GroupMarking, marking};
pub use marks::{CentralSpacing, Marks, Serves};
pub use mesh_phase::{MeshPhase, PhaseOrder};
pub use refusal::{ClosestSeating, Refusal};
pub use returns::{BodyTurns, Meeting, Return, Rolling, StateReturn};
pub use solver::Method;
pub use tooth_marks::{GearMarks, ToothMark, UseAs};
pub use ways_out::{CenterDistance, NewCount, ToothChange, WaysOut};
