//! One planet on a pin, in closed form: the answer that people want to read.
//!
//! For gears with signed counts `P_i` that mesh with central gears `Z_i`:
//!
//! - gears i and j allow only places x for which `x (Z_i P_j - Z_j P_i) / gcd(P_i, P_j)`
//!   is whole; the greatest common divisor of these numbers over all pairs is the spacing
//!   divisor D, and a place goes together if and only if `D x` is whole;
//! - with `g = gcd(P_i)` and whole numbers `c_i` such that `sum c_i P_i = g`, the turn is
//!   `t = x (sum c_i Z_i) / g`, unique modulo 1/g.
//!
//! Pairs suffice because congruences on one unknown are solvable together as soon as any
//! two of them are: Ore (1952), "The general Chinese remainder theorem", Amer. Math.
//! Monthly 59, 365-370.

use num_bigint::BigInt;
use num_integer::{ExtendedGcd, Integer};

use crate::exact::{Fraction, multiple, multiple_is_integer, nearest_zero};
use crate::gearset::TimingRow;

/// A planet gear and the central gear that it meshes with, both counts signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct GearPair {
    pub(crate) planet: i64,
    pub(crate) central: i64,
}

/// The timing of one cluster, for any place of a pin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cluster {
    /// D: a place goes together if and only if D times it is whole; 0: any place does.
    pub(super) spacing_divisor: i64,
    /// g: the number of seatings that look the same.
    pub(super) equivalent_seatings: i64,
    /// `sum c_i Z_i`: the turn for a place x is this times x / g. Known modulo D where that
    /// is not 0, which is enough for an allowed place and keeps it within a machine word.
    pub(super) turn_factor: i64,
}

/// The gear pairs of a group of one planet.
pub(super) fn gear_pairs(rows: &[TimingRow]) -> Vec<GearPair> {
    rows.iter().map(|row| GearPair { planet: row.terms[0].tooth_count, central: row.place_coefficient }).collect()
}

impl Cluster {
    pub(super) fn new(pairs: &[GearPair]) -> Self {
        let mut spacing_divisor = 0_i64;
        for (index, a) in pairs.iter().enumerate() {
            for b in &pairs[..index] {
                spacing_divisor = spacing_divisor.gcd(&pair_number(*a, *b));
            }
        }
        // Bezout, gear by gear: `common = sum c_i P_i` and `turn_factor = sum c_i Z_i`. Where D is 0
        // all Z_i / P_i are alike, and the sums stay as small as the counts.
        let (mut common, mut turn_factor) = (0_i64, 0_i64);
        for pair in pairs {
            let ExtendedGcd { gcd, x, y } = common.extended_gcd(&pair.planet);
            let step = common.checked_div(gcd).unwrap_or(1);
            let (x, y) = smallest(x, y, step, pair.planet.checked_div(gcd).unwrap_or(1));
            let factor = x * turn_factor + y * pair.central;
            (common, turn_factor) = (gcd, if spacing_divisor == 0 { factor } else { factor % spacing_divisor });
        }
        Self { spacing_divisor, equivalent_seatings: common.abs(), turn_factor: turn_factor * common.signum() }
    }

    /// Whether a place goes together with place 0.
    pub(super) fn allows(&self, place: &Fraction) -> bool {
        multiple_is_integer(place, self.spacing_divisor)
    }

    /// The turn relative to the pin's own radius, the one nearest to zero modulo 1/g;
    /// meaningful only for a place that is allowed.
    pub(super) fn turn(&self, place: &Fraction) -> Fraction {
        nearest_zero(&multiple(place, self.turn_factor)) / BigInt::from(self.equivalent_seatings)
    }
}

/// The number that must be whole when multiplied by a place, for two gears to agree there.
pub(crate) fn pair_number(a: GearPair, b: GearPair) -> i64 {
    (a.central * b.planet - b.central * a.planet) / a.planet.gcd(&b.planet)
}

/// The same Bezout pair with the smaller second factor, so that sums stay small.
fn smallest(x: i64, y: i64, a: i64, b: i64) -> (i64, i64) {
    if a == 0 {
        return (x, y);
    }
    let shift = y.div_euclid(a);
    (x + shift * b, y - shift * a)
}
