//! The numbers of a section for its script, as JSON in the page.
//!
//! Members are listed as in the gearset, the case first, and every other list of members has the
//! same order. Fractions are texts, `-310/171`, in turns per turn of the input; a speed that is open
//! in the state is that of the motion shown, and `open` says so. A state that is locked has no
//! speeds. Returns of a group are in turns of its first planet against the carrier, which is the
//! same number in every state.

use num_traits::{Signed, Zero};
use serde_json::{Value, json};

use super::words;
use crate::exact::Fraction;
use crate::gearset::{GearId, Gearset, MemberId, MeshId};
use crate::kinematics::{Settled, Speed, StateMotion, motions, settled};
use crate::statics::{LoadOptions, StateLoads, loads};
use crate::syntax::visible;
use crate::timing::{GroupMarking, PlanetRolling, StateReturn, marking};

/// The data of a section, as text that nothing in it ends early.
pub(super) fn data(set: &Gearset) -> String {
    let (motions, settled) = (motions(set), settled(set));
    let loads = loads(set, &LoadOptions::default());
    let members: Vec<Value> = set.member_ids().map(|member| member_data(set, member)).collect();
    let gears: Vec<Value> = set.gear_ids().map(|gear| gear_data(set, gear)).collect();
    let states = motions.iter().zip(&settled).zip(&loads);
    let states: Vec<Value> = states.map(|((motion, settled), loads)| state_data(set, motion, settled, loads)).collect();
    let groups: Vec<Value> = marking(set).groups.iter().map(|group| group_data(group, &motions)).collect();
    let data = json!({ "members": members, "gears": gears, "groups": groups, "states": states });
    safe(&data.to_string())
}

/// JSON within a script: no sign in it that HTML or a reader of scripts takes for its own.
fn safe(json: &str) -> String {
    let mut safe = String::with_capacity(json.len());
    for letter in json.chars() {
        match letter {
            '<' => safe.push_str("\\u003c"),
            '>' => safe.push_str("\\u003e"),
            '&' => safe.push_str("\\u0026"),
            '\u{2028}' => safe.push_str("\\u2028"),
            '\u{2029}' => safe.push_str("\\u2029"),
            _ => safe.push(letter),
        }
    }
    safe
}

fn member_data(set: &Gearset, member: MemberId) -> Value {
    json!({
        "name": visible(set.member(member).name()),
        "carrier": set.carrier_of(member).map(MemberId::index),
    })
}

/// A gear with the carrier against which its teeth pass those of its first mesh.
fn gear_data(set: &Gearset, gear: GearId) -> Value {
    let in_mesh = |mesh: &MeshId| set.mesh(*mesh).gears().contains(&gear);
    let carrier = set.mesh_ids().find(in_mesh).map_or(MemberId::CASE, |mesh| set.mesh(mesh).carrier());
    let teeth = set.gear(gear).tooth_count().get();
    json!({
        "name": format!("{} {teeth}", visible(set.gear(gear).name())),
        "teeth": teeth,
        "member": set.gear(gear).member().index(),
        "carrier": carrier.index(),
    })
}

fn state_data(set: &Gearset, motion: &StateMotion, settled: &Settled, loads: &StateLoads) -> Value {
    let shown = |speed: Option<&Speed>| speed.and_then(Speed::value).map(ToString::to_string);
    let case = || json!({ "speed": "0", "relative": null, "open": false, "told": "0", "torque": null, "roles": [] });
    let members = motion.members.iter().zip(&settled.motion.members).zip(&loads.members);
    let members = members.map(|((told, settled), load)| {
        json!({
            "speed": shown(Some(&settled.speed)),
            "relative": shown(settled.relative_to_carrier.as_ref()),
            "open": told.speed == Speed::Free,
            "told": speed(&settled.speed),
            "torque": load.torque.as_ref().map(words::number),
            "roles": words::roles(set, motion, told.member),
        })
    });
    json!({
        "name": visible(&motion.state),
        "says": visible(&words::state(set, motion, settled)),
        "input": motion.input.index(),
        "output": motion.output.index(),
        "members": std::iter::once(case()).chain(members).collect::<Vec<_>>(),
    })
}

/// A speed in words.
fn speed(speed: &Speed) -> String {
    match speed {
        Speed::Determined(speed) => words::number(speed),
        Speed::Free => "free".into(),
        Speed::Locked => "locked".into(),
        Speed::WithoutMeaning => "tumbles: no single speed".into(),
    }
}

fn group_data(group: &GroupMarking, motions: &[StateMotion]) -> Value {
    let planet = group.planets[0];
    let mut states = group.states.iter().zip(motions).filter(|(state, _)| state.motion == PlanetRolling::Rolls);
    let found = states.find_map(|(state, motion)| Some((state, rolling_speed(motion, planet)?)));
    let turns = |of: fn(&StateReturn) -> Option<&Fraction>| {
        found.as_ref().and_then(|(state, speed)| of(state).map(|turns| (turns * speed).to_string()))
    };
    json!({
        "planet": planet.index(),
        "carrier": group.carrier.index(),
        "marks": turns(|state| state.line_up.as_ref()),
        "everything": turns(|state| state.everything_back.as_ref()),
    })
}

/// How fast a planet turns against its carrier, whichever way.
fn rolling_speed(motion: &StateMotion, planet: MemberId) -> Option<Fraction> {
    let speed = motion.member(planet)?.relative_to_carrier.as_ref()?.value()?;
    (!speed.is_zero()).then(|| speed.abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_data_ends_its_script() {
        let text = safe(&json!("</script><!-- & \u{2028}\u{2029}").to_string());
        assert_eq!(text, "\"\\u003c/script\\u003e\\u003c!-- \\u0026 \\u2028\\u2029\"");
        assert_eq!(serde_json::from_str::<Value>(&text).unwrap(), "</script><!-- & \u{2028}\u{2029}");
    }
}
