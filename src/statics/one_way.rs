//! Does a one-way clutch hold, let go or overrun in a state?
//!
//! One that the state lists must push its first member away from the sense that it stops; where the
//! torque has the other sign it lets go, and the state does not carry. One that the state does not
//! list runs free while its members turn against one another in the sense that it allows.

use super::friction::drum_wants_to_turn;
use super::loads::StateLoads;
use crate::gearset::{Action, ControlId, Gearset, Sense};
use serde::Serialize;

/// What a one-way clutch does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum OneWay {
    /// It is listed in the state and carries its torque, or a part of it beside others that do the same.
    Holds,
    /// It is listed in the state, but its torque pulls it open.
    #[serde(rename = "lets go")]
    LetsGo,
    /// Its torque pulls it open, but another control of the state makes the same bodies one and carries all.
    #[serde(rename = "lets go, others hold")]
    LeavesToOthers,
    /// It runs free in the sense that it allows.
    Overruns,
    /// Nothing is on it, and its members do not turn against one another.
    #[serde(rename = "carries nothing")]
    Idle,
    /// The state leaves it out, but its members turn against one another in the sense that it stops.
    #[serde(rename = "would hold")]
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
        // Pushed forward it holds what would turn backward; on overrun every torque is turned round.
        let beside = state.shared_by(control);
        let torque = load.torque.clone().or_else(|| beside?.whole_on(set, control))?;
        let pushed =
            drum_wants_to_turn(&torque).map(|wants| if power == Sense::Forward { wants } else { wants.other() });
        return Some(match pushed {
            None => OneWay::Idle,
            Some(wants) if wants == stops => OneWay::Holds,
            Some(_) if beside.is_some_and(|load| !load.carried_by(power).is_empty()) => OneWay::LeavesToOthers,
            Some(_) => OneWay::LetsGo,
        });
    }
    let motion = &state.motion;
    let stands = motion.speed(pair.first)? == motion.speed(pair.second)?;
    let would_hold = motion.one_way_conflicts.iter().any(|conflict| conflict.control == control);
    Some(match (stands, would_hold) {
        (_, true) => OneWay::WouldHold,
        (true, false) => OneWay::Idle,
        (false, false) => OneWay::Overruns,
    })
}
