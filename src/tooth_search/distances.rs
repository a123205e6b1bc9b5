//! Does every planet keep one centre distance in all its meshes?
//!
//! Without profile shift a mesh of tooth counts Z and P and module m has the centre distance
//! `m (Z + P) / 2`, with the difference for a ring. Two meshes of one planet with gears on the main axis
//! have to agree; profile shift can make up for a difference of a few teeth (of one or two: common
//! practice, no source).

use num_traits::{Signed, Zero};
use serde::Serialize;

use super::plan::{TeethPlan, changes};
use super::request::CenterDistances;
use crate::clearance::is_with_main_axis;
use crate::exact::{Fraction, fraction};
use crate::gearset::{GearId, GearKind, Gearset, MemberId, MeshId};
use crate::search::Expression;

/// Adds for every planet that its meshes with the main axis agree, and keep their distance if it is to be kept.
pub(super) fn add(plan: &mut TeethPlan<'_>) {
    let set = plan.set;
    for planet in set.member_ids().filter(|&member| set.carrier_of(member).is_some()) {
        let meshes: Vec<MeshId> = set.mesh_ids().filter(|&mesh| is_with_main_axis(set, mesh, planet)).collect();
        let Some(&first) = meshes.first() else { continue };
        if let CenterDistances::KeptByShift(teeth) = plan.request.center_distances.clone() {
            for &mesh in &meshes {
                stay_near(plan, planet, mesh, &teeth);
            }
            continue;
        }
        // Of a mesh that has to agree exactly with the first the others learn no more than of the first.
        let may_differ = matches!(plan.request.center_distances, CenterDistances::Within(_));
        for (at, &other) in meshes.iter().enumerate() {
            for &one in &meshes[..at] {
                if one == first || may_differ || distance(plan, one).1 != distance(plan, first).1 {
                    agree(plan, planet, [one, other]);
                }
            }
        }
        if plan.request.center_distances == CenterDistances::Kept {
            keep(plan, planet, first);
        }
    }
}

/// How far a centre distance is missed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct MissedDistance {
    /// In teeth of the sum of a mesh; none where its meshes have several modules.
    pub teeth: Option<Fraction>,
    /// As a distance, where the teeth have a size.
    pub millimetres: Option<Fraction>,
}

/// The names of the requirements that meshes of a planet agree, keep their distance, and keep it by shift.
fn names(set: &Gearset, planet: MemberId) -> [String; 3] {
    let what = ["keeps one centre distance", "stays on its pin circle", "stays on its pin circle by shift"];
    what.map(|what| format!("{} {what}", set.member(planet).name()))
}

/// How far a centre distance is missed where a requirement of this name is; `None` of any other.
pub(super) fn missed(plan: &TeethPlan<'_>, name: &str, by: &Fraction) -> Option<MissedDistance> {
    let set = plan.set;
    let planet = set.member_ids().find(|&planet| names(set, planet).iter().any(|other| other == name))?;
    let meshes: Vec<MeshId> = set.mesh_ids().filter(|&mesh| is_with_main_axis(set, mesh, planet)).collect();
    let modules = &plan.unknowns.modules;
    let first = modules.now(*meshes.first()?);
    let is_one = meshes.iter().all(|&mesh| modules.unknown(mesh).is_none() && modules.now(mesh) == first);
    // Requirements are of twice the distance.
    let millimetres = meshes.iter().all(|&mesh| set.mesh(mesh).pitch().is_some()).then(|| by / fraction(2, 1));
    Some(MissedDistance { teeth: is_one.then(|| by / first), millimetres })
}

fn agree(plan: &mut TeethPlan<'_>, planet: MemberId, meshes: [MeshId; 2]) {
    let set = plan.set;
    let gears: Vec<GearId> = meshes.iter().flat_map(|&mesh| set.mesh(mesh).gears().each()).collect();
    if !changes(plan, &gears) && !meshes.iter().any(|&mesh| plan.unknowns.modules.unknown(mesh).is_some()) {
        return;
    }
    let [(first, first_now), (second, second_now)] = meshes.map(|mesh| distance(plan, mesh));
    let name = names(set, planet)[0].clone();
    let difference = first - second;
    let requirement = match &plan.request.center_distances {
        CenterDistances::Within(teeth) => {
            let [one, other] = meshes.map(|mesh| plan.unknowns.modules.expression(mesh));
            difference.absolute().at_most(one.smaller(other) * teeth.abs())
        }
        CenterDistances::Equal | CenterDistances::Kept | CenterDistances::KeptByShift(_) | CenterDistances::Free => {
            let now = (first_now - second_now).abs();
            if now.is_zero() { difference.equals(0) } else { difference.absolute().at_most(now) }
        }
    };
    plan.problem.require(&name, requirement);
}

fn keep(plan: &mut TeethPlan<'_>, planet: MemberId, mesh: MeshId) {
    let gears = plan.set.mesh(mesh).gears().each();
    if changes(plan, &gears) || plan.unknowns.modules.unknown(mesh).is_some() {
        let (distance, now) = distance(plan, mesh);
        let name = names(plan.set, planet)[1].clone();
        plan.problem.require(&name, distance.equals(now));
    }
}

/// A mesh asks for a sum so few teeth away from that of the planet's pin circle that profile shift can make up for it.
fn stay_near(plan: &mut TeethPlan<'_>, planet: MemberId, mesh: MeshId, teeth: &Fraction) {
    let gears = plan.set.mesh(mesh).gears().each();
    if changes(plan, &gears) || plan.unknowns.modules.unknown(mesh).is_some() {
        let ((distance, now), module) = (distance(plan, mesh), plan.unknowns.modules.expression(mesh));
        let name = names(plan.set, planet)[2].clone();
        plan.problem.require(&name, (distance - now).absolute().at_most(module * teeth.abs()));
    }
}

/// How far the centre distance of a planet's first mesh with the main axis is from what it is now: another distance is
/// another circle for its pins. `None` where it cannot change.
pub(super) fn circle_moves(plan: &TeethPlan<'_>, planet: MemberId) -> Option<Expression> {
    let set = plan.set;
    let first = set.mesh_ids().find(|&mesh| is_with_main_axis(set, mesh, planet))?;
    let (distance, now) = distance(plan, first);
    let may_change = changes(plan, &set.mesh(first).gears().each()) || plan.unknowns.modules.unknown(first).is_some();
    // A whole number: what is not nothing is at least 1.
    may_change.then(|| plan.unknowns.modules.whole_multiple(distance - now).absolute())
}

/// Twice the centre distance without shift, and what it is now.
fn distance(plan: &TeethPlan<'_>, mesh: MeshId) -> (Expression, Fraction) {
    let modules = &plan.unknowns.modules;
    let (sum, now) = sum(plan, mesh);
    (modules.expression(mesh) * sum, modules.now(mesh) * now)
}

/// The sum of the teeth of a mesh, their difference for a ring, and what it is now.
fn sum(plan: &TeethPlan<'_>, mesh: MeshId) -> (Expression, Fraction) {
    let set = plan.set;
    let [a, b] = set.mesh(mesh).gears().each();
    let is_internal = |gear: GearId| set.gear(gear).kind() == GearKind::Internal;
    let (outer, inner, sign) = match (is_internal(a), is_internal(b)) {
        (true, _) => (a, b, -1),
        (_, true) => (b, a, -1),
        _ => (a, b, 1),
    };
    let now = |gear: GearId| fraction(plan.unknowns.now[gear.index()], 1);
    let count = |gear: GearId| plan.unknowns.count(gear);
    let sum = if sign > 0 { count(outer) + count(inner) } else { count(outer) - count(inner) };
    (sum, now(outer) + fraction(sign, 1) * now(inner))
}
