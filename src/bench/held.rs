//! Does a control hold what a gearset asks of it? The one place where the bench asks the loads.

use crate::gearset::{ControlId, Gearset};
use crate::statics::{Capacity, InputTorque, LoadsQuestion, PowerSense, survey_loads};
use serde::Serialize;

/// What a control can hold in a state beside what it has to.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct HeldTorque {
    /// The state.
    pub state: String,
    /// When it has to.
    pub when: PowerSense,
    /// What it can hold: an estimate, as friction in oil varies.
    pub capacity_newton_metres: f64,
    /// What it has to hold.
    pub demand_newton_metres: f64,
    /// The torque on the input for which it is enough.
    pub enough_for_newton_metres: f64,
    /// Whether the drum pulls the band on; none where it is no band or that is not known.
    pub wraps_on: Option<bool>,
    /// Whether the capacity is not less than what it has to hold.
    pub holds: bool,
}

/// What a control can hold, and what it has to in every state that applies it.
pub(super) fn held(set: &Gearset, control: ControlId, torque: &InputTorque) -> (Option<Capacity>, Vec<HeldTorque>) {
    let survey = survey_loads(set, &LoadsQuestion { torque: torque.clone(), ..LoadsQuestion::default() });
    let of_control = |state: &crate::statics::LoadedState| {
        let found = state.controls.iter().find(|it| it.control == control)?;
        Some((state.state.clone(), found.applied, found.capacity.clone()?))
    };
    let found: Vec<(String, bool, Capacity)> = survey.states.iter().filter_map(of_control).collect();
    let applied = found.iter().filter(|(_, applied, _)| *applied);
    let states = applied.flat_map(|(state, _, capacity)| {
        capacity.verdicts.iter().map(move |verdict| HeldTorque {
            state: state.clone(),
            when: verdict.when,
            capacity_newton_metres: verdict.capacity_newton_metres,
            demand_newton_metres: verdict.demand_newton_metres,
            enough_for_newton_metres: verdict.enough_for_newton_metres,
            wraps_on: capacity.wraps_on.and_then(|wraps_on| match verdict.when {
                PowerSense::Drive => Some(wraps_on[0]),
                PowerSense::Overrun => Some(wraps_on[1]),
                PowerSense::Either => None,
            }),
            holds: verdict.holds,
        })
    });
    let states = states.collect();
    (found.into_iter().next().map(|(_, _, capacity)| capacity), states)
}
