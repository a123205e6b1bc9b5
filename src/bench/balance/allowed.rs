//! How much unbalance may be left in a rotor, and how is it shared between two planes?
//!
//! A balance quality grade G says how fast the centre of mass may circle about the axis, in mm/s: `e w <= G`, and with
//! `U = e M` the residual is `U = 1000 G M / w`, in g mm with M in kg and w in rad/s: `9549.3 G M / n` with n in rpm, or
//! `6.015 G W / n` oz in with W in lb. Two planes share it as two bearings share the weight: each takes the distance of
//! the centre of mass from the other one, `U_A = U l_B / l`; neither share is taken below 0.3 or above 0.7.
//! Source: ISO 1940-1 (2003), section 6, and the annex with its example; the limits of the shares from memory.

use std::f64::consts::PI;

/// The grade that is usual for flywheels and general machinery.
pub const USUAL_GRADE: f64 = 6.3;
/// Which part of the residual a plane has at least.
const LEAST_SHARE: f64 = 0.3;
/// The arm at which a rotor still rolls off a knife edge, in millimetres: between good edges and poor ones.
const ROLLING_ARM: [f64; 2] = [0.01, 0.05];

/// The residual unbalance that a grade allows, in g mm, for a mass in kg and a speed in rpm.
///
/// # Examples
/// ```
/// use toothmark::bench::permissible_unbalance;
/// assert!((permissible_unbalance(6.3, 25.0, 1800.0) - 835.563).abs() < 1e-3);
/// ```
pub fn permissible_unbalance(grade: f64, kilograms: f64, rpm: f64) -> f64 {
    // w = 2 pi n / 60.
    1000.0 * grade * kilograms / (2.0 * PI * rpm / 60.0)
}

/// The shares of two planes, by the distances of the centre of mass from the two bearings.
///
/// # Examples
/// ```
/// use toothmark::bench::shares_of_planes;
/// assert_eq!(shares_of_planes([1500.0, 900.0]), [0.375, 0.625]);
/// ```
pub fn shares_of_planes([to_first, to_second]: [f64; 2]) -> [f64; 2] {
    let first = (to_second / (to_first + to_second)).clamp(LEAST_SHARE, 1.0 - LEAST_SHARE);
    [first, 1.0 - first]
}

/// What knife edges feel of a rotor at best, and what at worst, in g mm: `U = M f`, f the arm of rolling friction.
///
/// The arms are from memory; edges that are worn or dirty feel less.
pub fn felt_on_knife_edges(kilograms: f64) -> [f64; 2] {
    ROLLING_ARM.map(|arm| 1000.0 * kilograms * arm)
}
