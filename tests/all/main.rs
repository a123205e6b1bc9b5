//! Every integration test, in one program, so that it is linked once. What belongs where stands
//! below, a sentence for each module.
//!
//! A module opens with the question that it answers. Names of tests are sentences, a case is data put
//! through one check, and what several modules need is a module of its own.

/// What is measured, fitted and balanced on the bench.
mod bench;
/// Descriptions: what is read, refused and written, and the facts of the built-in gearsets.
mod descriptions;
/// Numbers, linear systems and the search engine against brute force.
mod exact;
/// What the teeth of gears are.
mod fit;
/// What the fuzzers have come across and is kept.
mod fuzzed;
/// The record of a job.
mod job;
/// Speeds, ratios, formulas, every way to use a train, lessons and practice.
mod kinematics;
/// Pictures, sheets and the page.
mod pictures_and_pages;
/// The program as a process and what a person sees.
mod program;
/// The project itself: its levels, its documents, published values.
mod project;
/// Questions without a file: stacks of tooth counts, what-if.
mod quick;
/// Torques, forces, losses, friction, and what rolls and rubs.
mod statics;
/// What several tests need: gearsets from files, runs of the program, random trains, outlines, pictures, a browser.
mod support;
/// Whether and how planets go together, marks, margins, wrong seatings, matching.
mod timing;
/// Formulas of teeth on bare numbers against printed values and drawn involutes.
mod tooth;
/// Other tooth counts: comparing gearsets and searching for better ones.
mod tooth_counts;
