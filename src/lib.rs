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
//! - [`kinematics`]: what turns how fast in each state, verdicts, steps and spread.
//! - [`timing`]: whether and how the planets go together, marks, the nearest wrong
//!   seating, ways out.
//! - [`exact`]: the numbers beneath: fractions, linear systems, Smith form, congruences.
//! - `report` (with the feature `cli`): answers as text, Markdown, CSV and JSON.
//!
//! # Conventions
//! - **Rotation**: positive is counter-clockwise seen from the input side. Where a view
//!   matters it is named.
//! - **Ratio**: input turns per output turn; negative where the output turns backward.
//! - **Places and turns**: in turns, exact; a pin's place counter-clockwise seen from the
//!   input side; a planet's turn relative to its own radius, the mark to the centre being 0.
//! - **Tooth counts**: as counted. Inside formulas those of internal gears are negative, so
//!   that `z_a (w_A - w_C) + z_b (w_B - w_C) = 0` holds for every mesh.
//! - **Lengths**: millimetres; backlash circumferential at the pitch circle.
//! - **Exact or approximate, never between**: a [`exact::Fraction`] is exact at any size;
//!   an `f64` appears only where a length or pi is in the answer.
//!
//! An analysis is a function from `&Gearset` to a plain structure with public fields. It
//! never prints, reads files or formats.

pub mod description;
pub mod exact;
pub mod gearset;
pub mod kinematics;
#[cfg(feature = "cli")]
pub mod report;
pub mod timing;
