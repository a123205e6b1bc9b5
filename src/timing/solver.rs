//! The solution of a group's conditions: in closed form where there is one planet on a pin, by the Smith form otherwise.
//!
//! Both answer the same questions, and are compared with one another in the tests.
//! Source of the normal form: Smith (1861), "On systems of linear indeterminate equations
//! and congruences", Phil. Trans. R. Soc. 151, 293-326; of its use here: worked out here.

use num_bigint::BigInt;

use super::chain;
use super::cluster::{Cluster, gear_pairs};
use crate::exact::{Congruences, Fraction, multiple_is_integer};
use crate::gearset::TimingRows;

/// Whether planets with these rows assemble on every pin once they do on the first.
pub(crate) fn rows_assemble(rows: &TimingRows, spacings: &[Fraction]) -> bool {
    if let Some(divisor) = chain::spacing_divisor(rows) {
        return spacings.iter().all(|place| multiple_is_integer(place, divisor));
    }
    let solver = Solver::new(rows);
    spacings.iter().all(|place| solver.allows(place))
}

/// The conditions of a group, solved for every place.
#[derive(Debug)]
pub(super) enum Solver {
    Closed(Cluster),
    General { congruences: Congruences, place_coefficients: Vec<BigInt> },
}

impl Solver {
    pub(super) fn new(rows: &TimingRows) -> Self {
        if rows.planet_count() == 1 {
            return Self::Closed(Cluster::new(&gear_pairs(rows)));
        }
        Self::General {
            congruences: Congruences::new(&rows.matrix()),
            place_coefficients: rows.iter().map(|row| row.place_coefficient.into()).collect(),
        }
    }

    /// D: a place x is allowed if and only if D x is whole; 0: any place does.
    pub(super) fn spacing_divisor(&self) -> BigInt {
        match self {
            Self::Closed(cluster) => cluster.spacing_divisor.into(),
            Self::General { congruences, place_coefficients } => congruences.divisor(place_coefficients),
        }
    }

    /// Whether a place goes together.
    fn allows(&self, place: &Fraction) -> bool {
        match self {
            Self::Closed(cluster) => cluster.allows(place),
            Self::General { .. } => self.turns(place).is_some(),
        }
    }

    /// The number of ways to seat the planets of one pin that look the same; `None` where
    /// a planet is not kept from turning by any mesh.
    pub(super) fn equivalent_seatings(&self) -> Option<BigInt> {
        match self {
            Self::Closed(cluster) => Some(cluster.equivalent_seatings.into()),
            Self::General { congruences, .. } => congruences.solutions_modulo_one(),
        }
    }

    /// The turn of each planet at a place, relative to its own radius, each in turn the
    /// one nearest to zero; `None` where the place does not go together.
    pub(super) fn turns(&self, place: &Fraction) -> Option<Vec<Fraction>> {
        match self {
            Self::Closed(cluster) => cluster.allows(place).then(|| vec![cluster.turn(place)]),
            Self::General { congruences, place_coefficients } => {
                let right: Vec<Fraction> =
                    place_coefficients.iter().map(|z| place * Fraction::from(z.clone())).collect();
                congruences.solve(&right).ok()
            }
        }
    }
}
