//! How are the combinations gone through?
//!
//! Depth first, one unknown a level. A value is chosen from what propagation has left, the requirements that have
//! become complete are tested, the others narrow what is open. Whatever is cut off is added to the account of
//! the test that did it, with all combinations behind it, so that the account is complete at the end.

use std::ops::RangeInclusive;
use std::sync::Arc;

use num_integer::Integer;
use num_traits::Zero;

use super::bound::Costs;
use super::expression::Variable;
use super::interval::Interval;
use super::kept::Kept;
use super::memory::{OwnCounts, RemainderCount, SharedCounts};
use super::node_intervals::NodeIntervals;
use super::outcome::Combination;
use super::pareto::Front;
use super::plan::{Level, Plan, wide};
use super::problem::{Options, Wanted};
use super::propagate::{Narrowing, Propagation};
use super::requirement::Code;
use super::stepping::{Steps, solve};
use super::test::{Test, TestKind};
use crate::exact::Fraction;

/// The account of a walk.
#[derive(Clone, Debug, Default)]
pub(super) struct Tally {
    /// By test.
    pub(super) excluded: Vec<u128>,
    pub(super) count: u128,
    pub(super) visited: u128,
}

impl Tally {
    pub(super) fn new(plan: &Plan<'_>) -> Self {
        Self { excluded: vec![0; plan.tests.len()], count: 0, visited: 0 }
    }

    pub(super) fn add(&mut self, other: &Self) {
        self.excluded.iter_mut().zip(&other.excluded).for_each(|(sum, one)| *sum += one);
        self.count += other.count;
        self.visited += other.visited;
    }

    /// Adds what a remainder holds.
    fn add_remainder(&mut self, counted: &RemainderCount) {
        self.count += counted.count;
        counted.excluded.iter().for_each(|&(test, number)| self.excluded[test] += number);
    }

    /// The combinations that are decided.
    pub(super) fn decided(&self) -> u128 {
        self.excluded.iter().sum::<u128>() + self.count
    }
}

/// The first values of combinations, and how good at best these can be.
#[derive(Clone, Debug)]
pub(super) struct Start {
    pub(super) values: Vec<i64>,
    pub(super) cost: f64,
    /// How many values are left for the next unknown.
    pub(super) left: usize,
}

/// One thread's walk.
#[derive(Debug)]
pub(super) struct Walker<'a> {
    plan: &'a Plan<'a>,
    shared: Option<&'a SharedCounts<'a>>,
    own: OwnCounts<'a>,
    /// What all threads keep, where it is counted.
    kept: Option<&'a Kept>,
    options: &'a Options<'a>,
    /// How many values were chosen, those included that others had gone through as well.
    chosen: u128,
    /// Ends the walk when more are chosen.
    budget: u128,
    pub(super) stopped: bool,
    tests: Vec<Test>,
    values: Vec<i64>,
    /// The costs by the goals that are code, as soon as they are known.
    measured: Vec<Option<Fraction>>,
    /// The values that a code needs.
    needed: Vec<i64>,
    states: Vec<NodeIntervals>,
    /// The window of the goals for which the first of them is narrowed.
    narrowed_for: Option<Interval>,
    /// Nothing but between the steps of a sweep.
    cut: Vec<bool>,
    slots: Vec<usize>,
    /// The number of the beginning from which the walk goes on, and the level of the first choice after it.
    beginning: usize,
    begun: usize,
    /// The level before which the walk turns.
    limit: usize,
    pub(super) starts: Vec<Start>,
    pub(super) tally: Tally,
    pub(super) found: Vec<Combination>,
    pub(super) costs: Costs,
    pub(super) front: Front,
}

impl<'a> Walker<'a> {
    pub(super) fn new(
        plan: &'a Plan<'a>,
        shared: Option<&'a SharedCounts<'a>>,
        kept: Option<&'a Kept>,
        options: &'a Options<'a>,
    ) -> Self {
        let mut slots = vec![0];
        for (depth, level) in plan.levels.iter().enumerate() {
            let next = plan.levels.get(depth + 1).is_some_and(|next| next.context.is_some());
            let is_new =
                next || !level.propagation.is_empty() || !level.possible.is_empty() || !level.measures.is_empty();
            slots.push(slots[depth] + usize::from(is_new));
        }
        Self {
            plan,
            shared,
            own: OwnCounts::new(plan, shared),
            kept,
            options,
            chosen: 0,
            budget: u128::MAX,
            stopped: false,
            tests: plan.tests.clone(),
            values: vec![0; plan.leaves.len()],
            measured: vec![None; plan.tests.len() - plan.first_goal],
            needed: Vec::new(),
            states: vec![plan.start.clone(); slots[plan.levels.len()] + 1],
            narrowed_for: None,
            cut: vec![false; plan.graph.nodes.len()],
            slots,
            beginning: 0,
            begun: 0,
            limit: plan.levels.len(),
            starts: Vec::new(),
            tally: Tally::new(plan),
            found: Vec::new(),
            costs: Costs::default(),
            front: Front::default(),
        }
    }

    /// Goes on from where the walk turned before, or begins, and notes where it turns at another level.
    pub(super) fn expand(&mut self, limit: usize) {
        self.limit = limit;
        let beginnings = std::mem::take(&mut self.starts);
        if limit == 0 {
            self.go_on(&[]);
        }
        for start in &beginnings {
            self.go_on(&start.values);
        }
    }

    /// Goes through all combinations that begin with some values, those with which a beginning of some number does.
    pub(super) fn explore(&mut self, beginning: usize, start: &[i64]) {
        self.limit = self.plan.levels.len();
        self.beginning = beginning;
        self.tally = Tally::new(self.plan);
        self.found.clear();
        self.go_on(start);
    }

    fn go_on(&mut self, start: &[i64]) {
        self.begun = start.len();
        let mut cut = self.narrow_start();
        for (depth, &value) in start.iter().enumerate() {
            cut = cut.or_else(|| self.assign(depth, value, None));
        }
        match cut {
            Some(test) => self.tally.excluded[test] += self.plan.after(start.len(), self.beginning),
            None => self.enter(start.len()),
        }
    }

    /// Narrows the ranges before any choice; the test that leaves nothing, if one does.
    fn narrow_start(&mut self) -> Option<usize> {
        let window = self.goal_window();
        if self.narrowed_for == Some(window) {
            return None;
        }
        self.states[0].copy_from(&self.plan.start);
        let constant = (0..self.tests.len()).find(|&test| self.plan.tests[test].scope == 0 && !self.holds(test));
        let cut = constant.or_else(|| self.propagate(0, &self.plan.before_choice));
        self.narrowed_for = cut.is_none().then_some(window);
        cut
    }

    /// Lets the walk choose so many values from now on.
    pub(super) fn grant(&mut self, choices: u128) {
        (self.budget, self.stopped) = (self.chosen.saturating_add(choices), false);
    }

    /// Whether no combination can cost at most what the bound says, by propagation alone.
    pub(super) fn is_refuted(&mut self) -> bool {
        self.narrow_start().is_some()
    }

    /// Propagates; the test that leaves nothing, if one does.
    fn propagate(&mut self, slot: usize, propagation: &Propagation) -> Option<usize> {
        let goals = (self.plan.first_goal, self.goal_window());
        let (state, cut) = (&mut self.states[slot], &mut self.cut);
        propagation.run(&mut Narrowing { tests: &mut self.tests, values: &mut self.values, state, cut, goals })
    }

    fn goal_window(&self) -> Interval {
        self.costs.bound().map_or(Interval::ALL, |bound| bound.window)
    }

    fn enter(&mut self, depth: usize) {
        if depth == self.limit {
            self.arrive(depth);
        } else if self.is_recalled(depth) {
            self.recall(depth);
        } else {
            self.choose(depth);
        }
    }

    /// Whether what remains from a level on is counted once for all; within a beginning it is not.
    fn is_recalled(&self, depth: usize) -> bool {
        let has_table = self.plan.levels.get(depth).is_some_and(|level| level.context.is_some());
        has_table && depth >= self.begun && self.shared.is_some() && !self.plan.is_shared_out(depth)
    }

    /// Takes what has been counted before, or counts and remembers it.
    fn recall(&mut self, depth: usize) {
        let plan = self.plan;
        let (Some(context), Some(shared)) = (&plan.levels[depth].context, self.shared) else { return };
        let key = context.key(&self.values);
        if let Some(counted) = self.own.get(depth, key) {
            self.tally.add_remainder(counted);
            return;
        }
        let counted = match shared.get(depth, key) {
            Some(counted) => counted,
            None => match self.count_anew(depth, key, shared) {
                Some(counted) => counted,
                None => return,
            },
        };
        // What others do not keep either is not kept at all.
        if Arc::strong_count(&counted) > 1 {
            self.own.put(depth, key, &counted);
        }
        self.tally.add_remainder(&counted);
    }

    /// Counts a remainder from the values it depends on alone; `None` if the search was stopped meanwhile, with
    /// what was counted in the account.
    fn count_anew(&mut self, depth: usize, key: u64, shared: &SharedCounts<'_>) -> Option<Arc<RemainderCount>> {
        let plan = self.plan;
        let context = plan.levels[depth].context.as_ref()?;
        let slot = self.slots[depth];
        let outer = std::mem::replace(&mut self.tally, Tally::new(plan));
        self.states[slot].copy_from(&plan.start);
        for &(unknown, ..) in &context.unknowns {
            self.states[slot].intervals[plan.leaves[unknown]] =
                Interval::whole(self.values[unknown], self.values[unknown]);
        }
        match self.propagate(slot, &context.propagation) {
            Some(test) => self.tally.excluded[test] += plan.after(depth, self.beginning),
            None => self.choose(depth),
        }
        let inner = std::mem::replace(&mut self.tally, outer);
        if self.stopped {
            self.tally.add(&inner);
            return None;
        }
        let excluded = inner.excluded.iter().copied().enumerate().filter(|&(_, number)| number > 0).collect();
        let counted = Arc::new(RemainderCount { count: inner.count, excluded });
        if shared.put(depth, key, &counted) {
            self.tally.visited += inner.visited;
        }
        Some(counted)
    }

    fn choose(&mut self, depth: usize) {
        let plan = self.plan;
        let level = &plan.levels[depth];
        if let Some(derived) = level.derived {
            match self.derive(derived) {
                Some(value) if self.plan.owns(depth, self.beginning, 0) => self.visit(depth, value, None),
                Some(_) => {}
                None => self.tally.excluded[derived] += self.behind(depth, 0..1),
            }
            return;
        }
        let (from, to) = self.left(depth, level);
        let steps = match level.stepping {
            Some(test) if level.is_range && to > from + 1 => self.steps(level, test, from, to),
            _ => None,
        };
        match steps {
            Some((test, steps)) => {
                let kept = (from + steps.first.min(to - from)..to).step_by(steps.step);
                self.tally.excluded[test] += self.behind(depth, from..to) - self.behind(depth, kept.clone());
                self.visit_own(depth, kept, Some(test));
            }
            None => self.visit_own(depth, from..to, None),
        }
    }

    /// Goes through the values at some places of a level, those that are this part's.
    fn visit_own(&mut self, depth: usize, places: impl Iterator<Item = usize>, stepped: Option<usize>) {
        let plan = self.plan;
        for at in places {
            if plan.owns(depth, self.beginning, at) {
                self.visit(depth, plan.levels[depth].values[at], stepped);
            }
        }
    }

    fn visit(&mut self, depth: usize, value: i64, stepped: Option<usize>) {
        if self.stopped {
            return;
        }
        match self.assign(depth, value, stepped) {
            Some(test) => self.tally.excluded[test] += self.plan.levels[depth].after,
            None => self.enter(depth + 1),
        }
    }

    /// How many combinations that are this part's there are behind the values at some places of a level.
    fn behind(&self, depth: usize, places: impl ExactSizeIterator<Item = usize>) -> u128 {
        self.plan.behind(depth, self.beginning, places)
    }

    /// The places of the values that propagation has left; the others are put to the account of who cut them off.
    fn left(&mut self, depth: usize, level: &Level) -> (usize, usize) {
        let (from, to) = self.places_left(depth);
        let [below, above] = self.states[self.slots[depth]].cut_by[level.unknown];
        for (test, places) in [(below, 0..from), (above, to..level.values.len())] {
            if !places.is_empty() {
                self.tally.excluded[test] += self.behind(depth, places);
            }
        }
        (from, to)
    }

    /// From which place to which the values of a level are left.
    fn places_left(&self, depth: usize) -> (usize, usize) {
        let level = &self.plan.levels[depth];
        let interval = self.states[self.slots[depth]].intervals[self.plan.leaves[level.unknown]];
        let (low, high) = interval.integers().into_inner();
        let all = level.width();
        if low > high || level.derived.is_some() {
            return (all, all);
        }
        (place(level, low), high.checked_add(1).map_or(all, |above| place(level, above)))
    }

    /// Which of the values left pass a test for divisibility.
    fn steps(&mut self, level: &Level, test: usize, from: usize, to: usize) -> Option<(usize, Steps)> {
        let TestKind::Multiple(program) = &mut self.tests[test].kind else { return None };
        self.values[level.unknown] = level.values[from];
        let has_value = program.run(&self.values);
        let (first, divisor) = (program.narrow(0)?, program.narrow(1)?);
        self.values[level.unknown] = level.values[from + 1];
        if !has_value || !program.run(&self.values) {
            return Some((test, Steps { first: to - from, step: 1 }));
        }
        // It is linear in the unknown, whose values are consecutive: two of them tell the slope.
        let slope = program.narrow(0)?.checked_sub(first)?;
        Some((test, solve(first, slope, divisor, to - from)))
    }

    /// Gives an unknown a value; the test that excludes it, if one does.
    fn assign(&mut self, depth: usize, value: i64, stepped: Option<usize>) -> Option<usize> {
        let plan = self.plan;
        let level = &plan.levels[depth];
        self.tally.visited += 1;
        self.chosen += 1;
        if self.chosen.is_multiple_of(256) {
            self.stopped |=
                self.options.is_stop_requested() || self.chosen > self.budget || self.kept.is_some_and(Kept::is_full);
        }
        self.values[level.unknown] = value;
        for &test in &level.checks {
            if stepped != Some(test) && !self.holds(test) {
                return Some(test);
            }
        }
        let (slot, next) = (self.slots[depth], self.slots[depth + 1]);
        // What is counted once for all is bounded from the values alone that it depends on.
        if slot == next || self.is_recalled(depth + 1) {
            return None;
        }
        let (before, after) = self.states.split_at_mut(next);
        after[0].copy_from(&before[slot]);
        after[0].intervals[plan.leaves[level.unknown]] = Interval::whole(value, value);
        self.propagate(next, &level.propagation)
            .or_else(|| level.measures.iter().copied().find(|&goal| !self.may_measure(goal, next, level.known)))
            .or_else(|| self.is_beaten(next, level).then_some(plan.first_goal))
            .or_else(|| level.possible.iter().copied().find(|&test| !self.may_hold(test, next, level.known)))
    }

    /// Whether something found is better than all that is left.
    fn is_beaten(&self, slot: usize, level: &Level) -> bool {
        let plan = self.plan;
        let is_same = !level.propagation.has_test_from(plan.first_goal) && level.measures.is_empty();
        if *plan.wanted != Wanted::Pareto || is_same {
            return false;
        }
        let roots = plan.tests[plan.first_goal..].iter().filter_map(|test| test.root);
        let least: Vec<f64> = roots.map(|(root, _)| self.states[slot].intervals[root].low()).collect();
        self.front.beats(&least)
    }

    fn holds(&mut self, test: usize) -> bool {
        let values = &self.values;
        match &mut self.tests[test].kind {
            TestKind::Window(program) => program.is_not_negative(values),
            TestKind::Multiple(program) => {
                program.run(values)
                    && match (program.narrow(0), program.narrow(1)) {
                        (Some(of), Some(divisor)) => of % divisor == 0,
                        _ => (program.whole(0) % program.whole(1)).is_zero(),
                    }
            }
            TestKind::CommonDivisor(program, is) => {
                program.run(values) && program.whole(0).gcd(&program.whole(2)) == (*is).into()
            }
            TestKind::Code(code, program) => {
                if program.as_mut().is_some_and(|program| program.has_no_zero(values)) {
                    return true;
                }
                self.needed.clear();
                self.needed.extend(code.needs.iter().map(|needed| values[needed.0]));
                (code.test)(&self.needed)
            }
            TestKind::Goal(program) => {
                program.run(values) && !self.costs.bound().is_some_and(|bound| bound.is_below(program))
            }
            TestKind::Measure(code) => {
                self.needed.clear();
                self.needed.extend(code.needs.iter().map(|needed| values[needed.0]));
                let cost = code.cost(&self.needed);
                let bound = self.costs.bound();
                let counts = cost.as_ref().is_some_and(|cost| bound.is_none_or(|bound| *cost <= bound.value));
                self.measured[test - self.plan.first_goal] = cost;
                counts
            }
            TestKind::Derived(_) => true,
        }
    }

    /// Whether a requirement in code may still be met, by its bounds.
    fn may_hold(&self, test: usize, slot: usize, known: u64) -> bool {
        let TestKind::Code(Code { needs, possible: Some(possible), .. }, _) = &self.tests[test].kind else {
            return true;
        };
        possible(&self.ranges(needs, slot, known))
    }

    /// Bounds a goal in code; whether it may still count.
    fn may_measure(&mut self, goal: usize, slot: usize, known: u64) -> bool {
        let test = &self.plan.tests[goal];
        let (TestKind::Measure(code), Some((root, _))) = (&test.kind, test.root) else { return true };
        let least = if test.scope & !known == 0 {
            self.measured[goal - self.plan.first_goal].clone()
        } else {
            code.least(&self.ranges(&code.needs, slot, known))
        };
        let window = self.goal_window();
        let interval = &mut self.states[slot].intervals[root];
        *interval = interval.meet(Interval::between(least.as_ref(), None));
        interval.low() <= window.high()
    }

    /// The ranges that unknowns still have.
    fn ranges(&self, needs: &[Variable], slot: usize, known: u64) -> Vec<RangeInclusive<i64>> {
        let intervals = &self.states[slot].intervals;
        let ranges = needs.iter().map(|&Variable(unknown)| match known & (1 << unknown) {
            0 => intervals[self.plan.leaves[unknown]].integers(),
            _ => self.values[unknown]..=self.values[unknown],
        });
        ranges.collect()
    }

    /// The value of a derived quantity, if it has one that is whole.
    fn derive(&mut self, test: usize) -> Option<i64> {
        let TestKind::Derived(program) = &mut self.tests[test].kind else { return None };
        if !program.run(&self.values) {
            return None;
        }
        match (program.narrow(0), program.narrow(1)) {
            (of @ Some(_), Some(1)) => return of,
            (Some(of), Some(by)) => return (of % by == 0).then(|| of / by),
            _ => {}
        }
        let (whole, rest) = program.whole(0).div_rem(&program.whole(1));
        rest.is_zero().then(|| i64::try_from(whole).ok()).flatten()
    }

    /// At the level where the walk turns.
    fn arrive(&mut self, depth: usize) {
        let plan = self.plan;
        if depth < plan.levels.len() {
            let values = plan.levels[..depth].iter().map(|level| self.values[level.unknown]).collect();
            let root = plan.tests.get(plan.first_goal).and_then(|goal| goal.root);
            let state = &self.states[self.slots[depth]];
            let cost = root.map_or(0.0, |(root, _)| state.intervals[root].low());
            let (from, to) = self.places_left(depth);
            self.starts.push(Start { values, cost, left: to - from });
            return;
        }
        if plan.counts() {
            self.tally.count += 1;
            return;
        }
        let costs = self.costs_here();
        let signed = costs.iter().zip(&plan.problem.goals);
        let measures = signed.map(|(cost, goal)| if goal.larger_is_better { -cost } else { cost.clone() }).collect();
        let found = Combination { values: self.values.clone(), measures };
        match plan.wanted {
            Wanted::Best(_) => self.keep_best(found, &costs[0]),
            Wanted::Pareto => self.keep_in_front(found, costs),
            Wanted::All | Wanted::Within(_) | Wanted::Count => self.keep(found),
        }
    }

    fn costs_here(&mut self) -> Vec<Fraction> {
        let first = self.plan.first_goal;
        let values = &self.values;
        let cost = |(test, measured): (&mut Test, &Option<Fraction>)| {
            let TestKind::Goal(program) = &mut test.kind else { return measured.clone() };
            program.run(values).then(|| program.quotient_of_results())
        };
        self.tests[first..].iter_mut().zip(&self.measured).filter_map(cost).collect()
    }

    fn keep(&mut self, found: Combination) {
        self.found.push(found);
        self.tally.count += 1;
        self.stopped |= self.kept.is_some_and(Kept::keeps_found);
    }

    fn drop_found(&mut self, number: usize) {
        self.kept.iter().for_each(|kept| kept.drops_found(number));
        let number = wide(number);
        self.tally.count -= number;
        self.tally.excluded[self.plan.first_goal] += number;
    }

    fn keep_best(&mut self, found: Combination, cost: &Fraction) {
        self.keep(found);
        if self.costs.note(cost)
            && let Some(bound) = self.costs.bound()
        {
            let (before, value) = (self.found.len(), bound.value.clone());
            let larger = self.plan.problem.goals[0].larger_is_better;
            self.found.retain(|found| if larger { -&found.measures[0] <= value } else { found.measures[0] <= value });
            self.drop_found(before - self.found.len());
        }
    }

    fn keep_in_front(&mut self, found: Combination, costs: Vec<Fraction>) {
        self.keep(found);
        if self.front.add(costs) {
            let front = &self.front;
            let goals = &self.plan.problem.goals;
            let before = self.found.len();
            self.found.retain(|found| !front.dominates(&found.measures, goals));
            self.drop_found(before - self.found.len());
        } else {
            self.found.pop();
            self.drop_found(1);
        }
    }
}

/// How many values of a level are below one.
fn place(level: &Level, value: i64) -> usize {
    match level.values.first() {
        Some(&first) if level.is_range => usize::try_from(value.saturating_sub(first).max(0))
            .map_or(level.values.len(), |at| at.min(level.values.len())),
        _ => level.values.partition_point(|&one| one < value),
    }
}
