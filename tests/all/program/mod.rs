//! The program as a process and what a person sees.

/// Requests of another program and their answers.
mod answering;
/// The program as a process: arguments, streams, exit codes, formats and their keys.
mod behaviour;
/// Faults of the machine under every command that writes: nothing is lost.
#[cfg(target_os = "linux")]
mod faults;
/// The program in hard use: odd widths, endless and odd input, every verdict.
mod hard_use;
/// Files that are written: none is lost, none takes the place of another.
mod places;
/// Every JSON answer against the schema that the program prints.
mod schemas;
mod screens;
/// Several files in one question.
mod several;
/// What a person sees, as snapshots.
mod snapshots;
