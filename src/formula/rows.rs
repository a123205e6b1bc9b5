//! The equations of a gearset in a state, tooth counts as unknowns.
//!
//! The rows of the mesh matrix ([`crate::gearset::MeshMatrix`]) with an unknown for each count. Members that are joined,
//! held or clutched share a column; the case has none.

use std::collections::BTreeMap;

use crate::exact::Polynomial;
use crate::gearset::{Gearset, MatrixEntry, MemberId, Restraint, SignedGear, State, bodies_in_state};

/// A row: its polynomials that are not zero, by their columns.
pub(super) type PolynomialRow = BTreeMap<usize, Polynomial>;

/// The rows of a gearset in a state; the columns are bodies, each by its first member.
pub(super) struct StateRows {
    /// Every row.
    pub(super) rows: Vec<PolynomialRow>,
    /// The body of each member, by its first member.
    body: Vec<MemberId>,
}

impl StateRows {
    pub(super) fn new(set: &Gearset, state: &State) -> Self {
        let mut found = Self { rows: Vec::new(), body: bodies_in_state(set, state) };
        found.rows = set.matrix().rows().iter().map(|row| found.row(row.terms_of(count))).collect();
        for restraint in &state.restraints {
            if let Restraint::Turning(member, speed) = *restraint {
                // d w_X - n w_input = 0
                found.rows.push(
                    found.row([constant(speed.denominator(), member), constant(-speed.numerator(), state.input)]),
                );
            }
        }
        found.rows.retain(|row| !row.is_empty());
        found
    }

    /// The column of a member; 0 for the case and what is one with it.
    pub(super) fn column(&self, member: MemberId) -> usize {
        self.body[member.index()].index()
    }

    /// Adds the speed of one member against another, such as of a planet against its carrier, as an unknown, and gives its
    /// column.
    pub(super) fn observe(&mut self, first: MemberId, second: MemberId) -> usize {
        let column = self.body.len();
        let mut row = self.row([constant(-1, first), constant(1, second)]);
        // speed - w_first + w_second = 0
        row.insert(column, Polynomial::constant(1));
        self.rows.push(row);
        column
    }

    /// The terms in the columns of their bodies, those of one body added.
    fn row(&self, terms: impl IntoIterator<Item = MatrixEntry<Polynomial>>) -> PolynomialRow {
        let mut row = PolynomialRow::new();
        for term in terms {
            let column = self.column(term.member);
            if column != 0 {
                let entry = row.entry(column).or_default();
                *entry = &*entry + &term.coefficient;
            }
        }
        row.retain(|_, factor| !factor.is_zero());
        row
    }
}

/// The signed count of a gear: the unknown is what people count, so that it is positive.
fn count(gear: &SignedGear) -> Polynomial {
    let count = Polynomial::unknown(gear.gear.index());
    if gear.tooth_count < 0 { -count } else { count }
}

fn constant(value: i64, member: MemberId) -> MatrixEntry<Polynomial> {
    MatrixEntry { coefficient: Polynomial::constant(value), member }
}
