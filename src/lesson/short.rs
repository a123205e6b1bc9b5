//! The short form of the table: everything turned once, then the held gear turned back with the arm fixed.
//!
//! The held member comes to nothing, and what the others come to, `1 - e` with the train value e from the held gear,
//! is in proportion to their speeds.

use num_traits::One;

use super::elimination::{BoardLine, BoardStep};
use super::expression::Arithmetic;
use super::{ArmTable, Column, ColumnKind};
use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId, State, bodies_in_state};
use crate::kinematics::LeverNode;

/// The table from a held gear.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ShortTable {
    /// The table; its first gear is the held one.
    pub table: ArmTable,
    /// For every column its turns with the arm fixed and the held gear turned back once, as written and as a number.
    pub turned_back: Vec<Vec<Arithmetic>>,
    /// For every column the sum of both, as written and as a number.
    pub totals: Vec<Vec<Arithmetic>>,
    /// The speed of every column, as its total is to that of the input; empty where the input stands in none.
    pub speeds: Vec<BoardLine>,
}

impl ShortTable {
    /// The table of a single set from a held gear, if its arm is not held.
    pub(super) fn new(set: &Gearset, state: &State, tables: &[ArmTable], input_speed: &Fraction) -> Option<Self> {
        let [table] = tables else { return None };
        let bodies = bodies_in_state(set, state);
        let stands = |member: MemberId| bodies[member.index()] == MemberId::CASE;
        let is_held = |node: &LeverNode| stands(node.member) && node.member != MemberId::CASE;
        if table.lever.is_stiff || stands(table.lever.carrier) || !table.lever.nodes.iter().any(is_held) {
            return None;
        }
        let table = ArmTable::new(set, table.lever.clone(), |node| usize::from(!is_held(node)));
        Some(Self {
            turned_back: table.columns.iter().map(|column| turned_back(set, column)).collect(),
            totals: table.columns.iter().map(total).collect(),
            speeds: speeds(&table.columns, &bodies, state, input_speed),
            table,
        })
    }
}

/// `-1 * e`, with e as it is written, mesh by mesh.
fn turned_back(set: &Gearset, column: &Column) -> Vec<Arithmetic> {
    let back = Arithmetic::Number(-&column.train_value);
    if column.path.is_empty() {
        return vec![back.clone(), back];
    }
    let factors = column.path.iter().map(|step| step.factor(set));
    vec![Arithmetic::Product([Arithmetic::whole(-1)].into_iter().chain(factors).collect()), back]
}

/// `1 - e`; a bevel planet is told by what it turns against the arm alone.
fn total(column: &Column) -> Vec<Arithmetic> {
    let total = Arithmetic::Number(column.turned_back());
    if column.kind == ColumnKind::Tumbling {
        return vec![total];
    }
    vec![Arithmetic::Sum(vec![Arithmetic::whole(1), Arithmetic::Number(-&column.train_value)]), total]
}

/// `n = n_input (total / total of the input)`.
fn speeds(columns: &[Column], bodies: &[MemberId], state: &State, input_speed: &Fraction) -> Vec<BoardLine> {
    let Some(input) = total_of_input(columns, bodies, state) else { return Vec::new() };
    columns.iter().map(|column| speed_line(column, &input, input_speed)).collect()
}

/// `1 - e` of the input, if it has a column.
pub(super) fn total_of_input(columns: &[Column], bodies: &[MemberId], state: &State) -> Option<Fraction> {
    let is_input = |column: &&Column| bodies[column.member.index()] == bodies[state.input.index()];
    columns.iter().find(is_input).map(Column::turned_back)
}

fn speed_line(column: &Column, input: &Fraction, input_speed: &Fraction) -> BoardLine {
    let share = Arithmetic::Number(column.turned_back()).over(Arithmetic::Number(input.clone()));
    let written = if input_speed.is_one() {
        share
    } else {
        Arithmetic::Product(vec![Arithmetic::Number(input_speed.clone()), share])
    };
    let value = Arithmetic::Number(column.turned_back() / input * input_speed);
    BoardLine { step: BoardStep::Total(column.member), chain: vec![Arithmetic::Symbol(column.sign()), written, value] }
}
