//! Does a one-way clutch hold, let go or overrun in a state?
//!
//! One that the state lists must push its first member away from the sense that it stops; where the
//! torque has the other sign it lets go, and the state does not carry. One that the state does not
//! list runs free while its members turn against one another in the sense that it allows.

use super::loads::StateLoads;
use crate::exact::Fraction;
use crate::gearset::{Action, ControlId, Gearset, MemberId, Sense};
use num_traits::{Signed, Zero};

/// What a one-way clutch does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OneWay {
    /// It is listed in the state and carries its torque.
    Holds,
    /// It is listed in the state, but its torque pulls it open.
    LetsGo,
    /// It runs free in the sense that it allows.
    Overruns,
    /// Nothing is on it, and its members do not turn against one another.
    Idle,
    /// The state leaves it out, but its members turn against one another in the sense that it stops.
    WouldHold,
}

/// What a one-way clutch does in a state: [`Sense::Forward`] where the input drives with the torque
/// of the answer, [`Sense::Backward`] on overrun, where every torque has the other sign.
///
/// `None` for another kind of control, and where torque or speed is not known.
pub fn one_way(set: &Gearset, state: &StateLoads, control: ControlId, power: Sense) -> Option<OneWay> {
    let Action::OneWayClutch(pair, stops) = set.control(control).action() else { return None };
    let load = state.control(control);
    if load.applied {
        let torque = load.torque.as_ref()?;
        let flips = (stops == Sense::Forward) != (power == Sense::Backward);
        return Some(match sign(torque, flips) {
            0 => OneWay::Idle,
            1 => OneWay::Holds,
            _ => OneWay::LetsGo,
        });
    }
    let speed = |member: MemberId| match member.index() {
        0 => Some(Fraction::zero()),
        index => state.motion.members[index - 1].speed.value().cloned(),
    };
    let difference = speed(pair.first)? - speed(pair.second)?;
    Some(match sign(&difference, stops == Sense::Forward) {
        0 => OneWay::Idle,
        1 => OneWay::Overruns,
        _ => OneWay::WouldHold,
    })
}

fn sign(value: &Fraction, flips: bool) -> i32 {
    let sign = i32::from(value.is_positive()) - i32::from(value.is_negative());
    if flips { -sign } else { sign }
}
