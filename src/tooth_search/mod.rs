//! Which other tooth counts would serve a train, the best of them, proven?
//!
//! A [`TeethRequest`] says which gears may change, which ratios are wanted and what must hold; it
//! becomes a [`crate::search::SearchProblem`] whose unknowns are tooth counts and numbers of pins, its ratios the
//! formulas of [`crate::formula`]. Each answer is a whole gearset again, checked like any other.

mod adding;
mod answer;
mod contradictions;
mod counts_text;
mod distances;
mod fault;
mod fitting;
mod gearset_of;
mod goals;
mod merge;
mod modules;
mod partners;
mod places;
mod plan;
mod planning;
mod problems;
mod request;
mod rules;
mod run;
mod sense;
mod text;
mod values;
mod values_text;

pub use adding::ReplacedWish;
pub use answer::{
    Counted, Counting, FoundValue, FreeAsWell, MemoryReached, MeshModule, NearMiss, NearMisses, SearchOrigin,
    TeethAnswer, TeethFound,
};
pub use contradictions::Contradiction;
pub use counts_text::{CountRange, WantedCounts, WantedTeeth};
pub use distances::MissedDistance;
pub use fault::TeethFault;
pub use fitting::MeshShift;
pub use merge::{MergeFault, MergedSearch, SearchPart};
pub use plan::{FixedWish, TeethPlan, TurnedWish};
pub use problems::RequestProblem;
pub use request::{
    CenterDistances, CommonFactors, DesignValue, FitWish, Goal, MarksWanted, RatioWish, TeethChoice, TeethRange,
    TeethRequest, UndercutWanted, ValueWish, Wish,
};
pub use run::CountWish;
pub use text::{PartCost, RequestSource, RequestText, TiedGears, WantedModules, WantedPins, WantedRatio};
pub use values_text::WantedValue;
