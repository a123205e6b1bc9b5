//! What the page says of a state and of its members, in words.
//!
//! Where a picture has to choose what the state leaves open, the sentence says so: a choice is not an answer.

use num_traits::Signed;

use crate::drawing::notes::quoted;
use crate::exact::{Fraction, decimal};
use crate::gearset::{Gearset, MemberId, Restraint, bodies_in_state};
use crate::kinematics::{Drive, Settled, StateMotion, Verdict};

/// Significant digits of a decimal that a person reads.
const DIGITS: u32 = 6;

/// A fraction with its decimal, which is left out where the fraction is whole.
pub(super) fn number(value: &Fraction) -> String {
    if value.is_integer() { value.to_string() } else { format!("{value} = {}", decimal(value, DIGITS)) }
}

/// What becomes of the output, and what was chosen where that is open.
pub(super) fn state(set: &Gearset, motion: &StateMotion, settled: &Settled) -> String {
    let [input, output] = [motion.input, motion.output].map(|member| quoted(set, member));
    let says = match &motion.verdict {
        Verdict::Drives { drive: Drive::Solid, .. } => {
            format!("Solid: everything that turns does so as one with {input}; no tooth moves against another.")
        }
        Verdict::Drives { ratio, .. } => {
            let sense = if ratio.is_negative() { "backward" } else { "the same way" };
            format!("Ratio {}: turns of {input} for one turn of {output}, which turns {sense}.", number(ratio))
        }
        Verdict::Locked { by } if by.is_empty() => format!("Locked by its meshes and joins: {input} cannot turn."),
        Verdict::Locked { by } => {
            let by: Vec<String> = by.iter().map(|restraint| self::restraint(set, restraint)).collect();
            format!("Locked: {input} cannot turn. Enough to lock it: {}. Nothing moves.", by.join(", "))
        }
        Verdict::Neutral => format!("Neutral: {input} turns and does not determine {output}."),
        Verdict::OutputHeld => format!("{input} turns and {output} stands still."),
    };
    let held: Vec<String> = settled.held.iter().map(|&member| quoted(set, member)).collect();
    let chosen = match held[..] {
        [] => String::new(),
        _ => format!(" Shown with {} held still: a choice of this picture, not an answer.", held.join(" and ")),
    };
    let conflict = if motion.one_way_conflicts.is_empty() {
        ""
    } else {
        " A one-way clutch that is not named in this state would hold against this motion."
    };
    says + &chosen + conflict
}

/// What a member is in a state: the input, the output, held; most are none of them.
pub(super) fn roles(set: &Gearset, motion: &StateMotion, member: MemberId) -> Vec<&'static str> {
    let bodies = set.state_named(&motion.state).map(|state| bodies_in_state(set, state)).unwrap_or_default();
    let is_held = bodies.get(member.index()) == Some(&MemberId::CASE);
    let roles = [("input", member == motion.input), ("output", member == motion.output), ("held", is_held)];
    roles.into_iter().filter(|&(_, is_so)| is_so).map(|(role, _)| role).collect()
}

/// What the script writes behind a name for its roles: `: input and held`.
pub(super) fn role(roles: &[&str]) -> String {
    if roles.is_empty() { String::new() } else { format!(": {}", roles.join(" and ")) }
}

fn restraint(set: &Gearset, restraint: &Restraint) -> String {
    match restraint {
        Restraint::Control(control) => format!("\"{}\"", set.control(*control).name()),
        Restraint::Held(member) => format!("{} held", quoted(set, *member)),
        Restraint::Joined(pair) => format!("{} joined to {}", quoted(set, pair.first), quoted(set, pair.second)),
        Restraint::Turning(member, speed) => {
            format!("{} turning {} per turn of the input", quoted(set, *member), speed.value())
        }
    }
}
