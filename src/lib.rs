//! Exact ratios and exact timing of planetary gearsets whose planets are clusters.
//!
//! ```
//! use toothmark::{description, kinematics::motions, timing::{Method, timing}};
//!
//! let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
//! let low = &motions(&set)[0];
//! assert_eq!(low.verdict.ratio().unwrap().to_string(), "481/171");
//! let cluster = &timing(&set, Method::Quickest)[0];
//! assert!(cluster.goes_together());
//! assert_eq!(cluster.margin.as_ref().unwrap().teeth.to_string(), "5/68");
//! ```
//!
//! # What there is
//! - [`description`]: a gearset from RON text and back, every fault with its place; the
//!   built-in examples.
//! - [`gearset`]: the checked gearset; [`gearset::Draft`] to build one in code.
//! - [`kinematics`]: the speed of every member in each state, verdicts, steps and spread;
//!   every way to use a train; the lever of each basic set.
//! - [`formula`]: the ratio of every state and the speed of any member as a formula in the tooth counts.
//! - [`lesson`]: a state worked out on the board, by table and by formula.
//! - [`running`]: what rolls, rubs and stands in each state, moments of a change, overspeed, noise.
//! - [`statics`]: the torque on every member, mesh and control, power, bands, clutches, losses.
//! - [`timing`]: whether and how the planets go together, marks, the nearest wrong
//!   seating, ways out; what to mark on a set without marks, when marks line up again; what marks that were
//!   found on a set mean.
//! - [`clearance`]: pin circles, axial planes, the room between gears that are not in mesh.
//! - [`comparison`]: what one gearset does beside another, and which parts change.
//! - [`practice`]: practice problems whose numbers could be built, with answers and wrong answers.
//! - [`drawing`]: face views with involute teeth, cut into pages, and paper discs, as SVG; with the feature `report`
//!   a page on which the gears turn.
//! - [`tooth`]: the involute outlines beneath, on bare numbers.
//! - [`search`]: which whole numbers meet all requirements, and which are the best, proven; a search that knows
//!   nothing of gears.
//! - [`tooth_search`]: which other tooth counts would serve a train, the best of them, proven.
//! - [`exact`]: the numbers beneath: fractions, linear systems, Smith form, congruences.
//! - `report` (with the feature `report`): answers as text, Markdown, CSV and JSON.
//!
//! # Conventions
//! - **Rotation**: whoever looks from the input side sees a positive one go counter-clockwise;
//!   an answer that depends on the side says which side it means.
//! - **Ratio**: how often the input turns for one turn of the output; below zero where the
//!   output turns backward.
//! - **Places and turns**: exact parts of a whole turn, in the sense of positive rotation. The
//!   place of a pin is where it stands round the main axis. A planet has the turn 0 when its
//!   mark points to the centre, wherever its pin stands.
//! - **Tooth counts**: as counted. Inside formulas those of internal gears are negative, so
//!   that `z_a (w_A - w_C) + z_b (w_B - w_C) = 0` holds for every mesh.
//! - **Lengths**: millimetres; backlash circumferential at the pitch circle.
//! - **Numbers**: an [`exact::Fraction`] is exact at any size; an `f64` appears only where a
//!   length or pi is in the answer.
//!
//! Every question is a function of a [`gearset::Gearset`], and every answer a structure whose
//! fields can all be read. How an answer is shown is left to whoever asked.

pub mod clearance;
pub mod comparison;
pub mod description;
pub mod drawing;
pub mod exact;
pub mod formula;
pub mod gearset;
pub mod kinematics;
pub mod lesson;
pub mod practice;
#[cfg(feature = "report")]
pub mod report;
pub mod running;
pub mod search;
pub mod statics;
pub mod timing;
pub mod tooth;
pub mod tooth_search;
