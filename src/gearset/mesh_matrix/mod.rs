//! The matrix of all meshes: one row a mesh, one column a member, from which everything else is read.
//!
//! Gear a of member A meshes with gear b of member B on a pin of carrier C. Seen from C both turn on fixed axes, and as
//! many teeth of one pass the point of contact as of the other: with signed tooth counts z
//!
//! `z_a (w_A - w_C) + z_b (w_B - w_C) = 0`,
//!
//! which is the row `+z_a` at A, `+z_b` at B, `-(z_a + z_b)` at C. Call the matrix of these rows M. It is read three
//! times: by rows it rules the speeds, `M w = 0` ([`MeshMatrix::speeds`]); by columns the torques, `M^T f + ... = 0`
//! ([`MeshMatrix::torques`]); and modulo one tooth the timing, `M p = whole teeth` ([`MeshMatrix::timing`]).
//! Source of the law: Willis (1841), "Principles of Mechanism", on epicyclic trains.

mod speeds;
mod timing;
mod torques;

use std::ops::{Add, Neg};

use super::{Gear, GearId, MemberId, Mesh, MeshId};

pub use timing::{PlanetTerm, TimingRow, TimingRows};

/// A coefficient of the matrix and the member in whose column it stands; a polynomial where counts are open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MatrixEntry<T = i64> {
    /// The coefficient.
    pub coefficient: T,
    /// The member.
    pub member: MemberId,
}

/// A gear as the rows take it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct SignedGear {
    /// The gear.
    pub gear: GearId,
    /// The member that it is solid with.
    pub member: MemberId,
    /// z: its tooth count, negative for internal teeth and for a central bevel gear on the output side.
    pub tooth_count: i64,
}

/// The row of one mesh.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct MeshRow {
    /// The mesh.
    pub mesh: MeshId,
    /// Gear a of member A and gear b of member B, in the order of the description.
    pub gears: [SignedGear; 2],
    /// C: the carrier of the pin; the case for a pin that is fixed in it.
    pub carrier: MemberId,
}

impl MeshRow {
    /// The three terms of the row: `+z_a` at A, `+z_b` at B, `-(z_a + z_b)` at C. They stand at three members, since no
    /// gear meshes with one of its own body or of its carrier; where members turn as one their terms add.
    pub fn terms(&self) -> [MatrixEntry; 3] {
        self.terms_of(|gear| gear.tooth_count)
    }

    /// The same terms with something else for the counts: unknowns, say, or counts not yet decided.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::Polynomial};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let row = &set.matrix().rows()[0];
    /// let [sun, planet, carrier] = row.terms_of(|gear| Polynomial::unknown(gear.gear.index())).map(|it| it.coefficient);
    /// assert_eq!(carrier, -(&sun + &planet));
    /// ```
    pub fn terms_of<T>(&self, count: impl Fn(&SignedGear) -> T) -> [MatrixEntry<T>; 3]
    where
        T: Neg<Output = T>,
        for<'t> &'t T: Add<Output = T>,
    {
        let [a, b] = &self.gears;
        let of = |gear: &SignedGear| MatrixEntry { coefficient: count(gear), member: gear.member };
        rolling_terms(of(a), of(b), self.carrier)
    }

    /// `z_a + z_b`: teeth that a turn of the carrier passes. As a length in modules it is twice the centre distance,
    /// negative where a gear runs inside a ring.
    pub fn tooth_sum(&self) -> i64 {
        let [a, b] = self.gears;
        a.tooth_count + b.tooth_count
    }
}

/// The row of a pair that rolls on a carrier, whatever its counts are made of: `z_a` at A and `z_b` at B leave
/// `-(z_a + z_b)` for the carrier, so that a turn of all three together moves no tooth.
pub(crate) fn rolling_terms<T>(a: MatrixEntry<T>, b: MatrixEntry<T>, carrier: MemberId) -> [MatrixEntry<T>; 3]
where
    T: Neg<Output = T>,
    for<'t> &'t T: Add<Output = T>,
{
    let of_carrier = -(&a.coefficient + &b.coefficient);
    [a, b, MatrixEntry { coefficient: of_carrier, member: carrier }]
}

/// The matrix of all meshes of a gearset; [`Gearset::matrix`](super::Gearset::matrix) gives it.
///
/// Every row adds up to zero: a train that turns as a whole has no tooth pass anywhere.
///
/// # Examples
/// ```
/// use toothmark::{description, gearset::MemberId};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let columns = ["sun", "ring", "carrier", "planet"].map(|name| set.member_named(name).unwrap());
/// let rows: Vec<[i64; 4]> =
///     set.mesh_ids().map(|mesh| columns.map(|member| set.matrix().entry(mesh, member))).collect();
/// // Sun 24 and ring 60, internal, with planet 18.
/// assert_eq!(rows, [[24, 0, -42, 18], [0, -60, 42, 18]]);
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeshMatrix {
    member_count: usize,
    rows: Vec<MeshRow>,
}

impl MeshMatrix {
    /// The matrix of these meshes.
    pub(super) fn new(member_count: usize, gears: &[Gear], meshes: &[Mesh]) -> Self {
        let signed = |&id: &GearId| {
            let gear = &gears[id.index()];
            SignedGear { gear: id, member: gear.member(), tooth_count: gear.signed_tooth_count() }
        };
        let row = |(index, mesh): (usize, &Mesh)| MeshRow {
            mesh: MeshId(index),
            gears: mesh.gears().both().map(signed),
            carrier: mesh.carrier(),
        };
        Self { member_count, rows: meshes.iter().enumerate().map(row).collect() }
    }

    /// Gives a gear of a mesh another signed count.
    pub(super) fn set_count(&mut self, mesh: MeshId, gear: GearId, signed: i64) {
        let gears = self.rows[mesh.index()].gears.iter_mut();
        gears.filter(|of_row| of_row.gear == gear).for_each(|of_row| of_row.tooth_count = signed);
    }

    /// Every row, in the order of the meshes.
    pub fn rows(&self) -> &[MeshRow] {
        &self.rows
    }

    /// The row of a mesh.
    pub fn row(&self, mesh: MeshId) -> &MeshRow {
        &self.rows[mesh.index()]
    }

    /// How many columns there are: the case has the first.
    pub fn member_count(&self) -> usize {
        self.member_count
    }

    /// The entry of a mesh in the column of a member; 0 for one that has no part in it.
    pub fn entry(&self, mesh: MeshId, member: MemberId) -> i64 {
        let terms = self.row(mesh).terms();
        terms.iter().filter(|term| term.member == member).map(|term| term.coefficient).sum()
    }

    /// The matrix with each count multiplied by a factor: what the torques follow when a gear passes on less than it
    /// takes in. A row still adds up to zero, as the carrier takes what its two gears leave over.
    #[must_use]
    pub fn weighted(&self, factors: impl Fn(&MeshRow) -> [i64; 2]) -> Self {
        let weighted = |row: &MeshRow| {
            let factors = factors(row);
            let mut row = *row;
            row.gears.iter_mut().zip(factors).for_each(|(gear, factor)| gear.tooth_count *= factor);
            row
        };
        Self { member_count: self.member_count, rows: self.rows.iter().map(weighted).collect() }
    }
}
