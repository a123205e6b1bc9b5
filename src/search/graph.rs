//! Which parts do expressions share?
//!
//! All expressions of a problem in one graph, in which what is written alike is one node and every node
//! comes after its operands. A sum or product written the other way round is the same.

use std::collections::HashMap;

use super::expression::{Expression, ExpressionTree, Variable};
use super::space::{Space, ValueSource};
use crate::exact::Fraction;

/// The nodes, operands before what is made of them.
#[derive(Debug, Default)]
pub(super) struct Graph {
    pub(super) nodes: Vec<GraphNode>,
    /// For each node the unknowns below it, one bit each.
    pub(super) below: Vec<u64>,
    known: HashMap<GraphNode, usize>,
}

#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) enum GraphNode {
    Constant(Fraction),
    Variable(usize),
    /// A measure in code, by its number, of which only bounds are known here.
    Measure(usize),
    Sum(usize, usize),
    Difference(usize, usize),
    Product(usize, usize),
    Quotient(usize, usize),
    Power(usize, u32),
    Absolute(usize),
    Larger(usize, usize),
    Smaller(usize, usize),
}

/// What stands for a derived quantity: itself, or what it is derived from.
#[derive(Clone, Copy, Debug)]
pub(super) enum Derived<'a> {
    AsWritten,
    Expanded(&'a Space),
}

impl GraphNode {
    /// Its operands.
    pub(super) fn operands(&self) -> impl Iterator<Item = usize> {
        let (one, other) = match *self {
            Self::Constant(_) | Self::Variable(_) | Self::Measure(_) => (None, None),
            Self::Power(of, _) | Self::Absolute(of) => (Some(of), None),
            Self::Sum(a, b)
            | Self::Difference(a, b)
            | Self::Product(a, b)
            | Self::Quotient(a, b)
            | Self::Larger(a, b)
            | Self::Smaller(a, b) => (Some(a), Some(b)),
        };
        one.into_iter().chain(other)
    }

    /// Whether it is an integer wherever its operands are.
    pub(super) fn keeps_integers(&self) -> bool {
        !matches!(self, Self::Quotient(..)) && !matches!(self, Self::Constant(value) if !value.is_integer())
    }
}

impl Graph {
    /// The node of an expression, added if it is new.
    pub(super) fn add(&mut self, expression: &Expression, derived: Derived<'_>) -> usize {
        let mut of = |part: &Expression| self.add(part, derived);
        let node = match &*expression.0 {
            ExpressionTree::Constant(value) => GraphNode::Constant(value.clone()),
            ExpressionTree::Variable(Variable(place)) => {
                if let Derived::Expanded(space) = derived
                    && let ValueSource::Derived(behind) = &space.unknowns[*place].choice
                {
                    return of(behind);
                }
                GraphNode::Variable(*place)
            }
            ExpressionTree::Sum(a, b) => ordered(of(a), of(b), GraphNode::Sum),
            ExpressionTree::Difference(a, b) => GraphNode::Difference(of(a), of(b)),
            ExpressionTree::Product(a, b) => ordered(of(a), of(b), GraphNode::Product),
            ExpressionTree::Quotient(a, b) => GraphNode::Quotient(of(a), of(b)),
            ExpressionTree::Power(a, exponent) => GraphNode::Power(of(a), *exponent),
            ExpressionTree::Absolute(a) => GraphNode::Absolute(of(a)),
            ExpressionTree::Larger(a, b) => ordered(of(a), of(b), GraphNode::Larger),
            ExpressionTree::Smaller(a, b) => ordered(of(a), of(b), GraphNode::Smaller),
        };
        self.intern(node)
    }

    /// The node of a measure in code, with the unknowns behind it.
    pub(super) fn add_measure(&mut self, number: usize, behind: u64) -> usize {
        let at = self.intern(GraphNode::Measure(number));
        self.below[at] = behind;
        at
    }

    fn intern(&mut self, node: GraphNode) -> usize {
        if let Some(&known) = self.known.get(&node) {
            return known;
        }
        let of_operands = node.operands().fold(0, |bits, operand| bits | self.below[operand]);
        let below = if let GraphNode::Variable(place) = node { 1 << place } else { of_operands };
        self.nodes.push(node.clone());
        self.below.push(below);
        self.known.insert(node, self.nodes.len() - 1);
        self.nodes.len() - 1
    }

    /// The nodes below one, itself included, operands first.
    pub(super) fn cone(&self, root: usize) -> Vec<usize> {
        let mut inside = vec![false; root + 1];
        inside[root] = true;
        for at in (0..=root).rev() {
            if inside[at] {
                self.nodes[at].operands().for_each(|operand| inside[operand] = true);
            }
        }
        (0..=root).filter(|&at| inside[at]).collect()
    }
}

fn ordered(a: usize, b: usize, node: fn(usize, usize) -> GraphNode) -> GraphNode {
    node(a.min(b), a.max(b))
}
