//! The rows of the tabular method for one basic set, and the train values of the formula method.
//!
//! With the arm fixed the first gear is turned and every other follows, mesh by mesh: a gear of `z_a`
//! teeth turns its mate of `z_b` by `-z_a/z_b` where both are external and by `+z_a/z_b` where one is
//! a ring; bevel gears count as external on the input side of the planet pins and as rings on the
//! output side. Then all is turned with the arm.

use num_traits::{One, Zero};

use super::expression::{Arithmetic, Symbol};
use crate::exact::Fraction;
use crate::gearset::{GearId, GearKind, Gearset, MemberId, MeshId, Side};
use crate::kinematics::{Lever, LeverNode};

/// A basic set in a lesson.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ArmTable {
    /// Its lever.
    pub lever: Lever,
    /// The carrier, then the first member, then the others, each after what drives it.
    pub columns: Vec<Column>,
}

/// A member in the table of a set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// The member; of members joined for good the first.
    pub member: MemberId,
    /// How its turning comes from the first gear with the arm fixed; empty for arm and first.
    pub path: Vec<MeshStep>,
    /// Its turns for one turn of the first gear with the arm fixed; 0 for the arm, and for all
    /// where nothing can turn against the arm.
    pub train_value: Fraction,
    /// What kind of member it is.
    pub kind: ColumnKind,
}

/// What a member is in the table of a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// The carrier.
    Arm,
    /// It turns on the main axis or on a fixed one.
    Central,
    /// A planet.
    Planet,
    /// A bevel planet: only its turning against the arm has a number.
    Tumbling,
}

/// One gear drives another, seen from the arm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeshStep {
    /// The gear that drives.
    pub from: GearId,
    /// The gear that is driven.
    pub to: GearId,
    /// Why the sense is as it is.
    pub sense: MeshSense,
}

/// Why two gears turn oppositely or in the same sense, seen from the arm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeshSense {
    /// Both external: opposite.
    External,
    /// One of them a ring: the same sense.
    Ring,
    /// A bevel gear on the input side: opposite by convention.
    BevelInput,
    /// A bevel gear on the output side: the same sense by convention.
    BevelOutput,
}

/// A mesh by which a member that has a column drives one that has none.
struct DrivingMesh {
    mesh: MeshId,
    /// The column of the member that drives, by its place.
    driver: usize,
    step: MeshStep,
}

impl MeshStep {
    /// The signed quotient of the counts as it is written.
    pub fn factor(&self, set: &Gearset) -> Arithmetic {
        let count = |gear| i64::from(set.gear(gear).tooth_count().get());
        let sign = if matches!(self.sense, MeshSense::External | MeshSense::BevelInput) { -1 } else { 1 };
        Arithmetic::whole(sign * count(self.from)).over(Arithmetic::whole(count(self.to)))
    }
}

impl Column {
    /// The train value as it is written, mesh by mesh.
    pub fn product(&self, set: &Gearset) -> Arithmetic {
        let mut factors: Vec<Arithmetic> = self.path.iter().map(|step| step.factor(set)).collect();
        match factors.len() {
            0 => Arithmetic::Number(self.train_value.clone()),
            1 => factors.swap_remove(0),
            _ => Arithmetic::Product(factors),
        }
    }

    /// Its turns against the arm, for x turns of the first gear.
    pub fn against(&self, table: usize) -> Arithmetic {
        let first = Arithmetic::Symbol(Symbol::First(table));
        if self.train_value.is_zero() {
            Arithmetic::whole(0)
        } else if self.train_value.is_one() {
            first
        } else {
            Arithmetic::Product(vec![Arithmetic::Number(self.train_value.clone()), first])
        }
    }

    /// Its turns in all: y with the arm, and those against it; of a bevel planet the latter alone.
    pub fn total(&self, table: usize) -> Arithmetic {
        let together = Arithmetic::Symbol(Symbol::Together(table));
        match (self.kind, self.train_value.is_zero()) {
            (ColumnKind::Tumbling, _) => self.against(table),
            (_, true) => together,
            (_, false) => Arithmetic::Sum(vec![together, self.against(table)]),
        }
    }
}

impl ArmTable {
    /// The table of a lever; the first gear is that of a member which is preferred, if one is on it.
    pub(super) fn new(set: &Gearset, lever: Lever, preferred: impl Fn(&LeverNode) -> usize) -> Self {
        let turning = |node: &&LeverNode| !node.has(lever.carrier);
        let all: Vec<&LeverNode> = lever.nodes.iter().filter(turning).chain(&lever.planets).collect();
        let first =
            all.iter().copied().min_by_key(|node| (preferred(node), node.member)).expect("a mesh has two gears");
        let value = if lever.is_stiff { Fraction::zero() } else { Fraction::one() };
        let column = |member, train_value, kind| Column { member, path: Vec::new(), train_value, kind };
        let columns = vec![
            column(lever.carrier, Fraction::zero(), ColumnKind::Arm),
            column(first.member, value, kind(set, first.member)),
        ];
        let mut table = Self { lever, columns };
        let mut left = table.lever.meshes.clone();
        while let Some(DrivingMesh { mesh, driver, step }) = left.iter().find_map(|&mesh| table.drive(set, mesh)) {
            left.retain(|&other| other != mesh);
            let column = table.driven(set, driver, step);
            table.columns.push(column);
        }
        table
    }

    /// What a mesh does of whose gears one has a column and the other has none.
    ///
    /// A gear joined to the arm for good leads nowhere, and what only it drives is driven by the arm.
    fn drive(&self, set: &Gearset, mesh: MeshId) -> Option<DrivingMesh> {
        let place = |gear: GearId| {
            let node = self.lever.node(set.gear(gear).member())?;
            self.columns.iter().position(|column| node.has(column.member))
        };
        let [a, b] = set.mesh(mesh).gears().each();
        let (driver, from, to) = match (place(a), place(b)) {
            (Some(driver), None) => (driver, a, b),
            (None, Some(driver)) => (driver, b, a),
            (Some(_), Some(_)) | (None, None) => return None,
        };
        Some(DrivingMesh { mesh, driver, step: MeshStep { from, to, sense: sense(set, from, to) } })
    }

    /// The column of a gear that is driven from another column.
    fn driven(&self, set: &Gearset, driver: usize, step: MeshStep) -> Column {
        let member = self.lever.node(set.gear(step.to).member()).map_or(MemberId::CASE, |node| node.member);
        let path = [&self.columns[driver].path[..], &[step]].concat();
        let mut column = Column { member, path, train_value: Fraction::zero(), kind: kind(set, member) };
        if !self.lever.is_stiff {
            column.train_value = column.product(set).form().and_then(|form| form.value()).unwrap_or_default();
        }
        column
    }

    /// The gears of a column's member that are in mesh in this set.
    pub fn gears(&self, set: &Gearset, column: &Column) -> Vec<GearId> {
        let Some(node) = self.lever.node(column.member) else { return Vec::new() };
        let gears = self.lever.meshes.iter().flat_map(|&mesh| set.mesh(mesh).gears().each());
        let mut own: Vec<GearId> = gears.filter(|&gear| node.has(set.gear(gear).member())).collect();
        own.sort_unstable();
        own.dedup();
        own
    }
}

fn kind(set: &Gearset, member: MemberId) -> ColumnKind {
    match set.carrier_of(member) {
        None | Some(MemberId::CASE) => ColumnKind::Central,
        Some(_) if set.is_bevel(member) => ColumnKind::Tumbling,
        Some(_) => ColumnKind::Planet,
    }
}

fn sense(set: &Gearset, from: GearId, to: GearId) -> MeshSense {
    let kinds = [from, to].map(|gear| set.gear(gear).kind());
    if kinds.contains(&GearKind::BevelCentral(Side::Output)) {
        MeshSense::BevelOutput
    } else if kinds.contains(&GearKind::BevelCentral(Side::Input)) {
        MeshSense::BevelInput
    } else if kinds.contains(&GearKind::Internal) {
        MeshSense::Ring
    } else {
        MeshSense::External
    }
}
