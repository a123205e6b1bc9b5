//! A plan searched, and what serves counted: first the answer, then how many besides.

use super::answer::{Counted, Counting, MemoryReached, TeethAnswer};
use super::fault::TeethFault;
use super::plan::TeethPlan;
use crate::description;
use crate::search::{MemoryBound, Options, Wanted};

/// So many choices of a value are made for all that serve, before the best are searched for by themselves: where few
/// serve, finding and counting them at once is less work.
const FEW_CHOICES: u128 = 20_000;

/// A count that is bounded by the work of the search has so many choices at least: less than a person waits for.
const LEAST_CHOICES: u128 = 200_000;

/// About how many bytes a result takes for each byte of its gearset's description: the gearset with its matrix and what is
/// told of it. Measured on the railcar with 20,000 results: 21 kB each, of a description of 0.9 kB.
const BYTES_OF_RESULT: u64 = 25;

/// How far is counted what serves, once the answer stands?
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum CountWish {
    /// To the end, however long that takes.
    Exact,
    /// As far as it goes with about as much work as the search was.
    #[default]
    AtLeast,
    /// No farther than the search itself came.
    None,
}

impl TeethPlan<'_> {
    /// Finds what is wanted, exhaustively. What serves besides is counted as far as the search itself comes across it;
    /// [`TeethPlan::count`] goes on with that.
    ///
    /// # Errors
    /// [`TeethFault::Problem`] where the question cannot be searched.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::fraction, search::{Options, Wanted}, tooth_search::*};
    /// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    /// let ranges = ["L", "l"].map(|name| set.gear_named(name).unwrap());
    /// let ranges = ranges.map(|gear| TeethRange { gear, fewest: 15, most: 45 });
    /// let mut request = TeethRequest::new(ranges);
    /// request.ratios.push(RatioWish { state: "low".into(), wish: Wish::Near(fraction(5, 2)) });
    /// let plan = TeethPlan::new(&set, &request).unwrap();
    /// let answer = plan.search(&Wanted::Best(1), &Options::default()).unwrap();
    /// assert!(answer.proven);
    /// // With sums of 57 on three pins, 19 with 38 is nearest.
    /// let (state, ratio) = &answer.results[0].ratios[0];
    /// assert_eq!((state.as_str(), ratio), ("low", &fraction(52, 21)));
    /// assert_eq!(answer.results[0].teeth.iter().map(|(_, teeth)| *teeth).collect::<Vec<_>>(), [19, 38]);
    /// ```
    pub fn search(&self, wanted: &Wanted, options: &Options<'_>) -> Result<TeethAnswer, TeethFault> {
        let part = options.part.map(|part| [part.index + 1, part.of]);
        let options = &Options { memory: options.memory.map(|bound| self.with_results(bound)), ..*options };
        if let (Wanted::Best(_) | Wanted::Pareto, None) = (wanted, options.part) {
            self.problem.check_goals(wanted)?;
            let few = Options { most_choices: Some(FEW_CHOICES), progress: None, ..*options };
            let all = self.problem.search(&Wanted::All, &few)?;
            if all.complete {
                let (count, counting) = (all.count, Counting::of(&all));
                return Ok(self.finished(all.cut_down_to(wanted), count, counting));
            }
        }
        let outcome = self.problem.search(wanted, options)?;
        let is_counted = part.is_none() || matches!(wanted, Wanted::All | Wanted::Count);
        // Parts of a count are not cut as parts of another question are, and each has an account of its own: a part may
        // have nothing to search and much to count.
        let space = || self.problem.space().combinations().unwrap_or(outcome.combinations);
        let (count, counting) =
            if is_counted { (outcome.count, Counting::of(&outcome)) } else { (0, Counting::not_begun(space())) };
        Ok(TeethAnswer { part, ..self.finished(outcome, count, counting) })
    }

    /// Counts what serves, where the search has not: the answer stands, and only its count becomes larger. A count that
    /// is stopped, or has its bound, leaves at least so many.
    ///
    /// # Errors
    /// [`TeethFault::Problem`] where the question cannot be searched.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, search::{Options, Wanted}, tooth_search::*};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let ranges = ["S", "p", "R"].map(|name| set.gear_named(name).unwrap());
    /// let request = TeethRequest::new(ranges.map(|gear| TeethRange { gear, fewest: 12, most: 99 }));
    /// let plan = TeethPlan::new(&set, &request).unwrap();
    /// let mut answer = plan.search(&Wanted::Best(1), &Options::default()).unwrap();
    /// plan.count(&mut answer, CountWish::Exact, &Options::default()).unwrap();
    /// assert!(answer.proven && answer.counted == Counted::All);
    /// ```
    pub fn count(&self, answer: &mut TeethAnswer, wish: CountWish, options: &Options<'_>) -> Result<(), TeethFault> {
        let most_choices = match wish {
            CountWish::None => return Ok(()),
            CountWish::AtLeast => Some(answer.visited.max(LEAST_CHOICES)),
            CountWish::Exact => None,
        };
        if wish == CountWish::Exact && answer.is_near_open() {
            self.look_for_near_misses(answer, None, options)?;
        }
        if answer.counted == Counted::All {
            return Ok(());
        }
        let counted = self.problem.search(&Wanted::Count, &Options { most_choices, ..*options })?;
        (answer.count, answer.counting) = Counting::of(&counted).with_at_least(counted.count, answer.count);
        answer.counted = answer.counting.counted();
        answer.complete = answer.proven && answer.counted == Counted::All;
        let is_anew = counted.memory_reached.then_some(MemoryReached::CountedAnew);
        answer.memory_reached = answer.memory_reached.or(is_anew);
        Ok(())
    }

    /// The bound on memory, where every combination found becomes a result.
    fn with_results(&self, bound: MemoryBound) -> MemoryBound {
        let described = u64::try_from(description::write(self.set.draft()).len()).unwrap_or(u64::MAX);
        MemoryBound { per_found: described.saturating_mul(BYTES_OF_RESULT), ..bound }
    }

    /// What is wanted where so many results are asked for, or all: of several goals what nothing beats in every one.
    pub(super) fn wanted(&self, results: Option<usize>) -> Wanted {
        match results {
            None => Wanted::All,
            Some(results) if self.goal_names().len() == 1 => Wanted::Best(results),
            Some(_) => Wanted::Pareto,
        }
    }
}
