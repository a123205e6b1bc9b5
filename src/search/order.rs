//! Which unknown is chosen first?
//!
//! Those that make the next goal or requirement complete with the fewest combinations; goals come first, part by
//! part, since their bounds exclude the most. Of an expression with bounds the largest unknown counts half, as bounds
//! leave few of its values; of equal ones that with which more derived quantities become known. These follow as soon as
//! they can be computed.

use num_traits::ToPrimitive;

use super::graph::GraphNode;
use super::plan::{Plan, bits};
use super::problem::{NotSearchable, Wanted};
use super::space::ValueSource;
use super::test::Test;

/// The unknowns and derived quantities in the order of choice.
pub(super) fn choose(plan: &Plan<'_>) -> Result<Vec<usize>, NotSearchable> {
    let free: u64 =
        (0..plan.leaves.len()).filter(|&place| plan.is_free(place)).fold(0, |bits, place| bits | 1 << place);
    let chosen = match &plan.problem.order {
        Some(order) => {
            let named = order.iter().fold(0_u64, |bits, variable| bits | 1 << variable.0);
            if named != free || order.len() != bits(free).count() {
                return Err(NotSearchable::Order);
            }
            order.iter().map(|variable| variable.0).collect()
        }
        None => by_cost(plan, free),
    };
    let mut order = Vec::new();
    let mut known = 0_u64;
    place_derived(plan, &mut order, &mut known);
    for unknown in chosen {
        order.push(unknown);
        known |= 1 << unknown;
        place_derived(plan, &mut order, &mut known);
    }
    Ok(order)
}

/// Appends all derived quantities that can be computed and have not been yet.
fn place_derived(plan: &Plan<'_>, order: &mut Vec<usize>, known: &mut u64) {
    for place in 0..plan.leaves.len() {
        let behind = plan.graph.below[plan.leaves[place]];
        if !plan.is_free(place) && *known & (1 << place) == 0 && behind & !*known == 0 {
            order.push(place);
            *known |= 1 << place;
        }
    }
}

fn size(plan: &Plan<'_>, unknown: usize) -> f64 {
    match &plan.problem.space.unknowns[unknown].choice {
        ValueSource::Free(values) => values.len().to_f64().unwrap_or(f64::MAX).max(1.0),
        ValueSource::Derived(_) => 1.0,
    }
}

fn by_cost(plan: &Plan<'_>, free: u64) -> Vec<usize> {
    let goals = plan.tests[plan.first_goal..].iter().filter_map(|test| test.root);
    let mut parts = Vec::new();
    goals.for_each(|(root, _)| parts_of(plan, root, &mut parts));
    let of_goals: Vec<(u64, bool)> = parts
        .iter()
        .map(|&part| (plan.graph.below[part], !matches!(plan.graph.nodes[part], GraphNode::Measure(_))))
        .collect();
    let of_requirements: Vec<(u64, bool)> =
        plan.tests[..plan.first_derived].iter().map(|test| (test.behind, test.root.is_some())).collect();
    let mut order = Vec::new();
    let mut known = 0_u64;
    // Where all are wanted goals exclude nothing.
    let goals_first = !matches!(plan.wanted, Wanted::All | Wanted::Count);
    if !goals_first {
        // What has fewer values than requirements that ask for it makes many complete at little cost.
        let count = |unknown: usize| {
            let asks = |test: &&Test| test.scope & (1 << unknown) != 0;
            plan.tests[..plan.first_derived].iter().filter(asks).count().to_f64().unwrap_or(0.0)
        };
        let few = bits(free).filter(|&unknown| size(plan, unknown) < count(unknown));
        append(plan, &mut order, &mut known, few.fold(0, |bits, unknown| bits | 1 << unknown));
    }
    for scopes in [if goals_first { of_goals } else { Vec::new() }, of_requirements] {
        loop {
            let open = scopes.iter().filter(|(scope, _)| scope & !known != 0);
            let work = |&(scope, bounds): &(u64, bool)| work_before(plan, scope & !known)[usize::from(bounds)];
            let more_derived = |a: u64, b: u64| derived_with(plan, b, known).cmp(&derived_with(plan, a, known));
            let before =
                |a: &&(u64, bool), b: &&(u64, bool)| work(a).total_cmp(&work(b)).then_with(|| more_derived(a.0, b.0));
            let Some(&(scope, _)) = open.min_by(before) else { break };
            append(plan, &mut order, &mut known, scope);
        }
    }
    append(plan, &mut order, &mut known, free);
    order
}

/// How many derived quantities become known with a scope.
fn derived_with(plan: &Plan<'_>, scope: u64, known: u64) -> usize {
    let derived = (0..plan.leaves.len()).filter(|&place| !plan.is_free(place));
    let behind = derived.map(|place| plan.graph.below[plan.leaves[place]]);
    behind.filter(|behind| behind & !known != 0 && behind & !(known | scope) == 0).count()
}

/// The logarithm of how many choices the unknowns of a scope allow, and the same with the root of the largest number: where
/// there are bounds they leave few of its values.
fn work_before(plan: &Plan<'_>, scope: u64) -> [f64; 2] {
    let sizes = bits(scope).map(|unknown| size(plan, unknown).ln());
    let (sum, largest) = sizes.fold((0.0, 0.0_f64), |(sum, most), size| (sum + size, most.max(size)));
    [sum, sum - largest / 2.0]
}

/// Appends the unknowns of a scope, the one with the fewest values first.
fn append(plan: &Plan<'_>, order: &mut Vec<usize>, known: &mut u64, scope: u64) {
    let mut new: Vec<usize> = bits(scope & !*known).collect();
    new.sort_by(|&a, &b| size(plan, a).total_cmp(&size(plan, b)));
    order.extend(new);
    *known |= scope;
}

/// The parts of which a goal is the largest, each with its own unknowns.
fn parts_of(plan: &Plan<'_>, root: usize, parts: &mut Vec<usize>) {
    if let GraphNode::Larger(a, b) = plan.graph.nodes[root] {
        parts_of(plan, a, parts);
        parts_of(plan, b, parts);
    } else {
        parts.push(root);
    }
}
