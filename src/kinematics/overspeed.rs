//! Which members outrun the input without being what it drives?
//!
//! A free or driven-back drum may turn several times as fast as the engine; whoever runs the
//! gearset has to keep it below the limit of its maker. Planets are left out: their speed
//! on the pin is a matter of lubrication, not of bursting.

use num_traits::{One, Signed};
use serde::Serialize;

use super::motion::StateMotion;
use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId};

/// A member of the main axis at its fastest, faster than the input.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Overspeed {
    /// The member.
    pub member: MemberId,
    /// Its speed in turns per turn of the input: below -1 or above 1.
    pub speed: Fraction,
    /// The first state in which it is so fast.
    pub state: String,
}

/// The members of the main axis that outrun the input in a state of which they are not
/// the output, each once, in the order of the members.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::{motions, overspeeds}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let fast = overspeeds(&set, &motions(&set));
/// assert!(fast.iter().all(|fast| set.member(fast.member).name() != "flywheel"));
/// ```
pub fn overspeeds(set: &Gearset, motions: &[StateMotion]) -> Vec<Overspeed> {
    set.member_ids()
        .filter(|&member| set.is_on_main_axis(member))
        .filter_map(|member| fastest(member, motions))
        .collect()
}

fn fastest(member: MemberId, motions: &[StateMotion]) -> Option<Overspeed> {
    let speed_in = |motion: &StateMotion| {
        let found = motion.member(member).filter(|_| motion.output != member)?;
        Some(Overspeed { member, speed: found.speed.value()?.clone(), state: motion.state.clone() })
    };
    let faster = |fast: Overspeed, next: Overspeed| if next.speed.abs() > fast.speed.abs() { next } else { fast };
    motions.iter().filter_map(speed_in).reduce(faster).filter(|fast| fast.speed.abs() > Fraction::one())
}
