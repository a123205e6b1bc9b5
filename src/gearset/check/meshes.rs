//! Meshes: between a planet's gear and another on the same carrier or the main axis.
//!
//! Also the groups of planets, which follow from the meshes among planets.

use std::collections::HashSet;

use super::dial;
use super::names::{Names, Owner, gears_of, member_of};
use crate::exact::Fraction;
use crate::gearset::planet_group::{PlanetGroup, spacings};
use crate::gearset::{
    Draft, DraftBacklash, DraftMesh, Efficiency, Gear, GearKind, Length, MeshRule, Pair, PlanetRule, Problems,
};
use crate::gearset::{GearId, MemberId, Mesh, MeshId};
use crate::syntax::LeafOrigin;

/// The bodies as far as they are known while the meshes are checked.
pub(super) struct MeshContext<'a> {
    pub(super) draft: &'a Draft,
    pub(super) names: &'a Names<'a>,
    pub(super) carriers: &'a [Option<MemberId>],
    pub(super) gears: &'a [Option<Gear>],
}

/// Every mesh that is sound, and `None` for each that is not.
pub(super) fn check(bodies: &MeshContext<'_>, problems: &mut Problems) -> Vec<Option<Mesh>> {
    let owners: Vec<Owner> = gears_of(bodies.draft).map(|listed| listed.owner).collect();
    let mut known = HashSet::new();
    let mut meshes = Vec::new();
    for mesh in &bodies.draft.meshes {
        let first = bodies.names.gear(&mesh.gears.first, problems);
        let second = bodies.names.gear(&mesh.gears.second, problems);
        let (Some(first), Some(second)) = (first, second) else {
            meshes.push(None);
            continue;
        };
        let pair = Pair { first, second };
        let sound = check_pair(bodies, &owners, mesh, pair).and_then(|carrier| {
            if known.insert((first.min(second), first.max(second))) {
                Ok(carrier)
            } else {
                Err(Some(with_names(mesh, |first, second| MeshRule::MeshTwice { first, second })))
            }
        });
        meshes.push(match sound {
            Ok(carrier) => Some(Mesh {
                gears: pair,
                carrier,
                pitch: mesh.sizes.pitch.as_deref().or(bodies.draft.pitch.as_deref()).cloned(),
                backlash: backlash(bodies.draft, mesh),
                efficiency: mesh
                    .sizes
                    .efficiency
                    .as_deref()
                    .or(bodies.draft.efficiency.as_deref())
                    .and_then(Efficiency::new),
            }),
            Err(rule) => {
                if let Some(rule) = rule {
                    problems.add(&place_of(mesh), rule);
                }
                None
            }
        });
    }
    meshes
}

/// From the first gear of a mesh to the second.
fn place_of(mesh: &DraftMesh) -> LeafOrigin {
    mesh.gears.first.mark().to(mesh.gears.second.mark())
}

/// The backlash that is given for a mesh, by what a dial showed where that was read, or for the whole set.
fn backlash(draft: &Draft, mesh: &DraftMesh) -> Option<Length> {
    match mesh.sizes.backlash.as_deref() {
        Some(DraftBacklash::AtPitchCircle(size)) => Some(size.clone()),
        Some(DraftBacklash::Dial(_)) => dial::backlash(draft, mesh),
        None => draft.backlash.as_deref().cloned(),
    }
}

fn with_names(mesh: &DraftMesh, rule: impl Fn(String, String) -> MeshRule) -> MeshRule {
    rule(mesh.gears.first.to_string(), mesh.gears.second.to_string())
}

/// The carrier of a mesh, or the rule that it breaks; `Err(None)` where a rule cannot be
/// decided because something else is already known to be wrong.
fn check_pair(
    bodies: &MeshContext<'_>,
    owners: &[Owner],
    mesh: &DraftMesh,
    pair: Pair<GearId>,
) -> Result<MemberId, Option<MeshRule>> {
    let broken = |rule: fn(String, String) -> MeshRule| Err(Some(with_names(mesh, rule)));
    if pair.first == pair.second {
        return broken(|gear, _| MeshRule::MeshWithItself { gear });
    }
    let (first, second) = (owners[pair.first.index()], owners[pair.second.index()]);
    if first == second {
        return broken(|first, second| MeshRule::MeshOnOneBody { first, second });
    }
    let carrier_of = |planet: usize| bodies.carriers[planet].ok_or(None);
    let carrier = match (first, second) {
        (Owner::Member(_), Owner::Member(_)) => {
            return broken(|first, second| MeshRule::MeshOfCentralGears { first, second });
        }
        (Owner::Member(member), Owner::Planet(planet)) => {
            off_its_carrier(bodies, member, carrier_of(planet)?, &mesh.gears.first)?
        }
        (Owner::Planet(planet), Owner::Member(member)) => {
            off_its_carrier(bodies, member, carrier_of(planet)?, &mesh.gears.second)?
        }
        (Owner::Planet(first), Owner::Planet(second)) => {
            let carrier = carrier_of(first)?;
            if carrier != carrier_of(second)? {
                return Err(Some(MeshRule::MeshAcrossCarriers {
                    first: mesh.gears.first.to_string(),
                    second: mesh.gears.second.to_string(),
                    first_carrier: bodies.draft.planets[first].carrier.to_string(),
                    second_carrier: bodies.draft.planets[second].carrier.to_string(),
                }));
            }
            carrier
        }
    };
    let gear = |id: GearId| bodies.gears[id.index()].as_ref().ok_or(None);
    check_teeth(gear(pair.first)?, gear(pair.second)?, [first, second]).map_or(Ok(carrier), |rule| Err(Some(rule)))
}

fn off_its_carrier(
    bodies: &MeshContext<'_>,
    member: usize,
    carrier: MemberId,
    gear: &str,
) -> Result<MemberId, Option<MeshRule>> {
    if carrier.index() == member + 1 {
        let carrier = bodies.draft.members[member].name.to_string();
        return Err(Some(MeshRule::MeshWithOwnCarrier { gear: gear.to_owned(), carrier }));
    }
    Ok(carrier)
}

fn check_teeth(first: &Gear, second: &Gear, owners: [Owner; 2]) -> Option<MeshRule> {
    let named = |rule: fn(String, String) -> MeshRule| Some(rule(first.name.clone(), second.name.clone()));
    match (first.kind, second.kind) {
        (GearKind::Internal, GearKind::Internal) => named(|first, second| MeshRule::MeshOfRings { first, second }),
        (GearKind::Internal, GearKind::External) => ring_too_small(first, second),
        (GearKind::External, GearKind::Internal) => ring_too_small(second, first),
        (a, b) if a.is_bevel() != b.is_bevel() => {
            let (bevel, other) = if a.is_bevel() { (first, second) } else { (second, first) };
            Some(MeshRule::BevelWithOther { bevel: bevel.name.clone(), other: other.name.clone() })
        }
        (a, b) if a.is_bevel() && is_off_its_axis([a, b], owners) => {
            named(|first, second| MeshRule::BevelsNotOnBothAxes { first, second })
        }
        _ => None,
    }
}

/// Whether a planet's bevel gear is given a side, or a bevel gear of the main axis none, or both are planets'.
fn is_off_its_axis(kinds: [GearKind; 2], owners: [Owner; 2]) -> bool {
    let fits = |(kind, owner)| (kind == GearKind::BevelPlanet) == matches!(owner, Owner::Planet(_));
    kinds[0] == kinds[1] || !kinds.into_iter().zip(owners).all(fits)
}

fn ring_too_small(internal: &Gear, external: &Gear) -> Option<MeshRule> {
    (internal.tooth_count <= external.tooth_count).then(|| MeshRule::RingTooSmall {
        internal: internal.name.clone(),
        internal_count: internal.tooth_count.get(),
        external: external.name.clone(),
        external_count: external.tooth_count.get(),
    })
}

/// The groups of planets, from sound meshes: planets that mesh with one another are one.
pub(super) fn groups(
    bodies: &MeshContext<'_>,
    meshes: &[Option<Mesh>],
    pins: &[Option<Vec<Fraction>>],
    problems: &mut Problems,
) -> Vec<PlanetGroup> {
    let owners: Vec<Owner> = gears_of(bodies.draft).map(|listed| listed.owner).collect();
    let planet_of = |gear: GearId| match owners[gear.index()] {
        Owner::Planet(planet) => Some(planet),
        Owner::Member(_) => None,
    };
    let mut leader: Vec<usize> = (0..bodies.draft.planets.len()).collect();
    for (index, mesh) in meshes.iter().enumerate() {
        let Some(Pair { first, second }) = mesh.as_ref().map(|mesh| mesh.gears) else { continue };
        let (Some(first), Some(second)) = (planet_of(first), planet_of(second)) else { continue };
        check_spacing(bodies.draft, Pair { first, second }, pins, &bodies.draft.meshes[index], problems);
        let (first, second) = (lead(&mut leader, first), lead(&mut leader, second));
        leader[first.max(second)] = first.min(second);
    }
    let mut groups: Vec<Option<PlanetGroup>> = vec![None; leader.len()];
    for planet in 0..leader.len() {
        let lead = lead(&mut leader, planet);
        if lead == planet
            && let (Some(carrier), Some(places)) = (bodies.carriers[planet], pins[planet].clone())
        {
            groups[planet] = Some(PlanetGroup { carrier, planets: Vec::new(), places, meshes: Vec::new() });
        }
        if let Some(group) = &mut groups[lead] {
            group.planets.push(member_of(bodies.draft, Owner::Planet(planet)));
        }
    }
    for (index, mesh) in meshes.iter().enumerate() {
        let Some(mesh) = mesh else { continue };
        let planet = planet_of(mesh.gears.first).or_else(|| planet_of(mesh.gears.second));
        if let Some(group) = planet.and_then(|planet| groups[lead(&mut leader, planet)].as_mut()) {
            group.meshes.push(MeshId(index));
        }
    }
    groups.into_iter().flatten().collect()
}

/// The first planet of a planet's group; paths are halved on the way.
fn lead(leader: &mut [usize], planet: usize) -> usize {
    let mut planet = planet;
    while leader[planet] != planet {
        leader[planet] = leader[leader[planet]];
        planet = leader[planet];
    }
    planet
}

fn check_spacing(
    draft: &Draft,
    planets: Pair<usize>,
    pins: &[Option<Vec<Fraction>>],
    mesh: &DraftMesh,
    problems: &mut Problems,
) {
    let (Some(first), Some(second)) = (&pins[planets.first], &pins[planets.second]) else { return };
    if spacings(first) != spacings(second) {
        let name = |planet: usize| draft.planets[planet].name.to_string();
        let (first, second) = (name(planets.first), name(planets.second));
        problems.add(&place_of(mesh), PlanetRule::PinsOfMeshedPlanetsDiffer { first, second });
    }
}
