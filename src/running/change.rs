//! What does a control meet when it is applied?
//!
//! At that moment the train still moves as before: in another state, or with everything released
//! and the output standing, as when a machine starts from rest. The speed of the two bodies
//! against one another, which the control brings to zero, follows from the motion before. In
//! which way a drum turns before its band stops it decides whether the band wraps itself on.

use std::collections::HashMap;

use crate::gearset::{Gearset, MemberId, Pair, Restraint, State};
use crate::kinematics::{Speed, observe};

/// Two bodies that are brought together, or one that is brought to rest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Engagement {
    /// The state that begins.
    pub into: String,
    /// The state that ends; `None` for a start from rest: nothing applied, the output standing.
    pub from: Option<String>,
    /// What is applied.
    pub restraint: Restraint,
    /// The bodies that it makes one; the second is the case for one that is held.
    pub bodies: Pair<MemberId>,
    /// The speed of the first against the second before, in turns per turn of the input.
    pub before: Speed,
}

/// Changes between more states than this are not listed, only those from rest.
pub const MOST_STATES: usize = 60;

/// A state in which nothing is applied and the output stands while the input turns.
pub fn standing_state(state: &State) -> State {
    State { name: "standing".into(), restraints: vec![Restraint::Held(state.output)], ..state.clone() }
}

/// What is brought together in every change into a state: from rest, and from every other state with
/// the same input and output; from rest only where there are more than [`MOST_STATES`], and not from rest where
/// a one-way clutch keeps the input from turning while the output stands.
///
/// # Examples
/// ```
/// use toothmark::{description, running::engagements};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let from_rest = &engagements(&set)[0];
/// // The slow drum turns backward, half as fast as the engine, when the slow band takes hold of it.
/// assert_eq!((from_rest.from.as_ref(), from_rest.before.value().unwrap().to_string()), (None, "-1/2".into()));
/// ```
pub fn engagements(set: &Gearset) -> Vec<Engagement> {
    let states = set.states();
    let restraints = || states.iter().flat_map(|state| &state.restraints);
    let mut pairs: Vec<Pair<MemberId>> = Vec::new();
    let mut place_of: HashMap<Pair<MemberId>, usize> = HashMap::new();
    for pair in restraints().filter_map(|restraint| set.made_one(restraint)) {
        place_of.entry(pair).or_insert_with(|| {
            pairs.push(pair);
            pairs.len() - 1
        });
    }
    let before: Vec<State> = states.iter().map(standing_state).chain(states.iter().cloned()).collect();
    let seen = observe(set, &before, &pairs);
    let mut found = Vec::new();
    for (place, into) in states.iter().enumerate() {
        for (index, from) in before.iter().enumerate() {
            let is_rest = index < states.len();
            let same_ends = from.input == into.input && from.output == into.output;
            let too_many = !is_rest && states.len() > MOST_STATES;
            let cannot_turn = is_rest && !seen[index].motion.one_way_conflicts.is_empty();
            if too_many || cannot_turn || !same_ends || is_rest && index != place || index == states.len() + place {
                continue;
            }
            for restraint in &into.restraints {
                let Some(bodies) = set.made_one(restraint).filter(|_| !from.restraints.contains(restraint)) else {
                    continue;
                };
                let Some(&pair) = place_of.get(&bodies) else { continue };
                found.push(Engagement {
                    into: into.name.clone(),
                    from: (!is_rest).then(|| from.name.clone()),
                    restraint: restraint.clone(),
                    bodies,
                    before: seen[index].relative[pair].clone(),
                });
            }
        }
    }
    found
}
