//! How does an interval follow from others, and others from it?
//!
//! One node of the graph as it is gone over a million times: its operands, whether they can still be cut, and whether
//! its ends are whole numbers that floats hold exactly, so that nothing need be rounded.

use super::graph::{Graph, GraphNode};
use super::interval::{EndRounding, Interval};

/// The operation of every node, and the intervals that follow from those of the unknowns.
pub(super) fn compile(graph: &Graph, leaves: &[Interval]) -> (Vec<Operation>, Vec<Interval>) {
    let mut intervals = leaves.to_vec();
    let mut operations: Vec<Operation> = Vec::new();
    for (at, node) in graph.nodes.iter().enumerate() {
        let is_whole = node.keeps_integers() && node.operands().all(|operand| operations[operand].is_whole());
        let rounded = Operation::new(graph, at, EndRounding::Rounded);
        if !matches!(node, GraphNode::Variable(_)) {
            intervals[at] = rounded.value(&intervals);
        }
        let is_exact = is_whole && intervals[at].is_in_exact_range();
        let operation = if is_exact { Operation { ends: EndRounding::Exact, ..rounded } } else { rounded };
        if is_exact && !matches!(node, GraphNode::Variable(_)) {
            intervals[at] = operation.value(&intervals);
        }
        operations.push(operation);
    }
    (operations, intervals)
}

/// A node with its operands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Operation {
    pub(super) node: usize,
    kind: OperationKind,
    ends: EndRounding,
}

#[derive(Clone, Copy, Debug)]
enum OperationKind {
    /// Something that is known, or that is bounded elsewhere.
    Given(Interval),
    Sum(usize, usize),
    Difference(usize, usize),
    Product(usize, usize),
    Quotient(usize, usize),
    Power(usize, u32),
    Absolute(usize),
    Larger(usize, usize),
    Smaller(usize, usize),
}

impl Operation {
    fn new(graph: &Graph, node: usize, ends: EndRounding) -> Self {
        let kind = match graph.nodes[node] {
            GraphNode::Constant(ref value) => OperationKind::Given(Interval::around(value)),
            GraphNode::Variable(_) | GraphNode::Measure(_) => OperationKind::Given(Interval::ALL),
            GraphNode::Sum(a, b) => OperationKind::Sum(a, b),
            GraphNode::Difference(a, b) => OperationKind::Difference(a, b),
            GraphNode::Product(a, b) => OperationKind::Product(a, b),
            GraphNode::Quotient(a, b) => OperationKind::Quotient(a, b),
            GraphNode::Power(a, exponent) => OperationKind::Power(a, exponent),
            GraphNode::Absolute(a) => OperationKind::Absolute(a),
            GraphNode::Larger(a, b) => OperationKind::Larger(a, b),
            GraphNode::Smaller(a, b) => OperationKind::Smaller(a, b),
        };
        Self { node, kind, ends }
    }

    /// Whether its values are whole numbers that floats hold exactly.
    pub(super) fn is_whole(&self) -> bool {
        self.ends == EndRounding::Exact
    }

    /// The interval of the node from those of its operands.
    #[inline]
    pub(super) fn value(&self, intervals: &[Interval]) -> Interval {
        let at = |operand: usize| intervals[operand];
        match self.kind {
            OperationKind::Given(value) => value,
            OperationKind::Sum(a, b) => at(a).plus(at(b), self.ends),
            OperationKind::Difference(a, b) => at(a).minus(at(b), self.ends),
            OperationKind::Product(a, b) => at(a).times(at(b), self.ends),
            OperationKind::Quotient(a, b) => at(a).over(at(b)),
            OperationKind::Power(a, exponent) => at(a).power(exponent, self.ends),
            OperationKind::Absolute(a) => at(a).absolute(),
            OperationKind::Larger(a, b) => at(a).larger(at(b)),
            OperationKind::Smaller(a, b) => at(a).smaller(at(b)),
        }
    }
}

/// A node that is still open: it can be cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct OpenNode {
    pub(super) node: usize,
    pub(super) is_whole: bool,
    /// Which unknown it is, if it is one.
    pub(super) unknown: Option<usize>,
}

/// An operation solved for one of its operands, the other one anywhere in its interval.
#[derive(Clone, Copy, Debug)]
pub(super) struct SolvedOperation {
    pub(super) result: usize,
    pub(super) operand: OpenNode,
    kind: SolvedKind,
    ends: EndRounding,
}

/// The operand from the result, with the other operand where there is one.
#[derive(Clone, Copy, Debug)]
enum SolvedKind {
    /// a = c - b
    Summand(usize),
    /// a = c + b
    Minuend(usize),
    /// b = a - c
    Subtrahend(usize),
    /// a = c / b
    Factor(usize),
    /// a = c b
    Dividend(usize),
    /// b = a / c
    Divisor(usize),
    Base(u32),
    OfAbsolute,
    OfLarger(usize),
    OfSmaller(usize),
}

impl SolvedOperation {
    /// An operation solved for its operands, those that are open.
    pub(super) fn all(operation: &Operation, open: impl Fn(usize) -> Option<OpenNode>) -> Vec<Self> {
        let solved = match operation.kind {
            OperationKind::Given(_) => vec![],
            OperationKind::Sum(a, b) => vec![(a, SolvedKind::Summand(b)), (b, SolvedKind::Summand(a))],
            OperationKind::Difference(a, b) => vec![(a, SolvedKind::Minuend(b)), (b, SolvedKind::Subtrahend(a))],
            OperationKind::Product(a, b) => vec![(a, SolvedKind::Factor(b)), (b, SolvedKind::Factor(a))],
            OperationKind::Quotient(a, b) => vec![(a, SolvedKind::Dividend(b)), (b, SolvedKind::Divisor(a))],
            OperationKind::Power(a, exponent) => vec![(a, SolvedKind::Base(exponent))],
            OperationKind::Absolute(a) => vec![(a, SolvedKind::OfAbsolute)],
            OperationKind::Larger(a, b) => vec![(a, SolvedKind::OfLarger(b)), (b, SolvedKind::OfLarger(a))],
            OperationKind::Smaller(a, b) => vec![(a, SolvedKind::OfSmaller(b)), (b, SolvedKind::OfSmaller(a))],
        };
        let (result, ends) = (operation.node, operation.ends);
        let of = |(operand, kind)| open(operand).map(|operand| Self { result, operand, kind, ends });
        solved.into_iter().filter_map(of).collect()
    }

    /// Whether just the whole numbers are left of the operand with which the result is within its interval, if the other
    /// operand is known and the node has one of these intervals before any choice.
    pub(super) fn is_exact(&self, start: &[Interval]) -> bool {
        let is_whole = self.ends == EndRounding::Exact && self.operand.is_whole;
        is_whole
            && match self.kind {
                SolvedKind::Summand(_) | SolvedKind::Minuend(_) | SolvedKind::Subtrahend(_) => true,
                // A quotient that is not whole is farther from a whole number than it is rounded.
                SolvedKind::Factor(other) => start[self.result].is_far_within_exact() && start[other].excludes_zero(),
                SolvedKind::Dividend(_)
                | SolvedKind::Divisor(_)
                | SolvedKind::Base(_)
                | SolvedKind::OfAbsolute
                | SolvedKind::OfLarger(_)
                | SolvedKind::OfSmaller(_) => false,
            }
    }

    /// What is left of the operand, which has an interval so far.
    #[inline]
    pub(super) fn left(&self, intervals: &[Interval], operand: Interval) -> Interval {
        let result = intervals[self.result];
        match self.kind {
            SolvedKind::Summand(other) => operand.meet(result.minus(intervals[other], self.ends)),
            SolvedKind::Minuend(other) => operand.meet(result.plus(intervals[other], self.ends)),
            SolvedKind::Subtrahend(other) => operand.meet(intervals[other].minus(result, self.ends)),
            SolvedKind::Factor(other) => result.of_factor(operand, intervals[other]),
            SolvedKind::Dividend(other) => operand.meet(result.times(intervals[other], EndRounding::Rounded)),
            SolvedKind::Divisor(other) => intervals[other].of_factor(operand, result),
            SolvedKind::Base(exponent) => result.root(exponent, operand),
            SolvedKind::OfAbsolute => result.of_absolute(operand),
            SolvedKind::OfLarger(other) => result.of_larger(operand, intervals[other]),
            SolvedKind::OfSmaller(other) => result.of_smaller(operand, intervals[other]),
        }
    }
}
