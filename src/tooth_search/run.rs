//! A plan searched, and what serves counted.

use super::answer::{Counting, TeethAnswer};
use super::fault::TeethFault;
use super::plan::TeethPlan;
use crate::search::{Options, SearchOutcome, Wanted};

/// So many choices of a value are made for all that serve, before the best are searched for by themselves: where few
/// serve, finding and counting them at once is less work.
const FEW_VISITS: u128 = 20_000;

impl TeethPlan<'_> {
    /// Finds what is wanted, exhaustively, and counts all that serve.
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
    /// assert!(answer.complete);
    /// // With sums of 57 on three pins, 19 with 38 is nearest.
    /// let (state, ratio) = &answer.results[0].ratios[0];
    /// assert_eq!((state.as_str(), ratio), ("low", &fraction(52, 21)));
    /// assert_eq!(answer.results[0].teeth.iter().map(|(_, teeth)| *teeth).collect::<Vec<_>>(), [19, 38]);
    /// ```
    pub fn search(&self, wanted: &Wanted, options: &Options<'_>) -> Result<TeethAnswer, TeethFault> {
        let (outcome, count, counting) = self.found_and_counted(wanted, options)?;
        let part = options.part.map(|part| [part.index + 1, part.of]);
        Ok(TeethAnswer { part, ..self.finished(outcome, count, counting) })
    }

    /// What is wanted, and how many serve.
    fn found_and_counted(
        &self,
        wanted: &Wanted,
        options: &Options<'_>,
    ) -> Result<(SearchOutcome, u128, Counting), TeethFault> {
        if let (Wanted::Best(_) | Wanted::Pareto, None) = (wanted, options.part) {
            self.problem.check_goals(wanted)?;
            if let Some(all) = self.problem.all_in_few(FEW_VISITS, options.stop)? {
                let (count, counting) = (all.count, Counting::of(&all));
                return Ok((all.cut_down_to(wanted), count, counting));
            }
        }
        let outcome = self.problem.search(wanted, options)?;
        match wanted {
            Wanted::All | Wanted::Count => {
                let (count, counting) = (outcome.count, Counting::of(&outcome));
                Ok((outcome, count, counting))
            }
            Wanted::Best(_) | Wanted::Within(_) | Wanted::Pareto => {
                let counted = self.problem.search(&Wanted::Count, &Options { progress: None, ..*options })?;
                // Parts of a count need not be cut as parts of another question are.
                let found = if options.part.is_none() { outcome.count } else { 0 };
                let (count, counting) = Counting::of(&counted).with_at_least(counted.count, found);
                Ok((outcome, count, counting))
            }
        }
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
