//! Which controls of a state do the same, what do they carry together, and who of them carries it?
//!
//! Controls that make the same two bodies one, such as a band beside a one-way clutch on one drum, share a torque. Their
//! sum follows from equilibrium, the share of each does not: it depends on clearances and on what gives way. A one-way
//! clutch carries in one sense only, so where a single one of them can carry, that one has the whole.

use super::balance::Torques;
use super::beside::BesideOthers;
use super::friction::drum_wants_to_turn;
use crate::exact::{Fraction, fraction};
use crate::gearset::{Action, Bodies, ControlId, Gearset, Sense};
use num_traits::Zero;
use serde::Serialize;

/// Controls that make the same two bodies one, and what they carry together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SharedLoad {
    /// The controls, in the order of the state.
    pub controls: Vec<ControlId>,
    /// What they put together on the first member of the first of them, in drive; none where equilibrium leaves that
    /// open as well.
    pub torque: Option<Fraction>,
    /// Those that can carry in drive.
    pub carried_in_drive_by: Vec<ControlId>,
    /// Those that can carry on overrun, where the torque has the other sign.
    pub carried_on_overrun_by: Vec<ControlId>,
}

/// What the controls of a state that make the same two bodies one carry together, for the torque 1 on the input.
pub(super) fn shared_loads(set: &Gearset, torques: &Torques<'_>) -> Vec<SharedLoad> {
    let load = |(controls, torque): (&Vec<BesideOthers>, Option<&Fraction>)| {
        let carried_by = |power: Sense| {
            let can = |beside: &&BesideOthers| torque.is_none_or(|torque| can_carry(set, **beside, torque, power));
            controls.iter().filter(can).map(|beside| beside.control).collect()
        };
        SharedLoad {
            controls: controls.iter().map(|beside| beside.control).collect(),
            torque: torque.cloned(),
            carried_in_drive_by: carried_by(Sense::Forward),
            carried_on_overrun_by: carried_by(Sense::Backward),
        }
    };
    torques.shared().map(load).collect()
}

/// Whether a control can carry such a torque on the first member of the first control beside it; every one can carry none.
fn can_carry(set: &Gearset, beside: BesideOthers, torque: &Fraction, power: Sense) -> bool {
    let Action::OneWayClutch(_, stops) = set.control(beside.control).action() else { return true };
    let wants = drum_wants_to_turn(&(torque * fraction(beside.sign, 1)));
    wants.is_none_or(|wants| stops == if power == Sense::Forward { wants } else { wants.other() })
}

impl SharedLoad {
    /// The whole torque, as it is on the first member of one of the controls.
    pub fn whole_on(&self, set: &Gearset, control: ControlId) -> Option<Fraction> {
        let bodies = Bodies::for_good(set);
        let first = |control: ControlId| bodies.of(set.control(control).made_one().first);
        let torque = self.torque.as_ref()?;
        Some(if first(control) == first(*self.controls.first()?) { torque.clone() } else { -torque })
    }

    /// Those that can carry in drive (forward) or on overrun.
    pub fn carried_by(&self, power: Sense) -> &[ControlId] {
        match power {
            Sense::Forward => &self.carried_in_drive_by,
            Sense::Backward => &self.carried_on_overrun_by,
        }
    }

    /// What one of the controls carries, with the sign that it has in drive: the whole where it alone can carry, nothing
    /// where others alone can, and otherwise that is open.
    pub(super) fn part(&self, set: &Gearset, control: ControlId, power: Sense) -> Option<Fraction> {
        match self.carried_by(power) {
            [only] if *only == control => self.whole_on(set, control),
            [] => None,
            others if !others.contains(&control) => Some(Fraction::zero()),
            _ => None,
        }
    }
}

/// What a control carries of a state, with the sign that it has in drive, its own torque being known or not.
pub(super) fn carried(
    set: &Gearset,
    shared: &[SharedLoad],
    control: ControlId,
    own: Option<&Fraction>,
    power: Sense,
) -> Option<Fraction> {
    let beside = || shared.iter().find(|load| load.controls.contains(&control))?.part(set, control, power);
    own.cloned().or_else(beside)
}
