//! What drives, what is driven and what is held: as asked, or every way that there is with one member held.
//!
//! A way that is not told whole is looked for among all members: held is each in turn, and of each pair of the others
//! the faster drives the slower, unless it is said which drives. The best known ways come first: the carrier drives or
//! is driven and a ring is held, then a sun; the carrier is held; then those that leave the carrier to run along.

use super::what_if::{CannotAsk, unknown};
use crate::exact::{Fraction, fraction};
use crate::gearset::{CASE, Draft, DraftState, DraftTurning, GearKind, Gearset, Given, Spanned};
use crate::kinematics::motions;
use num_traits::Signed;

/// The most ways that become states.
pub const MOST_ARRANGEMENTS: usize = 24;

/// Of a train with more members a way has to be told whole.
const MOST_MEMBERS: usize = 25;

/// What of a train is held, drives and is driven; what is left out is open.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Arrangement {
    /// Members that stand still.
    pub held: Vec<String>,
    /// Further members that are driven, with their turns per turn of the input.
    pub turning: Vec<(String, Fraction)>,
    /// The member that drives.
    pub input: Option<String>,
    /// The member that is driven.
    pub output: Option<String>,
}

/// How many ways there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Arrangements {
    /// Those that have become states.
    pub shown: usize,
    /// All.
    pub of: usize,
}

/// Gives a draft the states that a way leaves open, the best known first; where nothing is asked for and the draft has
/// states, they stay. A draft that breaks a rule stays as it is.
///
/// # Errors
/// A member that there is not, or a way left open in a train of more than 25 members.
///
/// # Examples
/// ```
/// use toothmark::quick::{StackNames, Arrangement, set_states, stack};
/// let mut draft = stack("30:24:78", StackNames::ByCount).unwrap();
/// set_states(&mut draft, &Arrangement::default()).unwrap();
/// let names: Vec<&str> = draft.states.iter().map(|state| state.name.as_str()).collect();
/// assert_eq!(names, [
///     "ring 78 held: sun 30 to carrier",
///     "sun 30 held: ring 78 to carrier",
///     "carrier held: sun 30 to ring 78",
/// ]);
/// ```
pub fn set_states(draft: &mut Draft, arrangement: &Arrangement) -> Result<Arrangements, CannotAsk> {
    check_names(draft, arrangement)?;
    let kept = Arrangements { shown: draft.states.len(), of: draft.states.len() };
    if *arrangement == Arrangement::default() && !draft.states.is_empty() {
        return Ok(kept);
    }
    let whole = whole(draft, arrangement);
    let mut states = match whole {
        Some(given) => vec![state(given)],
        None if draft.members.len() > MOST_MEMBERS => return Err(CannotAsk::OpenArrangement),
        None => open_arrangements(draft, arrangement),
    };
    let of = states.len();
    states.truncate(MOST_ARRANGEMENTS);
    draft.states = states;
    Ok(Arrangements { shown: draft.states.len(), of })
}

fn check_names(draft: &Draft, arrangement: &Arrangement) -> Result<(), CannotAsk> {
    let known: Vec<String> = draft.members.iter().map(|member| member.name.to_string()).collect();
    let turning = arrangement.turning.iter().map(|(member, _)| member);
    let mut named = arrangement.held.iter().chain(turning).chain(&arrangement.input).chain(&arrangement.output);
    match named.find(|name| name.as_str() != CASE && !known.contains(name)) {
        Some(name) => Err(unknown("member", name, &known)),
        None => Ok(()),
    }
}

/// A way of which nothing is open: what the draft says drives and is driven, where the way does not.
fn whole(draft: &Draft, arrangement: &Arrangement) -> Option<Given> {
    let input = arrangement.input.clone().or_else(|| draft.input.as_ref().map(ToString::to_string))?;
    let output = arrangement.output.clone().or_else(|| draft.output.as_ref().map(ToString::to_string))?;
    if arrangement.held.is_empty() && arrangement.turning.is_empty() {
        return None;
    }
    Some(given(arrangement, &arrangement.held, &input, &output))
}

fn given(arrangement: &Arrangement, held: &[String], input: &str, output: &str) -> Given {
    let turning = arrangement
        .turning
        .iter()
        .map(|(member, speed)| DraftTurning { member: member.into(), speed: speed.clone().into() });
    Given {
        held: held.iter().map(Into::into).collect(),
        turning: turning.collect(),
        input: Some(input.into()),
        output: Some(output.into()),
        ..Given::default()
    }
}

/// A state named by what happens in it.
fn state(given: Given) -> DraftState {
    let held = given.held.iter().map(|member| format!("{member} held"));
    let turning = given.turning.iter().map(|turning| format!("{} at {}", turning.member, *turning.speed));
    let conditions: Vec<String> = held.chain(turning).collect();
    let ends = [&given.input, &given.output].map(|end| end.as_ref().map_or("", |end| end.as_str()));
    DraftState::given(format!("{}: {} to {}", conditions.join(" and "), ends[0], ends[1]), given)
}

/// Every way to fill in what is open, the best known first.
fn open_arrangements(draft: &Draft, arrangement: &Arrangement) -> Vec<DraftState> {
    let names: Vec<&str> = draft.members.iter().map(|member| member.name.as_str()).collect();
    let mut candidates = Vec::new();
    for held in held_members(arrangement, &names) {
        let is_free = |name: &&str| !held.iter().any(|held| held == name);
        for &input in ends(arrangement.input.as_ref(), &names).iter().filter(|name| is_free(name)) {
            for &output in ends(arrangement.output.as_ref(), &names).iter().filter(|name| is_free(name)) {
                if input != output {
                    candidates.push(given(arrangement, &held, input, output));
                }
            }
        }
    }
    let mut ways = driving(draft, candidates, arrangement);
    ways.sort_by_key(|given| rank(draft, given));
    ways.into_iter().map(state).collect()
}

/// What is held: as asked, or each member in turn.
fn held_members(arrangement: &Arrangement, names: &[&str]) -> Vec<Vec<String>> {
    if arrangement.held.is_empty() && arrangement.turning.is_empty() {
        return names.iter().map(|name| vec![(*name).to_owned()]).collect();
    }
    vec![arrangement.held.clone()]
}

/// The members that may stand at one end.
fn ends<'a>(asked: Option<&'a String>, names: &[&'a str]) -> Vec<&'a str> {
    asked.map_or_else(|| names.to_vec(), |name| vec![name.as_str()])
}

/// Those of the candidates that drive; of a pair that may drive either way that in which the faster drives.
fn driving(draft: &Draft, candidates: Vec<Given>, arrangement: &Arrangement) -> Vec<Given> {
    let mut trial = draft.clone();
    let numbered = candidates.iter().enumerate();
    trial.states = numbered.map(|(at, given)| DraftState::given(at.to_string(), given.clone())).collect();
    let Ok(set) = Gearset::new(trial) else { return Vec::new() };
    let ratios = motions(&set).into_iter().map(|motion| motion.verdict.ratio().map(Signed::abs));
    let is_directed = arrangement.input.is_some() || arrangement.output.is_some();
    let is_wanted = |given: &Given, ratio: Fraction| {
        is_directed || ratio > fraction(1, 1) || (ratio == fraction(1, 1) && drives_in_order(draft, given))
    };
    let driving = candidates
        .into_iter()
        .zip(ratios)
        .filter(|(given, ratio)| ratio.clone().is_some_and(|it| is_wanted(given, it)));
    driving.map(|(given, _)| given).collect()
}

/// Whether the member that drives is told before the one that is driven, which decides where both are as fast.
fn drives_in_order(draft: &Draft, given: &Given) -> bool {
    let place =
        |end: &Option<Spanned<String>>| draft.members.iter().position(|member| Some(&member.name) == end.as_ref());
    place(&given.input) < place(&given.output)
}

/// How well a way is known: the smaller, the better.
fn rank(draft: &Draft, given: &Given) -> u8 {
    let carries = |name: &str| draft.planets.iter().any(|planet| planet.carrier == *name);
    let is_ring = |name: &str| {
        let member = draft.members.iter().find(|member| member.name == *name);
        member.is_some_and(|member| member.gears.iter().any(|gear| gear.kind == GearKind::Internal))
    };
    let at_an_end = [&given.input, &given.output].into_iter().flatten().any(|end| carries(end));
    match (at_an_end, given.held.first()) {
        (true, Some(held)) if is_ring(held) => 0,
        (true, _) => 1,
        (false, Some(held)) if carries(held) => 2,
        (false, _) => 3,
    }
}
