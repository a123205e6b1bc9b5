//! How often does one member turn while another does, with members held by hand?

use super::train::Train;
use crate::exact::Fraction;
use crate::gearset::{CountedTurns, Gearset, Restraint};

/// For each count of turns how often the second member turns for one turn of the first, with its sense, when nothing
/// but what was held by hand stands; `None` where the counts of teeth leave that open, or the first cannot turn.
pub(crate) fn turned_by_first(set: &Gearset, counted: &[CountedTurns]) -> Vec<Option<Fraction>> {
    if counted.is_empty() {
        return Vec::new();
    }
    let train = Train::new(set);
    let ratio = |turned: &CountedTurns| {
        let held: Vec<Restraint> = turned.held.iter().map(|&member| Restraint::Held(member)).collect();
        let [first, second] = turned.members;
        let solution = train.solve(first, &held);
        solution.values[second.index()].clone().filter(|_| solution.driver_can_turn)
    };
    counted.iter().map(ratio).collect()
}
