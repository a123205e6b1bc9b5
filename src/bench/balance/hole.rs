//! What does a drilled hole take off?
//!
//! A drill with a point of 118 degrees leaves a cylinder of diameter d and full depth h and below it a cone, `d / (2 tan
//! 59 deg)` = 0.3004 d high: `m = rho (pi d^2 h / 4 + pi d^3 / (24 tan 59 deg))`. Parallel to the axis at the radius r
//! the unbalance is m r. Drilled inward from a rim of radius `r_0` cylinder and cone stand at different radii: `U = rho
//! (V_cylinder (r_0 - h/2) + V_cone (r_0 - h - h_c/4))`, for the middle of a cone is a quarter of its height behind its
//! base; that the rim is round is left out, so a little less is taken than is said. Depths are those of the full
//! diameter; a point that is ground otherwise takes a little more or less.

use std::f64::consts::PI;

use serde::Serialize;

/// Half the angle of the point of a drill, in degrees.
const HALF_POINT: f64 = 59.0;

/// Which way holes are drilled.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum HoleDirection {
    /// Parallel to the axis, into a face.
    #[default]
    Axial,
    /// Inward from a rim.
    Radial,
}

/// The grams of metal in a hole of this diameter and full depth, in millimetres; the density is in g/cm3.
///
/// # Examples
/// ```
/// use toothmark::bench::hole_grams;
/// // 10 mm and 15 mm deep in cast iron.
/// assert!((hole_grams(7.2, 10.0, 15.0) - 9.0486).abs() < 1e-4);
/// ```
pub fn hole_grams(density: f64, diameter: f64, depth: f64) -> f64 {
    grams(density, cylinder(diameter, depth) + cone(diameter))
}

/// How much further than its full depth a drill reaches.
///
/// # Examples
/// ```
/// assert!((toothmark::bench::point_of_drill(10.0) - 3.0043).abs() < 1e-4);
/// ```
pub fn point_of_drill(diameter: f64) -> f64 {
    diameter / (2.0 * HALF_POINT.to_radians().tan())
}

/// The unbalance that a hole takes off, in g mm: its middle at the radius, or begun at the rim.
///
/// # Examples
/// ```
/// use toothmark::bench::{HoleDirection, hole_unbalance};
/// let radial = hole_unbalance(HoleDirection::Radial, 7.2, [10.0, 15.0], 120.0);
/// assert!((radial - 1013.2947).abs() < 1e-4);
/// ```
pub fn hole_unbalance(direction: HoleDirection, density: f64, [diameter, depth]: [f64; 2], radius: f64) -> f64 {
    match direction {
        HoleDirection::Axial => hole_grams(density, diameter, depth) * radius,
        HoleDirection::Radial => {
            let of_cylinder = cylinder(diameter, depth) * (radius - depth / 2.0);
            let of_cone = cone(diameter) * (radius - depth - point_of_drill(diameter) / 4.0);
            grams(density, of_cylinder + of_cone)
        }
    }
}

/// The deepest full depth that leaves so much wall behind the point; below zero where there is none.
pub(super) fn deepest(thickness: f64, wall: f64, diameter: f64) -> f64 {
    thickness - wall - point_of_drill(diameter)
}

fn cylinder(diameter: f64, depth: f64) -> f64 {
    PI * diameter * diameter * depth / 4.0
}

/// A third of base times height.
fn cone(diameter: f64) -> f64 {
    PI * diameter * diameter / 12.0 * point_of_drill(diameter)
}

/// Cubic millimetres of a density in g/cm3.
fn grams(density: f64, volume: f64) -> f64 {
    density * volume / 1000.0
}
