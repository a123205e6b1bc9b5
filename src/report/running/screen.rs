//! What runs on one screen: what is too fast, what wears and howls, what a control meets from rest; then a state a row, a
//! member a row where one state is asked for, or what can make a noise where one is looked for.

use super::{bearing, noise};
use crate::exact::{Fraction, decimal};
use crate::gearset::{Gearset, MemberId};
use crate::report::loads::{digits, each_of};
use crate::report::render::document::{Block, Table};
use crate::report::words::{key, list, quoted, short_list, unlisted_one_way_clutches};
use crate::running::{
    BeyondLimit, Engagement, FastestPart, LeftOutChange, Limits, Meeting, Running, RunningBearing, RunningState,
    WhyLeftOut,
};
use crate::statics::MeshWork;
use num_traits::{One, Signed, Zero};

/// The statements, then the table.
pub(super) fn screen(answer: &Running, set: &Gearset) -> Vec<Block> {
    let statements = statements(answer, set);
    let table = match &answer.states[..] {
        _ if answer.noise.is_some() => noise::suspects(answer, set),
        [state] => members(answer, set, state),
        _ => states(answer, set),
    };
    let table = Block::Table(table.below(&statements));
    vec![Block::Statements(statements), table]
}

fn short(value: &Fraction) -> String {
    decimal(value, 4)
}

fn statements(answer: &Running, set: &Gearset) -> Vec<String> {
    let mut said: Vec<String> = noise::verdict(answer, set).into_iter().collect();
    said.extend(limits(answer, set));
    said.extend(wear(answer, set));
    said.extend(pressed(answer, set));
    said.extend(mesh_frequency(answer, set));
    said.extend(outruns(answer, set));
    said.extend(from_rest(answer, set));
    said.extend(left_out(answer, set));
    said.extend(hardest(answer, set));
    for state in &answer.states {
        let conflicts = unlisted_one_way_clutches(set, &state.state, &state.unlisted_one_way_clutches);
        said.extend(conflicts.into_iter().map(|conflict| format!("Beware: {conflict}.")));
    }
    said.push("Beware: what nothing holds can outrun the engine; cast iron comes apart when it does.".into());
    said
}

/// What turns faster than it may.
fn limits(answer: &Running, set: &Gearset) -> Option<String> {
    if answer.limits == Limits::default() {
        return None;
    }
    let one = |found: &BeyondLimit| {
        let name = set.member(found.member).name();
        format!("{name} {} rpm in {} (limit {})", short(&found.rpm), quoted(&found.state), short(&found.limit))
    };
    let all: Vec<String> = answer.beyond_limit.iter().map(one).collect();
    Some(if all.is_empty() {
        "No member whose speed is determined turns faster than its limit.".into()
    } else {
        format!("Beware: too fast: {}. A part that runs too fast can burst.", short_list(&all))
    })
}

/// The planet that turns fastest on its pins.
fn wear(answer: &Running, set: &Gearset) -> Option<String> {
    let FastestPart { state, member, speed, .. } = answer.fastest_on_pins.as_ref()?;
    let found = answer.states.iter().find(|one| one.state == *state)?;
    let found = found.bearings.iter().find(|one| one.on_pin && one.first == *member)?;
    let rubbing = found.rubbing_m_per_s.map_or_else(String::new, |speed| format!(", rubbing at {speed:.2} m/s"));
    let name = set.member(*member).name();
    let speed = with_rpm(answer, speed);
    Some(format!("Bushes on pins turn fastest in {}: those of {name}, {speed}{rubbing}.", quoted(state)))
}

/// A speed for one turn of the input, and in revolutions per minute where that of the input is given.
fn with_rpm(answer: &Running, speed: &Fraction) -> String {
    match &answer.input_rpm {
        Some(rpm) => format!("{} rpm", short(&(speed.abs() * rpm.abs()))),
        None => format!("{} for one turn of the input", short(&speed.abs())),
    }
}

/// The planet that is pressed hardest on its pins, where a torque is given.
fn pressed(answer: &Running, set: &Gearset) -> Option<String> {
    let all = answer.states.iter().flat_map(|state| state.bearings.iter().map(move |found| (state, found)));
    let pressed = all.filter_map(|(state, found)| Some((state, found, found.bush?)));
    let (state, found, bush) =
        pressed.max_by(|one, other| one.2.force_per_pin_newtons.total_cmp(&other.2.force_per_pin_newtons))?;
    let pressure = bush
        .pressure_newtons_per_mm2
        .map_or_else(String::new, |pressure| format!(", {} N/mm2 in its bush", digits(pressure)));
    let force = each_of(bush.force_per_pin_newtons, bush.pins);
    Some(format!(
        "{} is pressed most in {}: {force}{pressure}.",
        bearing(set, [found.first, found.second]),
        quoted(&state.state)
    ))
}

/// Where the mesh frequency is highest, and where no noise is one of teeth.
fn mesh_frequency(answer: &Running, set: &Gearset) -> Vec<String> {
    let most = answer.busiest_mesh.as_ref().map(|found| {
        let gears = mesh_name(set, found.gears);
        let state = answer.states.iter().find(|state| state.state == found.state);
        let hertz = state.and_then(|state| state.meshes.iter().find(|mesh| mesh.gears == found.gears)?.hertz.clone());
        let rate = match hertz {
            Some(hertz) => format!("{} Hz", short(&hertz)),
            None => format!("{} teeth for one turn of the input", short(&found.teeth)),
        };
        format!("The mesh frequency is highest in {}: {gears}, {rate}.", quoted(&found.state))
    });
    let dead = answer.states.iter().filter(|state| state.no_mesh_rolls).map(|state| quoted(&state.state));
    let dead: Vec<String> = dead.collect();
    let dead = (!dead.is_empty())
        .then(|| format!("In {} no mesh rolls: a noise that is heard there is not one of teeth.", short_list(&dead)));
    most.into_iter().chain(dead).collect()
}

fn mesh_name(set: &Gearset, mesh: crate::gearset::MeshId) -> String {
    let [first, second] = set.mesh(mesh).gears().each().map(|gear| set.gear(gear).name());
    format!("{first} with {second}")
}

/// The member that outruns the input most.
fn outruns(answer: &Running, set: &Gearset) -> Option<String> {
    let FastestPart { state, member, speed, .. } =
        answer.fastest_member.as_ref().filter(|one| one.speed.abs() > Fraction::one())?;
    Some(format!(
        "Fastest in the case is {} in {}: {}.",
        set.member(*member).name(),
        quoted(state),
        with_rpm(answer, speed)
    ))
}

/// What each control meets when it is applied from rest, the first state for each.
fn from_rest(answer: &Running, set: &Gearset) -> Option<String> {
    let mut met: Vec<(&String, String)> = Vec::new();
    for found in answer.engagements.iter().filter(|found| found.from.is_none()) {
        if let Some(meeting) = meeting(set, found)
            && !met.iter().any(|(applied, known)| **applied == found.applied && *known == meeting)
        {
            met.push((&found.applied, meeting));
        }
    }
    let met: Vec<String> = met.into_iter().map(|(applied, meeting)| format!("{applied} {meeting}")).collect();
    (!met.is_empty()).then(|| format!("From rest, the output standing (forward: as the input): {}.", short_list(&met)))
}

/// What a control meets: "stops low drum turning backward 0.5516".
fn meeting(set: &Gearset, found: &Engagement) -> Option<String> {
    let (speed, meets) = found.before.as_ref().zip(found.meets)?;
    let [first, second] = [found.first, found.second].map(|member| set.member(member).name());
    let turning = || Some(format!("{} {}", key(&found.sense?), short(&speed.abs())));
    Some(match (meets, found.second == MemberId::CASE) {
        (Meeting::AtRest, _) => "meets nothing that turns".into(),
        (Meeting::ComesToRest, true) => format!("stops {first} turning {}", turning()?),
        (Meeting::ComesToRest, false) => format!("joins {first} turning {} against {second}", turning()?),
        (Meeting::Overruns | Meeting::CannotBe, _) => format!("overruns until {first} comes to rest"),
    })
}

/// Changes from rest of which nothing is told, and why.
fn left_out(answer: &Running, set: &Gearset) -> Vec<String> {
    let of = |why: WhyLeftOut| answer.left_out.iter().filter(move |found| found.why == why);
    let into = |why: WhyLeftOut| {
        let mut states: Vec<String> = of(why).map(|found| quoted(&found.into)).collect();
        states.dedup();
        states
    };
    let clutches =
        |found: &LeftOutChange| found.held_by.iter().map(|&one| set.control(one).name().to_owned()).collect::<Vec<_>>();
    let mut said = Vec::new();
    if let Some(first) = of(WhyLeftOut::OneWayHolds).next() {
        let states = short_list(&into(WhyLeftOut::OneWayHolds));
        let holds = list(&clutches(first));
        said.push(format!(
            "Left out from rest: into {states}, since with the output standing {holds} holds and the input cannot turn."
        ));
    }
    for (why, because) in [
        (WhyLeftOut::Free, "the standing output leaves open how they turn"),
        (WhyLeftOut::Locked, "the input cannot turn while the output stands"),
    ] {
        let mut applied: Vec<String> = of(why).filter_map(|found| found.applied.clone()).collect();
        let mut seen = Vec::new();
        applied.retain(|one| {
            !seen.contains(one) && {
                seen.push(one.clone());
                true
            }
        });
        if !applied.is_empty() {
            said.push(format!("Left out from rest: what {} meet: {because}.", short_list(&applied)));
        }
    }
    said
}

/// The change between states in which a control has the most to bring to rest.
fn hardest(answer: &Running, set: &Gearset) -> Option<String> {
    let rests = answer.engagements.iter().filter(|found| found.meets == Some(Meeting::ComesToRest));
    let between = rests.filter_map(|found| Some((found, found.from.as_ref()?, found.before.as_ref()?)));
    let (found, from, _) = between.reduce(|most, one| if one.2.abs() > most.2.abs() { one } else { most })?;
    Some(format!(
        "Hardest change: from {} into {}, where {} {}.",
        quoted(from),
        quoted(&found.into),
        found.applied,
        meeting(set, found)?
    ))
}

/// A state a row.
fn states(answer: &Running, set: &Gearset) -> Table {
    let part = |part: &Option<FastestPart>| {
        part.as_ref().map_or_else(
            || "-".into(),
            |part| format!("{} {}", set.member(part.member).name(), in_unit(answer, &part.speed)),
        )
    };
    let row = |state: &RunningState| {
        vec![
            state.state.clone(),
            part(&state.fastest_on_pins),
            part(&state.fastest_member),
            loaded(answer, set, state),
            idle(set, state),
        ]
    };
    let headings = ["state", "fastest on its pins", "fastest in the case", "teeth under load", "roll idle"];
    let caption = match &answer.input_rpm {
        Some(rpm) => format!("Speeds in rpm, teeth in Hz, with {} rpm on the input; negative: against it", short(rpm)),
        None => "Turns and teeth for one turn of the input; negative: against it".into(),
    };
    Table::new(caption, &headings, answer.states.iter().map(row).collect())
}

fn in_unit(answer: &Running, speed: &Fraction) -> String {
    short(&answer.input_rpm.as_ref().map_or_else(|| speed.clone(), |rpm| speed * rpm))
}

/// The meshes that pass power, with the teeth that pass them.
fn loaded(answer: &Running, set: &Gearset, state: &RunningState) -> String {
    let of = state.meshes.iter().filter(|mesh| mesh.work == MeshWork::Loaded);
    let named = of.map(|mesh| {
        let rate = if answer.input_rpm.is_some() { &mesh.hertz } else { &mesh.teeth };
        let rate = rate.as_ref().map_or_else(String::new, |rate| format!(" {}", short(rate)));
        format!("{}{rate}", mesh_name(set, mesh.gears))
    });
    some_of(&named.collect::<Vec<String>>())
}

/// The meshes that roll and pass none.
fn idle(set: &Gearset, state: &RunningState) -> String {
    let of = state.meshes.iter().filter(|mesh| mesh.work == MeshWork::Idle);
    some_of(&of.map(|mesh| mesh_name(set, mesh.gears)).collect::<Vec<String>>())
}

/// Four at most, or three and how many more.
fn some_of(names: &[String]) -> String {
    match names.len() {
        0 => "-".into(),
        1..=4 => names.join(", "),
        count => format!("{}, and {} more", names[..3].join(", "), count - 3),
    }
}

/// A member a row.
fn members(answer: &Running, set: &Gearset, state: &RunningState) -> Table {
    let on_pins = |member: MemberId| {
        let is_it = |found: &&RunningBearing| found.on_pin && found.first == member;
        let speed = state.bearings.iter().find(is_it).and_then(|found| found.relative.as_ref());
        speed.map_or_else(|| "-".into(), |speed| in_unit(answer, speed))
    };
    let rows = state.members.iter().map(|found| {
        let speed = match &found.speed {
            Some(speed) if speed.is_zero() => "still".into(),
            Some(speed) => in_unit(answer, speed),
            None => key(&found.motion),
        };
        vec![set.member(found.member).name().to_owned(), speed, on_pins(found.member)]
    });
    let unit = if answer.input_rpm.is_some() { "rpm" } else { "turns" };
    let caption = format!("How members turn in {}; negative: against the input", quoted(&state.state));
    Table::new(caption, &["member", unit, "on its pins"], rows.collect())
}
