//! The equations of a gearset in a state, tooth counts as unknowns.
//!
//! One row for each mesh: `z_a` at A, `z_b` at B, `-(z_a + z_b)` at the carrier, where z is the count, with a minus
//! for internal gears and for central bevel gears on the output side. Members that are joined, held or clutched
//! share a column; the case has none.

use std::collections::BTreeMap;

use crate::exact::Polynomial;
use crate::gearset::{GearId, Gearset, MemberId, Pair, Restraint, State};
use crate::kinematics::bodies_in_state;

/// A row: its polynomials that are not zero, by their columns.
pub(super) type Row = BTreeMap<usize, Polynomial>;

/// The rows of a gearset in a state; the columns are bodies, each by its first member.
pub(super) struct Rows {
    /// Every row.
    pub(super) rows: Vec<Row>,
    /// The body of each member, by its first member.
    body: Vec<MemberId>,
}

impl Rows {
    pub(super) fn new(set: &Gearset, state: &State) -> Self {
        let mut found = Self { rows: Vec::new(), body: bodies_in_state(set, state) };
        found.rows = set.meshes().iter().map(|mesh| found.mesh(set, mesh.gears(), mesh.carrier())).collect();
        for restraint in &state.restraints {
            if let Restraint::Turning(member, speed) = *restraint {
                let given = [(speed.denominator(), member), (-speed.numerator(), state.input)];
                let row = found.row(given.map(|(factor, member)| (Polynomial::constant(factor), member)));
                found.rows.push(row);
            }
        }
        found.rows.retain(|row| !row.is_empty());
        found
    }

    /// The column of a member; 0 for the case and what is one with it.
    pub(super) fn column(&self, member: MemberId) -> usize {
        self.body[member.index()].index()
    }

    /// Adds the speed of a planet against its carrier as an unknown, and gives its column.
    pub(super) fn observe(&mut self, planet: MemberId, carrier: MemberId) -> usize {
        let column = self.body.len();
        let mut row = self.row([(Polynomial::constant(-1), planet), (Polynomial::constant(1), carrier)]);
        row.insert(column, Polynomial::constant(1));
        self.rows.push(row);
        column
    }

    fn mesh(&self, set: &Gearset, gears: Pair<GearId>, carrier: MemberId) -> Row {
        let [(z_a, a), (z_b, b)] = gears.both().map(|&gear| (count(set, gear), set.gear(gear).member()));
        let sum = -(&z_a + &z_b);
        self.row([(z_a, a), (z_b, b), (sum, carrier)])
    }

    fn row<const N: usize>(&self, terms: [(Polynomial, MemberId); N]) -> Row {
        let mut row = Row::new();
        for (factor, member) in terms {
            let column = self.column(member);
            if column != 0 {
                let entry = row.entry(column).or_default();
                *entry = &*entry + &factor;
            }
        }
        row.retain(|_, factor| !factor.is_zero());
        row
    }
}

/// The signed count of a gear, as a polynomial.
fn count(set: &Gearset, gear: GearId) -> Polynomial {
    let count = Polynomial::unknown(gear.index());
    if set.gear(gear).signed_tooth_count() < 0 { -count } else { count }
}
