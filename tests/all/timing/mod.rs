//! Whether and how planets go together, marks, margins, wrong seatings, matching.

/// What a hand notices at a seating: the same in every answer.
mod by_hand;
/// The room between gears that are not in mesh, against facts, a formula and layouts.
mod clearance;
/// Marks as they were found, against sets put together right and wrong by trying every tooth.
mod found;
/// Marks as found on bevel planets, against teeth laid out in space.
mod found_bevel;
/// Marks as found on planets that mesh with one another, against trying the teeth of all of them.
mod found_group;
/// What a person is told first of marks that were found: what to turn, and how the marks were made and read.
mod found_orders;
/// Loops of meshes through planets of two kinds.
mod loops;
/// Margins and closest seatings against their definition.
pub(crate) mod margin_twin;
/// The command for marks as a process: keys, records, exit codes.
mod marking_program;
/// Marks against walking round the gears, and returns against trying.
mod marking_twin;
/// Measured clusters against the exact search, a comb and their properties; what a person sees of them.
pub(crate) mod matching;
mod matching_fixed;
mod matching_radii;
/// What a person is told first of measured clusters, on one screen.
mod matching_screen;
/// Computed seatings laid out as involute outlines: no overlap when right, overlap when wrong.
pub(crate) mod outlined_timing;
/// Planets without a right seating pushed together, against a circle and a grid.
mod pushed_together;
/// Tooth counts that are named as ways out.
mod remedies;
/// How planets are set and marked, as a person is told it: on which gear to count, and where any tooth will do.
mod setting;
/// Bevel planets, internal planets, chains of planets and planets of several kinds against their teeth in space.
mod teeth_in_space;
/// Timing against trying every tooth.
pub(crate) mod timing_twin;
/// Wrong seatings laid out as involute outlines.
mod wrong_outlines;
/// Every wrong seating against its definition, play, tight spots, dial readings.
mod wrong_seatings;
/// Wrong seatings as a person sees them, and requests that cannot be met.
mod wrong_shown;
