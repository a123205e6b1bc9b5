//! Which unknowns do sums tie together, and what does that settle?
//!
//! Where nothing bears on the unknowns of a pair but what is linear along its line, that says all that there is to be said of
//! them, and no sweep is needed.

use std::collections::BTreeSet;

use super::node_intervals::UnknownNode;
use super::plan::{Plan, bits};
use super::program::{Program, Width};
use super::requirement::RequirementKind;
use super::test::{Test, TestKind};
use super::tied_pair::{LinearWindow, TiedPair};

/// Sums and differences of integers up to here, and of what they are made of, fit into 64 bits.
const SMALL: i64 = 1 << 52;

/// The tied pairs of a plan as it is laid out, level by level.
pub(super) struct Tying {
    sums: Vec<TyingSum>,
    /// The tests that are left to tied pairs. Each is decided where all of its unknowns are known.
    taken: BTreeSet<usize>,
}

impl Tying {
    pub(super) fn new(plan: &Plan<'_>) -> Self {
        let sums = (0..plan.first_derived).filter_map(|at| TyingSum::of(plan, at)).collect();
        Self { sums, taken: BTreeSet::new() }
    }

    /// The pairs of which there is something new to be said once an unknown is known; `order` is that of the choices.
    pub(super) fn pairs_after(
        &mut self,
        plan: &Plan<'_>,
        order: &[usize],
        unknown: usize,
        known: u64,
    ) -> Vec<TiedPair> {
        let is_new = |pair: &TiedPair| pair.tests().any(|test| plan.tests[test].behind & (1 << unknown) != 0);
        let pairs = self.sums.iter().filter_map(|sum| sum.pair(plan, order, known)).filter(is_new);
        let (alone, others): (Vec<TiedPair>, Vec<TiedPair>) =
            pairs.partition(|pair| self.settles_alone(plan, pair, known));
        self.taken.extend(alone.iter().flat_map(TiedPair::tests));
        // Of a quotient whose divisor may be zero sweeps know next to nothing.
        let turns = |pair: &TiedPair| pair.windows.iter().any(|window| window.turn.is_some());
        alone.into_iter().chain(others.into_iter().filter(turns)).collect()
    }

    /// Whether every sweep that bears on what is open of a pair is of one of its own tests, or left to another pair.
    fn settles_alone(&self, plan: &Plan<'_>, pair: &TiedPair, known: u64) -> bool {
        let open = pair.unknowns() & !known;
        let is_swept = |at: usize, test: &Test| test.root.is_some() && plan.can_exclude(at) && test.behind & open != 0;
        let is_left = |at: usize| self.has_taken(at) || pair.tests().any(|own| own == at);
        plan.tests.iter().enumerate().all(|(at, test)| !is_swept(at, test) || is_left(at))
    }

    /// Whether a test is left to tied pairs from now on.
    pub(super) fn has_taken(&self, test: usize) -> bool {
        self.taken.contains(&test)
    }
}

/// A sum of multiples of unknowns that has to be one number, if it is small.
struct TyingSum {
    test: usize,
    /// Its unknowns, and by what it rises with each, in a unit in which that is an integer.
    rises: Vec<(usize, i64)>,
}

impl TyingSum {
    fn of(plan: &Plan<'_>, at: usize) -> Option<Self> {
        let RequirementKind::Window { low: Some(low), high: Some(high), .. } = &plan.problem.requirements[at].1.0
        else {
            return None;
        };
        let test = &plan.tests[at];
        let mut program = program(test)?.clone();
        if low != high || program.linear_in(test.behind)?.turn.is_some() {
            return None;
        }
        let range = |unknown: usize| {
            let interval = plan.start.intervals[plan.leaves[unknown]];
            interval.is_in_exact_range().then(|| (unknown, interval.integers().into_inner()))
        };
        let ranges: Vec<(usize, (i64, i64))> = bits(test.behind).map(range).collect::<Option<_>>()?;
        let mut values = vec![0; plan.leaves.len()];
        for &(unknown, (least, _)) in &ranges {
            values[unknown] = least;
        }
        let [from_least, _] = program.margins(&values)?;
        let (mut rises, mut most) = (Vec::new(), from_least.checked_abs()?);
        for (unknown, (least, greatest)) in ranges {
            values[unknown] = greatest;
            let rise = program.margins(&values)?[0].checked_sub(from_least)?;
            values[unknown] = least;
            most = most.checked_add(rise.checked_abs()?)?;
            rises.push((unknown, rise / (greatest - least).max(1)));
        }
        (most <= SMALL).then_some(Self { test: at, rises })
    }

    fn rise(&self, unknown: usize) -> i64 {
        self.rises.iter().find(|&&(one, _)| one == unknown).map_or(0, |&(_, rise)| rise)
    }

    /// The two unknowns that it leaves open, or the one, if it ties them.
    fn pair(&self, plan: &Plan<'_>, order: &[usize], known: u64) -> Option<TiedPair> {
        let open = order.iter().copied().filter(|&one| plan.tests[self.test].behind & !known & (1 << one) != 0);
        match open.collect::<Vec<_>>()[..] {
            [first, second] => {
                let mut pair = self.tie(plan, first, second).or_else(|| self.tie(plan, second, first))?;
                let (others, both) = ((0..plan.first_derived).filter(|&at| at != self.test), pair.unknowns());
                pair.windows = others.filter_map(|at| linear_window(plan, at, both, known)).collect();
                Some(pair)
            }
            // It goes nowhere, and is where the sum has it.
            [follower] => Some(TiedPair { slope: 0, ..self.tie(plan, follower, follower)? }),
            _ => None,
        }
    }

    /// Two unknowns, if every value of one gives one of the other.
    fn tie(&self, plan: &Plan<'_>, along: usize, follower: usize) -> Option<TiedPair> {
        let (rise, unit) = (self.rise(along), self.rise(follower));
        let [along, follower] = [along, follower].map(|unknown| UnknownNode { unknown, node: plan.leaves[unknown] });
        let is_tied = unit != 0 && rise % unit == 0;
        is_tied.then(|| TiedPair { sum: self.test, along, follower, unit, slope: -rise / unit, windows: Vec::new() })
    }
}

/// A test as a window that is linear in two unknowns; `None` if it is none, or has nothing or more open.
fn linear_window(plan: &Plan<'_>, test: usize, both: u64, known: u64) -> Option<LinearWindow> {
    let open = plan.tests[test].behind & !known;
    let program = program(&plan.tests[test]).filter(|_| open != 0 && open & !both == 0)?;
    Some(LinearWindow { test, turn: program.linear_in(both)?.turn })
}

/// The exact program of a window, where it runs in 64 bits and asks for unknowns alone.
fn program(test: &Test) -> Option<&Program> {
    let TestKind::Window(program) = &test.kind else { return None };
    (program.width() == Width::Narrow && test.scope == test.behind).then_some(program)
}
