//! Every integration test, in one program, so that it is linked once. What belongs where stands
//! below, a sentence for each module.
//!
//! A module opens with the question that it answers. Names of tests are sentences, a case is data put
//! through one check, and what several modules need is a module of its own.

/// A real browser for the other tests.
mod browser;
/// The room between gears that are not in mesh, against facts, a formula and layouts.
mod clearance;
/// Gearsets side by side: parts that change, what is printed, the chart read back.
mod comparison;
/// Linear congruences, the Smith form and the nearest miss against brute force.
mod congruence;
/// Dial readings of backlash in a description.
mod dial;
/// The project's own documents: paths exist, descriptions are sound, every benchmark has its command.
mod documents;
/// Drawn pictures: their outlines fit, their sizes are right, their pages join, their names are escaped.
mod drawings;
/// Sparse exact elimination against a dense slow twin.
mod elimination;
/// Every way to use a train against trying each with a dense solver.
mod exploration;
/// Sets laid out seen along the main axis: which seatings overlap, and at what backlash one goes in.
mod face_view;
/// Formulas against the exact speeds, at the counts as described and at others; published ones.
mod formulas;
/// Formulas as they are written: read back, escaped, narrow.
mod formulas_shown;
/// Marks as they were found, against sets put together right and wrong by trying every tooth.
mod found;
/// Marks as found on bevel planets, against teeth laid out in space.
mod found_bevel;
/// Marks as found on planets that mesh with one another, against trying the teeth of all of them.
mod found_group;
/// What bands and plate clutches hold: tables, examples, and sizes that are missing.
mod friction;
/// Every file of `gearsets/` against its listed facts, and further vectors.
mod gearset_facts;
/// The program in hard use: odd widths, endless and odd input, every verdict.
mod hard_use;
/// Lessons: every line of arithmetic read back, all methods against the speeds, the drawn lever.
mod lesson;
/// Modules use only modules of lower levels.
mod levels;
/// Levers of basic sets against speeds.
mod levers;
/// Torques that the trade knows, states without a torque, what cannot be told.
mod loads;
/// Torques against a dense slow twin, and every balance as a sum.
mod loads_twin;
/// Loops of meshes through planets of two kinds.
mod loops;
/// Efficiencies against closed formulas and against every combination of senses.
mod losses;
/// Margins and closest seatings against their definition.
mod margin_twin;
/// The command for marks as a process: keys, records, exit codes.
mod marking_program;
/// Marks against walking round the gears, and returns against trying.
mod marking_twin;
/// Measured clusters against the exact search, a comb and their properties; what a person sees of them.
mod matching;
mod matching_fixed;
/// Computed seatings laid out as involute outlines: no overlap when right, overlap when wrong.
mod outlined_timing;
/// Involute outlines and their overlap, knowing nothing of the library.
mod outlines;
/// The page with gearsets that turn, as text and in a real browser.
mod page;
/// Pictures read back from their SVG, for the other tests.
mod pictures;
/// The forces of planets on their pins, pressures of bushes, and what the program says of them.
mod pin_forces;
/// Polynomials: laws, divisors against products made for them, a slow twin.
mod polynomials;
/// Practice problems, read back from the printed sheet and solved by other means.
mod practice;
/// Runs the program for the other tests.
mod process;
/// The program as a process: arguments, streams, exit codes, formats and their keys.
mod program;
/// Speeds and ratios of random trains: substitution, relabelling, inversion, scaling.
mod properties;
/// Printed values of published sources.
mod published;
/// One tiny file a problem, with the message that it gets.
mod rejected;
/// Writing a description and reading it again.
mod round_trip;
/// What rolls, rubs and idles in each state, against torques written out in full.
mod running;
/// The search for other tooth counts as a process: parts, Ctrl-C, files, formats, wrong requests.
mod search_program;
/// The search against full enumeration of small random problems; parts, threads, the stop flag, wide numbers.
mod searching;
/// Published design problems through the search.
mod searching_published;
/// Gearsets from the files of the project, and what is looked up in their answers, for the other tests.
mod sets;
/// The job sheet: well formed, complete in itself, safe from names.
mod sheet;
/// What a person sees, as snapshots.
mod snapshots;
/// The search for other tooth counts against asking every analysis about every combination.
mod teeth_search;
/// Timing against trying every tooth.
mod timing_twin;
/// Outlines of teeth against the independent ones, and against rolling them.
mod tooth_forms;
/// Random trains for the other tests.
mod trains;
/// Wrong seatings laid out as involute outlines.
mod wrong_outlines;
/// Every wrong seating against its definition, play, tight spots, dial readings.
mod wrong_seatings;
/// Wrong seatings as a person sees them, and requests that cannot be met.
mod wrong_shown;
