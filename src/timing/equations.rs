//! The timing conditions of one group of planets, as integer rows.
//!
//! With t the turn of a planet relative to its own radius, P and Z the signed tooth
//! counts of planet and central gear, and x the place of the pin relative to the first,
//! a planet meshes as the one on the first pin does if and only if
//!
//! - `P t = Z x (mod 1)` for each central gear, and
//! - `P t + Q u = 0 (mod 1)` for each mesh of two planets.
//!
//! Bevel planets obey the same rows, with Z signed by its side. Worked out here.

use crate::exact::IntegerMatrix;
use crate::gearset::{GearId, Gearset, MemberId, MeshId, PlanetGroup};

/// One condition: the mesh, what it asks of each planet's turn, and of the place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Equation {
    /// The mesh.
    pub mesh: MeshId,
    /// The planet gears in this mesh: one, or two where planets mesh with one another.
    pub terms: Vec<Term>,
    /// The central gear, if there is one.
    pub central: Option<GearId>,
    /// The signed tooth count of the central gear; 0 where there is none.
    pub place_coefficient: i64,
}

/// A planet gear in an [`Equation`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Term {
    /// The planet's position in its group.
    pub planet: usize,
    /// The planet gear.
    pub gear: GearId,
    /// Its signed tooth count.
    pub tooth_count: i64,
}

/// The conditions of a group, one row a mesh, in the order of the meshes.
pub fn equations(set: &Gearset, group: &PlanetGroup) -> Vec<Equation> {
    group.meshes().iter().map(|&mesh| equation(set, group.planets(), mesh)).collect()
}

fn equation(set: &Gearset, planets: &[MemberId], mesh: MeshId) -> Equation {
    let mut equation = Equation { mesh, terms: Vec::new(), central: None, place_coefficient: 0 };
    for &id in set.mesh(mesh).gears().both() {
        let gear = set.gear(id);
        let tooth_count = gear.signed_tooth_count();
        if let Some(planet) = planets.iter().position(|&planet| planet == gear.member()) {
            equation.terms.push(Term { planet, gear: id, tooth_count });
        } else {
            equation.central = Some(id);
            equation.place_coefficient = tooth_count;
        }
    }
    equation
}

/// The matrix of the rows: one column a planet.
pub(super) fn matrix(equations: &[Equation], planets: usize) -> IntegerMatrix {
    let entry = |equation: &Equation, planet: usize| -> i64 {
        equation.terms.iter().filter(|term| term.planet == planet).map(|term| term.tooth_count).sum()
    };
    let entries = equations.iter().flat_map(|equation| (0..planets).map(move |planet| entry(equation, planet)));
    IntegerMatrix::new(equations.len(), planets, entries)
}
