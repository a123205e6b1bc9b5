//! One-way clutches that a state says run free although they would hold.
//!
//! A state lists the one-way clutches that carry in it. One that it does not list is
//! left free; if the solved speeds then make its first member turn against the second in
//! the sense that it stops, the state contradicts the clutch, and that is said.

use crate::exact::Solution;
use crate::gearset::{Action, ControlId, Gearset, Restraint, Sense, State};
use num_traits::Signed;

/// A one-way clutch that is not listed in a state but would hold in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OneWayConflict {
    /// The one-way clutch.
    pub control: ControlId,
}

pub(super) fn conflicts(set: &Gearset, state: &State, solution: &Solution) -> Vec<OneWayConflict> {
    set.control_ids()
        .filter(|&control| !state.restraints.contains(&Restraint::Control(control)))
        .filter(|&control| turns_against(set, solution, control))
        .map(|control| OneWayConflict { control })
        .collect()
}

fn turns_against(set: &Gearset, solution: &Solution, control: ControlId) -> bool {
    let Action::OneWayClutch(pair, stops) = set.control(control).action() else { return false };
    let speed = |member: crate::gearset::MemberId| solution.values[member.index()].as_ref();
    let (Some(first), Some(second)) = (speed(pair.first), speed(pair.second)) else { return false };
    let difference = first - second;
    match stops {
        Sense::Forward => difference.is_positive(),
        Sense::Backward => difference.is_negative(),
    }
}
