//! The matrix read modulo one tooth: how must planets be turned so that every gear meshes at once?
//!
//! Let theta be rotations in turns, psi the place of a pin on its carrier, and c what depends on where the teeth of the
//! two gears stand on their bodies. Tooth meets space where
//!
//! `Z theta_A + P theta_B - (Z + P) theta_C = (Z + P) psi + c (mod 1)`,
//!
//! the row of the mesh, over the integers. On two pins of one carrier, x apart, A and C are the same bodies and c is the
//! same, as planets are alike; what is left of the difference, with `p = theta_B' - theta_B`, is `P p = (P + Z) x`. A
//! planet is seen against its own radius, which turns by x from pin to pin: with `t = p - x`
//!
//! - `P t = Z x (mod 1)` for each central gear, and
//! - `P t + Q u = 0 (mod 1)` for each mesh of two planets, turned by t and u.
//!
//! Bevel planets obey the same rows, with Z signed by its side. Worked out here.

use std::ops::Deref;

use super::{MeshMatrix, MeshRow, SignedGear};
use crate::exact::{Fraction, IntegerMatrix, multiple};
use crate::gearset::{GearId, MemberId, MeshId, PlanetGroup};

/// One condition: the mesh, what it asks of each planet's turn, and of the place.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct TimingRow {
    /// The mesh.
    pub mesh: MeshId,
    /// The planet gears in this mesh: one, or two where planets mesh with one another.
    pub terms: Vec<PlanetTerm>,
    /// The central gear, if there is one.
    pub central: Option<GearId>,
    /// Z: the signed tooth count of the central gear; 0 where there is none.
    pub place_coefficient: i64,
}

/// A planet gear in a [`TimingRow`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlanetTerm {
    /// The planet's position in its group.
    pub planet: usize,
    /// The planet gear.
    pub gear: GearId,
    /// P: its signed tooth count.
    pub tooth_count: i64,
}

/// The conditions of a group of planets, one row a mesh.
///
/// # Examples
/// ```
/// use toothmark::{description, exact::{Congruences, fraction}};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let timing = set.matrix().timing(&set.planet_groups()[0]);
/// // A third of a turn on: 18 t = 24/3 and 18 t = -60/3, so any whole tooth will do.
/// let right = timing.right_sides(&fraction(1, 3));
/// assert_eq!(right, [fraction(8, 1), fraction(-20, 1)]);
/// assert_eq!(Congruences::new(&timing.matrix()).solve(&right), Ok(vec![fraction(0, 1)]));
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimingRows {
    rows: Vec<TimingRow>,
    planet_count: usize,
}

impl MeshMatrix {
    /// The rows of a group of planets as congruences between their turns.
    pub fn timing(&self, group: &PlanetGroup) -> TimingRows {
        let rows = group.meshes().iter().map(|&mesh| TimingRow::of(self.row(mesh), group.planets())).collect();
        TimingRows { rows, planet_count: group.planets().len() }
    }
}

impl TimingRow {
    /// A gear that turns with a planet keeps its term; what is left of the row, `-(z_a + z_b)` and the planets' own
    /// counts for their radius, comes to -Z, and stands on the other side for the place.
    fn of(row: &MeshRow, planets: &[MemberId]) -> Self {
        let mut found = Self { mesh: row.mesh, terms: Vec::new(), central: None, place_coefficient: 0 };
        for &SignedGear { gear, member, tooth_count } in &row.gears {
            if let Some(planet) = planets.iter().position(|&planet| planet == member) {
                found.terms.push(PlanetTerm { planet, gear, tooth_count });
            } else {
                (found.central, found.place_coefficient) = (Some(gear), tooth_count);
            }
        }
        found
    }

    /// What the place counts where turns are seen in space: `P + Z`, by `P p = (P + Z) x`.
    pub fn place_coefficient_in_space(&self) -> i64 {
        self.place_coefficient + self.terms.iter().map(|term| term.tooth_count).sum::<i64>()
    }
}

/// The rows themselves, in the order of the meshes.
impl Deref for TimingRows {
    type Target = [TimingRow];

    fn deref(&self) -> &[TimingRow] {
        &self.rows
    }
}

impl TimingRows {
    /// How many planets the group has: one turn of each is asked for.
    pub fn planet_count(&self) -> usize {
        self.planet_count
    }

    /// The same conditions where each gear may stand as it likes on its planet: a planet of its own, in the order of the
    /// gears that are told with them.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::IntegerMatrix};
    /// let set = description::read(description::example("cannot-be-trio").unwrap()).unwrap();
    /// let (gears, rows) = set.matrix().timing(&set.planet_groups()[0]).by_gear();
    /// // One cluster with three gears.
    /// assert_eq!((gears.len(), rows.planet_count()), (3, 3));
    /// assert_eq!(rows.matrix(), IntegerMatrix::new(3, 3, [31, 0, 0, 0, 39, 0, 0, 0, 28]));
    /// ```
    pub fn by_gear(&self) -> (Vec<GearId>, Self) {
        let mut gears: Vec<GearId> = Vec::new();
        let mut rows = self.rows.clone();
        for term in rows.iter_mut().flat_map(|row| &mut row.terms) {
            term.planet = gears.iter().position(|&gear| gear == term.gear).unwrap_or_else(|| {
                gears.push(term.gear);
                gears.len() - 1
            });
        }
        let planet_count = gears.len();
        (gears, Self { rows, planet_count })
    }

    /// The left sides: one column a planet.
    pub fn matrix(&self) -> IntegerMatrix {
        let entry = |row: &TimingRow, planet: usize| -> i64 {
            row.terms.iter().filter(|term| term.planet == planet).map(|term| term.tooth_count).sum()
        };
        let planets = 0..self.planet_count;
        let entries = self.rows.iter().flat_map(|row| planets.clone().map(move |planet| entry(row, planet)));
        IntegerMatrix::new(self.rows.len(), self.planet_count, entries)
    }

    /// What the central gears add where they are free: one column for each, which counts its turn in teeth and is the
    /// same for all pins.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::IntegerMatrix};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let timing = set.matrix().timing(&set.planet_groups()[0]);
    /// // Sun and ring, each with a mesh of its own.
    /// assert_eq!(timing.central_matrix(), IntegerMatrix::identity(2));
    /// ```
    pub fn central_matrix(&self) -> IntegerMatrix {
        let mut centrals: Vec<GearId> = self.rows.iter().filter_map(|row| row.central).collect();
        centrals.sort_unstable();
        centrals.dedup();
        let entries =
            self.rows.iter().flat_map(|row| centrals.iter().map(|gear| i32::from(row.central == Some(*gear))));
        IntegerMatrix::new(self.rows.len(), centrals.len(), entries)
    }

    /// The right sides for a pin at a place, in turns from the first pin: Z x for each row.
    pub fn right_sides(&self, place: &Fraction) -> Vec<Fraction> {
        self.rows.iter().map(|row| multiple(place, row.place_coefficient)).collect()
    }

    /// Some of the rows alone, by their numbers.
    pub(crate) fn only(&self, rows: &[usize]) -> Self {
        let rows = rows.iter().map(|&row| self.rows[row].clone()).collect();
        Self { rows, planet_count: self.planet_count }
    }

    /// The same rows with other counts: what `count` says of a gear and the signed count that it has.
    pub(crate) fn with_counts(&self, count: impl Fn(GearId, i64) -> i64) -> Self {
        let mut changed = self.clone();
        for row in &mut changed.rows {
            for term in &mut row.terms {
                term.tooth_count = count(term.gear, term.tooth_count);
            }
            row.place_coefficient = row.central.map_or(0, |gear| count(gear, row.place_coefficient));
        }
        changed
    }
}
