//! Every integration test, in one program. What belongs where:

/// Linear congruences, the Smith form and the nearest miss against brute force.
mod congruence;
/// The project's own documents: paths in DEVELOPERS.md exist, published numbers have their command.
mod documents;
/// Sparse exact elimination against a dense slow twin.
mod elimination;
/// Sets laid out seen along the main axis: which seatings overlap, and at what backlash one goes in.
mod face_view;
/// Every file of `gearsets/` against its listed facts, and further vectors.
mod gearset_facts;
/// The program in hard use: odd widths, endless and odd input, every verdict and key.
mod hard_use;
/// Modules use only modules of lower levels.
mod levels;
/// Margins and closest seatings against their definition.
mod margin_twin;
/// Computed seatings laid out as involute outlines: no overlap when right, overlap when wrong.
mod outlined_timing;
/// Involute outlines and their overlap, knowing nothing of the library.
mod outlines;
/// Runs the program for the other tests.
mod process;
/// The program as a process: arguments, streams, exit codes, formats, bad files.
mod program;
/// Speeds and ratios of random trains: substitution, relabelling, inversion, scaling.
mod properties;
/// Printed values of published sources.
mod published;
/// One tiny file a problem, with the message that it gets.
mod rejected;
/// Writing a description and reading it again.
mod round_trip;
/// What a person sees, as snapshots.
mod snapshots;
/// Timing against trying every tooth.
mod timing_twin;
/// Random trains for the other tests.
mod trains;
