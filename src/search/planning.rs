//! How does a problem become a plan?
//!
//! Expressions are compiled to exact programs and to nodes of the interval graph, unknowns put in an order, and for
//! each level it is laid out what is decided, propagated and remembered there.

use super::expression::Variable;
use super::graph::{Derived, Graph};
use super::interval::Interval;
use super::measure::Cost;
use super::node_intervals::NodeIntervals;
use super::operation;
use super::order;
use super::plan::{Context, Level, Plan, bits, wide};
use super::problem::{NotSearchable, SearchProblem, Wanted};
use super::program::Assembly;
use super::propagate::{Narrowing, Propagation, Sweep};
use super::requirement::RequirementKind;
use super::space::ValueSource;
use super::test::{Test, TestKind};
use super::tied_pair::TiedPair;
use super::tying::Tying;

/// Contexts of more than this many values are not worth a table.
const LARGEST_CONTEXT: u64 = 1 << 40;

impl<'a> Plan<'a> {
    pub(super) fn new(problem: &'a SearchProblem, wanted: &'a Wanted) -> Result<Self, NotSearchable> {
        let unknowns = problem.space.unknowns.len();
        if unknowns > 64 {
            return Err(NotSearchable::TooManyUnknowns(unknowns));
        }
        let combinations = problem.space.combinations().ok_or(NotSearchable::TooManyCombinations)?;
        let mut plan = Self {
            problem,
            wanted,
            graph: Graph::default(),
            leaves: Vec::new(),
            start: NodeIntervals::default(),
            operations: Vec::new(),
            tests: Vec::new(),
            first_derived: problem.requirements.len(),
            first_goal: 0,
            before_choice: Propagation::default(),
            levels: Vec::new(),
            combinations,
            share: None,
        };
        let ranges = plan.place_unknowns()?;
        plan.compile(&ranges)?;
        (plan.operations, plan.start.intervals) = operation::compile(&plan.graph, &plan.start.intervals);
        plan.start.cut_by = vec![[0, 0]; unknowns];
        plan.bound_measures();
        plan.before_choice = plan.propagation_of_all(0);
        plan.narrow_start();
        let order = order::choose(&plan)?;
        plan.lay_out(&order);
        plan.find_contexts(&ranges);
        Ok(plan)
    }

    /// The leaves of the graph with the intervals of the free unknowns, and the range of every value.
    fn place_unknowns(&mut self) -> Result<Vec<(i64, i64)>, NotSearchable> {
        let space = &self.problem.space;
        let mut ranges = Vec::new();
        for (place, unknown) in space.unknowns.iter().enumerate() {
            let leaf = match &unknown.choice {
                ValueSource::Free(_) => self.graph.add(&Variable(place).into(), Derived::Expanded(space)),
                ValueSource::Derived(expression) => self.graph.add(expression, Derived::Expanded(space)),
            };
            let known = ones(ranges.len());
            if matches!(unknown.choice, ValueSource::Derived(_)) && self.graph.below[leaf] & !known != 0 {
                return Err(NotSearchable::Unbounded(unknown.name.clone()));
            }
            self.leaves.push(leaf);
            let intervals = &mut self.start.intervals;
            intervals.resize(self.graph.nodes.len(), Interval::ALL);
            let range = match &unknown.choice {
                ValueSource::Free(values) => (*values.first().unwrap_or(&0), *values.last().unwrap_or(&0)),
                ValueSource::Derived(_) => operation::compile(&self.graph, intervals).1[leaf].integers().into_inner(),
            };
            if matches!(unknown.choice, ValueSource::Free(_)) {
                intervals[leaf] = Interval::whole(range.0, range.1);
            }
            if range.0 == i64::MIN || range.1 == i64::MAX {
                return Err(NotSearchable::Unbounded(unknown.name.clone()));
            }
            ranges.push(range);
        }
        Ok(ranges)
    }

    fn compile(&mut self, ranges: &[(i64, i64)]) -> Result<(), NotSearchable> {
        let (space, problem) = (&self.problem.space, self.problem);
        let mut written = Graph::default();
        for (name, requirement) in &problem.requirements {
            let kind = self.requirement(&mut written, &requirement.0, name, ranges)?;
            self.tests.push(kind);
        }
        for (place, unknown) in space.unknowns.iter().enumerate() {
            if let ValueSource::Derived(expression) = &unknown.choice {
                let root = written.add(expression, Derived::AsWritten);
                let program = Assembly::new(&written, ranges).ratio(root);
                let leaf = self.leaves[place];
                let (scope, behind) = (written.below[root], self.graph.below[leaf]);
                self.tests.push(Test { kind: TestKind::Derived(program), root: None, scope, behind });
            }
        }
        self.first_goal = self.tests.len();
        let goals = if self.counts() { &[][..] } else { &problem.goals[..] };
        for goal in goals {
            let cost = match &goal.cost {
                Cost::Expression(cost) => cost,
                Cost::Code(code) => {
                    let scope = scope_of(&code.needs);
                    let mut test = self.unbounded(TestKind::Measure(code.clone()), scope);
                    test.root = Some((self.graph.add_measure(self.tests.len(), test.behind), Interval::ALL));
                    self.tests.push(test);
                    continue;
                }
            };
            let root = written.add(cost, Derived::AsWritten);
            let expanded = self.graph.add(cost, Derived::Expanded(space));
            let program = Assembly::new(&written, ranges).ratio(root);
            self.tests.push(Test {
                kind: TestKind::Goal(program),
                root: Some((expanded, Interval::ALL)),
                scope: written.below[root],
                behind: self.graph.below[expanded],
            });
        }
        self.start.intervals.resize(self.graph.nodes.len(), Interval::ALL);
        Ok(())
    }

    fn requirement(
        &mut self,
        written: &mut Graph,
        rule: &RequirementKind,
        name: &str,
        ranges: &[(i64, i64)],
    ) -> Result<Test, NotSearchable> {
        let space = &self.problem.space;
        match rule {
            RequirementKind::Window { of, low, high } => {
                let root = written.add(of, Derived::AsWritten);
                let expanded = self.graph.add(of, Derived::Expanded(space));
                let program = Assembly::new(written, ranges).window(root, low.as_ref(), high.as_ref());
                let is_whole = self.graph.cone(expanded).iter().all(|&at| self.graph.nodes[at].keeps_integers());
                let between = if is_whole { Interval::whole_between } else { Interval::between };
                let window = between(low.as_ref(), high.as_ref());
                let (scope, behind) = (written.below[root], self.graph.below[expanded]);
                Ok(Test { kind: TestKind::Window(program), root: Some((expanded, window)), scope, behind })
            }
            RequirementKind::Multiple { of, divisor } => {
                let roots = [of, divisor].map(|one| written.add(one, Derived::AsWritten));
                let program = Assembly::new(written, ranges).quotient(roots[0], roots[1]);
                let scope = written.below[roots[0]] | written.below[roots[1]];
                Ok(self.unbounded(TestKind::Multiple(program), scope))
            }
            RequirementKind::CommonDivisor { of, is } => {
                let roots = [0, 1].map(|at| written.add(&of[at], Derived::AsWritten));
                if !roots.iter().flat_map(|&root| written.cone(root)).all(|at| written.nodes[at].keeps_integers()) {
                    return Err(NotSearchable::NotWhole(name.to_owned()));
                }
                let scope = written.below[roots[0]] | written.below[roots[1]];
                let program = Assembly::new(written, ranges).pair(roots);
                Ok(self.unbounded(TestKind::CommonDivisor(program, *is), scope))
            }
            RequirementKind::Code(code) => {
                let program = code.met_unless_zero.as_ref().map(|expressions| {
                    let roots: Vec<usize> =
                        expressions.iter().map(|one| written.add(one, Derived::AsWritten)).collect();
                    Assembly::new(written, ranges).zeros(&roots)
                });
                Ok(self.unbounded(TestKind::Code(code.clone(), program), scope_of(&code.needs)))
            }
        }
    }

    /// A test without a root in the graph.
    fn unbounded(&self, kind: TestKind, scope: u64) -> Test {
        let behind = bits(scope).fold(0, |bits, unknown| bits | self.graph.below[self.leaves[unknown]]);
        Test { kind, root: None, scope, behind }
    }

    /// The levels in the order chosen.
    fn lay_out(&mut self, order: &[usize]) {
        let mut known = 0_u64;
        let mut levels: Vec<Level> = Vec::new();
        let mut tying = Tying::new(self);
        for &unknown in order {
            let before = known;
            known |= 1 << unknown;
            let mut level = Level { unknown, known, ..Level::default() };
            match &self.problem.space.unknowns[unknown].choice {
                ValueSource::Free(values) => {
                    level.values.clone_from(values);
                    let steps = values.windows(2).all(|pair| pair[1] == pair[0] + 1);
                    level.is_range = steps;
                }
                ValueSource::Derived(_) => level.derived = Some(self.derived_test(unknown)),
            }
            let pairs = tying.pairs_after(self, order, unknown, known);
            let complete = |test: &Test| test.scope & !known == 0 && test.scope & !before != 0;
            let of_derived = self.first_derived..self.first_goal;
            let is_checked = |at: &usize| {
                let is_decided = !tying.has_taken(*at) && self.is_swept_exactly(*at, unknown, before);
                complete(&self.tests[*at]) && !of_derived.contains(at) && !is_decided
            };
            level.checks = (0..self.tests.len()).filter(is_checked).collect();
            level.checks.sort_by_key(|&at| matches!(self.tests[at].kind, TestKind::Code(..) | TestKind::Measure(_)));
            level.stepping = level.checks.iter().copied().find(|&at| self.steps(at, unknown));
            level.propagation = self.propagation_of((unknown, known), pairs, &tying);
            level.possible = (0..self.tests.len())
                .filter(|&at| {
                    let test = &self.tests[at];
                    let open = test.scope & !known != 0 && test.scope & (1 << unknown) != 0;
                    open && matches!(&test.kind, TestKind::Code(code, _) if code.possible.is_some())
                })
                .collect();
            level.measures = self.measures_of(unknown, known);
            levels.push(level);
        }
        let mut after = 1_u128;
        for level in levels.iter_mut().rev() {
            level.after = after;
            if level.derived.is_none() {
                after *= wide(level.values.len());
            }
        }
        self.levels = levels;
    }

    /// Whether propagation has left just those values of an unknown with which a test is met, once all else is known.
    fn is_swept_exactly(&self, at: usize, unknown: usize, known: u64) -> bool {
        let test = &self.tests[at];
        let is_open_alone = self.is_free(unknown) && test.behind & !known == 1 << unknown;
        let (TestKind::Window(_), true, Some((root, window))) = (&test.kind, is_open_alone, test.root) else {
            return false;
        };
        let sweep = Sweep::new((&self.graph, &self.operations), (at, root, window), None, known);
        sweep.is_exact(&self.start.intervals)
    }

    fn derived_test(&self, unknown: usize) -> usize {
        self.first_derived + (0..unknown).filter(|&before| !self.is_free(before)).count()
    }

    /// Whether the values of an unknown that pass a test for divisibility are equally spaced.
    fn steps(&self, at: usize, unknown: usize) -> bool {
        // a u + b with a, b and the divisor free of u is divisible at steps of divisor / gcd(a, divisor).
        let TestKind::Multiple(program) = &self.tests[at].kind else { return false };
        let degrees = program.degrees(1 << unknown);
        degrees.are_polynomials() && degrees.of_results == [Some(1), Some(0)]
    }

    /// Goals in code that an unknown makes known while others stay open, or that have bounds.
    fn measures_of(&self, unknown: usize, known: u64) -> Vec<usize> {
        let all = bits(u64::MAX >> (64 - self.leaves.len().max(1))).all(|one| known & (1 << one) != 0);
        let is_better_known = |&at: &usize| {
            let test = &self.tests[at];
            let TestKind::Measure(code) = &test.kind else { return false };
            test.scope & (1 << unknown) != 0 && !all && (test.scope & !known == 0 || code.has_bounds())
        };
        (self.first_goal..self.tests.len()).filter(is_better_known).collect()
    }

    /// Bounds goals in code before any choice.
    fn bound_measures(&mut self) {
        for test in &self.tests[self.first_goal..] {
            let (TestKind::Measure(code), Some((root, _))) = (&test.kind, test.root) else { continue };
            let ranges = code.needs.iter().map(|needed| self.start.intervals[self.leaves[needed.0]].integers());
            if let Some(least) = code.least(&ranges.collect::<Vec<_>>()) {
                self.start.intervals[root] = Interval::between(Some(&least), None);
            }
        }
    }

    /// Narrows what is there before any choice, as long as something is left.
    fn narrow_start(&mut self) {
        let mut start = self.start.clone();
        let narrowed = self.before_choice.run(&mut Narrowing {
            tests: &mut [],
            values: &mut [],
            state: &mut start,
            cut: &mut vec![false; self.graph.nodes.len()],
            goals: (self.first_goal, Interval::ALL),
        });
        if narrowed.is_none() {
            self.start = start;
        }
    }

    /// What is propagated once an unknown is known: all tests with a root that it bears on and that are still open, but for
    /// what is left to tied pairs.
    fn propagation_of(&self, (unknown, known): (usize, u64), pairs: Vec<TiedPair>, tying: &Tying) -> Propagation {
        let leaf = self.leaves[unknown];
        let (mut first, mut again) = (Vec::new(), Vec::new());
        for (at, test) in self.tests.iter().enumerate() {
            let Some((root, window)) = test.root.filter(|_| self.can_exclude(at) && !tying.has_taken(at)) else {
                continue;
            };
            if matches!(test.kind, TestKind::Measure(_)) {
                continue;
            }
            if test.behind & !known != 0 && self.bears_on(unknown, test, known) {
                let sweep = |from| Sweep::new((&self.graph, &self.operations), (at, root, window), from, known);
                let one_is_open = (test.behind & !known).is_power_of_two();
                let is_straight = one_is_open && *self.wanted != Wanted::Pareto;
                first.push(if is_straight { sweep(Some(leaf)).straight_back() } else { sweep(Some(leaf)) });
                // With one unknown open the way back has said all.
                if !one_is_open {
                    again.push(sweep(None));
                }
            }
        }
        Propagation::new(pairs, first, again)
    }

    /// Whether a test can exclude anything: where all are wanted no goal does.
    pub(super) fn can_exclude(&self, test: usize) -> bool {
        test < self.first_goal || *self.wanted != Wanted::All
    }

    /// Whether a test asks for an unknown, or for a derived quantity that hangs on it. Where all that it needs are
    /// known such a quantity comes next, and is what is propagated.
    fn bears_on(&self, unknown: usize, test: &Test, known: u64) -> bool {
        let hangs = |one: usize| {
            let behind = self.graph.below[self.leaves[one]];
            behind & (1 << unknown) != 0 && (self.is_free(one) || behind & !known != 0)
        };
        let is_behind = self.is_free(unknown) && test.behind & (1 << unknown) != 0;
        test.scope & (1 << unknown) != 0 || is_behind && bits(test.scope).any(hangs)
    }

    /// What is propagated of all tests that are open, through all of their expressions.
    fn propagation_of_all(&self, known: u64) -> Propagation {
        let open = self.tests.iter().enumerate().filter(|(_, test)| test.scope & !known != 0);
        let sweep = |(at, test): (usize, &Test)| {
            let (root, window) = test.root.filter(|_| self.can_exclude(at))?;
            Some(Sweep::new((&self.graph, &self.operations), (at, root, window), None, known))
        };
        let sweeps: Vec<Sweep> = open.filter_map(sweep).collect();
        Propagation::new(Vec::new(), sweeps.clone(), sweeps)
    }

    /// Where what remains depends on fewer earlier values than there are: the table that remembers counts.
    fn find_contexts(&mut self, ranges: &[(i64, i64)]) {
        if !self.counts() {
            return;
        }
        let mut prefixes = 1_u128;
        for depth in 0..self.levels.len() {
            let known = if depth == 0 { 0 } else { self.levels[depth - 1].known };
            let remaining = self.levels.len() - depth;
            if depth > 0 && remaining > 1 && self.levels[depth].derived.is_none() {
                let open = |test: &&Test| test.scope & !known != 0;
                let bears = self.tests.iter().filter(open).fold(0, |bits, test| bits | test.scope) & known;
                let of = |unknown: usize| {
                    let (low, high) = ranges[unknown];
                    (unknown, low, high.abs_diff(low).saturating_add(1))
                };
                let unknowns: Vec<_> = bits(bears).map(of).collect();
                let size = unknowns.iter().try_fold(1_u64, |size, unknown| size.checked_mul(unknown.2));
                if let Some(size) = size.filter(|&size| size <= LARGEST_CONTEXT && u128::from(size) < prefixes / 4) {
                    let context = Context { unknowns, size, propagation: self.propagation_of_all(known) };
                    self.levels[depth].context = Some(context);
                }
            }
            let values = self.levels[depth].values.len().max(1);
            prefixes = prefixes.saturating_mul(u128::try_from(values).unwrap_or(u128::MAX));
        }
    }
}

/// The unknowns that code asks for, one bit each.
fn scope_of(needs: &[Variable]) -> u64 {
    needs.iter().fold(0, |bits, needed| bits | 1 << needed.0)
}

fn ones(count: usize) -> u64 {
    if count == 0 { 0 } else { u64::MAX >> (64 - count) }
}
