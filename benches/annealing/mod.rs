//! How near does a general optimiser come that proves nothing?
//!
//! The compound train by simulated annealing (S. Kirkpatrick, C. D. Gelatt, M. P. Vecchi, Optimization by simulated
//! annealing, Science 220 (1983) 671-680), from a library of general purpose. A step moves one of the four tooth
//! counts; the cost is the logarithm of the distance, so that near and nearer count alike.

use std::cell::Cell;

use argmin::core::{CostFunction, Error, Executor, State};
use argmin::solver::simulatedannealing::{Anneal, SATempFunc, SimulatedAnnealing};

/// Tooth counts x1 to x4.
type Counts = [i32; 4];

struct Train {
    random: Cell<u64>,
}

impl Train {
    /// A number below another, from a linear congruential generator.
    fn below(&self, limit: u64) -> u64 {
        let next = self.random.get().wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        self.random.set(next);
        (next >> 33) % limit
    }
}

impl CostFunction for Train {
    type Param = Counts;
    type Output = f64;

    fn cost(&self, counts: &Counts) -> Result<f64, Error> {
        Ok(distance(*counts).ln())
    }
}

impl Anneal for Train {
    type Param = Counts;
    type Output = Counts;
    type Float = f64;

    fn anneal(&self, counts: &Counts, _temperature: f64) -> Result<Counts, Error> {
        let mut counts = *counts;
        let at = usize::try_from(self.below(4))?;
        counts[at] = (counts[at] - 8 + i32::try_from(self.below(17))?).clamp(12, 60);
        Ok(counts)
    }
}

/// How far the ratio is from the one wanted.
pub(crate) fn distance(counts: Counts) -> f64 {
    let [x1, x2, x3, x4] = counts.map(f64::from);
    (x1 * x2 / (x3 * x4) - 1.0 / 6.931).abs()
}

/// The nearest that one run comes in so many evaluations.
pub(crate) fn anneal(run: u64, evaluations: u64) -> Result<Counts, Error> {
    let solver = SimulatedAnnealing::new(3.0)?.with_temp_func(SATempFunc::Exponential(0.9999));
    let train = Train { random: Cell::new(run) };
    let start =
        |state: argmin::core::IterState<Counts, (), (), (), (), f64>| state.param([30; 4]).max_iters(evaluations);
    let result = Executor::new(train, solver).configure(start).run()?;
    Ok(*result.state().get_best_param().expect("the start is one"))
}
