//! How do several threads share the work, and come to the same answer as one?
//!
//! The outermost choices that were listed are worked off in batches that double in size, the most promising
//! first; within a batch every choice begins with the bound that the batches before have left. So what is
//! visited and excluded does not depend on who works on what, or how fast. One thread begins a batch alone, and the
//! others come in only if it is not done at once: to call them takes longer than a small search.

use std::any::Any;
use std::num::NonZeroUsize;
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use num_traits::ToPrimitive;

use super::bound::{Bound, Costs};
use super::kept::Kept;
use super::listing::{ListedUntil, Listing};
use super::memory::SharedCounts;
use super::outcome::{Combination, Excluded, SearchOutcome, cut_to_best, put_in_order};
use super::pareto::{Front, costs};
use super::plan::{Plan, wide};
use super::probe::probe;
use super::problem::{Options, Wanted};
use super::walk::{Start, Tally, Walker};

/// Listed is down to the level where there are about so many beginnings.
const STARTS: usize = 40;

/// How long one thread works on a batch before others are called.
const ALONE: Duration = Duration::from_millis(2);

/// What the threads share.
struct Work<'a> {
    plan: &'a Plan<'a>,
    options: &'a Options<'a>,
    kept: &'a Kept,
    memory: Option<SharedCounts<'a>>,
    starts: &'a [Start],
    combinations: u128,
    /// Whether the listing did not come to its end.
    was_stopped: bool,
    next: AtomicUsize,
    gathered: Mutex<Gathered>,
    panicked: AtomicBool,
}

/// What a combination is to be better than, or as good as, from the beginning on.
#[derive(Clone)]
pub(super) struct Bounds {
    pub(super) costs: Costs,
    pub(super) front: Front,
}

impl Bounds {
    /// What the question itself says.
    pub(super) fn new(plan: &Plan<'_>) -> Self {
        let costs = match plan.wanted {
            Wanted::Best(wanted) => Costs::new(*wanted, None),
            Wanted::Within(bound) => {
                let larger = plan.problem.goals[0].larger_is_better;
                Costs::new(0, Some(Bound::new(if larger { -bound } else { bound.clone() })))
            }
            Wanted::All | Wanted::Pareto | Wanted::Count => Costs::default(),
        };
        Self { costs, front: Front::default() }
    }

    pub(super) fn add_to_front(&mut self, found: &[Combination], plan: &Plan<'_>) {
        for found in found {
            self.front.add(costs(&found.measures, &plan.problem.goals));
        }
    }
}

/// What is worked on together, and the bounds with which it begins.
struct Batch {
    range: Range<usize>,
    bounds: Bounds,
}

#[derive(Default)]
struct Gathered {
    tally: Tally,
    found: Vec<Combination>,
    decided: u128,
    panic: Option<Box<dyn Any + Send>>,
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What a walk, or several, have come to.
fn outcome(plan: &Plan<'_>, tally: &Tally, found: Vec<Combination>, combinations: u128) -> SearchOutcome {
    let decided = tally.decided();
    let derived = plan.problem.space.unknowns.iter().enumerate().filter(|(place, _)| !plan.is_free(*place));
    let names = plan.problem.requirements.iter().map(|(name, _)| name).chain(derived.map(|(_, one)| &one.name));
    let numbers = &tally.excluded;
    let excluded =
        names.zip(numbers).map(|(name, &combinations)| Excluded { name: name.clone(), combinations }).collect();
    let mut outcome = SearchOutcome {
        found,
        count: tally.count,
        combinations,
        visited: tally.visited,
        excluded,
        beaten: numbers[plan.first_goal..].iter().sum(),
        undecided: combinations - decided,
        complete: decided == combinations,
        memory_reached: false,
        wanted: plan.wanted.clone(),
        larger_is_better: plan.problem.goals.iter().map(|goal| goal.larger_is_better).collect(),
    };
    outcome.settle();
    outcome
}

/// Searches all of a problem.
pub(super) fn whole(plan: &Plan<'_>, options: &Options<'_>) -> SearchOutcome {
    let mut bounds = Bounds::new(plan);
    if let Wanted::Best(wanted) = plan.wanted {
        let probed = probe(plan, *wanted, options);
        if let Some((tally, found)) = probed.all {
            options.progress.iter().for_each(|progress| progress(1.0));
            return outcome(plan, &tally, found, plan.combinations);
        }
        bounds.costs = Costs::new(*wanted, probed.ceiling);
    }
    let until = ListedUntil { starts: if plan.improves() { STARTS } else { 0 }, left: STARTS, visited: u128::MAX };
    let listing = Listing::new(plan, &bounds.costs, &until, options);
    work_off(plan, &bounds, &listing, options)
}

/// Works off what was listed; what was decided on the way there belongs to the first part.
pub(super) fn work_off(plan: &Plan<'_>, bounds: &Bounds, listing: &Listing, options: &Options<'_>) -> SearchOutcome {
    let kept = &Kept::new(plan, options.memory);
    let own = |beginning: usize| plan.after(listing.depth, beginning);
    let mut combinations: u128 = (0..listing.starts.len()).map(own).sum();
    let mut gathered = Gathered { tally: Tally::new(plan), ..Gathered::default() };
    if plan.share.is_none_or(|share| share.is_first()) {
        let behind = plan.levels.get(listing.depth).map_or(1, |level| level.after * wide(level.width()));
        combinations += plan.combinations - behind * wide(listing.starts.len());
        (gathered.tally, gathered.found) = (listing.tally.clone(), listing.found.clone());
        gathered.decided = gathered.tally.decided();
    }
    let work = Work {
        plan,
        options,
        kept,
        memory: plan.counts().then(|| SharedCounts::new(plan, kept)),
        starts: &listing.starts,
        combinations,
        was_stopped: listing.was_stopped,
        next: AtomicUsize::new(0),
        gathered: Mutex::new(gathered),
        panicked: AtomicBool::new(false),
    };
    let range = first_batch(plan, work.starts.len());
    work.all(Batch { range, bounds: bounds.clone() });
    work.outcome()
}

fn threads(options: &Options<'_>, starts: usize) -> usize {
    if options.most_choices.is_some() {
        return 1;
    }
    let cores = || std::thread::available_parallelism().map_or(1, NonZeroUsize::get);
    options.threads.map_or_else(cores, NonZeroUsize::get).min(starts).max(1)
}

/// Where bounds improve with what is found, batches begin small.
fn first_batch(plan: &Plan<'_>, starts: usize) -> Range<usize> {
    if plan.improves() { 0..starts.min(1) } else { 0..starts }
}

impl Work<'_> {
    fn all(&self, mut batch: Batch) {
        let mut walker = Walker::new(self.plan, self.memory.as_ref(), Some(self.kept), self.options);
        walker.grant(self.options.most_choices.unwrap_or(u128::MAX));
        while !batch.range.is_empty() {
            self.work_off(&mut walker, &batch);
            batch = self.next_batch(&batch);
        }
        let panic = locked(&self.gathered).panic.take();
        if let Some(panic) = panic {
            resume_unwind(panic);
        }
    }

    fn work_off(&self, walker: &mut Walker<'_>, batch: &Batch) {
        let begun = Instant::now();
        while begun.elapsed() < ALONE {
            if !self.take_one(walker, batch) {
                return;
            }
        }
        let left = batch.range.end.saturating_sub(self.next.load(Ordering::Relaxed));
        std::thread::scope(|scope| {
            for _ in 1..threads(self.options, left) {
                scope.spawn(|| {
                    let mut walker = Walker::new(self.plan, self.memory.as_ref(), Some(self.kept), self.options);
                    while self.take_one(&mut walker, batch) {}
                });
            }
            while self.take_one(walker, batch) {}
        });
    }

    /// Works on the next choice of a batch; false if there is none.
    fn take_one(&self, walker: &mut Walker<'_>, batch: &Batch) -> bool {
        let at = self.next.fetch_add(1, Ordering::Relaxed);
        if at >= batch.range.end || self.has_ended(walker) {
            return false;
        }
        walker.costs = batch.bounds.costs.clone();
        walker.front = batch.bounds.front.clone();
        // A test that panics must not leave the other threads at work.
        let explored = catch_unwind(AssertUnwindSafe(|| walker.explore(at, &self.starts[at].values)));
        let mut gathered = locked(&self.gathered);
        if let Err(panic) = explored {
            gathered.panic = Some(panic);
            self.panicked.store(true, Ordering::Relaxed);
            return false;
        }
        gathered.tally.add(&walker.tally);
        gathered.found.append(&mut walker.found);
        gathered.decided += walker.tally.decided();
        if let Some(progress) = self.options.progress {
            let share = gathered.decided.to_f64().zip(self.combinations.max(1).to_f64());
            progress(share.map_or(0.0, |(decided, all)| (decided / all).min(1.0)));
        }
        true
    }

    fn has_ended(&self, walker: &Walker<'_>) -> bool {
        walker.stopped
            || self.options.is_stop_requested()
            || self.kept.is_full()
            || self.panicked.load(Ordering::Relaxed)
    }

    /// Between two batches: what was found sets the bounds of the next.
    fn next_batch(&self, done: &Batch) -> Batch {
        let mut bounds = done.bounds.clone();
        let mut gathered = locked(&self.gathered);
        let has_ended = self.options.is_stop_requested() || self.kept.is_full() || gathered.panic.is_some();
        let end = if has_ended { done.range.end } else { self.starts.len() };
        let start = done.range.end;
        let range = start..end.min(start + 2 * done.range.len());
        self.next.store(start, Ordering::Relaxed);
        let goals = &self.plan.problem.goals;
        match self.plan.wanted {
            Wanted::Best(wanted) => {
                let cost = |found: &Combination| costs(&found.measures, goals).swap_remove(0);
                let larger: Vec<bool> = goals.iter().map(|goal| goal.larger_is_better).collect();
                put_in_order(&mut gathered.found, &larger);
                let before = gathered.found.len();
                cut_to_best(&mut gathered.found, *wanted);
                let dropped = before - gathered.found.len();
                self.kept.drops_found(dropped);
                let dropped = wide(dropped);
                gathered.tally.count -= dropped;
                gathered.tally.excluded[self.plan.first_goal] += dropped;
                bounds.costs = done.bounds.costs.of(gathered.found.iter().take(*wanted).map(cost));
            }
            Wanted::Pareto => bounds.add_to_front(&gathered.found, self.plan),
            Wanted::All | Wanted::Within(_) | Wanted::Count => {}
        }
        Batch { range, bounds }
    }

    fn outcome(self) -> SearchOutcome {
        let gathered = self.gathered.into_inner().unwrap_or_else(PoisonError::into_inner);
        let mut outcome = outcome(self.plan, &gathered.tally, gathered.found, self.combinations);
        outcome.complete &= !self.was_stopped;
        // Whoever has everything has lost nothing by the bound.
        outcome.memory_reached = self.kept.was_reached() && (self.plan.counts() || !outcome.complete);
        outcome
    }
}
