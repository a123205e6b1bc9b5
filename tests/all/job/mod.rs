//! Is the record of a job read, kept and judged rightly?

/// Readings entered into a file: nothing else changes, nothing is lost.
mod entering;
/// Files of jobs: versions, faults with their places.
mod files;
/// What a record says, against what follows by hand.
mod judging;
/// The same answers from the bench.
mod on_bench;
/// A whole rebuild by the commands alone, with one file.
mod rebuild;
/// What a person reads: the screen, and the sheet of paper.
mod shown;
