//! Nothing stands alone: every planet has a mesh, every member a connection.
//!
//! A member is connected by a gear in mesh, by a planet that it carries, or by a join or
//! control that names it. What is not known by its name was reported before.

use std::collections::HashSet;

use crate::gearset::draft::{CASE, DraftConditions};
use crate::gearset::{Draft, DraftGear, Owner, Pair, Part, PlanetRule, Problems, UsageRule};

pub(super) fn check(draft: &Draft, problems: &mut Problems) {
    let meshed: HashSet<&str> = draft.meshes.iter().flat_map(|mesh| mesh.gears.both()).map(String::as_str).collect();
    let in_mesh = |gears: &[DraftGear]| gears.iter().any(|gear| meshed.contains(gear.name.as_str()));
    for (index, planet) in draft.planets.iter().enumerate() {
        if !planet.gears.is_empty() && !in_mesh(&planet.gears) {
            let rule = PlanetRule::PlanetWithoutMesh { planet: planet.name.clone() };
            problems.add(Part::OwnerName(Owner::Planet(index)), rule);
        }
    }
    let named = named_members(draft);
    for (index, member) in draft.members.iter().enumerate() {
        if !in_mesh(&member.gears) && !named.contains(member.name.as_str()) {
            let rule = UsageRule::Unconnected { member: member.name.clone() };
            problems.add(Part::OwnerName(Owner::Member(index)), rule);
        }
    }
}

/// The case, and the members that a carrier, join, control or state names.
fn named_members(draft: &Draft) -> HashSet<&str> {
    let mut named = HashSet::from([CASE]);
    named.extend(draft.planets.iter().map(|planet| planet.carrier.as_str()));
    named.extend(draft.joins.iter().flat_map(Pair::both).map(String::as_str));
    named.extend(draft.controls.iter().flat_map(|control| control.action.members()).map(String::as_str));
    for state in &draft.states {
        if let DraftConditions::Given(given) = &state.conditions {
            named.extend(given.joined.iter().flat_map(Pair::both).map(String::as_str));
        }
    }
    named
}
