//! Which way members turn in every state, and what a control meets when it is applied, for a person.
//!
//! States stand side by side, so that each change can be read off.

use crate::gearset::{Gearset, MemberId, Sense};
use crate::kinematics::MemberSpeed;
use crate::report::render::document::Block;
use crate::report::words::{key, list, quoted, rounded};
use crate::running::{Engagement, Meeting, Running, TurningMembers};
use num_traits::{Signed, Zero};

/// So many states stand side by side.
const MOST_COLUMNS: usize = 7;

/// Which way every member turns, a column a state.
pub(super) fn turning(answer: &Running, set: &Gearset) -> Vec<Block> {
    answer.turning.chunks(MOST_COLUMNS).map(|columns| turning_in(set, columns)).collect()
}

fn turning_in(set: &Gearset, columns: &[TurningMembers]) -> Block {
    let row = |(place, member): (usize, MemberId)| {
        let speeds = columns.iter().map(|column| way(&column.members[place]));
        std::iter::once(set.member(member).name().to_owned()).chain(speeds).collect()
    };
    let of = |column: &TurningMembers| column.state.clone().unwrap_or_else(|| "output standing".into());
    let columns_named: Vec<String> = columns.iter().map(of).collect();
    let headings: Vec<&str> = std::iter::once("member").chain(columns_named.iter().map(String::as_str)).collect();
    Block::table(
        "Which way members turn in the case; from column to column is what a change of state does",
        &headings,
        set.member_ids().skip(1).enumerate().map(row).collect(),
    )
}

/// The way that a member turns, with its speed.
fn way(found: &MemberSpeed) -> String {
    match (found.motion, &found.speed) {
        (_, Some(speed)) if speed.is_zero() => "still".into(),
        (_, Some(speed)) if speed.is_negative() => format!("backward {}", rounded(&speed.abs())),
        (_, Some(speed)) => format!("forward {}", rounded(speed)),
        (motion, None) => key(&motion),
    }
}

/// One-way clutches that hold while the output stands, so that the input cannot turn as the first column has it.
pub(super) fn held_from_rest(answer: &Running, set: &Gearset) -> Option<Block> {
    let names: Vec<String> = answer.held_from_rest.iter().map(|&control| quoted(set.control(control).name())).collect();
    (!names.is_empty()).then(|| {
        Block::Warning(format!(
            "with the output standing, {} would hold: the input cannot turn then as the first column has it, and nothing \
             is told of a start from rest",
            list(&names)
        ))
    })
}

pub(super) fn engagements(answer: &Running, set: &Gearset) -> Option<Block> {
    let row = |found: &Engagement| {
        let (speed, meets) = found.before.as_ref().zip(found.meets)?;
        Some(vec![
            found.into.clone(),
            found.from.clone().unwrap_or_else(|| "rest, output standing".into()),
            found.applied.clone(),
            meeting(set, found, meets),
            speed.to_string(),
            rounded(speed),
        ])
    };
    let rows: Vec<Vec<String>> = answer.engagements.iter().filter_map(row).collect();
    let headings = ["into", "from", "applied", "what it meets", "turns", "decimal"];
    Block::table_of_some("What comes to rest, or together, when a control is applied", &headings, rows)
}

fn meeting(set: &Gearset, found: &Engagement, meets: Meeting) -> String {
    let [first, second] = [found.first, found.second].map(|member| set.member(member).name());
    let sense = key(&found.sense.unwrap_or(Sense::Forward));
    match (meets, found.second == MemberId::CASE) {
        (Meeting::AtRest, true) => format!("{first} stands already"),
        (Meeting::AtRest, false) => format!("{first} and {second} turn alike already"),
        (Meeting::ComesToRest, true) => format!("{first} comes to rest from turning {sense}"),
        (Meeting::ComesToRest, false) => format!("{first} turns {sense} against {second}"),
        (Meeting::CannotBe, _) => format!("cannot be: {first} is held before it turns {sense}"),
        (Meeting::Overruns, true) => format!("overruns: {first} turns {sense}, and is held only when it stands"),
        (Meeting::Overruns, false) => {
            format!("overruns: {first} turns {sense}, and is held only when it turns with {second}")
        }
    }
}
