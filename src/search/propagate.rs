//! Which values are left for the unknowns that are still open?
//!
//! A sweep over the expression of one requirement: forward from what has become known to the root, then from the
//! interval allowed at the root back to the unknowns. Both only ever narrow intervals that hold every
//! solution (hull consistency: F. Benhamou, F. Goualard, L. Granvilliers, J.-F. Puget, Revising hull and box
//! consistency, Proc. ICLP 1999). Nodes that requirements share carry what one found out to the others; so sweeps are
//! repeated, up to ten times, while an unknown loses values by them.

use super::graph::{Graph, GraphNode};
use super::interval::Interval;
use super::node_intervals::{NodeIntervals, UnknownNode};
use super::operation::{OpenNode, Operation, SolvedOperation};
use super::test::Test;
use super::tied_pair::TiedPair;

/// One pass over the expression of one test.
#[derive(Clone, Debug)]
pub(super) struct Sweep {
    pub(super) test: usize,
    pub(super) window: Interval,
    root: OpenNode,
    /// What has become known, and what is open and hangs on it.
    settled: Vec<Operation>,
    forward: Vec<Operation>,
    backward: Vec<SolvedOperation>,
    /// Whether the way back is gone whole, as nothing has said on the way forward where it is of no use.
    is_straight: bool,
}

/// How often sweeps are gone over while something narrows.
const ROUNDS: usize = 10;

/// What is swept when something has become known.
#[derive(Clone, Debug, Default)]
pub(super) struct Propagation {
    pairs: Vec<TiedPair>,
    /// From what has become known.
    first: Vec<Sweep>,
    /// From all that is open, for the rounds after the first.
    again: Vec<Sweep>,
}

impl Propagation {
    /// Tied pairs, sweeps, and sweeps that may find more in a further round. What is known was set in the first, or when it
    /// became known; where it was not its interval is only wider, and excludes nothing that serves.
    pub(super) fn new(pairs: Vec<TiedPair>, first: Vec<Sweep>, again: Vec<Sweep>) -> Self {
        let again = again.into_iter().map(|sweep| Sweep { settled: Vec::new(), ..sweep });
        Self { pairs, first, again: again.collect() }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.pairs.is_empty() && self.first.is_empty()
    }

    /// Whether a sweep is of one of the tests from a first one on.
    pub(super) fn has_test_from(&self, first: usize) -> bool {
        self.first.iter().any(|sweep| sweep.test >= first)
    }

    /// Narrows a state; the test that leaves nothing, if one does.
    pub(super) fn run(&self, narrowing: &mut Narrowing<'_>) -> Option<usize> {
        let mut is_narrowed = false;
        for pair in &self.pairs {
            match pair.narrow(narrowing.tests, narrowing.values, narrowing.state) {
                Ok(narrows) => is_narrowed |= narrows,
                Err(test) => return Some(test),
            }
        }
        let mut sweeps = &self.first;
        for _ in 0..ROUNDS {
            for sweep in sweeps {
                match narrowing.sweep(sweep) {
                    Swept::Empty => return Some(sweep.test),
                    Swept::Narrowed => is_narrowed = true,
                    Swept::Same => {}
                }
            }
            if !std::mem::take(&mut is_narrowed) {
                break;
            }
            sweeps = &self.again;
        }
        None
    }
}

/// What propagation works on.
pub(super) struct Narrowing<'a> {
    pub(super) tests: &'a mut [Test],
    /// The values of the unknowns that are known; those of the others are used up.
    pub(super) values: &'a mut [i64],
    pub(super) state: &'a mut NodeIntervals,
    /// Nothing but between the steps of a sweep.
    pub(super) cut: &'a mut [bool],
    /// The first of the goals, which all have one window, and that.
    pub(super) goals: (usize, Interval),
}

impl Narrowing<'_> {
    fn sweep(&mut self, sweep: &Sweep) -> Swept {
        let (first_goal, of_goals) = self.goals;
        sweep.run(self.state, self.cut, if sweep.test >= first_goal { of_goals } else { sweep.window })
    }
}

/// What a sweep came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Swept {
    Same,
    /// An unknown has fewer values left than before.
    Narrowed,
    /// Nothing is left.
    Empty,
}

impl Sweep {
    /// A sweep of a test (its number, root and window) after the node `from` has become known, or after all
    /// that is known has.
    pub(super) fn new(
        (graph, operations): (&Graph, &[Operation]),
        (test, root, window): (usize, usize, Interval),
        from: Option<usize>,
        known: u64,
    ) -> Self {
        let cone = graph.cone(root);
        let mut changed = vec![from.is_none(); root + 1];
        if let Some(from) = from.filter(|&from| from <= root) {
            changed[from] = true;
        }
        let is_open = |at: usize| graph.below[at] & !known != 0;
        let is_inner = |at: usize| graph.nodes[at].operands().next().is_some();
        let (mut settled, mut forward) = (Vec::new(), Vec::new());
        for &at in &cone {
            if is_inner(at) && (changed[at] || graph.nodes[at].operands().any(|operand| changed[operand])) {
                changed[at] = true;
                if Some(at) != from {
                    if is_open(at) { &mut forward } else { &mut settled }.push(operations[at]);
                }
            }
        }
        let open = |node: usize| {
            let unknown = if let GraphNode::Variable(unknown) = graph.nodes[node] { Some(unknown) } else { None };
            OpenNode { node, is_whole: operations[node].is_whole(), unknown }
        };
        let solved = |&at: &usize| SolvedOperation::all(&operations[at], |node| is_open(node).then(|| open(node)));
        let backward = cone.iter().rev().filter(|&&at| is_inner(at) && is_open(at)).flat_map(solved).collect();
        Self { test, window, root: open(root), settled, forward, backward, is_straight: false }
    }

    /// Whether it leaves just those values of the one unknown that is open with which the test is met: the way back is one
    /// chain of operations on whole numbers.
    pub(super) fn is_exact(&self, start: &[Interval]) -> bool {
        let mut end = self.root;
        let follows = |solved: &SolvedOperation| {
            let follows = solved.result == end.node && solved.is_exact(start);
            end = solved.operand;
            follows
        };
        self.root.is_whole && self.backward.iter().all(follows) && end.unknown.is_some()
    }

    /// The same without the way forward through what is open: where one unknown is, the way back says all.
    pub(super) fn straight_back(mut self) -> Self {
        self.forward.clear();
        self.is_straight = true;
        self
    }

    /// Narrows a state; `window` is where the root has to be. In `cut`, where nothing is noted before and after, it is noted
    /// of every node whether it is cut down to less than its operands allow: only then is there anything to be said of these.
    fn run(&self, state: &mut NodeIntervals, cut: &mut [bool], window: Interval) -> Swept {
        let swept = if self.forward(state, cut) { self.backward(state, cut, window) } else { Swept::Empty };
        cut.fill(false);
        swept
    }

    /// From what has become known to the root; false where nothing is left.
    fn forward(&self, state: &mut NodeIntervals, cut: &mut [bool]) -> bool {
        for operation in &self.settled {
            let left = state.intervals[operation.node].meet(operation.value(&state.intervals));
            if left.is_empty() {
                return false;
            }
            state.intervals[operation.node] = left;
        }
        for operation in &self.forward {
            let value = operation.value(&state.intervals);
            let left = state.intervals[operation.node].meet(value);
            if left.is_empty() {
                return false;
            }
            cut[operation.node] = left != value;
            state.intervals[operation.node] = left;
        }
        true
    }

    /// From the root to what is open.
    fn backward(&self, state: &mut NodeIntervals, cut: &mut [bool], window: Interval) -> Swept {
        let before = state.intervals[self.root.node];
        let mut swept = Swept::Same;
        if before.meet(window) != before {
            swept = self.cut_down(state, cut, self.root, before.meet(window));
        }
        if swept == Swept::Empty {
            return swept;
        }
        for solved in &self.backward {
            if cut[solved.result] || self.is_straight {
                let before = state.intervals[solved.operand.node];
                let left = solved.left(&state.intervals, before);
                if left != before {
                    swept = swept.max(self.cut_down(state, cut, solved.operand, left));
                    if swept == Swept::Empty {
                        return swept;
                    }
                }
            }
        }
        swept
    }

    /// Leaves what is left of a node; the whole numbers within it where it is whole.
    fn cut_down(&self, state: &mut NodeIntervals, cut: &mut [bool], open: OpenNode, left: Interval) -> Swept {
        let after = if open.is_whole { left.rounded_inward() } else { left };
        cut[open.node] = true;
        match open.unknown {
            Some(unknown) => {
                state.leave(UnknownNode { unknown, node: open.node }, after, [self.test; 2]);
            }
            None => state.intervals[open.node] = after,
        }
        match (after.is_empty(), open.unknown) {
            (true, _) => Swept::Empty,
            (false, Some(_)) => Swept::Narrowed,
            (false, None) => Swept::Same,
        }
    }
}
