//! Will the planets go together, how is each one turned, and how else could it go in?
//!
//! The mathematics: each mesh of a group is one integer row, modulo one tooth
//! ([`equations`]); one planet on a pin is solved in closed form, any other group by the
//! Smith normal form. All answers are relative to the planet on the first pin, and hold
//! for planets that are alike and central gears that can be turned while fitting. What to mark
//! on a set without marks, and when marks line up again, is [`marking()`].

mod central_ties;
mod cluster;
mod dial_reading;
mod equations;
mod every_wrong_seating;
mod found;
mod group;
mod loops;
mod margin;
mod marking;
mod marks;
mod match_search;
mod match_seatings;
mod match_set;
mod matcher;
mod matching;
mod mesh_phase;
mod refusal;
mod returns;
mod seating_sweep;
mod settling;
mod solver;
mod tension;
mod tight_spots;
mod tooth_marks;
mod ways_out;
mod wrong_seating;

pub use central_ties::{FixedGears, FixedRelation};
pub use dial_reading::{DialReading, DialReadingProblem, backlash_at_pitch_circle, with_dial_readings};
pub use equations::{Equation, Term, equations};
pub use every_wrong_seating::{
    ByHand, EASE_BY_FORCE, FoundSeatings, GroupSeatings, SeatingQuestion, WrongMesh, WrongSeating, wrong_seatings,
};
pub use found::{
    Explanation, FoundGroup, FoundTiming, GroupExplanation, GroupPin, GroupSeating, NearSeating, NoFoundAnswer,
    PinFound, PinState, PlanetFound, PlanetRead, Reading, SeatingsKnown, WayOfMarking, found, found_in_group,
};
pub use group::{GearTurn, GroupTiming, PinTiming, PlanetTurn, timing};
pub use loops::{Closure, Loop};
pub use margin::{Fit, Margin, MarginSearch, MeshError};
pub use marking::{Convention, GroupMarking, marking};
pub use marks::{CentralSpacing, Marks, Serves};
pub use matching::{
    ContactPin, Difference, FirstContact, FixedTurn, MatchRefusal, MatchSearch, Matching, Residual, Seated, SeatedPin,
    Verdict, Weighing, matching,
};
pub use mesh_phase::{MeshPhase, PhaseOrder};
pub use refusal::{ClosestSeating, Refusal};
pub use returns::{BodyTurns, Meeting, Return, Rolling, StateReturn};
pub use solver::Method;
pub use tight_spots::{MeshRhythm, TightSpots, tight_spots};
pub use tooth_marks::{GearMarks, ToothMark, UseAs};
pub use ways_out::{CenterDistance, NewCount, ToothChange, WaysOut};
