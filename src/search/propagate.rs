//! Which values are left for the unknowns that are still open?
//!
//! A sweep over the expression of one requirement: forward from what has become known to the root, then from the
//! interval allowed at the root back to the unknowns. Both only ever narrow intervals that hold every
//! solution (hull consistency: F. Benhamou, F. Goualard, L. Granvilliers, J.-F. Puget, Revising hull and box
//! consistency, Proc. ICLP 1999). Nodes that requirements share carry what one found out to the others.

use super::graph::{Graph, GraphNode};
use super::interval::Interval;

/// The interval of every node, and who cut off the ends of every unknown.
#[derive(Clone, Debug, Default)]
pub(super) struct NodeIntervals {
    pub(super) intervals: Vec<Interval>,
    /// For each unknown the tests that last moved its lower and its upper end.
    pub(super) cut_by: Vec<[usize; 2]>,
}

impl NodeIntervals {
    /// The state before any choice: unknowns have their intervals, all else follows.
    pub(super) fn new(graph: &Graph, leaves: &[Interval], unknowns: usize) -> Self {
        let mut state = Self { intervals: leaves.to_vec(), cut_by: vec![[0, 0]; unknowns] };
        for (at, node) in graph.nodes.iter().enumerate() {
            if !matches!(node, GraphNode::Variable(_)) {
                state.intervals[at] = state.value(node);
            }
        }
        state
    }

    pub(super) fn copy_from(&mut self, other: &Self) {
        self.intervals.copy_from_slice(&other.intervals);
        self.cut_by.copy_from_slice(&other.cut_by);
    }

    #[inline]
    fn value(&self, node: &GraphNode) -> Interval {
        let at = |operand: usize| self.intervals[operand];
        match *node {
            GraphNode::Constant(ref value) => Interval::around(value),
            GraphNode::Variable(_) | GraphNode::Measure(_) => Interval::ALL,
            GraphNode::Sum(a, b) => at(a).plus(at(b)),
            GraphNode::Difference(a, b) => at(a).minus(at(b)),
            GraphNode::Product(a, b) => at(a).times(at(b)),
            GraphNode::Quotient(a, b) => at(a).over(at(b)),
            GraphNode::Power(a, exponent) => at(a).power(exponent),
            GraphNode::Absolute(a) => at(a).absolute(),
            GraphNode::Larger(a, b) => at(a).larger(at(b)),
            GraphNode::Smaller(a, b) => at(a).smaller(at(b)),
        }
    }
}

/// One pass over the expression of one test.
#[derive(Clone, Debug)]
pub(super) struct Sweep {
    pub(super) test: usize,
    pub(super) root: usize,
    pub(super) window: Interval,
    forward: Vec<usize>,
    backward: Vec<usize>,
}

/// What a sweep came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Swept {
    /// Nothing is left.
    Empty,
    /// An unknown has fewer values left than before.
    Narrowed,
    Same,
}

impl Sweep {
    /// A sweep of a test (its number, root and window) after the node `from` has become known, or after all
    /// that is known has.
    pub(super) fn new(
        graph: &Graph,
        (test, root, window): (usize, usize, Interval),
        from: Option<usize>,
        known: u64,
    ) -> Self {
        let cone = graph.cone(root);
        let mut changed = vec![from.is_none(); root + 1];
        if let Some(from) = from.filter(|&from| from <= root) {
            changed[from] = true;
        }
        let is_open = |at: usize| graph.below[at] & !known != 0;
        let is_inner = |at: usize| graph.nodes[at].operands().next().is_some();
        let mut forward = Vec::new();
        for &at in &cone {
            if is_inner(at) && (changed[at] || graph.nodes[at].operands().any(|operand| changed[operand])) {
                changed[at] = true;
                if Some(at) != from {
                    forward.push(at);
                }
            }
        }
        let backward = cone.iter().rev().copied().filter(|&at| is_inner(at) && is_open(at)).collect();
        Self { test, root, window, forward, backward }
    }

    /// The same without the way forward through what is open: where one unknown is, the way back says all.
    pub(super) fn straight_back(mut self, graph: &Graph, known: u64) -> Self {
        self.forward.retain(|&at| graph.below[at] & !known == 0);
        self
    }

    /// Narrows a state; `window` is where the root has to be.
    pub(super) fn run(&self, graph: &Graph, state: &mut NodeIntervals, window: Interval) -> Swept {
        for &at in &self.forward {
            let value = state.value(&graph.nodes[at]).meet(state.intervals[at]);
            if value.is_empty() {
                return Swept::Empty;
            }
            state.intervals[at] = value;
        }
        let root = state.intervals[self.root].meet(window);
        if root.is_empty() {
            return Swept::Empty;
        }
        state.intervals[self.root] = root;
        let mut swept = Swept::Same;
        if let GraphNode::Variable(_) = graph.nodes[self.root] {
            swept = self.narrow(graph, state, self.root, root);
        }
        for &at in &self.backward {
            match self.back(graph, state, at) {
                Swept::Empty => return Swept::Empty,
                Swept::Narrowed => swept = Swept::Narrowed,
                Swept::Same => {}
            }
        }
        swept
    }

    /// From a node to its operands.
    #[inline]
    fn back(&self, graph: &Graph, state: &mut NodeIntervals, at: usize) -> Swept {
        let of = state.intervals[at];
        let value = |operand: usize| state.intervals[operand];
        // Solved for each operand, the other one anywhere in its interval: c = a - b gives a = c + b and b = a - c.
        let (one, other) = match graph.nodes[at] {
            GraphNode::Constant(_) | GraphNode::Variable(_) | GraphNode::Measure(_) => return Swept::Same,
            GraphNode::Sum(a, b) => ((a, of.minus(value(b))), Some((b, of.minus(value(a))))),
            GraphNode::Difference(a, b) => ((a, of.plus(value(b))), Some((b, value(a).minus(of)))),
            GraphNode::Product(a, b) => {
                ((a, of.of_factor(value(a), value(b))), Some((b, of.of_factor(value(b), value(a)))))
            }
            GraphNode::Quotient(a, b) => ((a, of.times(value(b))), Some((b, value(a).of_factor(value(b), of)))),
            GraphNode::Power(a, exponent) => ((a, of.root(exponent, value(a))), None),
            GraphNode::Absolute(a) => ((a, of.of_absolute(value(a))), None),
            GraphNode::Larger(a, b) => {
                ((a, of.of_larger(value(a), value(b))), Some((b, of.of_larger(value(b), value(a)))))
            }
            GraphNode::Smaller(a, b) => {
                ((a, of.of_smaller(value(a), value(b))), Some((b, of.of_smaller(value(b), value(a)))))
            }
        };
        let first = self.narrow(graph, state, one.0, one.1);
        let second = match other {
            Some((at, interval)) if first != Swept::Empty => self.narrow(graph, state, at, interval),
            _ => Swept::Same,
        };
        match (first, second) {
            (Swept::Empty, _) | (_, Swept::Empty) => Swept::Empty,
            (Swept::Same, Swept::Same) => Swept::Same,
            _ => Swept::Narrowed,
        }
    }

    /// Cuts a node down to an interval; an unknown to the whole numbers within it.
    #[inline]
    fn narrow(&self, graph: &Graph, state: &mut NodeIntervals, at: usize, to: Interval) -> Swept {
        let before = state.intervals[at];
        let mut after = before.meet(to);
        if let GraphNode::Variable(unknown) = graph.nodes[at] {
            // Rounding is worth its time only where something was cut off.
            if after.low > before.low {
                after.low = after.low.ceil();
            }
            if after.high < before.high {
                after.high = after.high.floor();
            }
            let cut = &mut state.cut_by[unknown];
            let (low, high) = (after.low > before.low, after.high < before.high);
            if low {
                cut[0] = self.test;
            }
            if high {
                cut[1] = self.test;
            }
            state.intervals[at] = after;
            return match (after.is_empty(), low || high) {
                (true, _) => Swept::Empty,
                (false, true) => Swept::Narrowed,
                (false, false) => Swept::Same,
            };
        }
        state.intervals[at] = after;
        if after.is_empty() { Swept::Empty } else { Swept::Same }
    }
}
