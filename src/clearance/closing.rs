//! Which profile shifts make every mesh of a pin circle close?
//!
//! A mesh at the distance a needs the sum `x_2 + s x_1 = x_S(a)`, s = +1 for two external gears, -1 for a gear in its
//! ring. The equations are those of a graph, gears its nodes: within a connected part every shift is `c + d t` with d =
//! +1 or -1 and one unknown t. A described shift fixes t; so does a loop round which d changes its sign; whatever is told
//! beyond that either agrees or is off by so much. Where t stays open the fewest gears are shifted: each gear in turn
//! is taken without shift, and the t that leaves most of them without is kept; of several the one whose largest shift is
//! least, then the one that leaves the gear that comes first in the description as it is.

use crate::gearset::{GearId, MeshId};
use crate::tooth::RoomVerdict;

/// What a mesh needs: `x_second + sign x_first = sum`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ShiftEquation {
    pub(crate) mesh: MeshId,
    pub(crate) first: GearId,
    pub(crate) second: GearId,
    /// +1 for two external gears, -1 where the second is a ring.
    pub(crate) sign: f64,
    pub(crate) sum: f64,
}

/// The shift of a gear: `constant + direction t`, in modules.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OpenShift {
    pub(crate) gear: GearId,
    pub(crate) constant: f64,
    pub(crate) direction: f64,
}

impl OpenShift {
    pub(crate) fn at(&self, t: f64) -> f64 {
        self.constant + self.direction * t
    }
}

/// Gears that meshes connect, and what is known of their shifts.
#[derive(Debug, Clone)]
pub(crate) struct ShiftTree {
    /// In the order in which they were reached.
    pub(crate) gears: Vec<OpenShift>,
    /// Its unknown where a described shift or a loop fixes it.
    pub(crate) fixed: Option<f64>,
    /// The unknown that is taken.
    pub(crate) taken: f64,
}

/// A mesh that does not close, and by how much its sum of shifts is off, in modules.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OpenLoop {
    pub(crate) mesh: MeshId,
    pub(crate) off: f64,
}

/// The shifts that close every mesh that can be closed.
#[derive(Debug, Clone, Default)]
pub(crate) struct Closing {
    pub(crate) trees: Vec<ShiftTree>,
    pub(crate) open: Vec<OpenLoop>,
}

/// Shifts nearer than this are one: they are commonly written with four decimals, and a gear is ground no finer.
pub(crate) const SAME_SHIFT: f64 = 1e-3;

impl Closing {
    /// Solves the equations with the shifts that are described.
    pub(crate) fn new(equations: &[ShiftEquation], described: &dyn Fn(GearId) -> Option<f64>) -> Self {
        let mut closing = Self::default();
        let mut used = vec![false; equations.len()];
        while let Some(start) = used.iter().position(|used| !used) {
            closing.grow(equations, &mut used, start, described);
        }
        closing
    }

    /// The shift that a gear is taken with, if it is in a mesh that was asked about.
    pub(crate) fn shift(&self, gear: GearId) -> Option<f64> {
        self.trees
            .iter()
            .find_map(|tree| tree.gears.iter().find(|open| open.gear == gear).map(|open| open.at(tree.taken)))
    }

    /// Adds the tree of an equation that belongs to none yet.
    fn grow(
        &mut self,
        equations: &[ShiftEquation],
        used: &mut [bool],
        start: usize,
        described: &dyn Fn(GearId) -> Option<f64>,
    ) {
        let root = OpenShift { gear: equations[start].first, constant: 0.0, direction: 1.0 };
        let mut tree = ShiftTree { gears: vec![root], fixed: None, taken: 0.0 };
        let mut rest = Vec::new();
        let mut next = 0;
        while let Some(&from) = tree.gears.get(next) {
            for (equation, used) in
                equations.iter().zip(used.iter_mut()).filter(|(equation, _)| equation.has(from.gear))
            {
                if std::mem::replace(used, true) {
                    continue;
                }
                let reached = equation.other(&from);
                if tree.gears.iter().any(|known| known.gear == reached.gear) {
                    rest.push((equation.mesh, reached));
                } else {
                    tree.gears.push(reached);
                }
            }
            next += 1;
        }
        let told = tree.gears.iter().find_map(|open| Some((described(open.gear)? - open.constant) / open.direction));
        tree.fixed = told.or_else(|| rest.iter().find_map(|(_, reached)| tree.fixed_by_loop(reached)));
        tree.taken = tree.fixed.unwrap_or_else(|| tree.fewest_shifted());
        self.open.extend(rest.iter().filter_map(|&(mesh, reached)| tree.open_loop(mesh, &reached)));
        self.open.extend(tree.gears.iter().filter_map(|open| tree.overruled(open, described, equations)));
        for gear in &mut tree.gears {
            // Two described shifts that quarrel are both left as they are.
            if let Some(shift) = described(gear.gear) {
                gear.constant = shift - gear.direction * tree.taken;
            }
        }
        self.trees.push(tree);
    }
}

impl ShiftEquation {
    fn has(&self, gear: GearId) -> bool {
        self.first == gear || self.second == gear
    }

    /// The shift of the other gear: `sum - sign x_first`, or `sign (sum - x_second)`.
    fn other(&self, known: &OpenShift) -> OpenShift {
        let (gear, scale) = if known.gear == self.first { (self.second, 1.0) } else { (self.first, self.sign) };
        let constant = scale * self.sum - self.sign * known.constant;
        OpenShift { gear, constant, direction: -self.sign * known.direction }
    }
}

impl ShiftTree {
    fn known(&self, gear: GearId) -> &OpenShift {
        self.gears.iter().find(|open| open.gear == gear).expect("a loop ends at a gear that was reached")
    }

    /// Round a loop that turns the direction over both shifts of its gear are one: `c + t = C - t`.
    fn fixed_by_loop(&self, reached: &OpenShift) -> Option<f64> {
        let known = self.known(reached.gear);
        let directions = known.direction - reached.direction;
        (directions.abs() > 1.0).then(|| (reached.constant - known.constant) / directions)
    }

    /// By how much a loop stays open.
    fn open_loop(&self, mesh: MeshId, reached: &OpenShift) -> Option<OpenLoop> {
        let off = reached.at(self.taken) - self.known(reached.gear).at(self.taken);
        (off.abs() > SAME_SHIFT).then_some(OpenLoop { mesh, off })
    }

    /// A described shift that is another than the tree asks for: its first mesh does not close.
    fn overruled(
        &self,
        open: &OpenShift,
        described: &dyn Fn(GearId) -> Option<f64>,
        equations: &[ShiftEquation],
    ) -> Option<OpenLoop> {
        let off = open.at(self.taken) - described(open.gear)?;
        let mesh = equations.iter().find(|equation| equation.has(open.gear))?.mesh;
        (off.abs() > SAME_SHIFT).then_some(OpenLoop { mesh, off })
    }

    /// The unknown with which the fewest gears are shifted.
    fn fewest_shifted(&self) -> f64 {
        let mut best: Option<(usize, f64, f64)> = None;
        let mut in_order = self.gears.clone();
        in_order.sort_by_key(|open| open.gear);
        for open in in_order {
            let t = -open.constant / open.direction;
            let shifts = || self.gears.iter().map(|open| open.at(t).abs());
            let count = shifts().filter(|shift| *shift > SAME_SHIFT).count();
            let largest = shifts().fold(0.0, f64::max);
            let is_better = best.is_none_or(|(fewest, least, _)| {
                count < fewest || (count == fewest && largest < least - RoomVerdict::ROUNDING)
            });
            if is_better {
                best = Some((count, largest, t));
            }
        }
        best.map_or(0.0, |(.., t)| t)
    }
}
