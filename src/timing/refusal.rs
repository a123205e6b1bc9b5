//! Which gears keep a planet from going in, and by what fraction of a tooth.
//!
//! A whole combination c of the rows in which every planet's turn cancels leaves a
//! condition on the place alone: `sum c_i Z_i x` must be whole. Where it misses by d, no
//! seating brings every one of these meshes closer than `d / sum |c_i|` of a tooth. Worked out here.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{Signed, Zero};
use serde::Serialize;

use super::margin::SeatingError;
use super::solver::Solver;
use crate::exact::{Fraction, distance_to_integer};
use crate::gearset::{MeshId, TimingRow};

/// Meshes that contradict one another at a pin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct MeshRefusal {
    /// The pin, counted from 1.
    pub pin: usize,
    /// The meshes that cannot all be right there.
    pub meshes: Vec<MeshId>,
    /// The least that the worst of them is out, in teeth, shared as well as can be.
    pub misfit: Fraction,
}

/// The closest that the planets of a refused pin come to going in.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ClosestSeating {
    /// The pin, counted from 1.
    pub pin: usize,
    /// What is then wrong at each mesh.
    pub seating: SeatingError,
}

/// Every refusal of a group; none where its planets assemble on every pin.
pub(super) fn refusals(solver: &Solver, rows: &[TimingRow], spacings: &[Fraction]) -> Vec<MeshRefusal> {
    match solver {
        Solver::Closed(_) => of_cluster(rows, spacings),
        Solver::General { congruences, .. } => of_meshed_planets(congruences.dependencies(), rows, spacings),
    }
}

/// The refusals of one cluster, pair by pair: two gears in mesh on one pin.
fn of_cluster(rows: &[TimingRow], spacings: &[Fraction]) -> Vec<MeshRefusal> {
    let mut refusals = Vec::new();
    for (later, b) in rows.iter().enumerate() {
        for a in &rows[..later] {
            let (p, q) = (a.terms[0].tooth_count, b.terms[0].tooth_count);
            let common = p.gcd(&q);
            refusals.extend(refused(&[(a, (q / common).into()), (b, (-p / common).into())], spacings));
        }
    }
    refusals
}

/// The refusals of planets that mesh with one another, combination by combination: each
/// dependency holds one factor a row.
fn of_meshed_planets(dependencies: &[Vec<BigInt>], rows: &[TimingRow], spacings: &[Fraction]) -> Vec<MeshRefusal> {
    let combination = |factors: &Vec<BigInt>| rows.iter().zip(factors.iter().cloned()).collect::<Vec<_>>();
    dependencies.iter().flat_map(|factors| refused(&combination(factors), spacings)).collect()
}

/// The pins at which a combination of rows, each with its factor, is not fulfilled.
fn refused(combination: &[(&TimingRow, BigInt)], spacings: &[Fraction]) -> Vec<MeshRefusal> {
    let number: BigInt = combination.iter().map(|(row, factor)| factor * row.place_coefficient).sum();
    let size: BigInt = combination.iter().map(|(_, factor)| factor.abs()).sum();
    let refusal = |(pin, place): (usize, &Fraction)| {
        let misfit = distance_to_integer(&(place * &number));
        misfit.is_positive().then(|| MeshRefusal {
            pin: pin + 1,
            meshes: combination.iter().filter(|(_, factor)| !factor.is_zero()).map(|(row, _)| row.mesh).collect(),
            misfit: misfit / &size,
        })
    };
    spacings.iter().enumerate().filter_map(refusal).collect()
}
