//! What does every member do in a state, and does the state drive, lock or leave the output alone?
//!
//! With the input turning once, a member either has one speed in every motion that the
//! meshes and restraints allow, or it has none that could be told: it is free. The
//! verdict follows from input and output alone. What locks a state is found by leaving out
//! one restraint after the other (worked out here): those that cannot be left out remain.

use super::one_way::{OneWayConflict, conflicts};
use super::train::Train;
use crate::exact::{Fraction, Solution};
use crate::gearset::{GearKind, Gearset, MemberId, Pair, Restraint, State};
use num_traits::{One, Zero};
use serde::Serialize;

/// What happens in one state while the input turns once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateMotion {
    /// The state's name.
    pub state: String,
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// What becomes of it.
    pub verdict: Verdict,
    /// Every member but the case, in the order of the description.
    pub members: Vec<MemberMotion>,
    /// How many further speeds can be chosen at will.
    pub freedom: usize,
    /// One-way clutches that are said to run free but would hold.
    pub one_way_conflicts: Vec<OneWayConflict>,
}

impl StateMotion {
    /// The motion of a member; `None` for the case, which has none.
    pub fn member(&self, member: MemberId) -> Option<&MemberMotion> {
        // Every member but the case is listed, in order.
        self.members.get(member.index().checked_sub(1)?)
    }

    /// The speed of a member as seen from the case, in turns per turn of the input, positive in its sense; 0 for the
    /// case, `None` where there is no one value.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, gearset::MemberId, kinematics::motions};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let ring_held = &motions(&set)[0];
    /// let carrier = set.member_named("carrier").unwrap();
    /// let told = [carrier, MemberId::CASE].map(|member| ring_held.speed(member).unwrap().to_string());
    /// assert_eq!(told, ["2/7", "0"]);
    /// ```
    pub fn speed(&self, member: MemberId) -> Option<Fraction> {
        match member {
            MemberId::CASE => Some(Fraction::zero()),
            _ => self.member(member)?.speed.value().cloned(),
        }
    }
}

/// What a state does to the output.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// The output turns.
    Drives {
        /// How often the input turns for one turn of the output; negative where the output turns
        /// the other way.
        ratio: Fraction,
        /// Whether anything rolls.
        drive: Drive,
    },
    /// The input cannot turn.
    Locked {
        /// Restraints that are enough to lock it, none of which can be spared among them;
        /// empty where the meshes and joins alone lock it.
        by: Vec<Restraint>,
    },
    /// The input turns and does not determine the output.
    Neutral,
    /// The input turns and the output stands still.
    OutputHeld,
}

/// Whether anything moves against anything else while the output turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drive {
    /// Planets roll.
    Rolling,
    /// Everything that turns does so as one with the input.
    Solid,
}

/// What becomes of the output of a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum VerdictKind {
    /// The output turns.
    Drives,
    /// The input cannot turn.
    Locked,
    /// The input turns and does not determine the output.
    Neutral,
    /// The input turns and the output stands still.
    #[serde(rename = "output held")]
    OutputHeld,
}

impl Verdict {
    /// The ratio, where the state drives.
    pub fn ratio(&self) -> Option<&Fraction> {
        match self {
            Self::Drives { ratio, .. } => Some(ratio),
            Self::Locked { .. } | Self::Neutral | Self::OutputHeld => None,
        }
    }

    /// Turns of the output for one turn of the input, where the output has one speed: 1 / ratio, or 0 if it is held.
    pub fn output_per_input(&self) -> Option<Fraction> {
        match self {
            Self::Drives { ratio, .. } => Some(ratio.recip()),
            Self::OutputHeld => Some(Fraction::zero()),
            Self::Locked { .. } | Self::Neutral => None,
        }
    }

    /// The verdict without what belongs to it.
    pub fn kind(&self) -> VerdictKind {
        match self {
            Self::Drives { .. } => VerdictKind::Drives,
            Self::Locked { .. } => VerdictKind::Locked,
            Self::Neutral => VerdictKind::Neutral,
            Self::OutputHeld => VerdictKind::OutputHeld,
        }
    }
}

/// The speed of one member per turn of the input.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MemberMotion {
    /// The member.
    pub member: MemberId,
    /// Its speed as seen from the case.
    pub speed: Speed,
    /// Its speed as seen from its carrier; `None` for a member that has none.
    pub relative_to_carrier: Option<Speed>,
}

/// A speed, as far as there is one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Speed {
    /// Turns per turn of the input; positive in its sense.
    Determined(Fraction),
    /// Not determined by the input.
    Free,
    /// The input cannot turn, so nothing has a speed per turn of it.
    Locked,
    /// A bevel planet tumbles: no single number says how fast, except as seen from its carrier.
    WithoutMeaning,
}

/// How a member moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MotionKind {
    /// At a speed that the input determines.
    Determined,
    /// As it likes.
    Free,
    /// Not at all, since the input cannot turn.
    Locked,
    /// A bevel planet tumbles: no single number says how fast, except as seen from its carrier.
    Tumbles,
}

impl Speed {
    /// The value, where there is one.
    pub fn value(&self) -> Option<&Fraction> {
        match self {
            Self::Determined(value) => Some(value),
            Self::Free | Self::Locked | Self::WithoutMeaning => None,
        }
    }

    /// The speed without its value.
    pub fn kind(&self) -> MotionKind {
        match self {
            Self::Determined(_) => MotionKind::Determined,
            Self::Free => MotionKind::Free,
            Self::Locked => MotionKind::Locked,
            Self::WithoutMeaning => MotionKind::Tumbles,
        }
    }
}

/// The motion in every state, in the order of the description.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::motions};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let ratios: Vec<_> = motions(&set).iter().map(|motion| motion.verdict.ratio().map(ToString::to_string)).collect();
/// assert_eq!(ratios, [Some("481/171".into()), Some("-676/285".into()), Some("1".into()), None]);
/// ```
pub fn motions(set: &Gearset) -> Vec<StateMotion> {
    let train = Train::new(set);
    set.states().iter().map(|state| state_motion(set, &train, state)).collect()
}

/// The motion in one state, by its place in [`Gearset::states`].
///
/// # Panics
/// If it is that of no state.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::{motion_of, motions}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// assert_eq!(motion_of(&set, 1), motions(&set)[1]);
/// ```
pub fn motion_of(set: &Gearset, state: usize) -> StateMotion {
    state_motion(set, &Train::new(set), &set.states()[state])
}

/// What happens in a state, and between pairs of members.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Observation {
    /// The motion of every member.
    pub motion: StateMotion,
    /// For each pair the speed of its first against its second, per turn of the input; it can be
    /// determined where those of the two are not.
    pub relative: Vec<Speed>,
}

/// The motion in any states, those of the gearset or others, and the speeds between pairs of members.
///
/// # Examples
/// ```
/// use toothmark::{description, gearset::Pair, kinematics::observe};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let [sun, ring] = ["sun", "ring"].map(|name| set.member_named(name).unwrap());
/// let seen = observe(&set, set.states(), &[Pair { first: sun, second: ring }]);
/// // The ring is held in the first state: the sun turns once against it.
/// assert_eq!(seen[0].relative[0].value().unwrap().to_string(), "1");
/// ```
pub fn observe(set: &Gearset, states: &[State], pairs: &[Pair<MemberId>]) -> Vec<Observation> {
    let train = Train::observing(set, pairs);
    let planets = set.member_ids().filter(|&member| set.carrier_of(member).is_some()).count();
    let observation = |state: &State| {
        let solution = train.solve(state.input, &state.restraints);
        let relative = (0..pairs.len()).map(|pair| speed(&solution, train.relative(planets + pair))).collect();
        Observation { motion: state_motion(set, &train, state), relative }
    };
    states.iter().map(observation).collect()
}

fn speed(solution: &Solution, unknown: usize) -> Speed {
    match &solution.values[unknown] {
        Some(value) => Speed::Determined(value.clone()),
        None if solution.driver_can_turn => Speed::Free,
        None => Speed::Locked,
    }
}

pub(super) fn state_motion(set: &Gearset, train: &Train<'_>, state: &State) -> StateMotion {
    let solution = train.solve(state.input, &state.restraints);
    let members = members(set, train, &solution);
    StateMotion {
        state: state.name.clone(),
        input: state.input,
        output: state.output,
        verdict: verdict(train, state, &solution, &members),
        one_way_conflicts: conflicts(set, state, &solution),
        freedom: solution.freedom,
        members,
    }
}

fn verdict(train: &Train<'_>, state: &State, solution: &Solution, members: &[MemberMotion]) -> Verdict {
    if !solution.driver_can_turn {
        return Verdict::Locked { by: lock(train, state) };
    }
    match &solution.values[state.output.index()] {
        None => Verdict::Neutral,
        Some(speed) if speed.is_zero() => Verdict::OutputHeld,
        Some(speed) => Verdict::Drives { ratio: speed.recip(), drive: drive(members) },
    }
}

fn drive(members: &[MemberMotion]) -> Drive {
    if members.iter().any(rolls) { Drive::Rolling } else { Drive::Solid }
}

/// Whether a planet turns against its carrier, or another member neither stands nor turns with the input.
fn rolls(motion: &MemberMotion) -> bool {
    match (&motion.relative_to_carrier, &motion.speed) {
        (Some(relative), _) => relative.value().is_none_or(|speed| !speed.is_zero()),
        (None, Speed::Determined(speed)) => !speed.is_one() && !speed.is_zero(),
        (None, Speed::Free | Speed::Locked | Speed::WithoutMeaning) => false,
    }
}

/// Restraints that keep the input from turning, none of which can be spared among them: each in turn is left
/// out if the others still lock it.
fn lock(train: &Train<'_>, state: &State) -> Vec<Restraint> {
    let mut by = state.restraints.clone();
    // Fewer restraints lock no more, so what could not be spared among many cannot be among fewer: one pass suffices.
    for restraint in &state.restraints {
        let others: Vec<Restraint> = by.iter().filter(|other| *other != restraint).cloned().collect();
        if !train.solve(state.input, &others).driver_can_turn {
            by = others;
        }
    }
    by
}

fn members(set: &Gearset, train: &Train<'_>, solution: &Solution) -> Vec<MemberMotion> {
    let speed = |unknown: usize| speed(solution, unknown);
    let mut planets = 0;
    let mut motions = Vec::new();
    for member in set.member_ids().skip(1) {
        let relative_to_carrier = set.carrier_of(member).map(|_| {
            planets += 1;
            speed(train.relative(planets - 1))
        });
        let tumbles = set.carrier_of(member).is_some_and(|carrier| carrier != MemberId::CASE)
            && set.member(member).gears().iter().any(|&gear| set.gear(gear).kind() == GearKind::BevelPlanet);
        let speed = if tumbles { Speed::WithoutMeaning } else { speed(member.index()) };
        motions.push(MemberMotion { member, speed, relative_to_carrier });
    }
    motions
}
