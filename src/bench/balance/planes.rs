//! What do unbalances along a rotor amount to in two planes, and between two places of one plane?
//!
//! Unbalances `U_i` at `z_i` along the axis pull the rotor as two do in the planes `z_L` and `z_R` that have the same
//! sum and the same moment: `U_L = sum U_i (z_R - z_i) / (z_R - z_L)`, `U_R = sum U_i (z_i - z_L) / (z_R - z_L)`.
//! Between two places at `a < p < b`, less than half a turn apart, the vector U at p is split by the law of sines:
//! `U_a = U sin(b - p) / sin(b - a)`, `U_b = U sin(p - a) / sin(b - a)`.

use num_complex::Complex64;

use super::unbalance::{Unbalance, degrees_within_a_turn};

/// The sum of unbalances in each of two planes, by their places along the axis.
///
/// # Examples
/// ```
/// use toothmark::bench::{Unbalance, carried_to_planes};
/// // Half-way between the planes each takes half.
/// let [left, right] = carried_to_planes(&[(Unbalance::new(420.0, 30.0), 30.0)], [0.0, 60.0]);
/// assert!((left.g_mm - 210.0).abs() < 1e-9 && (right.g_mm - 210.0).abs() < 1e-9);
/// ```
pub fn carried_to_planes(unbalances: &[(Unbalance, f64)], [left, right]: [f64; 2]) -> [Unbalance; 2] {
    let carried = |from: f64, to: f64| {
        let share = |(unbalance, z): &(Unbalance, f64)| unbalance.vector() * ((from - z) / (from - to));
        Unbalance::of(unbalances.iter().map(share).sum::<Complex64>())
    };
    [carried(right, left), carried(left, right)]
}

/// An unbalance split between two places, in g mm at each; `None` where it does not stand between them, or they are
/// half a turn apart or more.
///
/// # Examples
/// ```
/// use toothmark::bench::{Unbalance, split_between};
/// let [first, second] = split_between(Unbalance::new(2500.0, 100.0), [90.0, 120.0]).unwrap();
/// assert!((first - 1710.1007).abs() < 1e-4 && (second - 868.2409).abs() < 1e-4);
/// ```
pub fn split_between(unbalance: Unbalance, [first, second]: [f64; 2]) -> Option<[f64; 2]> {
    let apart = degrees_within_a_turn(second - first);
    let after_first = degrees_within_a_turn(unbalance.degrees - first);
    if apart <= 0.0 || apart >= 180.0 || after_first > apart {
        return None;
    }
    let sine = |degrees: f64| degrees.to_radians().sin();
    Some([apart - after_first, after_first].map(|across| unbalance.g_mm * sine(across) / sine(apart)))
}
