//! Will the planets go together, how is each one turned, and how else could it go in?
//!
//! The mathematics: each mesh of a group is one integer row, modulo one tooth
//! ([`MeshMatrix::timing`](crate::gearset::MeshMatrix::timing)); one planet on a pin is solved in closed form, any other group by the
//! Smith normal form. All answers are relative to the planet on the first pin, and hold
//! for planets that are alike and central gears that can be turned while fitting. What to mark
//! on a set without marks, and when marks line up again, is [`marking()`].

mod all_pins;
mod by_hand;
mod chain;
mod cluster;
mod convention;
mod found;
mod group;
mod in_place;
mod index_classes;
mod loops;
mod margin;
mod marking;
mod marks;
mod matching;
mod pin_timing;
mod refusal;
mod remedies;
mod settings;
mod solver;
mod tooth_marks;
mod wrong;
mod wrong_seating;

pub use all_pins::PushedTogether;
pub use by_hand::{ByHand, EASE_BY_FORCE};
pub(crate) use cluster::{GearPair, pair_number};
pub use convention::MarkingConvention;
pub use found::{
    Explanation, FoundTiming, MadeMarks, NearMesh, NearSeating, NoFoundAnswer, OtherWayRound, PinFound, PlanetFound,
    PlanetRead, Reading, SeatingsKnown, WayOfMarking, found, found_as_made,
};
pub use group::{GroupTiming, PinOrder, Timing, timing, timing_of};
pub(crate) use group::{all_assemble, group_assembles, planets_are_kept};
pub use index_classes::{IndexClass, IndexedGear, IndexedPlanet};
pub use loops::{Closure, Loop};
pub(crate) use loops::{loops_close, may_have_loops, missed_loops};
pub(crate) use margin::least_error_of_wrong;
pub use margin::{MarginSearch, MeshError, SeatingError};
pub use marking::{
    BodyTurns, GroupMarking, Marking, MeshPhase, PhaseOrder, PlanetRolling, SameTeeth, StateReturn, ToothMeeting,
    marking,
};
pub use marks::{CentralSpacing, Marks, Serves};
pub use matching::{
    CarryingOrder, ClusterDifference, ClusterOrder, ContactPin, FirstContact, FixedGears, FixedIndex, FixedTurn,
    GroupMatching, MatchCure, MatchRefusal, Matching, NeededBacklash, PinDeviation, PinError, PinErrors, PinRadii,
    PlayVerdict, Residual, Seated, SeatedPin, Weighing, carrying_order, matching,
};
pub(crate) use matching::{pin_deviations, pin_radii};
pub use pin_timing::{GearTurn, PinTiming};
pub use refusal::{ClosestSeating, MeshRefusal};
pub use remedies::{Remedies, ToothChange};
pub use settings::{CountedTeeth, PlanetSetting};
pub(crate) use solver::rows_assemble;
pub use tooth_marks::{GearMarks, MarkDirection, MarkPurpose, ToothMark};
pub use wrong::{
    DialBacklash, DialReading, DialReadingProblem, GroupSeatings, MeshRhythm, PlanetTurns, SeatingOrder,
    SeatingQuestion, SeatingsAnswer, TightSpots, WrongMesh, WrongSeating, WrongSeatings, backlash_at_pitch_circle,
    tight_spots, with_dial_readings, wrong_seatings,
};
