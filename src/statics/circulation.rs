//! How much power circulates in a train without ever being delivered?
//!
//! Bodies (members that turn as one) and gearsets (the planets of one carrier with all that mesh
//! with them) are the nodes of a graph, and the power that each body puts into each gearset flows
//! along its edges. Power that enters at an input leaves at an output along a path; what is left when
//! all paths are taken out goes round in cycles (the flow decomposition theorem). Cycles are taken out
//! one after the other, each by its weakest edge, the first found in the order of the members; their sum
//! is the answer. With a single cycle it is the power that everybody calls circulating. Worked out here.

use std::collections::{HashMap, HashSet};

use super::loads::StateLoads;
use super::power::unit_torque;
use crate::exact::{Fraction, multiple};
use crate::gearset::{Bodies, Gearset, MatrixEntry, MemberId};
use crate::kinematics::Verdict;
use num_traits::{Signed, Zero};

/// A flow of power between two nodes; positive.
struct Edge {
    from: usize,
    to: usize,
    power: Fraction,
}

/// How much power circulates without being delivered, as a share of the input power; `None`
/// where power or torque is not known, or nothing is driven.
///
/// # Examples
/// ```
/// use toothmark::{description, exact::fraction, statics::{LoadOptions, circulating_power, loads}};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let low = &loads(&set, &LoadOptions::default())[0];
/// assert_eq!(circulating_power(&set, low), Some(fraction(0, 1)));
/// ```
pub fn circulating_power(set: &Gearset, state: &StateLoads) -> Option<Fraction> {
    let drives = matches!(state.motion.verdict, Verdict::Drives { .. });
    if !drives || state.members.iter().any(|member| member.power.is_none()) {
        return None;
    }
    let bodies = Bodies::in_state(set, set.state_named(&state.motion.state)?);
    let mut edges = edges(set, &bodies, state)?;
    let mut circulating = Fraction::zero();
    // Each round removes at least one edge and changes the balance of no node.
    while let Some(cycle) = first_cycle(&edges) {
        let least = cycle.iter().map(|&edge| &edges[edge].power).min()?.clone();
        for edge in cycle {
            edges[edge].power -= &least;
        }
        edges.retain(|edge| edge.power.is_positive());
        circulating += least;
    }
    Some(circulating)
}

/// The net power between each body and each gearset; gearsets come after the members.
fn edges(set: &Gearset, bodies: &Bodies, state: &StateLoads) -> Option<Vec<Edge>> {
    let count = set.members().len();
    let mut net: Vec<(usize, usize, Fraction)> = Vec::new();
    for load in &state.meshes {
        let carrier = set.mesh(load.mesh).carrier();
        let gearset = count + carrier.index();
        let per_tooth = unit_torque(state, load.mesh)?;
        for MatrixEntry { coefficient, member } in set.matrix().row(load.mesh).terms() {
            // What a mesh gives to the planets of the gearset stays within its node; the planets pass it on.
            let torque = multiple(&per_tooth, coefficient);
            let within = set.carrier_of(member).is_some() && set.carrier_of(member) == Some(carrier);
            if torque.is_zero() || member == MemberId::CASE || (within && carrier != MemberId::CASE) {
                continue;
            }
            let speed = state.motion.speed(member)?;
            let body = bodies.of(member).index();
            let given = torque * speed;
            match net.iter_mut().find(|(one, other, _)| (*one, *other) == (body, gearset)) {
                Some((.., sum)) => *sum += given,
                None => net.push((body, gearset, given)),
            }
        }
    }
    net.sort_by_key(|&(body, gearset, _)| (body, gearset));
    let flows = net.into_iter().filter(|(.., given)| !given.is_zero());
    Some(flows.map(|(body, gearset, given)| Edge::of(body, gearset, &given)).collect())
}

impl Edge {
    /// The power that a gearset gives to a body, or takes from it where it is negative.
    fn of(body: usize, gearset: usize, given: &Fraction) -> Self {
        let (from, to) = if given.is_positive() { (gearset, body) } else { (body, gearset) };
        Self { from, to, power: given.abs() }
    }
}

/// The edges of the first cycle that depth-first search meets, in order.
fn first_cycle(edges: &[Edge]) -> Option<Vec<usize>> {
    let mut outgoing: HashMap<usize, Vec<usize>> = HashMap::new();
    for (edge, Edge { from, .. }) in edges.iter().enumerate() {
        outgoing.entry(*from).or_default().push(edge);
    }
    // Nodes from which no cycle can be reached.
    let mut dead_ends = HashSet::new();
    for start in edges.iter().map(|edge| edge.from) {
        let (mut path, mut at) = (Vec::<usize>::new(), start);
        while !dead_ends.contains(&start) {
            let onward = outgoing.get(&at).into_iter().flatten().find(|&&edge| !dead_ends.contains(&edges[edge].to));
            let Some(&edge) = onward else {
                dead_ends.insert(at);
                at = path.pop().map_or(start, |last| edges[last].from);
                continue;
            };
            path.push(edge);
            at = edges[edge].to;
            // The path has come back to a node of its own: from there on it is a cycle.
            if let Some(first) = path.iter().position(|&passed| edges[passed].from == at) {
                return Some(path.split_off(first));
            }
        }
    }
    None
}
