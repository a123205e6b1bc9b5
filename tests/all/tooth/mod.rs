//! Formulas of teeth on bare numbers against printed values and drawn involutes.

/// Drawn gears measured on the drawing, over random gears.
mod drawn;
/// Drawn gears pushed into their rings along the radius.
mod entries;
/// Drawn gears turned until they touch, and rolled out of contact.
mod flanks;
/// Roots of outlines against what a tool leaves of a blank.
mod generated;
/// The involute function and its inverse over their whole range.
mod involutes;
/// Random numbers from a seed, for gears and pairs.
pub(crate) mod lots;
/// What absurd numbers get: an error, never a panic and never a number that is none.
mod refusals;
/// Planets that share a force against every subset that could.
mod sharing;
/// Shifts shared between two gears, and what leaves no lag.
mod splits;
/// Printed and computed values of spans, pins, thicknesses, distances and flanks.
mod values;
