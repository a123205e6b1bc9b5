//! What arguments name in a gearset: states, members, gears, each refused in the same words everywhere.

#![allow(clippy::missing_errors_doc, reason = "each refuses a name that there is not, with the nearest that there is")]

use crate::gearset::{Gear, GearId, Gearset, Member, MemberId, MeshId};

use super::refusal::Refusal;

/// The place of a state in the list of states.
pub fn state(set: &Gearset, name: &str) -> Result<usize, Refusal> {
    let known: Vec<&str> = set.states().iter().map(|state| state.name.as_str()).collect();
    known.iter().position(|known| *known == name).ok_or_else(|| Refusal::unknown("state", name, &known))
}

/// The places of states, between commas or one a text; a state whose own name has a comma is taken as it is.
pub fn states(set: &Gearset, texts: &[String]) -> Result<Vec<usize>, Refusal> {
    let mut found = Vec::new();
    for text in texts {
        match state(set, text) {
            Ok(place) => found.push(place),
            Err(_) => {
                for name in text.split(',') {
                    found.push(state(set, name.trim())?);
                }
            }
        }
    }
    Ok(found)
}

/// A member, the case among them.
pub fn member(set: &Gearset, name: &str) -> Result<MemberId, Refusal> {
    set.member_named(name).ok_or_else(|| no_such_member(set, name))
}

/// A member that can turn: any but the case.
pub fn moving_member(set: &Gearset, name: &str) -> Result<MemberId, Refusal> {
    let found = set.member_named(name).filter(|&member| member != MemberId::CASE);
    found.ok_or_else(|| no_such_member(set, name))
}

fn no_such_member(set: &Gearset, name: &str) -> Refusal {
    let known: Vec<&str> = set.members().iter().skip(1).map(Member::name).collect();
    Refusal::unknown("member", name, &known)
}

/// A gear.
pub fn gear(set: &Gearset, name: &str) -> Result<GearId, Refusal> {
    set.gear_named(name).ok_or_else(|| {
        let known: Vec<&str> = set.gears().iter().map(Gear::name).collect();
        Refusal::unknown("gear", name, &known)
    })
}

/// A mesh by its two gears: "L with l".
pub fn mesh(set: &Gearset, name: &str) -> Result<MeshId, Refusal> {
    set.mesh_named(name).ok_or_else(|| {
        let known: Vec<String> = set.mesh_ids().map(|mesh| set.mesh_name(mesh)).collect();
        Refusal::unknown("mesh", name, &known.iter().map(String::as_str).collect::<Vec<_>>())
    })
}
