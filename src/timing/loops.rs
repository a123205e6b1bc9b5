//! Meshes that close a loop through planets of more than one kind: do the first planets of
//! each kind go in together?
//!
//! With theta the rotations of members and planets in turns, psi the place of a pin, C its
//! carrier, A the central gear and B the planet, both counts signed, tooth meets space if
//!
//! `Z theta_A + P theta_B - (Z + P) theta_C = (Z + P) psi + k - 1/2 (mod 1)`,
//!
//! where k is P/2 for two external gears (the planet meets the sun half a turn from the
//! pin's own direction) and 0 for a planet in a ring. A whole combination of rows in which
//! every rotation cancels must agree on the right. How two gears of one body stand against
//! each other, and at which angle planets mesh with one another, is not described: each is
//! one more unknown of its mesh, and so is the angle of bevel gears and internal planets.
//! Worked out here from the place of teeth on the line of centres.

use num_bigint::BigInt;
use num_traits::{Signed, Zero};
use serde::Serialize;

use crate::exact::{Congruences, Fraction, IntegerMatrix, distance_to_integer, fraction, multiple};
use crate::gearset::{Bodies, GearId, GearKind, Gearset, MemberId, MeshId, MeshRow, Place, PlanetGroup, SignedGear};
use crate::kinematics::dependent_meshes;

/// Meshes that hang together in a loop, whatever the planets on the other pins do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Loop {
    /// The meshes, in the order of the description.
    pub meshes: Vec<MeshId>,
    /// Whether all of them can be right at once.
    pub closes: Closure,
    /// Where they cannot: how much of a tooth the worst of them is out at least.
    pub misfit: Option<Fraction>,
}

/// Whether a loop of meshes closes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum Closure {
    /// It does.
    #[serde(rename = "yes")]
    Closes,
    /// It does not.
    #[serde(rename = "no")]
    Misses,
    /// That depends on how the gears of one body are set against each other, their index, or on an angle that the
    /// description does not give.
    #[serde(rename = "depends on index")]
    DependsOnIndex,
}

impl Loop {
    /// Whether meshes of a group belong to it.
    pub(super) fn is_with(&self, group: &PlanetGroup) -> bool {
        self.meshes.iter().any(|mesh| group.meshes().contains(mesh))
    }
}

/// Whether no loop of a gearset is certain to miss.
pub(crate) fn loops_close(set: &Gearset) -> bool {
    missed_loops(set).is_empty()
}

/// Whether meshes follow from others at some tooth counts, so that there are loops. A body of one gear turns as its only
/// mesh says: such a mesh follows from no others, and what is left is looked at without it, until all are gone.
pub(crate) fn may_have_loops(set: &Gearset) -> bool {
    let bodies = Bodies::for_good(set);
    let bodies_of = |row: &MeshRow| row.terms().map(|term| bodies.of(term.member));
    let mut open: Vec<[MemberId; 3]> = set.matrix().rows().iter().map(bodies_of).collect();
    let case = bodies.of(MemberId::CASE);
    // The carrier's term, the last, is a sum of counts and may be 0.
    while let Some(free) = open.iter().position(|row| {
        row[..2].iter().any(|&body| body != case && open.iter().flatten().filter(|&&other| other == body).count() == 1)
    }) {
        open.swap_remove(free);
    }
    !open.is_empty()
}

/// The loops of a gearset that are certain to miss.
pub(crate) fn missed_loops(set: &Gearset) -> Vec<Loop> {
    loops(set).into_iter().filter(|closed| closed.closes == Closure::Misses).collect()
}

/// Every loop of a gearset: first those whose closure is certain.
pub(super) fn loops(set: &Gearset) -> Vec<Loop> {
    let meshes = dependent_meshes(set);
    if meshes.is_empty() {
        return Vec::new();
    }
    let rotations = rotation_rows(set, &meshes);
    let unknown = unknown_rows(set, &meshes);
    let right: Vec<Fraction> = meshes.iter().map(|&mesh| right_side(set, mesh)).collect();
    let part_of = |combination: &[BigInt]| {
        meshes.iter().zip(combination).filter(|(_, factor)| !factor.is_zero()).map(|(&mesh, _)| mesh).collect()
    };
    let both: Vec<Vec<i64>> = rotations.iter().zip(&unknown).map(|(a, b)| [a.as_slice(), b].concat()).collect();
    let certain = dependencies(&both).into_iter().map(|factors| {
        let misfit = misfit(&factors, &right);
        let closes = if misfit.is_none() { Closure::Closes } else { Closure::Misses };
        Loop { meshes: part_of(&factors), closes, misfit }
    });
    let open = dependencies(&rotations).into_iter().filter(|factors| !cancels(factors, &unknown));
    let open = open.map(|factors| Loop { meshes: part_of(&factors), closes: Closure::DependsOnIndex, misfit: None });
    certain.chain(open).collect()
}

fn dependencies(rows: &[Vec<i64>]) -> Vec<Vec<BigInt>> {
    let columns = rows.first().map_or(0, Vec::len);
    let matrix = IntegerMatrix::new(rows.len(), columns, rows.iter().flatten().copied());
    Congruences::new(&matrix).dependencies().to_vec()
}

fn cancels(factors: &[BigInt], rows: &[Vec<i64>]) -> bool {
    let columns = rows.first().map_or(0, Vec::len);
    (0..columns)
        .all(|column| rows.iter().zip(factors).map(|(row, factor)| factor * row[column]).sum::<BigInt>().is_zero())
}

/// With factors c the left sides cancel, so that `sum c_i right_i` has to be whole; where it misses by d, the worst row
/// is out by `d / sum |c_i|` or more.
fn misfit(factors: &[BigInt], right: &[Fraction]) -> Option<Fraction> {
    let sum: Fraction = factors.iter().zip(right).map(|(factor, right)| right * factor).sum();
    let misfit = distance_to_integer(&sum);
    let size: BigInt = factors.iter().map(Signed::abs).sum();
    (!misfit.is_zero()).then(|| misfit / size)
}

/// For each mesh the coefficients of the rotations, members joined for good being one.
fn rotation_rows(set: &Gearset, meshes: &[MeshId]) -> Vec<Vec<i64>> {
    let bodies = Bodies::for_good(set);
    let row = |&mesh: &MeshId| {
        let mut row = vec![0; set.members().len()];
        for term in set.matrix().row(mesh).terms() {
            row[bodies.of(term.member).index()] += term.coefficient;
        }
        row
    };
    meshes.iter().map(row).collect()
}

/// For each mesh which unknown index or angle it involves, one column each.
fn unknown_rows(set: &Gearset, meshes: &[MeshId]) -> Vec<Vec<i64>> {
    let bodies = Bodies::for_good(set);
    let body_of = |gear: GearId| bodies.of(set.gear(gear).member());
    let pair = |&mesh: &MeshId| set.mesh(mesh).gears().each();
    let mut gears: Vec<GearId> = meshes.iter().flat_map(pair).collect();
    gears.sort();
    gears.dedup();
    let shares_body = |gear: GearId| gears.iter().any(|&other| other != gear && body_of(other) == body_of(gear));
    let indexed: Vec<GearId> = gears.iter().copied().filter(|&gear| shares_body(gear)).collect();
    let row = |(at, &mesh): (usize, &MeshId)| {
        let gears = pair(&mesh);
        let index = indexed.iter().map(|gear| i64::from(gears.contains(gear)));
        let angle = (0..meshes.len()).map(|other| i64::from(other == at && centres(set, mesh).is_none()));
        index.chain(angle).collect()
    };
    meshes.iter().enumerate().map(row).collect()
}

/// The central gear and the external planet gear of a mesh; `None` for planets that mesh
/// with one another, for bevel gears and for internal planets.
fn centres(set: &Gearset, mesh: MeshId) -> Option<[SignedGear; 2]> {
    let [a, b] = set.matrix().row(mesh).gears;
    let on_pin = |gear: SignedGear| set.carrier_of(gear.member).is_some();
    let is_external = |gear: SignedGear| set.gear(gear.gear).kind() == GearKind::External;
    match (on_pin(a), on_pin(b)) {
        (false, true) if is_external(b) => Some([a, b]),
        (true, false) if is_external(a) => Some([b, a]),
        _ => None,
    }
}

/// The right side of a mesh on the first pin of its planets; 0 where an unknown angle takes it in.
fn right_side(set: &Gearset, mesh: MeshId) -> Fraction {
    let Some([central, planet]) = centres(set, mesh) else { return Fraction::zero() };
    let in_ring = set.gear(central.gear).kind() == GearKind::Internal;
    let half_turns = if in_ring { 0 } else { planet.tooth_count };
    let Place::Pin { pins, .. } = set.member(planet.member).place() else {
        unreachable!("the planet of a mesh stands on a pin");
    };
    multiple(&pins[0], set.matrix().row(mesh).tooth_sum()) + fraction(half_turns - 1, 2)
}
