//! Torques, forces, losses, friction, and what rolls and rubs.

/// What bands and plate clutches hold: tables, examples, and sizes that are missing.
mod friction;
/// Torques that the trade knows, states without a torque, what cannot be told.
mod loads;
/// Torques against a dense slow twin, and every balance as a sum.
pub(crate) mod loads_twin;
/// Efficiencies against closed formulas and against every combination of senses.
mod losses;
/// The forces of planets on their pins, pressures of bushes, and what the program says of them.
mod pin_forces;
/// What rolls, rubs and idles in each state, against torques written out in full.
mod running;
/// Controls that do the same, against the state with one of them alone.
mod shared;
