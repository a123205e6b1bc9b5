//! What is the ratio as a formula in the tooth counts, and what is the speed of any member?
//!
//! The rows are those of [`crate::gearset::MeshMatrix`], with a tooth count as an unknown in place of each number; they are
//! solved by elimination over polynomials, every row kept free of common factors. A formula is a quotient of two
//! polynomials in lowest terms: a gear whose count does not matter, such as an idler, is not in it. Counts are taken as
//! people count them, positive; that a ring turns the sense round is a sign in the formula.
//! Source of the law: Willis (1841), "Principles of Mechanism", on epicyclic trains.

mod elimination;
mod expression;
mod parts;
mod rows;
mod solution;

pub use expression::{Formula, expanded, factored, one_plus};
pub use solution::{
    DerivedSpeed, FormulaVerdict, FormulaVerdictKind, FormulasQuestion, MemberFormula, SpeedFormula, SpeedFormulaKind,
    StateFormulas, counts, formulas, relative_speed,
};
