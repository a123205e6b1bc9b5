//! Does every planet keep one centre distance in all its meshes?
//!
//! Without profile shift a mesh of tooth counts Z and P and module m has the centre distance
//! `m (Z + P) / 2`, with the difference for a ring. Two meshes of one planet with gears on the main axis
//! have to agree; profile shift can make up for a difference of a few teeth (of one or two: common
//! practice, no source).

use num_traits::Signed;

use super::plan::TeethPlan;
use super::request::CenterDistances;
use super::rules::changes;
use crate::exact::{Fraction, fraction};
use crate::gearset::{GearId, GearKind, Gearset, MemberId, MeshId, Pitch};
use crate::search::Expression;

/// The module of a mesh, exactly; 1 where no pitch is given.
pub(super) fn module(set: &Gearset, mesh: MeshId) -> Fraction {
    match set.mesh(mesh).pitch() {
        None => fraction(1, 1),
        Some(Pitch::Module(module)) => module.clone(),
        Some(Pitch::Diametral(pitch)) => fraction(254, 10) / pitch,
    }
}

/// Adds for every planet that its meshes with the main axis agree, and keep their distance if it is to be kept.
pub(super) fn add(plan: &mut TeethPlan<'_>) {
    let set = plan.set;
    for planet in set.member_ids().filter(|&member| set.carrier_of(member).is_some()) {
        let meshes: Vec<MeshId> = set.mesh_ids().filter(|&mesh| is_with_main_axis(set, mesh, planet)).collect();
        let Some((&first, others)) = meshes.split_first() else { continue };
        for &other in others {
            agree(plan, planet, [first, other]);
        }
        if plan.request.center_distances == CenterDistances::Kept {
            keep(plan, planet, first);
        }
    }
}

/// Whether this is a mesh of a planet with a gear on the main axis, neither a bevel gear.
fn is_with_main_axis(set: &Gearset, mesh: MeshId, planet: MemberId) -> bool {
    let [a, b] = set.mesh(mesh).gears().both().map(|&gear| set.gear(gear));
    let with = |one: MemberId, other: MemberId| one == planet && set.carrier_of(other).is_none();
    !a.kind().is_bevel() && (with(a.member(), b.member()) || with(b.member(), a.member()))
}

fn agree(plan: &mut TeethPlan<'_>, planet: MemberId, meshes: [MeshId; 2]) {
    let set = plan.set;
    let gears: Vec<GearId> = meshes.iter().flat_map(|&mesh| set.mesh(mesh).gears().both().map(|&gear| gear)).collect();
    if !changes(plan, &gears) {
        return;
    }
    let [(first, first_now), (second, second_now)] = meshes.map(|mesh| distance(plan, mesh));
    let modules = meshes.map(|mesh| module(set, mesh));
    let allowed = match &plan.request.center_distances {
        CenterDistances::Within(teeth) => teeth.abs() * modules[0].clone().min(modules[1].clone()),
        CenterDistances::Equal | CenterDistances::Kept | CenterDistances::Free => (first_now - second_now).abs(),
    };
    let name = format!("{} keeps one centre distance", set.member(planet).name());
    plan.problem.require(&name, (first - second).within(-allowed.clone(), allowed));
}

fn keep(plan: &mut TeethPlan<'_>, planet: MemberId, mesh: MeshId) {
    let gears = plan.set.mesh(mesh).gears().both().map(|&gear| gear);
    if changes(plan, &gears) {
        let (distance, now) = distance(plan, mesh);
        let name = format!("{} stays on its pin circle", plan.set.member(planet).name());
        plan.problem.require(&name, distance.equals(now));
    }
}

/// How many teeth the sum of a planet's first mesh with the main axis is from what it is now: another sum is another
/// circle for its pins. `None` where it cannot change.
pub(super) fn circle_moves(plan: &TeethPlan<'_>, planet: MemberId) -> Option<Expression> {
    let set = plan.set;
    let first = set.mesh_ids().find(|&mesh| is_with_main_axis(set, mesh, planet))?;
    let (sum, now) = sum(plan, first);
    changes(plan, &set.mesh(first).gears().both().map(|&gear| gear)).then(|| sum.distance_to(now))
}

/// Twice the centre distance without shift, and what it is now.
fn distance(plan: &TeethPlan<'_>, mesh: MeshId) -> (Expression, Fraction) {
    let module = module(plan.set, mesh);
    let (sum, now) = sum(plan, mesh);
    (module.clone() * sum, module * now)
}

/// The sum of the teeth of a mesh, their difference for a ring, and what it is now.
fn sum(plan: &TeethPlan<'_>, mesh: MeshId) -> (Expression, Fraction) {
    let set = plan.set;
    let [a, b] = set.mesh(mesh).gears().both().map(|&gear| gear);
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
