//! How fast does a member turn at most, over all states of a gearset?
//!
//! What a rotor may have left falls with its speed, and a drum that drives nothing may turn faster than the engine. The
//! speeds are those of the states, exact, times that of the engine; a state in which the member is free tells none.

use num_traits::{Signed, Zero};
use serde::Serialize;

use crate::exact::{Fraction, to_float};
use crate::gearset::{Gearset, MemberId};
use crate::kinematics::motions;

/// A member at its fastest.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FastestSpeed {
    /// The member.
    pub member: String,
    /// The first state in which it is so fast.
    pub state: String,
    /// Its turns for one of the input, without sign.
    pub per_input_turn: Fraction,
    /// Its speed, in rpm.
    pub rpm: f64,
    /// States in which nothing says how fast it turns.
    pub open_in: Vec<String>,
}

/// The fastest speed of a member over all states, with the input at so many rpm; `None` where it turns in none.
///
/// # Examples
/// ```
/// use toothmark::{bench::fastest_speed, description, exact::fraction};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let drum = set.member_named("driven drum").unwrap();
/// let fastest = fastest_speed(&set, drum, &fraction(1800, 1)).unwrap();
/// assert_eq!((fastest.state.as_str(), fastest.rpm), ("direct", 1800.0));
/// ```
pub fn fastest_speed(set: &Gearset, member: MemberId, input_rpm: &Fraction) -> Option<FastestSpeed> {
    let motions = motions(set);
    let speed = |motion: &crate::kinematics::StateMotion| motion.member(member)?.speed.value().map(Signed::abs);
    let faster = |best: Option<(Fraction, String)>, motion: &crate::kinematics::StateMotion| match (speed(motion), best)
    {
        (Some(speed), Some(best)) if speed <= best.0 => Some(best),
        (Some(speed), _) => Some((speed, motion.state.clone())),
        (None, best) => best,
    };
    let (per_input_turn, state) = motions.iter().fold(None, faster).filter(|(speed, _)| !speed.is_zero())?;
    let open = motions.iter().filter(|motion| speed(motion).is_none());
    Some(FastestSpeed {
        member: set.member(member).name().to_owned(),
        state,
        rpm: to_float(&(&per_input_turn * input_rpm.abs())),
        per_input_turn,
        open_in: open.map(|motion| motion.state.clone()).collect(),
    })
}
