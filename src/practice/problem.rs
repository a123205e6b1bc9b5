//! A practice problem: a gearset that can be built, what is asked of it, the answer, and wrong answers.
//!
//! Numbers stand here without words: how a question reads, and how a mistake is explained, is for the report.
//! Speeds are in rpm and torques in N m, positive counter-clockwise seen from the input side.

use super::train_value::TrainValue;
use super::working_step::WorkingStep;
use crate::exact::Fraction;
use crate::gearset::{GearId, Gearset, MemberId};

/// What a problem is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PracticeKind {
    /// Sun, ring and plain planets on a carrier.
    Simple,
    /// Stepped planets between a sun and a ring, or between two suns.
    Stepped,
    /// Clusters of three gears, three suns, and bands that hold drums.
    Cluster,
    /// Planets in pairs that mesh with one another.
    Meshed,
    /// Bevel planets between two side gears.
    Bevel,
    /// Two sets whose members are coupled.
    Coupled,
    /// Tooth counts that are to be found.
    Counts,
    /// Torques that are delivered and that hold.
    Torque,
    /// How many equally spaced planets can be put together.
    Assembly,
}

impl PracticeKind {
    /// Every kind, in the order in which a mixed sheet takes them.
    pub const ALL: [Self; 9] = [
        Self::Simple,
        Self::Stepped,
        Self::Cluster,
        Self::Meshed,
        Self::Bevel,
        Self::Coupled,
        Self::Counts,
        Self::Torque,
        Self::Assembly,
    ];
}

/// How hard a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Difficulty {
    /// One question with one step.
    Easy,
    /// A planet's speed as well, or a second state, or one more step.
    Medium,
    /// Nothing is held and two speeds are given, or several conditions work together.
    Hard,
}

/// A practice problem.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct PracticeProblem {
    /// What it is about.
    pub kind: PracticeKind,
    /// How hard it is.
    pub difficulty: Difficulty,
    /// The gearset; its title is the machine that it is in. It goes together, and its neighbours clear.
    pub set: Gearset,
    /// How its central gears turn against one another while their carrier stands.
    pub train_values: Vec<TrainValue>,
    /// The gears whose tooth counts the question does not tell.
    pub hidden: Vec<GearId>,
    /// What is asked, in order.
    pub parts: Vec<PracticeQuestion>,
    /// How it is worked out, in the order of what is asked.
    pub working: Vec<WorkingStep>,
}

impl PracticeProblem {
    /// A problem whose question tells all tooth counts, before it is worked out.
    pub(super) fn drawn(
        kind: PracticeKind,
        difficulty: Difficulty,
        set: Gearset,
        train_values: Vec<TrainValue>,
        parts: Vec<PracticeQuestion>,
    ) -> Self {
        Self { kind, difficulty, set, train_values, hidden: Vec::new(), parts, working: Vec::new() }
    }
}

/// One question of a problem, with its answer.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct PracticeQuestion {
    /// The state of the gearset that it is asked for, by its place in [`Gearset::states`].
    pub state: usize,
    /// What is given of the input of that state: its speed in rpm, or its torque in N m where a torque is
    /// asked; positive counter-clockwise seen from the input side. Tooth counts that come from a ratio
    /// take it as turns of the input for one turn of the output; otherwise it has no meaning.
    pub input: Fraction,
    /// What is asked.
    pub quantity: Quantity,
    /// The answer.
    pub answer: PracticeAnswer,
    /// What is found by making a mistake; all different, and none is the answer.
    pub wrong: Vec<WrongAnswer>,
}

/// What a question asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// The speed of a member, seen from the case.
    Speed(MemberId),
    /// The speed of a planet about its own pin, seen from its carrier.
    PlanetSpeed(MemberId),
    /// The torque that a member delivers.
    Delivered(MemberId),
    /// The torque that holds a member.
    Holding(MemberId),
    /// The tooth count of a gear.
    Teeth(GearId),
    /// The numbers of equally spaced planets, from 2 to 8, that go together.
    PinCounts,
}

/// An answer, right or wrong.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum PracticeAnswer {
    /// A speed in rpm, positive counter-clockwise seen from the input side.
    Speed(Fraction),
    /// A speed in rpm that has no sense to tell: that of a bevel planet about its pin.
    Rate(Fraction),
    /// A torque in N m, positive counter-clockwise seen from the input side.
    Torque(Fraction),
    /// A number of teeth; a mistake can lead to one that is not whole.
    Teeth(Fraction),
    /// Numbers of planets; empty where none goes together.
    PinCounts(Vec<u32>),
}

/// What is found by making a mistake.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct WrongAnswer {
    /// The mistake.
    pub mistake: Mistake,
    /// What it leads to.
    pub answer: PracticeAnswer,
}

/// A mistake that is commonly made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mistake {
    /// The sign at an internal mesh: ring and planet turn the same way, and the other was taken.
    InternalMeshSign,
    /// The sign of two external meshes, or of two planets, one after the other: they turn it over twice.
    TurnedOverOnce,
    /// The side gears of a bevel train were taken to turn the same way while the carrier stands.
    BevelSign,
    /// Of a stepped planet the wrong one of its two gears was used in each mesh.
    StepSwapped,
    /// A stepped planet was taken for a plain one.
    StepIgnored,
    /// Two planets in mesh were taken for one stepped planet.
    PairTakenForStep,
    /// The count of a plain planet was put in place of that of the last gear.
    IdlerCounts,
    /// The train value was written upside-down.
    ValueUpsideDown,
    /// The train value was used for speeds seen from the case, though the carrier turns.
    CarrierIgnored,
    /// The turn of the carrier itself was left out of the ratio.
    OneForgotten,
    /// The speed seen from the carrier was given.
    RelativeGiven,
    /// The speed seen from the case was given.
    AbsoluteGiven,
    /// The ratio was multiplied by where it has to be divided by, or the other way about.
    RatioUpsideDown,
    /// The sense of the second given speed was overlooked.
    SenseOverlooked,
    /// The second given speed was taken as zero.
    TakenAsHeld,
    /// The two central gears were taken as equal.
    TakenAsEqual,
    /// At the mesh of planet and central gear the sign was lost.
    PlanetSign,
    /// At the mesh of planet and central gear the counts were exchanged.
    PlanetUpsideDown,
    /// The other gear of a stepped planet was used.
    OtherGearOfPlanet,
    /// What the held member puts on its band was given, not what holds it.
    HoldingSense,
    /// What the load puts on the output was given, not what the output delivers.
    LoadForDelivered,
    /// The delivered torque and that of the input were combined with the wrong sign.
    HoldingSum,
    /// The held member was taken to bear what is delivered.
    HoldingAsDelivered,
    /// The planet was counted once between sun and ring, not on both sides.
    PlanetOnce,
    /// The difference of ring and sun was not halved.
    NotHalved,
    /// The planet of a ring was set outside of it: the counts were added.
    RingAdded,
    /// The rule for a plain planet between sun and ring was used on a stepped one.
    PlainRuleForStep,
    /// The sum of the counts was tried on the number of planets.
    SumRule,
    /// The difference of the counts was tried on the number of planets.
    DifferenceRule,
    /// Each of the two central gears was wanted to be divisible by the number of planets.
    EachDivisible,
}
