//! Which gears keep a planet from going in, and by what fraction of a tooth.
//!
//! A whole combination c of the rows in which every planet's turn cancels leaves a
//! condition on the place alone: `sum c_i Z_i x` must be whole. Where it misses by d, no
//! seating brings every one of these meshes closer than `d / sum |c_i|` of a tooth.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::ToPrimitive;

use super::equations::Equation;
use super::margin::Margin;
use crate::exact::{Fraction, distance_to_whole, multiple};
use crate::gearset::MeshId;

/// Meshes that contradict one another at a pin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// The pin, counted from 1.
    pub pin: usize,
    /// The meshes that cannot all be right there.
    pub meshes: Vec<MeshId>,
    /// The least that the worst of them is out, in teeth, shared as well as can be.
    pub misfit: Fraction,
}

/// The closest that the planets of a refused pin come to going in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClosestSeating {
    /// The pin, counted from 1.
    pub pin: usize,
    /// What is then wrong at each mesh.
    pub seating: Margin,
}

/// The refusals of one cluster, pair by pair: two gears in mesh on one pin.
pub(super) fn of_cluster(equations: &[Equation], spacings: &[Fraction]) -> Vec<Refusal> {
    let mut refusals = Vec::new();
    for (later, b) in equations.iter().enumerate() {
        for a in &equations[..later] {
            let (p, q) = (a.terms[0].tooth_count, b.terms[0].tooth_count);
            let common = p.gcd(&q);
            let combination = [Part { row: a, factor: q / common }, Part { row: b, factor: -p / common }];
            refusals.extend(refused(&combination, spacings));
        }
    }
    refusals
}

/// The refusals of planets that mesh with one another, combination by combination: each
/// dependency holds one factor a row.
pub(super) fn of_meshed_planets(
    dependencies: &[Vec<BigInt>],
    equations: &[Equation],
    spacings: &[Fraction],
) -> Vec<Refusal> {
    let mut refusals = Vec::new();
    for factors in dependencies {
        // Factors are quotients of products of tooth counts.
        let parts = equations.iter().zip(factors);
        let combination: Vec<_> =
            parts.map(|(row, factor)| Part { row, factor: factor.to_i64().unwrap_or(i64::MAX) }).collect();
        refusals.extend(refused(&combination, spacings));
    }
    refusals
}

/// A row with its factor in a combination.
struct Part<'a> {
    row: &'a Equation,
    factor: i64,
}

/// The pins at which a combination of rows is not fulfilled.
fn refused<'a>(combination: &'a [Part<'_>], spacings: &'a [Fraction]) -> impl Iterator<Item = Refusal> + 'a {
    let number: i64 = combination.iter().map(|part| part.factor * part.row.place_coefficient).sum();
    let size: i64 = combination.iter().map(|part| part.factor.abs()).sum();
    spacings.iter().enumerate().filter_map(move |(pin, place)| {
        let misfit = distance_to_whole(&multiple(place, number));
        (misfit > Fraction::default()).then(|| Refusal {
            pin: pin + 1,
            meshes: combination.iter().filter(|part| part.factor != 0).map(|part| part.row.mesh).collect(),
            misfit: misfit / BigInt::from(size),
        })
    })
}
