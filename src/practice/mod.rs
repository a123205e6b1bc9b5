//! Practice problems: which question with a clean answer can be asked about a gearset that could be built?
//!
//! A seed chooses tooth counts and conditions until a gearset goes together at its number of planets, leaves
//! room between neighbours, and has an answer in whole numbers. Every answer comes from the analyses, on the
//! gearset itself. Beside it stand wrong answers, each found by making its mistake on the same numbers.

mod buildable;
mod carrier_table;
mod kinds;
mod problem;
mod random;
mod sheet;
mod speeds;
mod train_value;
mod working;
mod working_step;

pub use carrier_table::{CarrierTable, carrier_tables};
pub use problem::{
    Difficulty, Mistake, PracticeAnswer, PracticeKind, PracticeProblem, PracticeQuestion, Quantity, WrongAnswer,
};
pub use sheet::{CannotFill, MOST_PROBLEMS, PracticeSheet, SheetRequest, practice_sheet};
pub use train_value::TrainValue;
pub use working_step::{
    AssemblyRule, CarrierTerm, FormulaCheck, GivenCondition, HoldingTorque, PinCountWorking, StateWorking,
    TorqueWorking, WorkingStep,
};
