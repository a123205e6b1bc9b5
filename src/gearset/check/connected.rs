//! Nothing stands alone: every planet has a mesh, every member a connection.

use std::collections::HashSet;

use super::Problems;
use crate::gearset::draft::{CASE, DraftConditions};
use crate::gearset::{Draft, DraftGear, Owner, Pair, Part, Rule};

pub(super) fn check(draft: &Draft, problems: &mut Problems) {
    let meshed: HashSet<&str> = draft.meshes.iter().flat_map(|mesh| mesh.gears.both()).map(String::as_str).collect();
    let in_mesh = |gears: &[DraftGear]| gears.iter().any(|gear| meshed.contains(gear.name.as_str()));
    for (index, planet) in draft.planets.iter().enumerate() {
        if planet.name != CASE && !planet.gears.is_empty() && !in_mesh(&planet.gears) {
            let rule = Rule::PlanetWithoutMesh { planet: planet.name.clone() };
            problems.add(Part::OwnerName(Owner::Planet(index)), rule);
        }
    }
    let named = named_members(draft);
    for (index, member) in draft.members.iter().enumerate() {
        if member.name != CASE && !in_mesh(&member.gears) && !named.contains(member.name.as_str()) {
            let rule = Rule::Unconnected { member: member.name.clone() };
            problems.add(Part::OwnerName(Owner::Member(index)), rule);
        }
    }
}

/// Members that a carrier, join, control or state names.
fn named_members(draft: &Draft) -> HashSet<&str> {
    let mut named: HashSet<&str> = draft.planets.iter().map(|planet| planet.carrier.as_str()).collect();
    named.extend(draft.joins.iter().flat_map(Pair::both).map(String::as_str));
    named.extend(draft.controls.iter().flat_map(|control| control.action.members()).map(String::as_str));
    for state in &draft.states {
        if let DraftConditions::Given(given) = &state.conditions {
            named.extend(given.joined.iter().flat_map(Pair::both).map(String::as_str));
        }
    }
    named
}
