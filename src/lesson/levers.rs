//! The levers of a lesson, and that the speeds lie on one straight line.
//!
//! Levers that share two members are told as one. The line is straight if its slope, taken from the first member to
//! every other, is the same: `(n - n_first) / (place - place_first)`.

use super::ArmTable;
use super::expression::{Arithmetic, Symbol};
use crate::exact::Fraction;
use crate::gearset::MemberId;
use crate::kinematics::{LeverNode, MergedLever, StateMotion};

/// A lever of a lesson.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct LessonLever {
    /// The sets that it stands for, by the places of their tables.
    pub sets: Vec<usize>,
    /// The nodes, from left to right.
    pub nodes: Vec<LeverNode>,
    /// Whether nothing can turn against its arm, so that there are no distances.
    pub is_stiff: bool,
    /// Differences of speed over distances, from the first node to every other, and what they all come to; none where
    /// the state leaves a speed open.
    pub slope: Option<Vec<Arithmetic>>,
}

/// The levers of a train in one state.
pub(super) fn lesson_levers(
    levers: &[MergedLever],
    tables: &[ArmTable],
    motion: &StateMotion,
    input_speed: &Fraction,
) -> Vec<LessonLever> {
    let lever = |MergedLever { merged, nodes, .. }: &MergedLever| LessonLever {
        is_stiff: merged.iter().any(|&index| tables[index].lever.is_stiff),
        slope: slope(nodes, motion, input_speed),
        sets: merged.clone(),
        nodes: nodes.clone(),
    };
    levers.iter().map(lever).collect()
}

/// The slope, where the state gives all speeds and one node does not stand where the first does.
fn slope(nodes: &[LeverNode], motion: &StateMotion, input_speed: &Fraction) -> Option<Vec<Arithmetic>> {
    let speed = |node: &LeverNode| motion.speed(node.member);
    let first = nodes.first()?;
    let mut chain = Vec::new();
    let mut slope = None;
    for node in nodes.iter().filter(|node| node.position != first.position) {
        let distance = &node.position - &first.position;
        slope = Some((speed(node)? - speed(first)?) * input_speed / &distance);
        chain.push(sign(node).minus(sign(first)).over(Arithmetic::Number(distance)));
    }
    chain.push(Arithmetic::Number(slope?));
    Some(chain)
}

/// What stands for the speed of a node; that of the case is 0.
fn sign(node: &LeverNode) -> Arithmetic {
    match node.member {
        MemberId::CASE => Arithmetic::whole(0),
        member => Arithmetic::Symbol(Symbol::Speed(member)),
    }
}
