//! The steps of the working of a practice problem.

use num_bigint::BigInt;

use super::carrier_table::CarrierTable;
use crate::exact::Fraction;
use crate::gearset::MemberId;

/// A step of the working.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum WorkingStep {
    /// The train values of the problem, before the first state that needs them.
    TrainValues,
    /// The speeds of a state.
    Speeds(StateWorking),
    /// The torques of a state.
    Torques(TorqueWorking),
    /// A tooth count from the others, for the question at this place.
    Count(usize),
    /// Which numbers of planets go together.
    PinCounts(PinCountWorking),
}

/// The speeds of a state by superposition, and again by the formula.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct StateWorking {
    /// The state, by its place.
    pub state: usize,
    /// What is given, in x and y of the tables, which follow from it.
    pub given: Vec<GivenCondition>,
    /// A table for each carrier that moves anything.
    pub tables: Vec<CarrierTable>,
    /// The same by the formula, for each train value whose speeds are all in one table.
    pub checks: Vec<FormulaCheck>,
    /// The planet whose speed about its own pin is asked.
    pub planet: Option<MemberId>,
}

/// What fixes x and y.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum GivenCondition {
    /// A member has this speed.
    Speed {
        /// The member.
        member: MemberId,
        /// Its speed in x and y.
        term: CarrierTerm,
        /// The speed that is given.
        speed: Fraction,
    },
    /// Two members are fast to one another.
    Joined {
        /// The members.
        members: [MemberId; 2],
        /// The speed of each in x and y.
        terms: [CarrierTerm; 2],
    },
}

/// A speed in x and y of one table: `share x + y`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CarrierTerm {
    /// The table, by its place.
    pub table: usize,
    /// The multiple of x.
    pub share: Fraction,
}

/// The formula of relative speeds with the speeds put in: `(n_last - n_c) / (n_first - n_c) = value`.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct FormulaCheck {
    /// The train value, by its place in the problem.
    pub train: usize,
    /// The speed of the first gear.
    pub first: Fraction,
    /// The speed of the last gear.
    pub last: Fraction,
    /// The speed of the carrier.
    pub carrier: Fraction,
    /// What the quotient comes to.
    pub value: Fraction,
}

/// The torques of a state from its ratio.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct TorqueWorking {
    /// The member that drives.
    pub input: MemberId,
    /// The torque on it.
    pub torque: Fraction,
    /// The member that is driven.
    pub output: MemberId,
    /// Turns of the output for one turn of the input.
    pub output_per_input: Fraction,
    /// Turns of the input for one turn of the output.
    pub ratio: Fraction,
    /// The torque that the output delivers, the ratio times that of the input.
    pub delivered: Fraction,
    /// The torques that hold what is held.
    pub holding: Vec<HoldingTorque>,
}

/// The torque that holds a member.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoldingTorque {
    /// The member.
    pub member: MemberId,
    /// The torque; with that on the input and the load on the output it adds up to zero.
    pub torque: Fraction,
}

/// Which numbers of planets go together, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct PinCountWorking {
    /// The question, by its place.
    pub question: usize,
    /// The rule.
    pub rule: AssemblyRule,
    /// D: a number of equally spaced planets goes together if it divides this.
    pub spacing_divisor: BigInt,
}

/// The textbook rule of a kind of planets for the spacing divisor D.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AssemblyRule {
    /// Plain planets between sun S and ring R: D = S + R.
    Plain,
    /// Pairs of planets in mesh: D = R - S.
    Pairs,
    /// Stepped planets with P and Q between central gears A and B:
    /// D = (A Q - B P) / gcd(P, Q), a ring counted negative.
    Stepped,
}
