//! Nothing stands alone: every planet has a mesh, every member a connection.
//!
//! A member is connected by a gear in mesh, by a planet that it carries, or by a join or
//! control that names it. What is not known by its name was reported before.

use std::collections::HashSet;

use crate::gearset::draft::{CASE, DraftConditions};
use crate::gearset::{Draft, DraftGear, Pair, PlanetRule, Problems, UsageRule};

pub(super) fn check(draft: &Draft, problems: &mut Problems) {
    let meshed: HashSet<&str> =
        draft.meshes.iter().flat_map(|mesh| mesh.gears.both()).map(|name| name.as_str()).collect();
    let in_mesh = |gears: &[DraftGear]| gears.iter().any(|gear| meshed.contains(gear.name.as_str()));
    for planet in &draft.planets {
        if !planet.gears.is_empty() && !in_mesh(&planet.gears) {
            problems.add(planet.name.mark(), PlanetRule::PlanetWithoutMesh { planet: planet.name.to_string() });
        }
    }
    let named = named_members(draft);
    for member in &draft.members {
        if !in_mesh(&member.gears) && !named.contains(member.name.as_str()) {
            problems.add(member.name.mark(), UsageRule::Unconnected { member: member.name.to_string() });
        }
    }
}

/// The case, and the members that a carrier, join, control or state names.
fn named_members(draft: &Draft) -> HashSet<&str> {
    let mut named = HashSet::from([CASE]);
    named.extend(draft.planets.iter().map(|planet| planet.carrier.as_str()));
    named.extend(draft.joins.iter().flat_map(Pair::both).map(|name| name.as_str()));
    named.extend(draft.controls.iter().flat_map(|control| control.action.members()).map(|name| name.as_str()));
    for state in &draft.states {
        if let DraftConditions::Given(given) = &state.conditions {
            named.extend(given.joined.iter().flat_map(Pair::both).map(|name| name.as_str()));
        }
    }
    named
}
