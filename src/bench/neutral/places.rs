//! Which two bodies of a neutral can stick together, and where do they meet?
//!
//! Controls that the neutral leaves open, planets on their pins, bearings as described; beside these every other two
//! bodies on the main axis, since what stands side by side in a stack may touch though nobody described it.

use super::DragPlace;
use crate::gearset::{Gearset, MemberId, Pair, Place, Restraint, State};
use crate::running::bearings;

/// The most bodies on the main axis of which every two are tried.
const MOST_BODIES: usize = 24;

/// Two bodies that may stick.
pub(super) struct DragPair {
    /// The two, as whoever takes the gearbox apart finds them.
    pub(super) bodies: [MemberId; 2],
    /// Two members on the main axis that turn as one when they do.
    pub(super) turning_as_one: Pair<MemberId>,
    /// Where they meet.
    pub(super) at: Vec<DragPlace>,
}

/// Every two bodies that can stick together in a state, each two once.
pub(super) fn drag_pairs(set: &Gearset, state: &State) -> Vec<DragPair> {
    let mut pairs = DragPairs::default();
    for control in set.control_ids() {
        if !state.restraints.contains(&Restraint::Control(control)) {
            let pair = set.control(control).made_one();
            pairs.add(pair, pair, Some(DragPlace::Control(control)));
        }
    }
    for bearing in bearings(set) {
        let bodies = Pair { first: bearing.first, second: bearing.second };
        if !bearing.on_pin {
            pairs.add(bodies, bodies, Some(DragPlace::Bearing));
        } else if let Some(central) = central_beside(set, bearing.first) {
            // A planet that does not turn on its pin carries what it meshes with round with its carrier.
            pairs.add(bodies, Pair { first: central, second: bearing.second }, Some(DragPlace::Pin));
        }
    }
    for pair in side_by_side(set) {
        pairs.add(pair, pair, None);
    }
    pairs.found.into_iter().filter(|pair| !is_one_already(set, pair.turning_as_one)).collect()
}

/// Pairs of bodies, each two once.
#[derive(Default)]
struct DragPairs {
    found: Vec<DragPair>,
}

impl DragPairs {
    fn add(&mut self, bodies: Pair<MemberId>, turning_as_one: Pair<MemberId>, at: Option<DragPlace>) {
        let known = self.found.iter_mut().find(|pair| pair.bodies.iter().all(|body| bodies.contains(body)));
        match known {
            Some(known) => known.at.extend(at.filter(|place| !known.at.contains(place))),
            None => self.found.push(DragPair { bodies: bodies.each(), turning_as_one, at: at.into_iter().collect() }),
        }
    }
}

/// A member of the main axis that stands against the carrier when this planet does: one that meshes with it, or with a
/// planet that it meshes with, and so on.
fn central_beside(set: &Gearset, planet: MemberId) -> Option<MemberId> {
    let mut reached = vec![planet];
    let mut next = 0;
    while let Some(&at) = reached.get(next) {
        next += 1;
        for mesh in set.meshes() {
            let Some(other) = other_of(mesh.gears().each().map(|gear| set.gear(gear).member()), at) else { continue };
            if !is_on_pin(set, other) {
                return Some(other);
            }
            if !reached.contains(&other) {
                reached.push(other);
            }
        }
    }
    None
}

/// The other of two, where one of them is this.
fn other_of([first, second]: [MemberId; 2], one: MemberId) -> Option<MemberId> {
    match one {
        _ if one == first => Some(second),
        _ if one == second => Some(first),
        _ => None,
    }
}

fn is_on_pin(set: &Gearset, member: MemberId) -> bool {
    matches!(set.member(member).place(), Place::Pin { .. })
}

/// Every two bodies of the main axis, and each with the case, where they are few enough.
fn side_by_side(set: &Gearset) -> Vec<Pair<MemberId>> {
    let bodies: Vec<MemberId> = set.member_ids().filter(|&member| !is_on_pin(set, member)).collect();
    if bodies.len() > MOST_BODIES {
        return Vec::new();
    }
    let pairs = bodies.iter().enumerate().flat_map(|(at, &second)| {
        let after = &bodies[at + 1..];
        after.iter().map(move |&first| Pair { first, second })
    });
    pairs.collect()
}

/// Whether two members are fixed to one another for good.
fn is_one_already(set: &Gearset, pair: Pair<MemberId>) -> bool {
    set.joins().iter().any(|join| join.contains(&pair.first) && join.contains(&pair.second))
}
