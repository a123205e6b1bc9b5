//! What is better, as measures of the problem.

use super::distances;
use super::places::is_equal;
use super::plan::TeethPlan;
use super::request::{Goal, Wish};
use crate::gearset::{GearId, Gearset, MemberId};
use crate::search::Expression;

/// A goal, with what it is called and whether more is better.
struct NamedGoal {
    name: String,
    measure: Expression,
    more_is_better: bool,
}

/// Adds the goals of a request: how far the worst of the targets is missed; each ratio that is to be large or
/// small; those asked for by name. Where none is asked for, as few parts changed as can be.
pub(super) fn add(plan: &mut TeethPlan<'_>) {
    for goal in goals(plan) {
        if goal.more_is_better {
            plan.problem.maximise(goal.measure);
        } else {
            plan.problem.minimise(goal.measure);
        }
    }
}

/// What each goal is called, in their order.
pub(super) fn names(plan: &TeethPlan<'_>) -> Vec<String> {
    goals(plan).into_iter().map(|goal| goal.name).collect()
}

fn goals(plan: &TeethPlan<'_>) -> Vec<NamedGoal> {
    let mut found = Vec::new();
    let mut add = |name: String, measure: Expression, more_is_better: bool| {
        found.push(NamedGoal { name, measure, more_is_better });
    };
    let ratios = plan.wishes.iter().map(|wished| (&wished.wish, wished.ratio()));
    let values = plan.values.iter().filter_map(|wished| Some((&wished.wish, wished.formula.as_ref()?.value.clone())));
    let off_target = ratios.chain(values).filter_map(|(wish, value)| match wish {
        Wish::Near(target) => Some((value / target.clone()).distance_to(1)),
        Wish::Between(..) | Wish::AtMost(_) | Wish::AtLeast(_) | Wish::Largest | Wish::Smallest => None,
    });
    if let Some(worst) = Expression::largest(off_target) {
        let what =
            if plan.values.iter().any(|wished| matches!(wished.wish, Wish::Near(_))) { "value" } else { "ratio" };
        add(format!("worst {what} off its target, as a part of it"), worst, false);
    }
    let ratios = plan
        .wishes
        .iter()
        .map(|wished| (&wished.wish, format!("ratio of {}", wished.state), wished.ratio().absolute()));
    let values = plan
        .values
        .iter()
        .filter_map(|wished| Some((&wished.wish, wished.name.clone(), wished.formula.as_ref()?.value.clone())));
    for (wish, name, size) in ratios.chain(values) {
        match wish {
            Wish::Largest => add(format!("largest {name}"), size, true),
            Wish::Smallest => add(format!("smallest {name}"), size, false),
            Wish::Near(_) | Wish::Between(..) | Wish::AtMost(_) | Wish::AtLeast(_) => {}
        }
    }
    let mut asked = plan.request.goals.clone();
    // What parts cost is told for a reason: a limit, or as a goal.
    let costs_count = !plan.request.costs.is_empty() && plan.request.most_cost.is_none();
    if asked.is_empty() && (found.is_empty() || costs_count) {
        asked.push(if costs_count { Goal::LeastCost } else { Goal::FewestParts });
    }
    for (at, &goal) in asked.iter().enumerate() {
        // Told twice it is still one.
        if asked[..at].contains(&goal) {
            continue;
        }
        let (name, measure) = match goal {
            Goal::FewestParts => ("fewest parts changed", parts_changed(plan)),
            Goal::FewestTeeth => ("fewest teeth", all_teeth(plan)),
            Goal::LeastCost => ("cost of parts changed", cost(plan)),
        };
        found.push(NamedGoal { name: name.into(), measure, more_is_better: false });
    }
    found
}

/// How many bodies change: those with another count of a gear, and carriers with another number of pins or
/// another pin circle.
pub(super) fn parts_changed(plan: &TeethPlan<'_>) -> Expression {
    let changed = plan.set.member_ids().filter_map(|member| is_changed(plan, member));
    changed.reduce(|sum, next| sum + next).unwrap_or_else(|| 0.into())
}

/// What the bodies that change cost together: each 1, or what is told of it.
pub(super) fn cost(plan: &TeethPlan<'_>) -> Expression {
    let of_member = |member: MemberId| {
        let told = plan.request.costs.iter().find(|(other, _)| *other == member).map_or(1, |(_, cost)| *cost);
        Some(is_changed(plan, member)? * i64::from(told))
    };
    plan.set.member_ids().filter_map(of_member).reduce(|sum, next| sum + next).unwrap_or_else(|| 0.into())
}

/// The name of the requirement that a body does not change.
pub(super) fn stays(set: &Gearset, member: MemberId) -> String {
    format!("{} stays as it is", set.member(member).name())
}

/// 1 where a body changes and 0 where it does not, `min(sum |now - then|, 1)`; none where nothing of it can.
pub(super) fn is_changed(plan: &TeethPlan<'_>, member: MemberId) -> Option<Expression> {
    let set = plan.set;
    let own = set.member(member).gears().iter();
    let gears = own.clone().filter_map(|&gear| {
        let unknown = plan.unknowns.teeth[gear.index()]?;
        Some(Expression::from(unknown).distance_to(plan.unknowns.now[gear.index()]))
    });
    let first_mesh = |gear: &GearId| set.mesh_ids().find(|&mesh| set.mesh(mesh).gears().contains(gear));
    let modules = own.filter_map(first_mesh).filter_map(|mesh| plan.unknowns.modules.change(mesh));
    let pins = set.planet_groups().iter().zip(&plan.unknowns.places).filter_map(|(group, places)| {
        let unknown = places.unknown().filter(|_| group.carrier() == member)?;
        // Pins that are not equal now are none of the choices.
        let now = if is_equal(&group.spacings()) { group.places().len() } else { 0 };
        Some(Expression::from(unknown).distance_to(i64::try_from(now).unwrap_or(i64::MAX)))
    });
    let circles = set.member_ids().filter(|&planet| set.carrier_of(planet) == Some(member));
    let circles = circles.filter_map(|planet| distances::circle_moves(plan, planet));
    gears.chain(modules).chain(pins).chain(circles).reduce(|sum, next| sum + next).map(|changes| changes.smaller(1))
}

fn all_teeth(plan: &TeethPlan<'_>) -> Expression {
    plan.set.gear_ids().map(|gear| plan.unknowns.count(gear)).reduce(|sum, next| sum + next).unwrap_or_else(|| 0.into())
}
